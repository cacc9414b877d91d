//! Topology a: a string and a ballast resistor on a constant voltage, dimmed by switching the whole branch.
//! Turns supply, string and resistor into current, losses and the exact limits over tolerances.

use super::string::StringModel;
use crate::quantity::{Amperes, Kelvin, Ohms, Volts, VoltsPerKelvin, Watts};

/// A string with its ballast resistor.
///
/// Source of all formulas here: Ohm's and Kirchhoff's laws with the straight-line string model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ballast {
    /// Vs: supply at the driver's terminals.
    pub supply: Volts,
    /// The string.
    pub string: StringModel,
    /// Rb: the ballast resistor.
    pub resistor: Ohms,
    /// Ron + Rsrc: switch and source in series.
    pub other: Ohms,
}

/// Half-widths of what the current of a ballast depends on.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BallastSpread {
    /// Of the supply.
    pub supply: Volts,
    /// Of the string's offset.
    pub offset: Volts,
    /// Of the string's slope.
    pub slope: Ohms,
    /// Of the resistor.
    pub resistor: Ohms,
    /// Of switch and source.
    pub other: Ohms,
}

impl Ballast {
    /// `I = (Vs − V0)/(Rb + Rd + Ron + Rsrc)`, zero if the supply is below V0.
    pub fn current(&self) -> Amperes {
        ((self.supply - self.string.offset) / self.loop_resistance()).max(Amperes::ZERO)
    }

    fn loop_resistance(&self) -> Ohms {
        self.resistor + self.string.slope + self.other
    }

    /// `Rb = (Vs − V0)/I − (Rd + Ron + Rsrc)`: the resistor for a wished current.
    ///
    /// `None` if no resistor gives that current, because the rest of the branch already limits it below.
    pub fn resistor_for(supply: Volts, string: StringModel, other: Ohms, current: Amperes) -> Option<Ohms> {
        let resistor = (supply - string.offset) / current - (string.slope + other);
        (current.value() > 0.0 && resistor.value() >= 0.0).then_some(resistor)
    }

    /// Smallest and largest current over the spread.
    ///
    /// The current rises with Vs and falls with V0 and every resistance, so two corners are exact.
    pub fn extremes(&self, spread: &BallastSpread) -> (Amperes, Amperes) {
        (self.corner(spread, -1.0).current(), self.corner(spread, 1.0).current())
    }

    fn corner(&self, spread: &BallastSpread, side: f64) -> Self {
        Self {
            supply: self.supply + spread.supply * side,
            string: StringModel {
                offset: self.string.offset - spread.offset * side,
                slope: self.string.slope - spread.slope * side,
            },
            resistor: self.resistor - spread.resistor * side,
            other: self.other - spread.other * side,
        }
    }

    /// `P = I²·Rb` at full duty.
    pub fn resistor_power(&self) -> Watts {
        self.resistor.power_at(self.current())
    }

    /// `P = V_LED·I` at full duty.
    pub fn led_power(&self) -> Watts {
        self.string.power(self.current(), self.current())
    }

    /// `η = V_LED/Vs`: part of the power that reaches the LEDs.
    pub fn efficiency(&self) -> f64 {
        self.string.forward_voltage(self.current()) / self.supply
    }

    /// `S = (Vs/I)·dI/dVs = Vs/(Vs − V0)`: per cent of current per per cent of supply.
    pub fn supply_sensitivity(&self) -> f64 {
        self.supply / (self.supply - self.string.offset)
    }

    /// `ΔI = kT·ΔT/(Rb + Rd + Ron)`: gain of current when the string warms, `fall` being kT of the whole string.
    pub fn thermal_drift(&self, fall: VoltsPerKelvin, rise: Kelvin) -> Amperes {
        fall * rise / self.loop_resistance()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BRANCH: Ballast = Ballast {
        supply: Volts::si(12.0),
        string: StringModel { offset: Volts::si(8.1), slope: Ohms::si(1.8) },
        resistor: Ohms::si(15.0),
        other: Ohms::si(0.05),
    };

    #[test]
    fn the_resistor_for_the_current_gives_that_current() {
        let resistor = Ballast::resistor_for(BRANCH.supply, BRANCH.string, BRANCH.other, BRANCH.current()).unwrap();
        assert!((resistor.value() - 15.0).abs() < 1e-12);
        assert_eq!(Ballast::resistor_for(BRANCH.supply, BRANCH.string, BRANCH.other, Amperes::si(5.0)), None);
    }

    #[test]
    fn the_branch_spends_what_the_supply_gives() {
        let i = BRANCH.current();
        let spent = BRANCH.resistor_power() + BRANCH.led_power() + BRANCH.other.power_at(i);
        assert!(((BRANCH.supply * i) - spent).value().abs() < 1e-14);
    }

    #[test]
    fn a_supply_below_the_offset_lights_nothing() {
        let dark = Ballast { supply: Volts::si(8.0), ..BRANCH };
        assert_eq!(dark.current(), Amperes::ZERO);
    }
}
