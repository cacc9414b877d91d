//! Electrical formulas: strings, the four drives, references, preferred values, parts, tolerances and pins.
//! Pure functions from quantities to quantities; each states its symbols, validity and source.

pub mod ballast;
pub mod dimming;
pub mod hysteretic;
pub mod linear;
pub mod marking;
pub mod module;
pub mod parallel;
pub mod parts;
pub mod pins;
pub mod preferred;
pub mod reference;
pub mod runaway;
pub mod sampling;
pub mod second_order;
pub mod string;
