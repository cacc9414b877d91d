//! Tests of this folder.

#![allow(clippy::unwrap_used, reason = "a test that cannot read a file back has failed")]

mod golden;
mod mains_sheets;
mod pdf_reading;
mod render;
mod render_files;
mod sample;
