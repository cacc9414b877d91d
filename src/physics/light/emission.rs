//! How a die's light changes with current and junction temperature: droop, loss, and the wander of its peak.
//! Turns a die at its rated point into the die in the hot lamp.

use crate::quantity::{Amperes, Kelvin, Metres, Temperature};

/// Droop by the carrier rates A n, B n², C n³, seen from the current of greatest efficiency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Droop {
    /// Q = B/√(AC): 8 to 20 for blue and white, 3 to 6 for green, 30 for red (usual ranges, from memory).
    pub quality: f64,
    /// Current of greatest efficiency: 3 % to 8 % of the rated one for blue and white (from memory).
    pub peak: Amperes,
}

impl Droop {
    /// p = P/P_peak from s³ + Q s² + s = (Q + 2) I/I_peak, p = s².
    ///
    /// Source: Karpov, Opt. Quantum Electron. 47 (2015) 1293, from memory.
    pub fn light(&self, current: Amperes) -> f64 {
        let (q, j) = (self.quality, current / self.peak);
        if j <= 0.0 {
            return 0.0;
        }
        // The cubic rises and bends upwards for s > 0: Newton from the right of the root comes down to it.
        let mut s = 1.0_f64.max(j * (q + 2.0));
        for _ in 0..200 {
            let value = s * (1.0 + s * (q + s)) - (q + 2.0) * j;
            let next = s - value / (1.0 + s * (2.0 * q + 3.0 * s));
            if (next - s).abs() <= 1e-15 * s {
                break;
            }
            s = next;
        }
        s * s
    }

    /// Efficiency by the greatest, p/j.
    pub fn efficiency(&self, current: Amperes) -> f64 {
        let j = current / self.peak;
        if j > 0.0 { self.light(current) / j } else { 0.0 }
    }

    /// Light at a current by the light at the stated one.
    pub fn ratio(&self, current: Amperes, stated: Amperes) -> f64 {
        self.light(current) / self.light(stated)
    }
}

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
            Self::White => super::flux::WHITE_CHARACTERISTIC,
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
    fn droop_has_its_closed_point() {
        // Q = 10, j = 10: s = 3 exactly.
        let droop = Droop { quality: 10.0, peak: Amperes::si(0.02) };
        assert!((droop.light(Amperes::si(0.2)) - 9.0).abs() < 1e-12);
        assert!((droop.efficiency(Amperes::si(0.2)) - 0.9).abs() < 1e-12);
        assert!((droop.efficiency(droop.peak) - 1.0).abs() < 1e-12);
        assert!((droop.ratio(Amperes::si(0.7), Amperes::si(0.35)) - 1.832).abs() < 1e-3);
        assert_eq!(droop.light(Amperes::ZERO), 0.0);
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
