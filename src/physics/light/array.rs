//! Evenness of direct light from a large array of Lambertian dice on a plane in front of it.
//! Exact row sums, added row by row; no walls, no blur of the sheet.

use std::f64::consts::PI;

/// Rows added one by one on each side; the rest is an integral.
const ROWS: i32 = 200;
/// Above this the hyperbolic functions of a row are 1 to the last digit.
const SATURATED: f64 = 40.0;

/// How the dice lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// A square grid without end.
    SquareGrid,
    /// A single line without end; evenness along the line below it.
    Line,
}

/// Σ over all whole a of 1/((a − x)² + c²)², from the derivative of
/// Σ 1/((a − x)² + c²) = (π/c) sinh 2πc/(cosh 2πc − cos 2πx).
fn row_sum(x: f64, c: f64) -> f64 {
    let (u, cosine) = (2.0 * PI * c, libm::cos(2.0 * PI * x));
    let (value, slope) = if u > SATURATED {
        (1.0, 0.0)
    } else {
        let (sinh, cosh) = (libm::sinh(u), libm::cosh(u));
        let spread = cosh - cosine;
        (sinh / spread, (1.0 - cosh * cosine) / (spread * spread))
    };
    (PI * value / (c * c) - 2.0 * PI * PI * slope / c) / (2.0 * c)
}

/// Illuminance at (x, y) in pitches by the mean of the grid; `h` is the distance of the plane in pitches.
///
/// E ∝ Σ h²/(r² + h²)², the cosine of the die and that of the plane. The mean of the sum is π.
pub fn grid_illuminance(x: f64, y: f64, h: f64) -> f64 {
    let near: f64 = (-ROWS..=ROWS)
        .map(|b| {
            let off = f64::from(b) - y;
            h * h * row_sum(x, libm::sqrt(off * off + h * h))
        })
        .sum();
    // Far rows are π/(2c³) each; from half a pitch beyond the last, the integral on either side.
    let far = |edge: f64| PI / 2.0 * (1.0 - edge / libm::sqrt(edge * edge + h * h));
    let last = f64::from(ROWS) + 0.5;
    (near + far(last - y) + far(last + y)) / PI
}

/// Illuminance below the line at x in pitches, by the mean along the line; `h` in pitches.
pub fn line_illuminance(x: f64, h: f64) -> f64 {
    // The mean of Σ h²/((a − x)² + h²)² along the line is π/(2h).
    h * h * row_sum(x, h) * 2.0 * h / PI
}

/// Least by greatest illuminance, which is midpoint by on-axis, at distance by pitch `d_by_p`.
///
/// 0 for no distance; grows towards 1. Point-like dice: distance at least five times their size (1 % then).
pub fn evenness(layout: Layout, d_by_p: f64) -> f64 {
    if d_by_p <= 0.0 {
        return 0.0;
    }
    match layout {
        Layout::SquareGrid => grid_illuminance(0.5, 0.5, d_by_p) / grid_illuminance(0.0, 0.0, d_by_p),
        Layout::Line => line_illuminance(0.5, d_by_p) / line_illuminance(0.0, d_by_p),
    }
}

/// Distance by pitch that an evenness needs, by bisection between 0.05 and 4; `None` outside 0 to 0.999.
pub fn distance_needed(layout: Layout, wanted: f64) -> Option<f64> {
    if !(0.0..=0.999).contains(&wanted) {
        return None;
    }
    let (mut low, mut high) = (0.05, 4.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if evenness(layout, middle) < wanted { low = middle } else { high = middle }
    }
    Some(high)
}

/// How even direct light will look through an opal sheet that lets through at most 60 % (our guideline).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Look {
    /// Even.
    Even,
    /// Patches can be seen.
    Patchy,
    /// Dots.
    Dots,
}

/// From 0.85 even, from 0.60 patchy, below dots (our guideline).
pub fn look(evenness: f64) -> Look {
    match evenness {
        e if e >= 0.85 => Look::Even,
        e if e >= 0.60 => Look::Patchy,
        _ => Look::Dots,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn row_sums_are_the_sums_they_stand_for() {
        for (x, c) in [(0.0, 0.3), (0.5, 0.5), (0.2, 1.1), (0.5, 3.0)] {
            let plain: f64 = (-20_000..=20_000)
                .map(|a| {
                    let q = (f64::from(a) - x) * (f64::from(a) - x) + c * c;
                    1.0 / (q * q)
                })
                .sum();
            assert!((row_sum(x, c) / plain - 1.0).abs() < 1e-11, "{x} {c}");
        }
    }

    #[test]
    fn the_mean_over_a_cell_is_one() {
        for h in [0.4, 0.8] {
            let n = 24;
            let mut sum = 0.0;
            for i in 0..n {
                for j in 0..n {
                    let at = |k: i32| (f64::from(k) + 0.5) / f64::from(n);
                    sum += grid_illuminance(at(i), at(j), h);
                }
            }
            assert!((sum / f64::from(n * n) - 1.0).abs() < 1e-9, "{h}: {}", sum / f64::from(n * n));
        }
    }

    #[test]
    fn distance_is_the_inverse_of_evenness() {
        for layout in [Layout::SquareGrid, Layout::Line] {
            for wanted in [0.3, 0.6, 0.85, 0.95] {
                let distance = distance_needed(layout, wanted).unwrap();
                assert!((evenness(layout, distance) - wanted).abs() < 1e-9);
            }
            assert_eq!(distance_needed(layout, 1.0), None);
            assert_eq!(evenness(layout, 0.0), 0.0);
        }
    }

    #[test]
    fn looks_follow_the_scale() {
        assert_eq!([look(0.85), look(0.62), look(0.59)], [Look::Even, Look::Patchy, Look::Dots]);
    }
}
