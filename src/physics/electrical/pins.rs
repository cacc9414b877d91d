//! Controller pins: resistors that keep a gate off at reset, and what lifts a floating gate.
//! Turns thresholds, leakages and pull-ups into the range a pull-down may have.

use crate::quantity::{Amperes, Farads, Ohms, Seconds, Volts, VoltsPerSecond};

/// `R ≤ m·Vth/I_leak`: largest pull-down that holds a gate off against the leakage of the pin.
///
/// `margin` m is the part of the least threshold that may be used; 0.5 is our margin.
pub fn most_pull_down_for_leakage(margin: f64, threshold: Volts, leakage: Amperes) -> Ohms {
    threshold * margin / leakage
}

/// `R ≤ R_pu·m·Vth/(VDD − m·Vth)`: largest pull-down that holds a gate off against a pull-up inside the pin.
///
/// `None` if the usable threshold is not below VDD, when any pull-down will do.
pub fn most_pull_down_against_pull_up(pull_up: Ohms, margin: f64, threshold: Volts, supply: Volts) -> Option<Ohms> {
    let usable = threshold * margin;
    (usable < supply).then(|| pull_up * (usable / (supply - usable)))
}

/// `R ≥ R_pu·x/(1 − x)`, `x = VIH/VDD`: least pull-down that still lets a pin read high at reset.
pub fn least_pull_down_for_strap_high(pull_up: Ohms, high_level: f64) -> Ohms {
    pull_up * (high_level / (1.0 - high_level))
}

/// `R ≤ R_pu·x/(1 − x)`, `x = VIL/VDD`: largest pull-down that makes a pin read low at reset.
pub fn most_pull_down_for_strap_low(pull_up: Ohms, low_level: f64) -> Ohms {
    pull_up * (low_level / (1.0 - low_level))
}

/// Whether a pin that must read high at reset cannot also hold a gate off, whatever the pull-down.
pub fn strap_high_conflicts(pull_up: Ohms, high_level: f64, margin: f64, threshold: Volts, supply: Volts) -> bool {
    let least = least_pull_down_for_strap_high(pull_up, high_level);
    most_pull_down_against_pull_up(pull_up, margin, threshold, supply).is_some_and(|most| least > most)
}

/// `t = R·C·ln(V0/V)`: time in which a pull-down empties a gate from one voltage to another.
pub fn discharge_time(resistance: Ohms, capacitance: Farads, from: Volts, to: Volts) -> Seconds {
    resistance * capacitance * libm::log(from / to)
}

/// `ΔV = C_gd·R·(V/t)·(1 − e^(−t/(R·C_iss)))`: how far a rising drain lifts a gate held only by its pull-down.
///
/// Exact for a straight rise by `drain` within `rise_time`; at most `C_gd/C_iss·V`. Plugging in a supply can rise
/// this fast. Source: charge balance of the gate node, solved for a ramp.
pub fn gate_lift(
    reverse_capacitance: Farads,
    input_capacitance: Farads,
    resistance: Ohms,
    drain: Volts,
    rise_time: Seconds,
) -> Volts {
    let slope: VoltsPerSecond = drain / rise_time;
    let reach: Volts = slope * (resistance * reverse_capacitance);
    reach * -libm::expm1(-(rise_time / (resistance * input_capacitance)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slow_rise_lifts_by_the_resistor_and_a_fast_one_by_the_divider() {
        let (cgd, ciss, r) = (Farads::si(30e-12), Farads::si(600e-12), Ohms::si(1e4));
        let fast = gate_lift(cgd, ciss, r, Volts::si(12.0), Seconds::si(1e-12));
        assert!((fast.value() / 0.6 - 1.0).abs() < 1e-6, "30/600 of 12 V");
        let slow = gate_lift(cgd, ciss, r, Volts::si(12.0), Seconds::si(1e-3));
        assert!((slow.value() / 3.6e-3 - 1.0).abs() < 1e-12, "30 pF · 10 kΩ · 12 V/ms");
    }

    #[test]
    fn a_threshold_above_the_supply_needs_no_pull_down_limit() {
        let none = most_pull_down_against_pull_up(Ohms::si(45e3), 0.5, Volts::si(8.0), Volts::si(3.3));
        assert_eq!(none, None);
    }
}
