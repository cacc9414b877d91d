//! LEDs driven by a voltage: warmth lowers the forward voltage, raises the current and makes more warmth.
//! Turns a voltage, its series resistance and a thermal path into the hot current and the gain of that loop.

use super::string::StringModel;
use crate::quantity::{Amperes, KelvinPerWatt, Ohms, Volts, VoltsPerKelvin};

/// A string on a voltage source through a resistance, at the reference temperature of its model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VoltageDriven {
    /// Vs: the source.
    pub supply: Volts,
    /// Rext: everything in series with the string.
    pub resistance: Ohms,
    /// The string at its reference temperature, which is also the temperature around it.
    pub string: StringModel,
    /// kT: fall of the whole string's voltage per kelvin, above zero.
    pub fall: VoltsPerKelvin,
    /// Rth: from the string's total heat to its own temperature.
    pub thermal_resistance: KelvinPerWatt,
    /// h: part of the electrical power that becomes heat.
    pub heat_fraction: f64,
}

impl VoltageDriven {
    /// `I = (Vs − V0)/(Rext + Rd)` before anything has warmed; zero if the supply is below V0.
    pub fn cold_current(&self) -> Amperes {
        ((self.supply - self.string.offset) / (self.resistance + self.string.slope)).max(Amperes::ZERO)
    }

    /// `G = Rth·h·(Vs − 2·Rext·I)·kT/(Rext + Rd)` at `current`.
    ///
    /// Source: product of the slopes around the loop, derived by us and checked against numerical derivatives.
    pub fn loop_gain(&self, current: Amperes) -> f64 {
        let heat_slope = (self.supply - 2.0 * (self.resistance * current)).value() * self.heat_fraction;
        self.fall.value() * self.thermal_resistance.value() * heat_slope / (self.resistance + self.string.slope).value()
    }

    /// The current where the loop of current and warmth settles, or `None` if it grows without end.
    ///
    /// `c·Rext·I² + (Rext + Rd − c·Vs)·I − (Vs − V0) = 0` with `c = kT·Rth·h` has at most one positive root,
    /// and that root is stable. It may still lie far above what the LEDs bear: compare it with their limit. A string
    /// that the supply does not reach stays dark, whatever the gain.
    pub fn hot_current(&self) -> Option<Amperes> {
        let q = (self.supply - self.string.offset).value();
        if q <= 0.0 {
            return Some(Amperes::ZERO);
        }
        let c = self.fall.value() * self.thermal_resistance.value() * self.heat_fraction;
        let a = c * self.resistance.value();
        let b = (self.resistance + self.string.slope).value() - c * self.supply.value();
        let root = (b * b + 4.0 * a * q).sqrt();
        match (b > 0.0, a > 0.0) {
            (true, _) => Some(Amperes::si(2.0 * q / (b + root))),
            (false, true) => Some(Amperes::si((root - b) / (2.0 * a))),
            (false, false) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_string_out_of_reach_stays_dark_at_any_gain() {
        let lit = VoltageDriven {
            supply: Volts::si(12.0),
            resistance: Ohms::si(0.1),
            string: StringModel { offset: Volts::si(11.5), slope: Ohms::si(1.0) },
            fall: VoltsPerKelvin::si(8e-3),
            thermal_resistance: KelvinPerWatt::si(40.0),
            heat_fraction: 0.7,
        };
        // c·Vs = 2.7 Ω is above Rext + Rd = 1.1 Ω: what is lit runs off to where the resistor alone holds it.
        assert!(lit.hot_current().is_some_and(|current| current.value() > 50.0));
        let dark = VoltageDriven { supply: Volts::si(11.0), ..lit };
        assert_eq!(dark.hot_current(), Some(Amperes::ZERO));
    }
}
