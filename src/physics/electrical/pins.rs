//! Controller pins that set how the chip starts: a pull-down on one of them at reset.
//! Turns pull-up and levels into the range that a pull-down may have.

use crate::quantity::Ohms;

/// `R ≥ R_pu·x/(1 − x)`, `x = VIH/VDD`: least pull-down that still lets a pin read high at reset.
pub fn least_pull_down_for_strap_high(pull_up: Ohms, high_level: f64) -> Ohms {
    pull_up * (high_level / (1.0 - high_level))
}

/// `R ≤ R_pu·x/(1 − x)`, `x = VIL/VDD`: largest pull-down that makes a pin read low at reset.
pub fn most_pull_down_for_strap_low(pull_up: Ohms, low_level: f64) -> Ohms {
    pull_up * (low_level / (1.0 - low_level))
}
