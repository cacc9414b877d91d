//! What single parts must be and bear: resistors and switches.
//! Each file turns currents and levels of a drive into values, losses and the least rating to buy.

pub mod resistor;
pub mod switch;
