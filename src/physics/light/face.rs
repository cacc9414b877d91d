//! A glowing face and what it lights: luminance, intensity, and illuminance from discs, rectangles and spheres.
//! Faces are Lambertian; receivers are parallel to the face unless said.

use std::f64::consts::PI;

use crate::quantity::{Candelas, CandelasPerSquareMetre, Lumens, Lux, Metres, Radians, SquareMetres};

/// L = Φ/(π A), mean luminance of a flat or convex Lambertian face.
pub fn mean_luminance(flux: Lumens, area: SquareMetres) -> CandelasPerSquareMetre {
    CandelasPerSquareMetre::si(flux.value() / (PI * area.value()))
}

/// I₀ = Φ/π along the normal of a flat Lambertian face.
pub fn flat_face_intensity(flux: Lumens) -> Candelas {
    Candelas::si(flux.value() / PI)
}

/// I = Φ/(4π) of an evenly glowing globe.
pub fn globe_intensity(flux: Lumens) -> Candelas {
    Candelas::si(flux.value() / (4.0 * PI))
}

/// E = π L R²/(R² + d²), on the axis of a disc.
pub fn disc_on_axis(luminance: CandelasPerSquareMetre, radius: Metres, distance: Metres) -> Lux {
    let (r, d) = (radius.value(), distance.value());
    Lux::si(PI * luminance.value() * r * r / (r * r + d * d))
}

/// E = (π L/2) [1 − (d² + a² − R²)/√((d² + a² + R²)² − 4 a² R²)], beside the axis by a (classic form factor; Moon 1936).
pub fn disc_off_axis(luminance: CandelasPerSquareMetre, radius: Metres, distance: Metres, aside: Metres) -> Lux {
    let (r2, d2, a2) = (square(radius), square(distance), square(aside));
    let sum = d2 + a2 + r2;
    let root = libm::sqrt(sum * sum - 4.0 * a2 * r2);
    Lux::si(PI * luminance.value() / 2.0 * (1.0 - (d2 + a2 - r2) / root))
}

/// E = π L R²/d², from a globe whose centre is at d, the receiver facing it; exact for d ≥ R.
pub fn globe_illuminance(luminance: CandelasPerSquareMetre, radius: Metres, distance: Metres) -> Lux {
    Lux::si(PI * luminance.value() * square(radius) / square(distance))
}

/// An upright rectangle by two opposite corners, in the plane of the face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// Left and right edge.
    pub x: (Metres, Metres),
    /// Lower and upper edge.
    pub y: (Metres, Metres),
}

/// E = π L times the form factor of the rectangle seen from the foot (px, py) at distance d.
pub fn rectangle_illuminance(
    luminance: CandelasPerSquareMetre,
    panel: Panel,
    foot: (Metres, Metres),
    distance: Metres,
) -> Lux {
    let (x0, x1) = (panel.x.0 - foot.0, panel.x.1 - foot.0);
    let (y0, y1) = (panel.y.0 - foot.1, panel.y.1 - foot.1);
    let f = |x, y| corner_factor(x, y, distance);
    Lux::si(PI * luminance.value() * (f(x1, y1) - f(x0, y1) - f(x1, y0) + f(x0, y0)))
}

/// Form factor from an element to a parallel rectangle with a corner on its normal, odd in both sides:
/// F = [A/√(1 + A²) atan(B/√(1 + A²)) + B/√(1 + B²) atan(A/√(1 + B²))]/(2π), A = a/h, B = b/h.
fn corner_factor(a: Metres, b: Metres, h: Metres) -> f64 {
    let (a, b) = (a / h, b / h);
    let (ra, rb) = (libm::sqrt(1.0 + a * a), libm::sqrt(1.0 + b * b));
    (a / ra * libm::atan(b / ra) + b / rb * libm::atan(a / rb)) / (2.0 * PI)
}

/// Share of the light of a Lambertian die that falls directly on a rectangle centred before it at `distance`.
pub fn share_on_rectangle(width: Metres, height: Metres, distance: Metres) -> f64 {
    4.0 * corner_factor(width / 2.0, height / 2.0, distance)
}

/// Share that falls directly on a disc centred before the die: R²/(R² + h²).
pub fn share_on_disc(radius: Metres, distance: Metres) -> f64 {
    let (r2, h2) = (square(radius), square(distance));
    r2 / (r2 + h2)
}

/// Luminance above which a face is bright to look at, from memory of the screening number of ICNIRP (2013).
pub const BRIGHT: CandelasPerSquareMetre = CandelasPerSquareMetre::si(10_000.0);

fn square(length: Metres) -> f64 {
    length.value() * length.value()
}

/// Least angle, from the plane of the opening, below which a source of this luminance must be hidden from a normal seat.
///
/// 15° from 20 000 cd/m², 20° from 50 000, 30° from 500 000; none below. Source: EN 12464-1, shielding of bright
/// sources, from memory.
pub fn shielding_for(luminance: CandelasPerSquareMetre) -> Radians {
    let degrees: f64 = match luminance.value() {
        l if l >= 500e3 => 30.0,
        l if l >= 50e3 => 20.0,
        l if l >= 20e3 => 15.0,
        _ => 0.0,
    };
    Radians::si(degrees.to_radians())
}

#[cfg(test)]
mod tests {
    use super::*;

    const L: CandelasPerSquareMetre = CandelasPerSquareMetre::si(5000.0);

    #[test]
    fn off_axis_meets_on_axis() {
        let (r, d) = (Metres::si(0.1), Metres::si(0.5));
        let on = disc_on_axis(L, r, d).value();
        assert!((disc_off_axis(L, r, d, Metres::ZERO).value() / on - 1.0).abs() < 1e-12);
    }

    #[test]
    fn shares_go_to_one_up_close() {
        let near = Metres::si(1e-6);
        assert!((share_on_rectangle(Metres::si(1.0), Metres::si(1.0), near) - 1.0).abs() < 1e-5);
        assert!((share_on_disc(Metres::si(1.0), near) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn faces_of_usual_lamps() {
        // 560 lm from a disc of 50 mm radius: 22 696 cd/m², 178.25 cd.
        let area = SquareMetres::si(PI * 0.05 * 0.05);
        assert!((mean_luminance(Lumens::si(560.0), area).value() - 22_696.0).abs() < 0.5);
        assert!((flat_face_intensity(Lumens::si(560.0)).value() - 178.25).abs() < 0.01);
        assert!((globe_intensity(Lumens::si(4.0 * PI)).value() - 1.0).abs() < 1e-12);
    }
}
