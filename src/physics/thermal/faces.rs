//! One face of a body in still air to the heat it gives by convection: how it stands picks the law and the length.

use super::air::{Air, film};
use super::convection::{Law, curvature};
use crate::quantity::{
    Metres, Pascals, Quantity, SquareMetres, Temperature, WattsPerKelvin, WattsPerSquareMetreKelvin,
};

/// How a face stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stance {
    /// Upright or leaning plane, or the inside of a wall; `slope` is the cosine of its angle from the vertical.
    Upright {
        /// Way of the air along it.
        height: Metres,
        /// Cosine of the angle from the vertical, 1 for an upright face; good to 60°.
        slope: f64,
    },
    /// Lying, seen from above.
    Up {
        /// Area by perimeter.
        length: Metres,
    },
    /// Lying, seen from below.
    Down {
        /// Area by perimeter.
        length: Metres,
    },
    /// Mantle of an upright cylinder.
    StandingCylinder {
        /// Height.
        height: Metres,
        /// Diameter.
        diameter: Metres,
    },
    /// Mantle of a lying cylinder.
    LyingCylinder {
        /// Diameter.
        diameter: Metres,
    },
    /// Sphere or most of one.
    Sphere {
        /// Diameter.
        diameter: Metres,
    },
}

/// One face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face {
    /// How it stands.
    pub stance: Stance,
    /// Its area.
    pub area: SquareMetres,
}

/// The law that a face follows now, and how far its Rayleigh number lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regime {
    /// The law.
    pub law: Law,
    /// Its Rayleigh number.
    pub rayleigh: f64,
}

impl Face {
    /// Law and Rayleigh number; `warmer` where the face is warmer than the air.
    fn regime(&self, per_cube: f64, warmer: bool) -> (Regime, f64) {
        let (law, length, share) = match self.stance {
            Stance::Upright { height, slope } => (Law::UprightLaminar, height, slope),
            Stance::StandingCylinder { height, .. } => (Law::UprightLaminar, height, 1.0),
            Stance::Up { length } if warmer => (Law::FaceUp, length, 1.0),
            Stance::Up { length } => (Law::FaceDown, length, 1.0),
            Stance::Down { length } if warmer => (Law::FaceDown, length, 1.0),
            Stance::Down { length } => (Law::FaceUp, length, 1.0),
            Stance::LyingCylinder { diameter } => (Law::LyingCylinder, diameter, 1.0),
            Stance::Sphere { diameter } => (Law::Sphere, diameter, 1.0),
        };
        let l = length.value();
        (Regime { law, rayleigh: per_cube * share * l * l * l }, l)
    }

    /// h of this face with film properties `air` and |T_s − T_a| as `difference`.
    fn coefficient(&self, air: &Air, difference: f64) -> f64 {
        let pr = air.prandtl();
        let (regime, length) = self.regime(air.buoyancy(difference), difference >= 0.0);
        let mut nusselt = regime.law.nusselt(regime.rayleigh, pr);
        if let Stance::StandingCylinder { height, diameter } = self.stance {
            nusselt *= curvature(regime.rayleigh, pr, height / diameter);
        }
        nusselt * air.conductivity.value() / length
    }

    /// The law it follows there.
    pub fn follows(&self, surface: Temperature, around: Temperature, pressure: Pascals) -> Regime {
        let difference = (surface - around).value();
        self.regime(film(surface, around, pressure).buoyancy(difference), difference >= 0.0).0
    }
}

/// Σ h A of several faces at one temperature.
pub fn conductance(faces: &[Face], surface: Temperature, around: Temperature, pressure: Pascals) -> WattsPerKelvin {
    let air = film(surface, around, pressure);
    let difference = (surface - around).value();
    WattsPerKelvin::si(faces.iter().map(|face| face.coefficient(&air, difference) * face.area.value()).sum())
}

/// h of a compact body with this whole surface (`Law::Body`).
pub fn body_transfer(
    whole: SquareMetres,
    surface: Temperature,
    around: Temperature,
    pressure: Pascals,
) -> WattsPerSquareMetreKelvin {
    let air = film(surface, around, pressure);
    let length = whole.value().sqrt();
    let ra = air.buoyancy((surface - around).value()) * length * length * length;
    WattsPerSquareMetreKelvin::si(Law::Body.nusselt(ra, air.prandtl()) * air.conductivity.value() / length)
}

/// Sum of the areas.
pub fn area(faces: &[Face]) -> SquareMetres {
    SquareMetres::si(faces.iter().map(|face| Quantity::value(face.area)).sum())
}

#[cfg(test)]
mod tests {
    use super::super::air::ATMOSPHERE;
    use super::*;

    #[test]
    fn a_cold_ceiling_is_a_warm_floor() {
        let (warm, cold) = (Temperature::from_celsius(60.0), Temperature::from_celsius(20.0));
        let area = SquareMetres::si(0.04);
        let up = Face { stance: Stance::Up { length: Metres::si(0.05) }, area };
        let down = Face { stance: Stance::Down { length: Metres::si(0.05) }, area };
        let h = |face: &Face, s, a| conductance(&[*face], s, a, ATMOSPHERE).value() / area.value();
        assert_eq!(h(&up, warm, cold), h(&down, cold, warm));
        assert_eq!(h(&down, warm, cold), h(&up, cold, warm));
        assert!(h(&up, warm, cold) > h(&down, warm, cold));
        assert_eq!(up.follows(warm, cold, ATMOSPHERE).law, Law::FaceUp);
    }

    #[test]
    fn a_rule_of_thumb_is_near() {
        // 1.42 (ΔT/L)^(1/4) for an upright plate of 0.1 m at 40 K: 6.35 against 6.03 of the law.
        let plate =
            Face { stance: Stance::Upright { height: Metres::si(0.1), slope: 1.0 }, area: SquareMetres::si(0.01) };
        let h = conductance(&[plate], Temperature::si(340.0), Temperature::si(300.0), ATMOSPHERE).value() / 0.01;
        assert!((h - 6.031).abs() < 2e-3, "{h}");
    }
}
