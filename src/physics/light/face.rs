//! A glowing face and what it lights: luminance, and illuminance from discs and rectangles.
//! Faces are Lambertian; receivers are parallel to the face unless said.

use std::f64::consts::PI;

use crate::quantity::{CandelasPerSquareMetre, Lumens, Lux, Metres, Radians, SquareMetres};

/// L = Φ/(π A), mean luminance of a flat or convex Lambertian face.
pub fn mean_luminance(flux: Lumens, area: SquareMetres) -> CandelasPerSquareMetre {
    CandelasPerSquareMetre::si(flux.value() / (PI * area.value()))
}

/// E = π L R²/(R² + d²), on the axis of a disc.
pub fn disc_on_axis(luminance: CandelasPerSquareMetre, radius: Metres, distance: Metres) -> Lux {
    let (r, d) = (radius.value(), distance.value());
    Lux::si(PI * luminance.value() * r * r / (r * r + d * d))
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

/// Luminance above which a face is bright to look at, from memory of the screening number of ICNIRP (2013).
pub const BRIGHT: CandelasPerSquareMetre = CandelasPerSquareMetre::si(10_000.0);

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
    fn up_close_a_face_lights_by_all_its_luminance() {
        let (near, far) = (Metres::si(1e-6), Metres::si(1.0));
        let all = PI * L.value();
        let panel = Panel { x: (-far, far), y: (-far, far) };
        let origin = (Metres::ZERO, Metres::ZERO);
        assert!((rectangle_illuminance(L, panel, origin, near).value() / all - 1.0).abs() < 1e-5);
        assert!((disc_on_axis(L, far, near).value() / all - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_face_of_a_usual_lamp() {
        // 560 lm from a disc of 50 mm radius: 22 696 cd/m².
        let area = SquareMetres::si(PI * 0.05 * 0.05);
        assert!((mean_luminance(Lumens::si(560.0), area).value() - 22_696.0).abs() < 0.5);
    }
}
