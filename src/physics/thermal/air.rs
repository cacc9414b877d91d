//! Temperature and pressure to the properties of dry air between 250 and 420 K.

use super::super::GRAVITY;
use crate::quantity::{
    JoulesPerKilogramKelvin, KilogramsPerCubicMetre, PascalSeconds, Pascals, PerKelvin, SquareMetresPerSecond,
    Temperature, WattsPerMetreKelvin,
};

/// Standard atmosphere (CGPM 1954).
pub const ATMOSPHERE: Pascals = Pascals::si(101_325.0);

/// Dry air at one temperature and pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// ρ.
    pub density: KilogramsPerCubicMetre,
    /// c_p.
    pub specific_heat: JoulesPerKilogramKelvin,
    /// μ.
    pub viscosity: PascalSeconds,
    /// k.
    pub conductivity: WattsPerMetreKelvin,
    /// β = 1/T of an ideal gas.
    pub expansion: PerKelvin,
}

impl Air {
    /// ρ = 353.05 (p/p0)/T; c_p = 1032.56 − 0.21115 T + 4.1277e-4 T²; μ = 1.4943e-6 T^1.5/(T + 118.7);
    /// k = 2.3515e-3 T^1.5/(T + 162.8); β = 1/T.
    ///
    /// Sutherland's forms, their constants fitted by us to a published equation of state and transport model
    /// (Lemmon and Jacobsen 2004) over 250 to 420 K: ρ 0.08 %, c_p 0.01 %, μ 0.11 %, k 0.21 % at most. Within 2 % up to
    /// 600 K, where a solver may pass by.
    pub fn at(temperature: Temperature, pressure: Pascals) -> Self {
        let t = temperature.value();
        let power = t * t.sqrt();
        Self {
            density: KilogramsPerCubicMetre::si(353.05 * (pressure / ATMOSPHERE) / t),
            specific_heat: JoulesPerKilogramKelvin::si(1032.56 - 0.21115 * t + 4.1277e-4 * t * t),
            viscosity: PascalSeconds::si(1.4943e-6 * power / (t + 118.7)),
            conductivity: WattsPerMetreKelvin::si(2.3515e-3 * power / (t + 162.8)),
            expansion: PerKelvin::si(1.0 / t),
        }
    }

    /// ν = μ/ρ.
    pub fn kinematic(&self) -> SquareMetresPerSecond {
        SquareMetresPerSecond::si(self.viscosity.value() / self.density.value())
    }
    /// α = k/(ρ c_p).
    pub fn diffusivity(&self) -> SquareMetresPerSecond {
        SquareMetresPerSecond::si(self.conductivity.value() / (self.density.value() * self.specific_heat.value()))
    }
    /// Pr = μ c_p/k.
    pub fn prandtl(&self) -> f64 {
        self.viscosity.value() * self.specific_heat.value() / self.conductivity.value()
    }
    /// g β |ΔT|/(ν α), 1/m³: the Rayleigh number of a length is this times its cube.
    pub fn buoyancy(&self, difference: f64) -> f64 {
        // A difference of nothing would give a Nusselt number of 0/0 in forms with a logarithm.
        let difference = difference.abs().max(1e-9);
        GRAVITY * self.expansion.value() * difference / (self.kinematic().value() * self.diffusivity().value())
    }
}

/// Film properties between a surface and the air around it: at (T_s + T_a)/2.
pub fn film(surface: Temperature, around: Temperature, pressure: Pascals) -> Air {
    Air::at(Temperature::si(0.5 * (surface.value() + around.value())), pressure)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thin_air_carries_less_heat() {
        let sea = Air::at(Temperature::si(300.0), ATMOSPHERE);
        let high = Air::at(Temperature::si(300.0), ATMOSPHERE * 0.785);
        // Ra goes with the square of pressure, conductivity not at all.
        let share = high.density / sea.density;
        assert!((high.buoyancy(40.0) / sea.buoyancy(40.0) - share * share).abs() < 1e-12);
        assert_eq!(high.conductivity, sea.conductivity);
    }

    #[test]
    fn a_spot_value_of_another_handbook() {
        // 0 °C, 1 bar: k 24.35 mW/(m·K), μ 17.22 µPa·s, c_p 1006 J/(kg·K).
        let air = Air::at(Temperature::from_celsius(0.0), Pascals::si(1e5));
        assert!((air.conductivity.value() - 24.35e-3).abs() < 5e-6);
        assert!((air.viscosity.value() - 17.22e-6).abs() < 5e-9);
        assert!((air.specific_heat.value() - 1006.0).abs() < 0.5);
    }
}
