//! Electrical formulas: strings, the four drives, references, preferred values, parts, tolerances and pins.
//! Pure functions from quantities to quantities; each states its symbols, validity and source.

pub mod ballast;
pub mod hysteretic;
pub mod junction;
pub mod linear;
pub mod module;
pub mod parallel;
pub mod runaway;
pub mod string;
