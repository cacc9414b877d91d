//! The least circle around an outline: what a piece of any shape takes in a round recess.

use super::chord::flattened;
use super::outline::Outline;
use crate::quantity::Metres;

/// Arcs count as chords no farther off than this.
const CHORD: Metres = Metres::si(1e-6);
/// Points this near to the circle lie on it, m.
const ON: f64 = 1e-10;

/// A circle: centre and radius.
type Circle = ((f64, f64), f64);

/// Diameter of the least circle around an outline, to two micrometres. Of the circles through two or three points the
/// least that holds all (Elzinga and Hearn 1972): grown from a few points by the one that lies farthest outside.
pub fn around(outline: &Outline) -> Metres {
    let points: Vec<(f64, f64)> = flattened(outline, CHORD).iter().map(|p| p.xy()).collect();
    let Some(first) = points.first() else { return Metres::ZERO };
    let (mut held, mut circle) = (vec![*first], (*first, 0.0));
    // The radius grows at every step, so that no set of points comes back; the count is there for rounding.
    for _ in 0..points.len() {
        let away = |p: &(f64, f64)| libm::hypot(p.0 - circle.0.0, p.1 - circle.0.1);
        let Some(far) = points.iter().copied().reduce(|a, b| if away(&b) > away(&a) { b } else { a }) else { break };
        if away(&far) <= circle.1 + ON {
            break;
        }
        held.push(far);
        (held, circle) = least_of(&held);
    }
    Metres::si(circle.1 * 2.0)
}

/// The least circle around up to four points, with the two or three that it stands on.
fn least_of(points: &[(f64, f64)]) -> (Vec<(f64, f64)>, Circle) {
    let mut best: Option<(Vec<(f64, f64)>, Circle)> = None;
    let mut offer = |on: Vec<(f64, f64)>, circle: Circle| {
        let holds = points.iter().all(|p| libm::hypot(p.0 - circle.0.0, p.1 - circle.0.1) <= circle.1 + ON);
        if holds && best.as_ref().is_none_or(|(_, b)| circle.1 < b.1) {
            best = Some((on, circle));
        }
    };
    for (i, a) in points.iter().enumerate() {
        for (j, b) in points.iter().enumerate().skip(i + 1) {
            let centre = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
            offer(vec![*a, *b], (centre, libm::hypot(a.0 - b.0, a.1 - b.1) / 2.0));
            for c in points.iter().skip(j + 1) {
                if let Some(circle) = through(*a, *b, *c) {
                    offer(vec![*a, *b, *c], circle);
                }
            }
        }
    }
    best.unwrap_or_else(|| (points.to_vec(), (points.first().copied().unwrap_or_default(), 0.0)))
}

/// The circle through three points; none where they lie in line.
fn through(a: (f64, f64), b: (f64, f64), c: (f64, f64)) -> Option<Circle> {
    let (bx, by, cx, cy) = (b.0 - a.0, b.1 - a.1, c.0 - a.0, c.1 - a.1);
    let twice = 2.0 * (bx * cy - by * cx);
    if twice.abs() < 1e-15 {
        return None;
    }
    let (b2, c2) = (bx * bx + by * by, cx * cx + cy * cy);
    let (x, y) = ((cy * b2 - by * c2) / twice, (bx * c2 - cx * b2) / twice);
    Some(((a.0 + x, a.1 + y), libm::hypot(x, y)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;
    use crate::physics::mechanics::curve::Point;
    use crate::physics::mechanics::ellipse::ellipse;
    use crate::physics::mechanics::shapes::{disc, rounded_rectangle};

    fn run(points: &[(f64, f64)]) -> Outline {
        Outline::polygon(&points.iter().map(|(x, y)| Point { x: mm(*x), y: mm(*y) }).collect::<Vec<_>>())
    }

    #[test]
    fn the_circle_round_a_shape_is_that_of_geometry() {
        // A rectangle by its diagonal, with round corners by that of their centres and twice their radius; an ellipse by
        // its long axis; a right triangle by its longest side (Thales); an equilateral one by its side over cos 30°.
        let rows = [
            (rounded_rectangle(mm(238.0), mm(118.0), Metres::ZERO).unwrap(), libm::hypot(238.0, 118.0)),
            (rounded_rectangle(mm(238.0), mm(118.0), mm(6.0)).unwrap(), libm::hypot(226.0, 106.0) + 12.0),
            (ellipse(mm(200.0), mm(240.0), Metres::si(1e-6)).unwrap(), 240.0),
            (disc(mm(141.0)).unwrap(), 141.0),
            (run(&[(0., 0.), (40., 0.), (0., 30.)]), 50.0),
            (run(&[(0., 0.), (30., 0.), (15., 25.980_762_113)]), 30.0 / libm::cos(std::f64::consts::PI / 6.0)),
        ];
        for (outline, expected) in rows {
            let found = around(&outline).value() * 1e3;
            assert!((found - expected).abs() < 3e-3, "{found}, by hand {expected}");
        }
    }
}
