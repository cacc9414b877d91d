//! Colour temperature: x, y to temperature and distance from the Planck locus, and back.
//! Lamp and locus are summed over the same table, else temperatures are a few kelvin off.

use std::sync::{LazyLock, OnceLock};

use super::chromaticity::{Chromaticity, Uniform};
use super::spectrum::Spectrum;
use crate::quantity::Kelvin;

/// c₂ in m·K, as CIE 15 keeps it for colour temperatures.
const C2: f64 = 1.4388e-2;
/// First temperature of the table.
const LOWEST: f64 = 1000.0;
/// Ratio of two neighbours; at 0.25 % the method is good to 1.7e-5 of the temperature.
const RATIO: f64 = 1.0025;
/// Rows of the table: up to 20 000 K.
const ROWS: usize = 1201;
/// Distance below which the triangular solution is kept (Ohno).
const NEAR: f64 = 0.002;

/// Colour temperature of a light near the Planck locus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correlated {
    /// Correlated colour temperature; a temperature in kelvin, kept as a difference from absolute zero.
    pub temperature: Kelvin,
    /// Duv: distance from the locus in the CIE 1960 diagram, above it positive (greenish).
    pub duv: f64,
}

impl Correlated {
    /// Distance beyond which a colour temperature says nothing (CIE 15).
    pub const MEANINGFUL: f64 = 0.05;
    /// Distance beyond which a white looks tinted (common practice, no source).
    pub const UNTINTED: f64 = 0.006;
}

/// u, v of the CIE 1960 diagram.
type Point = (f64, f64);

/// Temperatures of the table.
static KELVINS: LazyLock<Vec<f64>> =
    LazyLock::new(|| std::iter::successors(Some(LOWEST), |kelvin| Some(kelvin * RATIO)).take(ROWS).collect());

/// Points of the table. A row costs 81 exponentials, and a lamp asks for few of them, so each is made when it is asked for.
static LOCUS: [OnceLock<Point>; ROWS] = [const { OnceLock::new() }; ROWS];

/// Temperature and point of a row.
fn row(at: usize) -> Option<(f64, Point)> {
    let kelvin = *KELVINS.get(at)?;
    Some((kelvin, *LOCUS.get(at)?.get_or_init(|| on_locus(kelvin))))
}

/// Rows from one look to the next in the first round of the search.
const COARSE: usize = 40;

/// The row nearest to a point, the first and the last left out.
///
/// Along the locus the distance falls and rises once where a colour temperature means anything, so the nearest coarse
/// row and steps downhill from it, halved each time, lead there.
fn nearest_row(away: impl Fn(usize) -> f64) -> usize {
    let coarse = (1..ROWS - 1).step_by(COARSE).min_by(|a, b| away(*a).total_cmp(&away(*b)));
    let (mut best, mut step) = (coarse.unwrap_or(1), COARSE / 2);
    while step > 0 {
        let near = [best.saturating_sub(step).max(1), (best + step).min(ROWS - 2)];
        match near.into_iter().find(|other| away(*other) < away(best)) {
            Some(better) => best = better,
            None => step /= 2,
        }
    }
    best
}

/// Radiation of a black body by that at 560 nm, (λ/560)⁻⁵ (e^(c₂/560T) − 1)/(e^(c₂/λT) − 1), as a spectrum.
fn planck(kelvin: f64) -> Spectrum {
    let at_560 = libm::expm1(C2 / (560e-9 * kelvin));
    Spectrum::of(|nm| {
        let r = 560.0 / nm;
        r * r * r * r * r * at_560 / libm::expm1(C2 / (nm * 1e-9 * kelvin))
    })
}

/// Chromaticity of a black body.
pub fn black_body(temperature: Kelvin) -> Option<Chromaticity> {
    planck(temperature.value()).tristimulus().chromaticity()
}

fn on_locus(kelvin: f64) -> Point {
    let at = planck(kelvin).tristimulus().chromaticity().map_or(Uniform { u: 0.0, v: 0.0 }, |c| c.uniform());
    (at.u, at.v_1960())
}

/// Correlated colour temperature and Duv; `None` farther than 0.05 from the locus or outside 1000 K to 20 000 K.
///
/// Source: Ohno, LEUKOS 10 (2014) 47: triangular solution near the locus, parabolic one farther off.
pub fn correlated(at: Chromaticity) -> Option<Correlated> {
    let uniform = at.uniform();
    let point = (uniform.u, uniform.v_1960());
    let away = |p: Point| libm::hypot(point.0 - p.0, point.1 - p.1);
    let nearest = nearest_row(|at| row(at).map_or(f64::INFINITY, |(_, p)| away(p)));
    let (a, b, c) = (row(nearest - 1)?, row(nearest)?, row(nearest + 1)?);
    let (first, middle, last) = ((a.0, away(a.1)), (b.0, away(b.1)), (c.0, away(c.1)));
    let (t, duv, side) = triangular(first, last, a.1, c.1, point);
    let (t, duv) = if duv.abs() < NEAR { (t, duv) } else { parabolic(first, middle, last, side) };
    let beyond = duv.abs() > Correlated::MEANINGFUL || nearest == 1 || nearest == ROWS - 2;
    (!beyond).then_some(Correlated { temperature: Kelvin::si(t), duv })
}

/// Temperature and signed distance where the foot of the point divides the chord, and the side of it.
fn triangular(first: (f64, f64), last: (f64, f64), from: Point, to: Point, point: Point) -> (f64, f64, f64) {
    let length = libm::hypot(to.0 - from.0, to.1 - from.1);
    let x = (first.1 * first.1 - last.1 * last.1 + length * length) / (2.0 * length);
    let t = first.0 + (last.0 - first.0) * x / length;
    let v = from.1 + (to.1 - from.1) * x / length;
    let side = if point.1 >= v { 1.0 } else { -1.0 };
    (t, side * libm::sqrt((first.1 * first.1 - x * x).max(0.0)), side)
}

/// Temperature and signed distance at the least of the parabola through three distances.
fn parabolic(first: (f64, f64), middle: (f64, f64), last: (f64, f64), side: f64) -> (f64, f64) {
    let ((t0, d0), (t1, d1), (t2, d2)) = (first, middle, last);
    let w = (t2 - t1) * (t0 - t2) * (t1 - t0);
    let a = (t0 * (d2 - d1) + t1 * (d0 - d2) + t2 * (d1 - d0)) / w;
    let b = -(t0 * t0 * (d2 - d1) + t1 * t1 * (d0 - d2) + t2 * t2 * (d1 - d0)) / w;
    let c = -(d0 * (t2 - t1) * t1 * t2 + d1 * (t0 - t2) * t0 * t2 + d2 * (t1 - t0) * t0 * t1) / w;
    let t = -b / (2.0 * a);
    (t, side * (a * t * t + b * t + c))
}

/// Chromaticity of a white by colour temperature and Duv, square to the locus.
///
/// Source: Ohno, LEUKOS 10 (2014) 47.
pub fn white(temperature: Kelvin, duv: f64) -> Chromaticity {
    let t = temperature.value();
    let (at, next) = (on_locus(t), on_locus(t + 0.01));
    let (du, dv) = (at.0 - next.0, at.1 - next.1);
    let length = libm::hypot(du, dv);
    let (u, v) = (at.0 - duv * dv / length, at.1 + duv * du / length);
    Uniform { u, v: v * 1.5 }.chromaticity()
}

/// Duv at the centre of the usual white bins: 57700/T² − 44.6/T + 0.00854 from 2870 K on, 0 below.
///
/// Source: ANSI C78.377, from memory.
pub fn usual_duv(temperature: Kelvin) -> f64 {
    let t = temperature.value();
    if t < 2870.0 { 0.0 } else { 57_700.0 / (t * t) - 44.6 / t + 0.008_54 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whites_return() {
        for (t, duv) in [(2200.0, 0.0), (2700.0, -0.003), (4000.0, 0.001), (6500.0, 0.003), (9000.0, -0.01)] {
            let back = correlated(white(Kelvin::si(t), duv)).unwrap();
            assert!((back.temperature.value() / t - 1.0).abs() < 2e-5, "{t}: {}", back.temperature.value());
            assert!((back.duv - duv).abs() < 5e-7, "{t}: {}", back.duv);
        }
    }

    #[test]
    fn the_search_finds_the_nearest_of_all_rows() {
        for (t, duv) in [(1200.0, 0.03), (1900.0, -0.045), (3100.0, 0.0), (5000.0, 0.049), (12e3, -0.04), (19e3, 0.02)]
        {
            let at = white(Kelvin::si(t), duv).uniform();
            let away = |i: usize| row(i).map_or(f64::INFINITY, |(_, p)| libm::hypot(at.u - p.0, at.v_1960() - p.1));
            let plain = (1..ROWS - 1).min_by(|a, b| away(*a).total_cmp(&away(*b))).unwrap();
            assert_eq!(nearest_row(away), plain, "{t} K, {duv}");
        }
    }

    #[test]
    fn colours_have_no_temperature() {
        for (x, y) in [(0.15, 0.03), (0.2, 0.7), (0.7, 0.29)] {
            assert_eq!(correlated(Chromaticity { x, y }), None);
        }
    }
}
