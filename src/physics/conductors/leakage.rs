//! Current through Y capacitors, and charge left on the pins of a pulled plug.
//! Limits by IEC 60598-1, formulas by circuit theory.

use std::f64::consts::{PI, SQRT_2};

use crate::quantity::{Amperes, Farads, Hertz, Ohms, Seconds, Volts, Watts};

/// Supply tolerance upwards: limits are met at 1.1 times the rated voltage.
const UPPER_SUPPLY: f64 = 1.1;

/// I = 2π f C U, rms, through a Y capacitor (or several in parallel) at supply voltage `supply`.
pub fn capacitor_current(capacitance: Farads, supply: Volts, frequency: Hertz) -> Amperes {
    Amperes::si(2.0 * PI * frequency.value() * capacitance.value() * supply.value())
}

/// The peak of a sine of this rms value.
pub fn peak(rms: Amperes) -> Amperes {
    rms * SQRT_2
}

/// Greatest touch current, peak (IEC 60598-1, table 10.3).
pub const TOUCH_LIMIT_PEAK: Amperes = Amperes::si(0.7e-3);

/// V₀ = √2 · 1.1 · U: the highest peak the capacitor can be left at.
pub fn highest_peak(rated: Volts) -> Volts {
    rated * (SQRT_2 * UPPER_SUPPLY)
}

/// How far and how soon the voltage at the pins has to fall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResidualLimit {
    /// Capacitance above which the limit holds.
    pub above: Farads,
    /// Greatest voltage left.
    pub voltage: Volts,
    /// After this time.
    pub time: Seconds,
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

/// Lamps with a plug: 34 V after a second.
pub const PLUG_LIMIT: ResidualLimit = ResidualLimit {
    above: Farads::si(0.1e-6),
    voltage: Volts::si(34.0),
    time: Seconds::si(1.0),
    source: "IEC 60598-1, 8.2.7; from memory",
    from_memory: true,
};

/// R_max = t/(C ln(V₀/V_t)): the largest bleed resistor that discharges C in time. Valid for V₀ > V_t.
///
/// `None` when the peak is not above the limit, so nothing has to be bled.
pub fn bleed_resistance(capacitance: Farads, peak: Volts, limit: ResidualLimit) -> Option<Ohms> {
    let ratio = peak / limit.voltage;
    (ratio > 1.0).then(|| Ohms::si(limit.time.value() / (capacitance.value() * libm::log(ratio))))
}

/// Power of a bleed resistor at the rms voltage of a sine with this peak: V₀²/(2R).
pub fn bleed_power(peak: Volts, resistance: Ohms) -> Watts {
    peak * (peak / resistance) * 0.5
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bleeding_leaves_the_limit_in_time() {
        let (c, v0) = (Farads::si(0.22e-6), highest_peak(Volts::si(230.0)));
        let r = bleed_resistance(c, v0, PLUG_LIMIT).unwrap();
        let left = v0 * libm::exp(-(PLUG_LIMIT.time / (r * c)));
        assert!((left - PLUG_LIMIT.voltage).value().abs() < 1e-9, "{left}");
        assert_eq!(bleed_resistance(c, Volts::si(30.0), PLUG_LIMIT), None);
    }
}
