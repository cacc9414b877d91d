//! Papers and files of lamps: sheets, drawings, true size, tool paths; read back by what is not ours, held to the ledger.

mod crowded;
mod dark;
mod drawings;
mod drill_templates;
mod drive_sheet;
mod golden;
mod mains_sheets;
mod making;
mod not_known;
mod papers_hold;
mod pdf_reading;
mod render;
mod render_files;
mod sample;
mod sheet_figures;
mod strict;
mod tool_path;
mod true_size;
mod wiring_depth;
mod words;
