//! Filled by its author.
