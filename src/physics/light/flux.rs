//! Flux from the die to the room: temperature, box, sheet, and what it costs at the mains.
//! Each factor stands alone, so the working sheet can show where the light goes.

use crate::quantity::{Kelvin, Lumens, LumensPerWatt, Temperature, Watts};

/// e^(−(T_j − T_ref)/T₁) with a characteristic temperature (Schubert, Light-Emitting Diodes, 2nd ed.): blue 1600 K,
/// green 295 K, red 95 K there (from memory); 570 K is our default for white.
pub fn temperature_factor_exponential(characteristic: Kelvin, junction: Temperature, stated_at: Temperature) -> f64 {
    libm::exp(-((junction - stated_at) / characteristic))
}

/// Our default characteristic temperature of white dice: 0.900 at 85 °C.
pub const WHITE_CHARACTERISTIC: Kelvin = Kelvin::si(570.0);

/// Shares that let the light through, one after another, each 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// Out of the box onto the sheet, reflections included.
    pub box_efficiency: f64,
    /// Through the sheet.
    pub transmission: f64,
    /// Past whatever stands outside it: a shade, a lip.
    pub cover: f64,
}

/// Flux at each station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FluxBudget {
    /// From the warm dice.
    pub dice: Lumens,
    /// On the sheet.
    pub on_sheet: Lumens,
    /// Behind the sheet.
    pub through_sheet: Lumens,
    /// In the room.
    pub room: Lumens,
    /// Room by mains.
    pub at_the_wall: LumensPerWatt,
}

/// The light budget; `mains` is the power that the whole lamp draws for it.
pub fn flux_budget(dice: Lumens, passage: &Passage, mains: Watts) -> FluxBudget {
    let on_sheet = dice * passage.box_efficiency;
    let through_sheet = on_sheet * passage.transmission;
    let room = through_sheet * passage.cover;
    FluxBudget { dice, on_sheet, through_sheet, room, at_the_wall: LumensPerWatt::si(room.value() / mains.value()) }
}

/// A channel in the chain from mains to room, by efficiencies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chain {
    /// Electrical power of the dice, P.
    pub electrical: Watts,
    /// Radiant by electrical power at reference temperature.
    pub wall_plug: f64,
    /// Radiant power when warm by that at reference.
    pub warm: f64,
    /// Luminous efficacy of radiation, K.
    pub efficacy_of_radiation: LumensPerWatt,
    /// Share of the flux that reaches the room.
    pub optics: f64,
    /// Efficiency of driver and supply together.
    pub driver: f64,
    /// Other loads, in mains watts.
    pub auxiliary: Watts,
}

/// What a chain yields.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChainYield {
    /// P/η + auxiliary.
    pub mains: Watts,
    /// P η_wp f K η_opt.
    pub flux: Lumens,
    /// Flux by mains.
    pub at_the_wall: LumensPerWatt,
    /// Heat of the dice, P (1 − η_wp f).
    pub die_heat: Watts,
    /// All heat: mains less the radiant power that leaves.
    pub heat: Watts,
}

/// The efficacy chain. Radiant power that leaves is flux/K; everything else is heat.
pub fn chain_yield(chain: &Chain) -> ChainYield {
    let radiant = chain.electrical * (chain.wall_plug * chain.warm);
    let flux = chain.efficacy_of_radiation * radiant * chain.optics;
    let mains = chain.electrical / chain.driver + chain.auxiliary;
    ChainYield {
        mains,
        flux,
        at_the_wall: LumensPerWatt::si(flux.value() / mains.value()),
        die_heat: chain.electrical - radiant,
        heat: mains - radiant * chain.optics,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warm_dice_give_less() {
        let c = Temperature::from_celsius;
        // Characteristic temperatures at 85 °C: 0.963, 0.816, 0.532; white 0.900.
        for (t1, factor) in [(1600.0, 0.963), (295.0, 0.816), (95.0, 0.532), (570.0, 0.900)] {
            let found = temperature_factor_exponential(Kelvin::si(t1), c(85.0), c(25.0));
            assert!((found - factor).abs() < 5e-4, "{t1}");
        }
    }

    #[test]
    fn a_budget_multiplies_its_stations() {
        let passage = Passage { box_efficiency: 0.8, transmission: 0.6, cover: 0.5 };
        let budget = flux_budget(Lumens::si(1000.0), &passage, Watts::si(10.0));
        assert!((budget.room.value() - 240.0).abs() < 1e-9 && (budget.at_the_wall.value() - 24.0).abs() < 1e-9);
    }
}
