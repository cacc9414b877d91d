//! Tests of this folder.

mod drawings;
mod sheet_figures;
