//! Current through Y capacitors and along the earth, and charge left on the pins of a pulled plug.
//! Limits by IEC 60598-1, formulas by circuit theory.

use std::f64::consts::{PI, SQRT_2};

use super::insulation::Class;
use crate::quantity::{Amperes, Farads, Hertz, Joules, Ohms, Seconds, Volts, Watts};

/// Supply tolerance upwards: limits are met at 1.1 times the rated voltage.
pub const UPPER_SUPPLY: f64 = 1.1;

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

/// A limit with its origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurrentLimit {
    /// Greatest current.
    pub limit: Amperes,
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

/// Greatest touch current, peak; class III has none where the voltages alone protect.
pub fn touch_limit(class: Class) -> Option<CurrentLimit> {
    let limit = CurrentLimit { limit: TOUCH_LIMIT_PEAK, source: "IEC 60598-1, table 10.3", from_memory: false };
    (class != Class::Three).then_some(limit)
}

/// Greatest rms current in the protective conductor of a plug-connected class I lamp by its supply current:
/// to 4 A 2 mA; to 10 A 0.5 mA/A; above 5 mA (IEC 60598-1, table 10.3; from memory).
pub fn earth_current_limit(supply: Amperes) -> CurrentLimit {
    let i = supply.value();
    let milliamperes = if i <= 4.0 { 2.0 } else { (0.5 * i).min(5.0) };
    CurrentLimit {
        limit: Amperes::si(milliamperes * 1e-3),
        source: "IEC 60598-1, table 10.3; from memory",
        from_memory: true,
    }
}

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
/// Lamps wired to the installation: 50 V after a minute.
pub const FIXED_LIMIT: ResidualLimit = ResidualLimit {
    above: Farads::si(0.5e-6),
    voltage: Volts::si(50.0),
    time: Seconds::si(60.0),
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

/// t = R C ln(V₀/V_t): how long to wait before touching; zero when already below.
pub fn discharge_time(resistance: Ohms, capacitance: Farads, from: Volts, to: Volts) -> Seconds {
    let ratio = (from / to).max(1.0);
    resistance * capacitance * libm::log(ratio)
}

/// W = C V²/2.
pub fn stored_energy(capacitance: Farads, voltage: Volts) -> Joules {
    Joules::si(0.5 * capacitance.value() * voltage.value() * voltage.value())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waiting_and_bleeding_are_inverse() {
        let (c, v0) = (Farads::si(0.22e-6), highest_peak(Volts::si(230.0)));
        let r = bleed_resistance(c, v0, PLUG_LIMIT).unwrap();
        let wait = discharge_time(r, c, v0, PLUG_LIMIT.voltage);
        assert!((wait.value() - 1.0).abs() < 1e-12);
        assert_eq!(bleed_resistance(c, Volts::si(30.0), PLUG_LIMIT), None);
        assert_eq!(discharge_time(r, c, Volts::si(12.0), Volts::si(34.0)), Seconds::ZERO);
    }

    #[test]
    fn a_bulk_capacitor_bites() {
        // 47 µF at 358 V: 3.01 J.
        assert!((stored_energy(Farads::si(47e-6), Volts::si(358.0)).value() - 3.01).abs() < 0.005);
    }

    #[test]
    fn earth_current_limit_is_continuous_above_four_amperes() {
        for (amperes, limit) in [(0.1, 2e-3), (4.0, 2e-3), (6.0, 3e-3), (10.0, 5e-3), (16.0, 5e-3)] {
            assert!((earth_current_limit(Amperes::si(amperes)).limit.value() - limit).abs() < 1e-12, "{amperes}");
        }
        assert_eq!(touch_limit(Class::Three), None);
    }
}
