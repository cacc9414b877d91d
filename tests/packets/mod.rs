//! Tests of this folder.

mod drawings;
mod drive_sheet;
mod golden;
mod mains_sheets;
mod pdf_reading;
mod render;
mod render_files;
mod sample;
mod sheet_figures;
mod wiring_depth;
