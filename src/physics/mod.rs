//! Pure functions of the trade: formulas with their symbols, units, validity and source.

pub mod conductors;
pub mod electrical;
pub mod light;
pub mod mechanics;
pub mod thermal;

/// g, standard acceleration of free fall, m/s² (CGPM 1901).
const GRAVITY: f64 = 9.80665;
