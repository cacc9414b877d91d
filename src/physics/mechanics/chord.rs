//! Arcs as chords, for previews that know no arcs: how many, how far off, and the flattened outline.
//! The cut file keeps its arcs.

use std::f64::consts::PI;

use super::curve::Point;
use super::outline::Outline;
use crate::quantity::Metres;

/// Greatest distance of a chord from its arc when a circle of radius R is cut into n: R (1 − cos(π/n)).
pub fn sagitta(radius: Metres, chords: usize) -> Metres {
    radius * (1.0 - libm::cos(PI / chords as f64))
}

/// Chords of a full circle so that none is farther off than ε: ⌈π/acos(1 − ε/R)⌉, at least 3.
pub fn chords_needed(radius: Metres, tolerance: Metres) -> usize {
    let ratio = (tolerance / radius).clamp(0.0, 1.0);
    // A tolerance below rounding gives no count; a million chords are beyond any screen.
    let count = libm::ceil(PI / libm::acos(1.0 - ratio).max(1e-6) - 1e-9);
    (count as usize).max(3)
}

/// The outline as straight pieces, no arc farther off than `tolerance`. The points lie on the arcs.
pub fn flattened(outline: &Outline, tolerance: Metres) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in outline.segments() {
        let pieces = segment.radius().map_or(1, |radius| {
            let whole = chords_needed(radius, tolerance) as f64;
            libm::ceil(whole * segment.sweep().abs() / (2.0 * PI) - 1e-9).max(1.0) as usize
        });
        points.extend((0..pieces).map(|k| segment.point_at(k as f64 / pieces as f64)));
    }
    points
}

/// Factor of the control points of a cubic that stands for a quarter circle: k = 4(√2 − 1)/3.
///
/// Its radius is too large by at most 2.7253e−4 R and never too small; for renderers without arcs.
pub const CUBIC_QUARTER: f64 = 0.552_284_749_830_793_4;

/// The factor for an arc of any sweep up to a right angle: 4/3 tan(sweep/4), times the radius.
pub fn cubic_factor(sweep: f64) -> f64 {
    4.0 / 3.0 * libm::tan(sweep / 4.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;
    use crate::physics::mechanics::shapes::{disc, rounded_rectangle};

    #[test]
    fn flattening_keeps_its_tolerance() {
        let outline = rounded_rectangle(mm(120.0), mm(80.0), mm(10.0)).unwrap();
        for tolerance in [0.1, 0.01, 0.001] {
            let points = flattened(&outline, mm(tolerance));
            let flat = Outline::polygon(&points);
            let lost = outline.area() - flat.area();
            // The strip lost is at most the tolerance times the length of the arcs.
            assert!(lost.value() > 0.0 && lost.value() < (mm(tolerance) * mm(62.84)).value());
            assert!(points.iter().all(|p| outline.distance_to(*p) < mm(1e-9)));
        }
    }

    #[test]
    fn a_disc_takes_the_chords_of_its_circle() {
        let points = flattened(&disc(mm(200.0)).unwrap(), mm(0.05));
        assert_eq!(points.len(), chords_needed(mm(100.0), mm(0.05)));
        assert_eq!(chords_needed(mm(1.0), mm(5.0)), 3);
    }

    #[test]
    fn the_cubic_of_a_quarter_is_the_usual_one() {
        assert!((cubic_factor(PI / 2.0) - CUBIC_QUARTER).abs() < 1e-15);
        // Radius of the cubic at its middle is exact; at t = 0.2114 it is 2.7253e-4 too large.
        let at = |t: f64| {
            let u = 1.0 - t;
            let x = u * u * u + 3.0 * u * u * t + 3.0 * u * t * t * CUBIC_QUARTER;
            let y = 3.0 * u * u * t * CUBIC_QUARTER + 3.0 * u * t * t + t * t * t;
            libm::hypot(x, y) - 1.0
        };
        let most = (0..=1000).map(|k| at(f64::from(k) / 1000.0)).fold(0.0, f64::max);
        assert!((most - 2.7253e-4).abs() < 1e-8, "{most}");
    }
}
