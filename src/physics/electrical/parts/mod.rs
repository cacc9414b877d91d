//! What single parts must bear: resistors, sense amplifiers, switches, inductors and capacitors.
//! Each file turns currents and times of a drive into losses, stresses and the least rating to buy.

pub mod amplifier;
pub mod resistor;
pub mod switch;
