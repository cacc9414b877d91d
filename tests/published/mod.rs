//! Physics against published figures and stored reference vectors; each test names its source.

mod conductors;
mod csv_rows;
mod drives;
mod electrical;
mod electrical_markings;
mod electrical_parts;
mod electrical_references;
mod electrical_switched;
mod electrical_tolerance;
mod heat_and_light;
mod mechanics;
mod outlines;
mod whole_lamps;
