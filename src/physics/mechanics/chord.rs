//! Arcs as chords, for previews that know no arcs: how many, how far off, and the flattened outline.
//! The cut file keeps its arcs.

use std::f64::consts::PI;

use super::curve::Point;
use super::outline::Outline;
use crate::quantity::Metres;

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
}
