//! Physics against published figures and stored reference vectors; each test names its source.

mod conductors;
mod csv_rows;
mod cutouts;
mod drives;
mod electrical;
mod electrical_markings;
mod electrical_parts;
mod electrical_references;
mod electrical_switched;
mod electrical_tolerance;
mod fitting;
mod heat_air;
mod heat_and_light;
mod heat_network;
mod heat_parts;
mod heat_warmup;
mod heat_worked;
mod light_colour;
mod light_eyes;
mod light_lamp;
mod light_mixing;
mod light_near;
mod light_vectors;
mod mechanics;
mod outlines;
mod whole_lamps;
