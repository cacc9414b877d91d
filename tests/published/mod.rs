//! Physics against published figures and stored reference vectors; each test names its source.

mod conductors;
mod csv_rows;
mod electrical;
mod heat_and_light;
mod mechanics;
mod outlines;
