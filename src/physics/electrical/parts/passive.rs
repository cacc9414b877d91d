//! Inductor and supply-side capacitor of a switched drive, and the inrush into a capacitor.
//! Turns current, ripple, duty and frequency into rms currents, voltage ripple, losses and inrush.

use crate::quantity::{AmpereSquareSeconds, Amperes, Farads, Hertz, Joules, Ohms, Seconds, Volts, Watts};

/// `I_pk = I(1 + r/2)`: peak of a current with ripple ratio r, peak to valley over mean.
pub fn ripple_peak(current: Amperes, ripple: f64) -> Amperes {
    current * (1.0 + ripple / 2.0)
}

/// `I_rms = I·√(1 + r²/12)`: rms of a triangular current.
pub fn ripple_rms(current: Amperes, ripple: f64) -> Amperes {
    current * (1.0 + ripple * ripple / 12.0).sqrt()
}

/// What a supply-side capacitor bears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CapacitorStress {
    /// Rms current through it.
    pub rms: Amperes,
    /// Voltage ripple from its charge, peak to valley.
    pub charge_ripple: Volts,
    /// Voltage ripple from its series resistance.
    pub resistance_ripple: Volts,
    /// Heat in its series resistance.
    pub power: Watts,
}

/// Stress of the capacitor that feeds a switched sink of current I, ripple ΔI and duty D, the supply being smooth:
/// `I_rms = √(D(I² + ΔI²/12) − (D·I)²)`, `ΔV_C = I·D(1 − D)/(f·C)`, `ΔV_ESR = ESR·(I + ΔI/2)`, `P = I_rms²·ESR`.
///
/// Worst near D = 1/2. Channels that do not run in step add their rms currents in quadrature and their ripples
/// linearly. Source: Erickson and Maksimovic, Fundamentals of Power Electronics; checked by quadrature.
pub fn supply_capacitor(
    current: Amperes,
    ripple: Amperes,
    duty: f64,
    frequency: Hertz,
    capacitance: Farads,
    series_resistance: Ohms,
) -> CapacitorStress {
    let (i, di) = (current.value(), ripple.value());
    let square = duty * (i * i + di * di / 12.0) - duty * duty * i * i;
    let rms = Amperes::si(square.max(0.0).sqrt());
    CapacitorStress {
        rms,
        charge_ripple: current * (frequency.period() * (duty * (1.0 - duty))) / capacitance,
        resistance_ripple: series_resistance * (current + ripple / 2.0),
        power: series_resistance.power_at(rms),
    }
}

/// The surge when a capacitor is connected to a voltage through a resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inrush {
    /// `V/R`.
    pub peak: Amperes,
    /// `C·V²/(2R)`.
    pub joule_integral: AmpereSquareSeconds,
    /// `R·C`.
    pub time_constant: Seconds,
    /// `½·C·V²`, stored at the end and spent once on the way.
    pub energy: Joules,
}

/// Surge into `capacitance`; `resistance` is source, wire and series resistance together.
///
/// Source: RC charging, integrated; checked by quadrature.
pub fn inrush(capacitance: Farads, voltage: Volts, resistance: Ohms) -> Inrush {
    let energy = Joules::si(0.5 * capacitance.value() * voltage.value() * voltage.value());
    Inrush {
        peak: voltage / resistance,
        joule_integral: AmpereSquareSeconds::si(energy.value() / resistance.value()),
        time_constant: resistance * capacitance,
        energy,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_capacitor_at_full_duty_rests() {
        let still =
            supply_capacitor(Amperes::si(0.35), Amperes::ZERO, 1.0, Hertz::si(2e5), Farads::si(1e-5), Ohms::si(0.02));
        assert_eq!(still.rms, Amperes::ZERO);
        assert_eq!(still.charge_ripple, Volts::ZERO);
    }

    #[test]
    fn half_duty_is_half_the_current() {
        let worst =
            supply_capacitor(Amperes::si(0.4), Amperes::ZERO, 0.5, Hertz::si(2e5), Farads::si(1e-5), Ohms::ZERO);
        assert!((worst.rms.value() - 0.2).abs() < 1e-15);
    }
}
