//! Sag of a flat sheet under its own weight: discs, rings and rectangles that lie on a ledge.
//! Thin plate, small deflection: the figures are void above half the thickness.

use std::f64::consts::PI;

use super::super::GRAVITY;
use crate::quantity::{KilogramsPerCubicMetre, Metres, NewtonMetres, Pascals};

/// A sheet of one material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Thickness, t.
    pub thickness: Metres,
    /// Young's modulus E; a third of the short-term value for plastic that lies for years.
    pub modulus: Pascals,
    /// Poisson's ratio, ν.
    pub poisson: f64,
    /// Density, ρ.
    pub density: KilogramsPerCubicMetre,
}

impl Sheet {
    /// D = E t³/(12 (1 − ν²)), N·m.
    pub fn stiffness(&self) -> NewtonMetres {
        let t = self.thickness.value();
        NewtonMetres::si(self.modulus.value() * t * t * t / (12.0 * (1.0 - self.poisson * self.poisson)))
    }
    /// q = ρ g t.
    pub fn weight_per_area(&self) -> Pascals {
        Pascals::si(self.density.value() * GRAVITY * self.thickness.value())
    }
}

/// Sag of a simply supported disc in its middle: (5 + ν) q a⁴/(64 (1 + ν) D) (Timoshenko and Woinowsky-Krieger, Theory
/// of Plates and Shells, article 16).
pub fn disc_sag(sheet: &Sheet, diameter: Metres) -> Metres {
    let a = diameter.value() / 2.0;
    let nu = sheet.poisson;
    let clamped = sheet.weight_per_area().value() * a * a * a * a / (64.0 * sheet.stiffness().value());
    Metres::si(clamped * ((5.0 + nu) / (1.0 + nu)))
}

/// Sag of a ring at its opening, outer edge simply supported, inner edge free, loaded by its own weight.
///
/// Solved from D d/dr(∇²w) = q (r² − b²)/(2r) with no radial moment at either edge (Timoshenko and
/// Woinowsky-Krieger, Theory of Plates and Shells, article 17: the same method). An opening as large as the ring
/// leaves nothing to sag and gives zero; without an opening use [`disc_sag`].
pub fn ring_sag(sheet: &Sheet, diameter: Metres, opening: Metres) -> Metres {
    let (a, b, nu) = (diameter.value() / 2.0, opening.value() / 2.0, sheet.poisson);
    if !(b > 0.0 && b < a) {
        return Metres::ZERO;
    }
    let load = sheet.weight_per_area().value() / (2.0 * sheet.stiffness().value());
    // Moment of the load's own part of w at radius r; the free part k₁ r/2 + k₂/r of w' has to cancel it at a and b.
    let loaded = |r: f64| {
        let log = libm::log(r);
        let bent = 3.0 * r * r / 8.0 - b * b * (log / 2.0 + 0.25);
        load * (bent + nu * (r * r / 8.0 - b * b * (log / 2.0 - 0.25)))
    };
    let (outer, inner) = (loaded(a), loaded(b));
    let k2 = (outer - inner) / ((1.0 - nu) * (1.0 / (a * a) - 1.0 / (b * b)));
    let k1 = 2.0 * (k2 * (1.0 - nu) / (a * a) - outer) / (1.0 + nu);
    let rise = |r: f64| {
        let log = libm::log(r);
        load * (r * r * r * r / 32.0 - b * b * r * r * (log - 1.0) / 4.0) + k1 * r * r / 4.0 + k2 * log
    };
    Metres::si(rise(b) - rise(a))
}

/// c(a/b) of a simply supported rectangle, w = c q b⁴/D, b the shorter side (same book, article 30):
/// (4/π⁵) Σ over odd m of (−1)^((m−1)/2) m⁻⁵ [1 − (k tanh k + 2)/(2 cosh k)], k = m π a/(2b). 5/384 for a long strip.
pub fn rectangle_coefficient(longer_by_shorter: f64) -> f64 {
    let term = |n: u32| {
        let m = f64::from(2 * n + 1);
        let k = m * PI * longer_by_shorter / 2.0;
        let edge = if k > 700.0 { 0.0 } else { (k * libm::tanh(k) + 2.0) / (2.0 * libm::cosh(k)) };
        let sign = if n.is_multiple_of(2) { 1.0 } else { -1.0 };
        sign * (1.0 - edge) / (m * m * m * m * m)
    };
    4.0 / (PI * PI * PI * PI * PI) * (0..40).map(term).sum::<f64>()
}

/// Sag of a simply supported rectangle in its middle, w = c q b⁴/D with b the shorter side.
pub fn rectangle_sag(sheet: &Sheet, width: Metres, height: Metres) -> Metres {
    let (a, b) = (width.max(height).value(), width.min(height).value());
    let c = rectangle_coefficient(a / b);
    Metres::si(c * sheet.weight_per_area().value() * b * b * b * b / sheet.stiffness().value())
}

/// Sag to plan for at most: the least of 1 mm, a 300th of the span and half of the thickness (our guideline).
pub fn sag_wanted(span: Metres, thickness: Metres) -> Metres {
    Metres::si(0.001).min(span / 300.0).min(thickness / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    const ACRYLIC: Sheet = Sheet {
        thickness: Metres::si(0.003),
        modulus: Pascals::si(3.1e9),
        poisson: 0.37,
        density: KilogramsPerCubicMetre::si(1190.0),
    };

    #[test]
    fn the_series_meets_the_handbook() {
        // Timoshenko table 8 (from memory; rounded, up to 0.5 % off) and Roark table 11.4 case 1a, ν = 0.3.
        for (ratio, book) in [(1.0, 0.00406), (1.2, 0.00564), (1.4, 0.00705), (1.6, 0.00830), (2.0, 0.01013)] {
            assert!((rectangle_coefficient(ratio) / book - 1.0).abs() < 6e-3, "{ratio}");
        }
        for (ratio, book) in [(1.0, 0.0444), (1.2, 0.0616), (1.4, 0.0770), (1.6, 0.0906), (2.0, 0.1110)] {
            let roark = rectangle_coefficient(ratio) * 12.0 * (1.0 - 0.09);
            assert!((roark / book - 1.0).abs() < 6e-3, "{ratio}");
        }
        assert!((rectangle_coefficient(1000.0) - 5.0 / 384.0).abs() < 1e-9);
    }

    #[test]
    fn a_ring_meets_the_handbook_and_the_disc() {
        // Roark, table 11.2 case 2a with the load up to the opening, ν = 0.3; from memory.
        let sheet = Sheet { poisson: 0.3, ..ACRYLIC };
        let a = 0.15;
        let unit = sheet.weight_per_area().value() * a * a * a * a / sheet.stiffness().value();
        for (ratio, book) in [(0.1, 0.0687), (0.3, 0.0761), (0.5, 0.0624), (0.7, 0.0325), (0.9, 0.0048)] {
            let sag = ring_sag(&sheet, mm(300.0), mm(300.0 * ratio)).value() / unit;
            assert!((sag / book - 1.0).abs() < 0.01, "{ratio}: {sag}");
        }
        let pinhole = ring_sag(&ACRYLIC, mm(300.0), mm(0.01));
        assert!((pinhole / disc_sag(&ACRYLIC, mm(300.0)) - 1.0).abs() < 1e-4);
        assert_eq!(ring_sag(&ACRYLIC, mm(300.0), mm(300.0)), Metres::ZERO);
    }

    #[test]
    fn the_sag_to_plan_for_is_the_least_of_three() {
        for (span, thickness, least) in [(200.0, 3.0, 200.0 / 300.0), (600.0, 3.0, 1.0), (600.0, 1.5, 0.75)] {
            assert!((sag_wanted(mm(span), mm(thickness)) - mm(least)).abs() < mm(1e-12), "{span} {thickness}");
        }
    }
}
