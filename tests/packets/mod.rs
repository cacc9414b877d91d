//! Tests of this folder.

mod pdf_reading;
mod render;
mod render_files;
mod sample;
