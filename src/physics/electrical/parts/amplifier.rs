//! Sense amplifier and comparator: gain, lag, slew, offset errors, and the hysteresis network.
//! Turns a full-scale current, a gain and data-sheet limits into the errors of the set current.

use crate::quantity::{Amperes, AmperesPerSecond, Hertz, Ohms, Seconds, Volts, VoltsPerSecond};

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

/// `ΔI = m_r·τa`: how far a settled amplifier lags behind a rising current.
pub fn ramp_lag(rise: AmperesPerSecond, time_constant: Seconds) -> Amperes {
    rise * time_constant
}

/// `SR ≥ A·Rs·m_r`: slew rate to follow the rising current.
pub fn ramp_slew_rate(gain: f64, sense: Ohms, rise: AmperesPerSecond) -> VoltsPerSecond {
    VoltsPerSecond::si(gain * sense.value() * rise.value())
}

/// `SR ≥ A·Rs·I_v/τa`: slew rate to follow the step when the switch closes at the valley current.
pub fn step_slew_rate(gain: f64, sense: Ohms, valley: Amperes, time_constant: Seconds) -> VoltsPerSecond {
    sense * valley * gain / time_constant
}

/// `ΔI = Vos_a/Rs + Vos_c/(A·Rs)`: error of the current from the offsets of amplifier and comparator.
pub fn offset_error(amplifier: Volts, comparator: Volts, gain: f64, sense: Ohms) -> Amperes {
    amplifier / sense + comparator / (sense * gain)
}

/// `I = V_OL/(A·Rs)`: current that an amplifier cannot show, since its output does not reach 0 V.
pub fn output_low_floor(output_low: Volts, gain: f64, sense: Ohms) -> Amperes {
    output_low / (sense * gain)
}

/// `I_min = ΔI/e`: least current whose error stays below the part `e`.
pub fn least_accurate_current(error: Amperes, part: f64) -> Amperes {
    error / part
}

/// Thresholds of a comparator with a resistor from reference to input and one from output to input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hysteresis {
    /// Threshold while the output is high.
    pub upper: Volts,
    /// Threshold while the output is low.
    pub lower: Volts,
    /// Upper minus lower.
    pub width: Volts,
    /// Middle of both minus the reference.
    pub shift: Volts,
}

/// `V+ = (Vref·R2 + Vo·R1)/(R1 + R2)` for both outputs; width `(VOH − VOL)·R1/(R1 + R2)`.
///
/// R1 from reference to input, R2 from output to input, push-pull output. R1 must not be the resistor of the
/// reference's RC filter: its capacitor would hold the input and take the hysteresis away.
/// Source: Schmitt trigger, as in Horowitz and Hill, The Art of Electronics, 3rd ed.
pub fn hysteresis(reference: Volts, r1: Ohms, r2: Ohms, output_high: Volts, output_low: Volts) -> Hysteresis {
    let part = r1 / (r1 + r2);
    let threshold = |output: Volts| reference + (output - reference) * part;
    Hysteresis {
        upper: threshold(output_high),
        lower: threshold(output_low),
        width: (output_high - output_low) * part,
        shift: ((output_high + output_low) / 2.0 - reference) * part,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_thresholds_lie_around_the_shifted_middle() {
        let h = hysteresis(Volts::si(1.0), Ohms::si(1e3), Ohms::si(1e5), Volts::si(3.3), Volts::ZERO);
        let middle = (h.upper + h.lower) / 2.0 - Volts::si(1.0);
        assert!((middle - h.shift).value().abs() < 1e-15);
        assert!((h.upper - h.lower - h.width).value().abs() < 1e-15);
    }
}
