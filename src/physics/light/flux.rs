//! Flux from the die to the room: current, temperature, box, sheet, and what it costs at the mains.
//! Each factor stands alone, so the working sheet can show where the light goes.

use crate::quantity::{Amperes, Kelvin, Lumens, LumensPerWatt, PerKelvin, Temperature, Watts};

/// Flux stated at a current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FluxPoint {
    /// The current.
    pub current: Amperes,
    /// The flux at it.
    pub flux: Lumens,
}

/// Φ(I) = Φ₀ I/I₀: for a current near the stated one, and upwards an upper figure, since efficiency droops.
pub fn flux_linear(stated: FluxPoint, current: Amperes) -> Lumens {
    stated.flux * (current / stated.current)
}

/// Φ(I) = Φ₁ (I/I₁)^b with b = ln(Φ₂/Φ₁)/ln(I₂/I₁), through two stated points; b is 0.85 to 0.95 for blue and white
/// dice (usual range, from memory). Trusted within the two currents and 30 % beyond.
pub fn flux_power_law(one: FluxPoint, two: FluxPoint, current: Amperes) -> Lumens {
    if current.value() <= 0.0 {
        return Lumens::ZERO;
    }
    one.flux * libm::pow(current / one.current, droop_exponent(one, two))
}

/// The exponent b of the law through two points.
pub fn droop_exponent(one: FluxPoint, two: FluxPoint) -> f64 {
    libm::log(two.flux / one.flux) / libm::log(two.current / one.current)
}

/// Whether a current lies where the two-point law is trusted.
pub fn is_trusted(one: FluxPoint, two: FluxPoint, current: Amperes) -> bool {
    let (low, high) = (one.current.min(two.current), one.current.max(two.current));
    current >= low * 0.7 && current <= high * 1.3
}

/// 1 + k (T_j − T_ref), the form in which data sheets quote a coefficient; never below zero.
pub fn temperature_factor(coefficient: PerKelvin, junction: Temperature, stated_at: Temperature) -> f64 {
    (1.0 + coefficient * (junction - stated_at)).max(0.0)
}

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

/// Largest efficacy of any radiation, 683 lm/W at 555 nm (definition of the candela).
pub const GREATEST_EFFICACY: LumensPerWatt = LumensPerWatt::si(683.0);
/// Efficacy of radiation above which a usable white is not believed (our guideline).
pub const BELIEVABLE_WHITE: LumensPerWatt = LumensPerWatt::si(380.0);
/// Lamp efficacy at the wall above which a figure is not believed (our guideline).
pub const BELIEVABLE_LAMP: LumensPerWatt = LumensPerWatt::si(180.0);

#[cfg(test)]
mod tests {
    use super::*;

    fn point(amperes: f64, lumens: f64) -> FluxPoint {
        FluxPoint { current: Amperes::si(amperes), flux: Lumens::si(lumens) }
    }

    #[test]
    fn two_points_are_met_and_droop_shows() {
        let (low, high) = (point(0.35, 118.0), point(0.70, 215.0));
        assert!((flux_power_law(low, high, Amperes::si(0.35)).value() - 118.0).abs() < 1e-9);
        assert!((flux_power_law(low, high, Amperes::si(0.70)).value() - 215.0).abs() < 1e-9);
        assert!((0.85..0.95).contains(&droop_exponent(low, high)));
        let half = flux_power_law(low, high, Amperes::si(0.5));
        assert!(half < flux_linear(low, Amperes::si(0.5)) && half > flux_linear(high, Amperes::si(0.5)));
        assert_eq!(flux_power_law(low, high, Amperes::ZERO), Lumens::ZERO);
        assert!(is_trusted(low, high, Amperes::si(0.9)) && !is_trusted(low, high, Amperes::si(0.95)));
    }

    #[test]
    fn warm_dice_give_less() {
        let c = Temperature::from_celsius;
        // -0.2 %/K over 60 K: 0.88. Characteristic temperatures at 85 °C: 0.963, 0.816, 0.532; white 0.900.
        assert!((temperature_factor(PerKelvin::si(-0.002), c(85.0), c(25.0)) - 0.88).abs() < 1e-12);
        for (t1, factor) in [(1600.0, 0.963), (295.0, 0.816), (95.0, 0.532), (570.0, 0.900)] {
            let found = temperature_factor_exponential(Kelvin::si(t1), c(85.0), c(25.0));
            assert!((found - factor).abs() < 5e-4, "{t1}");
        }
        assert_eq!(temperature_factor(PerKelvin::si(-0.02), c(125.0), c(25.0)), 0.0);
    }

    #[test]
    fn a_budget_multiplies_its_stations() {
        let passage = Passage { box_efficiency: 0.8, transmission: 0.6, cover: 0.5 };
        let budget = flux_budget(Lumens::si(1000.0), &passage, Watts::si(10.0));
        assert!((budget.room.value() - 240.0).abs() < 1e-9 && (budget.at_the_wall.value() - 24.0).abs() < 1e-9);
    }
}
