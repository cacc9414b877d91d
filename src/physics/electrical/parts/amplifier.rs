//! Sense amplifier and comparator: gain, lag, slew, offset errors, and the hysteresis network.
//! Turns a full-scale current, a gain and data-sheet limits into the errors of the set current.

use crate::quantity::{Amperes, Hertz, Ohms, Seconds, Volts};

/// `A = Vref/(I·Rs)`: gain that brings the full-scale current to the reference.
pub fn sense_gain(reference: Volts, full_scale: Amperes, sense: Ohms) -> f64 {
    reference / (full_scale * sense)
}

/// `τa = A/(2π·GBW)`: time constant of a voltage-feedback amplifier with its gain set.
///
/// Source: one-pole model, as in Horowitz and Hill, The Art of Electronics, 3rd ed.
pub fn amplifier_time_constant(gain: f64, gain_bandwidth: Hertz) -> Seconds {
    gain_bandwidth.period() * (gain / (2.0 * std::f64::consts::PI))
}
