//! Tests of this folder.
