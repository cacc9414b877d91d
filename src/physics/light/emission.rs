//! How a die's light changes with its junction temperature: loss, and the wander of its peak.
//! Turns a die at its rated point into the die in the hot lamp.

use crate::quantity::{Kelvin, Metres, Temperature};

/// e^(−(T_j − T_ref)/T₁): light at a junction temperature by that at the stated one, T₁ a characteristic temperature.
///
/// Source: Schubert, Light-Emitting Diodes, 2nd ed., from memory.
pub fn left_when_warm(characteristic: Kelvin, junction: Temperature, stated_at: Temperature) -> f64 {
    libm::exp(-((junction - stated_at) / characteristic))
}

/// Our default characteristic temperature of white dice: 0.900 at 85 °C.
const WHITE_CHARACTERISTIC: Kelvin = Kelvin::si(570.0);

/// What kind of die it is, which decides how it takes heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// AlInGaP, from 575 nm on: amber, orange, red.
    Red,
    /// InGaN from 490 nm to 575 nm: cyan and green.
    Green,
    /// InGaN below 490 nm.
    Blue,
    /// Blue with phosphor.
    White,
}

impl Family {
    /// By the peak of a single-colour die.
    pub fn of_peak(peak: Metres) -> Self {
        match peak.value() * 1e9 {
            nm if nm >= 575.0 => Self::Red,
            nm if nm >= 490.0 => Self::Green,
            _ => Self::Blue,
        }
    }

    /// T₁ of e^(−ΔT/T₁): 95 K, 295 K, 1600 K (Schubert, Light-Emitting Diodes, 2nd ed., from memory); white our default.
    pub const fn characteristic(self) -> Kelvin {
        match self {
            Self::Red => Kelvin::si(95.0),
            Self::Green => Kelvin::si(295.0),
            Self::Blue => Kelvin::si(1600.0),
            Self::White => WHITE_CHARACTERISTIC,
        }
    }

    /// Whether that loss is of luminous flux, wander of the peak included; else of radiant power.
    ///
    /// The book's figure for red does not say; taken as luminous, since data sheets give that.
    pub const fn is_photometric(self) -> bool {
        matches!(self, Self::Red | Self::White)
    }

    /// Wander of the peak in metres a kelvin: 0.03 to 0.05 nm/K below 575 nm, 0.09 to 0.14 nm/K above (usual, from memory).
    pub fn wander(self, peak: Metres) -> f64 {
        match self {
            Self::Red if peak.value() >= 610e-9 => 0.13e-9,
            Self::Red => 0.10e-9,
            Self::Green => 0.035e-9,
            Self::Blue => 0.04e-9,
            Self::White => 0.0,
        }
    }

    /// λp(T) = λp + k (T_j − T_stated).
    pub fn peak_at(self, peak: Metres, junction: Temperature, stated_at: Temperature) -> Metres {
        peak + Metres::si(self.wander(peak) * (junction - stated_at).value())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warm_dice_give_less() {
        let c = Temperature::from_celsius;
        for (family, factor) in
            [(Family::Blue, 0.963), (Family::Green, 0.816), (Family::Red, 0.532), (Family::White, 0.900)]
        {
            let found = left_when_warm(family.characteristic(), c(85.0), c(25.0));
            assert!((found - factor).abs() < 5e-4, "{family:?}");
        }
    }

    #[test]
    fn families_take_heat_in_their_way() {
        let nm = |v: f64| Metres::si(v * 1e-9);
        assert_eq!(Family::of_peak(nm(632.0)), Family::Red);
        assert_eq!(Family::of_peak(nm(520.0)), Family::Green);
        assert_eq!(Family::of_peak(nm(455.0)), Family::Blue);
        let c = Temperature::from_celsius;
        let hot = Family::Red.peak_at(nm(632.0), c(85.0), c(25.0));
        assert!((hot.value() * 1e9 - 639.8).abs() < 1e-9);
    }
}
