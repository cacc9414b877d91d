//! Pure functions of the trade: formulas with their symbols, units, validity and source.

pub mod conductors;
pub mod electrical;
pub mod light;
pub mod mechanics;
pub mod thermal;
