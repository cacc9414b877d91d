//! What becomes heat and where: electrical power less the light that leaves, from the die to the mains.
//! Every watt drawn from the mains is found again, as heat at a place or as light in the room.

use crate::quantity::{Amperes, Volts, Watts};

/// One kind of die at its working point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Die {
    /// Forward voltage, V.
    pub voltage: Volts,
    /// Mean current, I (duty included).
    pub current: Amperes,
    /// Radiant power by electrical power, η, at this working point.
    pub radiant_efficiency: f64,
}

impl Die {
    /// V I.
    pub fn electrical(&self) -> Watts {
        self.voltage * self.current
    }
    /// V I η.
    pub fn radiant(&self) -> Watts {
        self.electrical() * self.radiant_efficiency
    }
    /// V I (1 − η).
    pub fn heat(&self) -> Watts {
        self.electrical() * (1.0 - self.radiant_efficiency)
    }
}

/// How the power gets to the dice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Output by input of the current drivers, 0 to 1.
    pub driver_efficiency: f64,
    /// Controller and other small loads on the low side.
    pub control: Watts,
    /// Output by input of the mains supply, 0 to 1.
    pub supply_efficiency: f64,
    /// Whether the supply sits in the same body.
    pub supply_inside: bool,
    /// Share of the radiant power that leaves the body.
    pub light_leaves: f64,
}

/// Where the power goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Budget {
    /// Drawn from the mains.
    pub mains: Watts,
    /// On the low side, from the supply.
    pub low_side: Watts,
    /// Into the dice.
    pub dice: Watts,
    /// Heat of the dice: the only heat on the sink.
    pub die_heat: Watts,
    /// Loss of the drivers and the controller, inside.
    pub drive_heat: Watts,
    /// Loss of the supply.
    pub supply_heat: Watts,
    /// Light caught in the body.
    pub trapped_light: Watts,
    /// Light that leaves.
    pub light_out: Watts,
    /// All heat that has to leave through the body.
    pub heat_inside: Watts,
}

/// The heat budget: low side = P_dice/η_driver + control, mains = low side/η_supply; heat inside is everything but
/// the light that leaves and, with the supply outside, its loss.
pub fn heat_budget(dice: &[Die], feed: &Feed) -> Budget {
    let electrical: Watts = dice.iter().map(Die::electrical).sum();
    let radiant: Watts = dice.iter().map(Die::radiant).sum();
    let die_heat: Watts = dice.iter().map(Die::heat).sum();
    let driver_input = electrical / feed.driver_efficiency;
    let low_side = driver_input + feed.control;
    let mains = low_side / feed.supply_efficiency;
    let light_out = radiant * feed.light_leaves;
    let budget = Budget {
        mains,
        low_side,
        dice: electrical,
        die_heat,
        drive_heat: driver_input - electrical + feed.control,
        supply_heat: mains - low_side,
        trapped_light: radiant - light_out,
        light_out,
        heat_inside: Watts::ZERO,
    };
    let supply_part = if feed.supply_inside { budget.supply_heat } else { Watts::ZERO };
    Budget { heat_inside: die_heat + budget.drive_heat + budget.trapped_light + supply_part, ..budget }
}

impl Budget {
    /// What the parts leave unexplained of the mains power; rounding only.
    pub fn imbalance(&self) -> Watts {
        self.mains - (self.die_heat + self.drive_heat + self.supply_heat + self.trapped_light + self.light_out)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dice() -> [Die; 2] {
        let die = |v, i, radiant_efficiency| Die { voltage: Volts::si(v), current: Amperes::si(i), radiant_efficiency };
        [die(3.0, 0.35, 0.33), die(2.15, 0.35, 0.42)]
    }

    #[test]
    fn every_watt_is_found_again() {
        for supply_inside in [true, false] {
            let feed = Feed {
                driver_efficiency: 0.85,
                control: Watts::si(0.9),
                supply_efficiency: 0.82,
                supply_inside,
                light_leaves: 0.85,
            };
            let budget = heat_budget(&dice(), &feed);
            assert!(budget.imbalance().value().abs() < 1e-12);
            let outside = if supply_inside { Watts::ZERO } else { budget.supply_heat };
            let back = budget.heat_inside + outside + budget.light_out;
            assert!((back - budget.mains).value().abs() < 1e-12);
        }
    }
}
