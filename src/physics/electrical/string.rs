//! The straight-line model of a string of LEDs: an offset voltage and a slope, shifted by temperature.
//! Turns two points of a data sheet's curve into voltage at a current, current at a voltage and power.

use crate::quantity::{Amperes, Kelvin, Ohms, Volts, VoltsPerKelvin, Watts};

/// Forward voltage of a string as a straight line, `V = V0 + Rd·I` for `I > 0`.
///
/// Valid from about 20 % to 120 % of the current at which it was fitted; below that it overstates the voltage.
/// Source: piecewise-linear diode model of any circuits text; the validity range is our comparison with the
/// logarithmic model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringModel {
    /// V0: where the straight line meets zero current.
    pub offset: Volts,
    /// Rd: rise of the voltage per current.
    pub slope: Ohms,
}

impl StringModel {
    /// The line through two points of the forward curve: `Rd = (V2 − V1)/(I2 − I1)`, `V0 = V1 − Rd·I1`.
    ///
    /// Choose the working current and 20 % to 30 % of it. `None` if both points have the same current.
    pub fn through(first: (Amperes, Volts), second: (Amperes, Volts)) -> Option<Self> {
        let step = second.0 - first.0;
        if step.value() == 0.0 {
            return None;
        }
        let slope = (second.1 - first.1) / step;
        Some(Self { offset: first.1 - slope * first.0, slope })
    }

    /// `count` equal LEDs in series: offset and slope both multiply.
    pub fn in_series(self, count: u32) -> Self {
        let n = f64::from(count);
        Self { offset: self.offset * n, slope: self.slope * n }
    }

    /// This string and another one in series.
    pub fn and(self, other: Self) -> Self {
        Self { offset: self.offset + other.offset, slope: self.slope + other.slope }
    }

    /// The same string warmer by `rise`: `V0' = V0 + k·ΔT`, with `coefficient` k of the whole string.
    ///
    /// k is negative for every LED. The slope is kept, since a data sheet's coefficient is given at one current.
    pub fn warmed(self, coefficient: VoltsPerKelvin, rise: Kelvin) -> Self {
        Self { offset: self.offset + coefficient * rise, slope: self.slope }
    }

    /// `V = V0 + Rd·I`; zero when no current flows.
    pub fn forward_voltage(self, current: Amperes) -> Volts {
        if current.value() > 0.0 { self.offset + self.slope * current } else { Volts::ZERO }
    }

    /// `I = (V − V0)/Rd` with the voltage held across the string; zero below V0.
    ///
    /// A slope of zero has no such current: any voltage above V0 gives infinity.
    pub fn current_at(self, voltage: Volts) -> Amperes {
        let excess = voltage - self.offset;
        if excess.value() > 0.0 { excess / self.slope } else { Amperes::ZERO }
    }

    /// `P = V0·I_mean + Rd·I_rms²`: the power of a string whose current is not steady.
    ///
    /// For steady current give it twice. Source: integral of `V·I` over one period, exact for this model.
    pub fn power(self, mean: Amperes, rms: Amperes) -> Watts {
        self.offset * mean + self.slope.power_at(rms)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_string_is_its_leds_added_up() {
        let one = StringModel { offset: Volts::si(2.7), slope: Ohms::si(0.9) };
        let three = one.in_series(3);
        assert!((three.offset.value() - 8.1).abs() < 1e-12);
        assert!((three.forward_voltage(Amperes::si(0.35)).value() - 9.045).abs() < 1e-12);
        let sum = one.and(one).and(one);
        assert!((sum.offset.value() - three.offset.value()).abs() < 1e-12);
        assert!((sum.slope.value() - three.slope.value()).abs() < 1e-12);
    }

    #[test]
    fn the_current_is_the_inverse_of_the_voltage() {
        let string = StringModel { offset: Volts::si(8.1), slope: Ohms::si(1.8) };
        for current in [0.01, 0.1, 0.35, 0.7] {
            let back = string.current_at(string.forward_voltage(Amperes::si(current)));
            assert!((back.value() - current).abs() < 1e-14, "{current} came back as {}", back.value());
        }
        assert_eq!(string.current_at(Volts::si(8.0)), Amperes::ZERO);
        assert_eq!(string.forward_voltage(Amperes::ZERO), Volts::ZERO);
    }

    #[test]
    fn two_points_at_one_current_make_no_line() {
        let point = (Amperes::si(0.35), Volts::si(3.1));
        assert_eq!(StringModel::through(point, point), None);
    }

    #[test]
    fn warmth_lowers_the_offset_only() {
        let cold = StringModel { offset: Volts::si(9.0), slope: Ohms::si(2.4) };
        let hot = cold.warmed(VoltsPerKelvin::si(-9e-3), Kelvin::si(50.0));
        assert!((hot.offset.value() - 8.55).abs() < 1e-12);
        assert_eq!(hot.slope, cold.slope);
    }
}
