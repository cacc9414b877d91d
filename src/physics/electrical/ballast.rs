//! Topology a: a string and a ballast resistor on a constant voltage, dimmed by switching the whole branch.
//! Turns supply, string and resistor into current and losses, and a wished current into the resistor.

use super::string::StringModel;
use crate::quantity::{Amperes, Ohms, Volts, Watts};

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

    /// `P = I²·Rb` at full duty.
    pub fn resistor_power(&self) -> Watts {
        self.resistor.power_at(self.current())
    }

    /// `P = V_LED·I` at full duty.
    pub fn led_power(&self) -> Watts {
        self.string.power(self.current(), self.current())
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
