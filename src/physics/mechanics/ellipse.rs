//! An ellipse as circular arcs within a stated tolerance.
//! Pairs of arcs meet with a common tangent, so the cutter does not jerk.

use std::f64::consts::PI;

use super::curve::{Point, Segment};
use super::outline::{Outline, Vertex};
use super::shapes::{ShapeFault, disc, positive};
use crate::quantity::Metres;

/// Spans in a quadrant above which the fit gives up.
const MOST_SPANS: usize = 512;

/// The ellipse with these diameters as arcs, nowhere farther from it than `tolerance`.
///
/// The number of spans a quadrant is doubled until the deviation, sampled at eight points an arc, fits.
///
/// # Errors
/// [`ShapeFault::NotPositive`]; [`ShapeFault::Tolerance`] when 512 spans a quadrant do not suffice.
pub fn ellipse(width: Metres, height: Metres, tolerance: Metres) -> Result<Outline, ShapeFault> {
    let (a, b) = (positive(width)?.value() / 2.0, positive(height)?.value() / 2.0);
    if a == b {
        return disc(width);
    }
    let mut spans = 1;
    let mut best = f64::INFINITY;
    while spans <= MOST_SPANS {
        let outline = arcs(a, b, 4 * spans);
        best = deviation(&outline, a, b);
        if best <= tolerance.value() {
            return Ok(outline);
        }
        spans *= 2;
    }
    Err(ShapeFault::Tolerance(Metres::si(best)))
}

/// Two arcs for each of `spans` equal steps of the parameter; the quadrants' ends are among the joints, so the
/// curvature is monotonic along every span.
fn arcs(a: f64, b: f64, spans: usize) -> Outline {
    let step = 2.0 * PI / spans as f64;
    let vertices = (0..spans).flat_map(|k| {
        let (t0, t1) = (step * k as f64, step * (k + 1) as f64);
        biarc(
            Point::from_xy(a * libm::cos(t0), b * libm::sin(t0)),
            tangent(a, b, t0),
            Point::from_xy(a * libm::cos(t1), b * libm::sin(t1)),
            tangent(a, b, t1),
        )
    });
    Outline::new(vertices.collect())
}

/// Unit tangent at parameter t.
fn tangent(a: f64, b: f64, t: f64) -> (f64, f64) {
    let (x, y) = (-a * libm::sin(t), b * libm::cos(t));
    let length = libm::hypot(x, y);
    (x / length, y / length)
}

/// The start of each of two arcs that join p0 with tangent t0 to p1 with tangent t1, with tangent lengths that
/// are equal (the usual choice of the free parameter of a biarc).
fn biarc(p0: Point, t0: (f64, f64), p1: Point, t1: (f64, f64)) -> [Vertex; 2] {
    let ((x0, y0), (x1, y1)) = (p0.xy(), p1.xy());
    let v = (x1 - x0, y1 - y0);
    let along = v.0 * (t0.0 + t1.0) + v.1 * (t0.1 + t1.1);
    let spread = 2.0 * (1.0 - (t0.0 * t1.0 + t0.1 * t1.1));
    // Rationalised, so that nearly parallel tangents do not cancel.
    let square = v.0 * v.0 + v.1 * v.1;
    let d = square / (along + libm::sqrt(along * along + spread * square));
    let joint = ((x0 + x1 + d * (t0.0 - t1.0)) / 2.0, (y0 + y1 + d * (t0.1 - t1.1)) / 2.0);
    let first = (joint.0 - x0, joint.1 - y0);
    let second = (x1 - joint.0, y1 - joint.1);
    [
        Vertex { point: p0, bulge: half_turn(t0, first) },
        Vertex { point: Point::from_xy(joint.0, joint.1), bulge: half_turn(second, t1) },
    ]
}

/// tan(φ/2) of the angle φ from one direction to another: φ is half the sweep, so this is the bulge.
fn half_turn(from: (f64, f64), to: (f64, f64)) -> f64 {
    let cross = from.0 * to.1 - from.1 * to.0;
    let dot = from.0 * to.0 + from.1 * to.1;
    libm::tan(libm::atan2(cross, dot) / 2.0)
}

/// Greatest distance of the arcs from the ellipse, to first order |f|/|∇f| of f = x²/a² + y²/b² − 1; metres.
fn deviation(outline: &Outline, a: f64, b: f64) -> f64 {
    let off = |point: Point| {
        let (x, y) = point.xy();
        let f = x * x / (a * a) + y * y / (b * b) - 1.0;
        f.abs() / (2.0 * libm::hypot(x / (a * a), y / (b * b)))
    };
    let worst = |s: &Segment| (1..=8).map(|k| off(s.point_at(f64::from(k) / 8.0))).fold(0.0, f64::max);
    outline.segments().iter().map(worst).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_metre_fits_within_a_micrometre() {
        for height in [0.999, 0.7, 0.3, 0.1] {
            let (w, h) = (Metres::si(1.0), Metres::si(height));
            let outline = ellipse(w, h, Metres::si(1e-6)).unwrap();
            let area = w * h * (PI / 4.0);
            // A strip of a micrometre along the edge.
            assert!((outline.area() - area).value().abs() < 1e-6 * outline.perimeter().value(), "{height}");
            assert!(outline.corners().is_empty(), "{height}: the arcs meet smoothly");
            assert!(outline.vertices.len() <= 1024, "{}", outline.vertices.len());
        }
    }

    #[test]
    fn a_tighter_tolerance_costs_more_arcs() {
        let arcs =
            |tolerance| ellipse(Metres::si(0.12), Metres::si(0.08), Metres::si(tolerance)).unwrap().vertices.len();
        assert!(arcs(1e-8) > arcs(1e-6) && arcs(1e-6) > arcs(1e-4));
    }

    #[test]
    fn an_impossible_tolerance_says_what_can_be_met() {
        let fault = ellipse(Metres::si(1.0), Metres::si(0.3), Metres::si(1e-18)).unwrap_err();
        assert!(matches!(fault, ShapeFault::Tolerance(best) if best.value() < 1e-8), "{fault:?}");
    }

    #[test]
    fn a_circle_is_a_circle() {
        let disc = ellipse(Metres::si(0.1), Metres::si(0.1), Metres::si(1e-6)).unwrap();
        assert_eq!(disc.vertices.len(), 2);
    }
}
