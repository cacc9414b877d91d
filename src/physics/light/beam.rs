//! Dice with a beam: the cosine power of a beam, light on a plane from dice at known places, and how far from an endless
//! grid of them its first harmonic (Poisson) is faint.

use std::f64::consts::{LN_2, PI};

use crate::quantity::{Lumens, Lux, Metres, Radians};

/// m of I = I₀ cosᵐ θ from the angle off the axis at half intensity: −ln 2/ln cos θ; 60° gives 1, a bare die.
pub fn exponent(half_angle: Radians) -> f64 {
    -LN_2 / libm::log(libm::cos(half_angle.value()))
}

/// A die at a place of the board, aimed at the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// To the right of the middle.
    pub x: Metres,
    /// Above the middle.
    pub y: Metres,
    /// Its flux.
    pub flux: Lumens,
    /// Its beam as a power of the cosine.
    pub exponent: f64,
}

/// E = Σ (m + 1) Φ/2π · h^(m+1)/(r² + h²)^((m+3)/2) on a plane at distance h, facing the board.
///
/// Dice are points: good to 1 % where h is five of their diameters.
pub fn illuminance(sources: &[Source], distance: Metres, x: Metres, y: Metres) -> Lux {
    let h = distance.value();
    let sum = sources.iter().map(|s| {
        let (dx, dy) = ((s.x - x).value(), (s.y - y).value());
        let below = (s.exponent + 1.0) * s.flux.value() / (2.0 * PI * h * h);
        below * libm::pow(h * h / (dx * dx + dy * dy + h * h), (s.exponent + 3.0) / 2.0)
    });
    Lux::si(sum.sum())
}

/// K_ν(z) = ∫ e^(−z cosh t) cosh νt dt from 0 on, by trapezoids of 0.1: 7e-15 for ν 1 to 3.5 and z 0.5 to 60.
fn bessel_k(order: f64, z: f64) -> f64 {
    let mut sum = 0.5 * libm::exp(-z);
    for i in 1..=120 {
        let t = 0.1 * f64::from(i);
        let fall = z * libm::cosh(t);
        if fall > 700.0 {
            break;
        }
        sum += libm::exp(-fall) * libm::cosh(order * t);
    }
    0.1 * sum
}

/// G_ν(z) = 2^(1−ν)/Γ(ν) z^ν K_ν(z): what is left of a pattern after the way to the sheet; 1 at z = 0.
pub fn remainder(order: f64, z: f64) -> f64 {
    if z < 1e-6 {
        return 1.0;
    }
    libm::pow(2.0, 1.0 - order) / libm::tgamma(order) * libm::pow(z, order) * bessel_k(order, z)
}

/// First harmonic of a square grid at the sheet, peak by mean: c₁ = 4 G_((m+1)/2)(2π h/p).
pub fn first_harmonic(exponent: f64, h_by_pitch: f64) -> f64 {
    4.0 * remainder((exponent + 1.0) / 2.0, 2.0 * PI * h_by_pitch)
}

/// What size of die and thickness of a scattering sheet leave of a pattern of this pitch: 2J₁(ka)/(ka) · kt/sinh kt.
///
/// The second factor is diffusion in the sheet; measured blur is stronger, so more contrast is predicted than comes
/// (compared with a photon simulation). Only for opal sheets that scatter in their bulk; 1 for surface textures.
pub fn blur(pitch: Metres, die_radius: Metres, thickness: Metres) -> f64 {
    let k = 2.0 * PI / pitch.value();
    let (ka, kt) = (k * die_radius.value(), k * thickness.value());
    let patch = if ka < 1e-6 { 1.0 } else { 2.0 * libm::j1(ka) / ka };
    let sheet = if kt < 1e-6 { 1.0 } else { kt / libm::sinh(kt) };
    patch * sheet
}

/// Least distance in pitches at which the first harmonic of a square grid, times `kept`, is no more than `contrast`.
///
/// By bisection between 0.05 and 4; `None` where 4 pitches do not do.
pub fn distance_for(exponent: f64, kept: f64, contrast: f64) -> Option<f64> {
    let excess = |h: f64| first_harmonic(exponent, h) * kept - contrast;
    let (mut low, mut high) = (0.05, 4.0);
    if excess(high) > 0.0 {
        return None;
    }
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if excess(middle) > 0.0 { low = middle } else { high = middle }
    }
    Some(high)
}

/// Contrast, (max − min)/(max + min), up to which a pattern is soft (our scale).
pub const SOFT: f64 = 0.10;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beams_have_their_exponent() {
        for (degrees, m) in [(60.0_f64, 1.0), (45.0, 2.0)] {
            assert!((exponent(Radians::si(degrees.to_radians())) - m).abs() < 1e-12);
        }
    }

    #[test]
    fn a_die_before_the_point_gives_its_intensity() {
        let die = Source { x: Metres::ZERO, y: Metres::ZERO, flux: Lumens::si(PI), exponent: 1.0 };
        let below = illuminance(&[die], Metres::si(0.5), Metres::ZERO, Metres::ZERO);
        assert!((below.value() - 4.0).abs() < 1e-12, "1 cd at half a metre");
    }

    #[test]
    fn the_distance_leaves_the_contrast() {
        let h = distance_for(1.0, 0.8, SOFT).unwrap();
        assert!((first_harmonic(1.0, h) * 0.8 - SOFT).abs() < 1e-9);
        assert!(blur(Metres::si(0.02), Metres::ZERO, Metres::ZERO) == 1.0);
    }
}
