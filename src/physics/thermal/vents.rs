//! Two levels of openings to the air that the stack draws through them, and the heat it carries.

use super::super::GRAVITY;
use super::air::Air;
use crate::quantity::{KilogramsPerSecond, Metres, Pascals, SquareMetres, Temperature, Watts};

/// Openings at two levels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vents {
    /// From the middle of the low ones to the middle of the high ones, H.
    pub rise: Metres,
    /// Low level.
    pub low: Openings,
    /// High level.
    pub high: Openings,
    /// Thickness of the wall.
    pub wall: Metres,
    /// C_d of a sharp hole; 0.60 (usual handbook value).
    pub discharge: f64,
}

/// The openings of one level together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Openings {
    /// Open area.
    pub area: SquareMetres,
    /// Diameter of a hole or width of a slot.
    pub width: Metres,
}

/// What flows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draught {
    /// Mass flow, ṁ.
    pub flow: KilogramsPerSecond,
    /// Δp = g H (ρ_room − ρ_inside).
    pub pressure: Pascals,
    /// Height above the low level where inside and outside press alike.
    pub neutral: Metres,
    /// Q = ṁ c_p ΔT.
    pub heat: Watts,
}

/// Usual discharge coefficient of a sharp-edged hole (handbooks).
pub const SHARP: f64 = 0.60;

impl Vents {
    /// Loss of one level as Δp = a ṁ + b ṁ²: inertia with C_d, creeping flow through a thin hole (Sampson, 12π = 37.7) and
    /// along its wall (Poiseuille). The sum of both is our composition; without a it is the stack equation.
    fn loss(&self, openings: &Openings, air: &Air) -> (f64, f64) {
        let (rho, area, d) = (air.density.value(), openings.area.value(), openings.width.value());
        let shape = 37.7 + 64.0 * (self.wall / openings.width);
        let a = shape * air.viscosity.value() / (2.0 * rho * area * d);
        let b = 1.0 / (self.discharge * self.discharge * 2.0 * rho * area * area);
        (a, b)
    }

    /// Air and heat drawn out of warm air inside; nothing where the inside is not warmer.
    pub fn draught(&self, inside: Temperature, room: Temperature, pressure: Pascals) -> Draught {
        let (within, without) = (Air::at(inside, pressure), Air::at(room, pressure));
        let head = GRAVITY * self.rise.value() * (without.density.value() - within.density.value());
        if head <= 0.0 || inside <= room || self.low.area <= SquareMetres::ZERO || self.high.area <= SquareMetres::ZERO
        {
            let still = KilogramsPerSecond::ZERO;
            return Draught { flow: still, pressure: Pascals::ZERO, neutral: Metres::ZERO, heat: Watts::ZERO };
        }
        let ((a1, b1), (a2, b2)) = (self.loss(&self.low, &without), self.loss(&self.high, &within));
        let (a, b) = (a1 + a2, b1 + b2);
        let flow = 2.0 * head / (a + (a * a + 4.0 * b * head).sqrt());
        Draught {
            flow: KilogramsPerSecond::si(flow),
            pressure: Pascals::si(head),
            neutral: Metres::si(self.rise.value() * (a1 * flow + b1 * flow * flow) / head),
            heat: Watts::si(flow * within.specific_heat.value() * (inside - room).value()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::air::ATMOSPHERE;
    use super::*;

    fn holes(low: f64, high: f64) -> Vents {
        let level =
            |n: f64| Openings { area: SquareMetres::si(n * std::f64::consts::PI * 9e-6), width: Metres::si(6e-3) };
        Vents { rise: Metres::si(0.11), low: level(low), high: level(high), wall: Metres::si(2e-3), discharge: SHARP }
    }

    #[test]
    fn the_smaller_level_holds_the_pressure() {
        let (warm, room) = (Temperature::si(323.15), Temperature::si(298.15));
        let even = holes(12.0, 12.0).draught(warm, room, ATMOSPHERE);
        let choked = holes(4.0, 12.0).draught(warm, room, ATMOSPHERE);
        assert!((even.neutral.value() / 0.11 - 0.5).abs() < 0.05);
        assert!(choked.neutral.value() / 0.11 > 0.8 && choked.heat < even.heat);
    }

    #[test]
    fn cold_air_stays() {
        let (cold, room) = (Temperature::si(290.0), Temperature::si(298.15));
        assert_eq!(holes(12.0, 12.0).draught(cold, room, ATMOSPHERE).heat, Watts::ZERO);
        assert_eq!(holes(12.0, 0.0).draught(room, cold, ATMOSPHERE).heat, Watts::ZERO);
    }
}
