//! Worst case and spread of a result over tolerances: exact corners, and the root of the sum of squares.
//! Turns a model of relative positions, −1 to 1 within each tolerance, into guaranteed and likely limits.

use crate::quantity::Quantity;

/// Smallest and largest value over all tolerances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes<Q> {
    /// Smallest.
    pub low: Q,
    /// Largest.
    pub high: Q,
    /// Whether every corner was evaluated and none lay outside the two that the slopes pointed to.
    pub monotone: bool,
}

/// Up to this many parameters every corner is evaluated.
const MOST_FOR_ALL_CORNERS: usize = 12;

/// Limits of a model that rises or falls in each of `count` parameters throughout.
///
/// The model takes each parameter's position within its tolerance, −1 at the lower end, 0 at nominal, 1 at the
/// upper end. The sign of each slope picks two corners, which are exact for a monotone model. With at most
/// 12 parameters all 2^k corners are evaluated as well and the outermost are returned.
/// Base every decision about safety on these limits, not on the root of the sum of squares.
pub fn worst_case<Q: Quantity>(count: usize, model: impl Fn(&[f64]) -> Q) -> Extremes<Q> {
    let signs = slope_signs(count, &model);
    let opposite: Vec<f64> = signs.iter().map(|s| -s).collect();
    let (low, high) = (model(&opposite).value(), model(&signs).value());
    if count > MOST_FOR_ALL_CORNERS {
        return Extremes { low: Q::si(low), high: Q::si(high), monotone: false };
    }
    let (least, most) = all_corners(count, &model);
    let room = 1e-12 * low.abs().max(high.abs());
    let monotone = least >= low - room && most <= high + room;
    Extremes { low: Q::si(low.min(least)), high: Q::si(high.max(most)), monotone }
}

/// The sign of each parameter's effect from one end of its tolerance to the other.
fn slope_signs<Q: Quantity>(count: usize, model: &impl Fn(&[f64]) -> Q) -> Vec<f64> {
    let mut position = vec![0.0; count];
    let mut value_at = |index: usize, side: f64| {
        if let Some(p) = position.get_mut(index) {
            *p = side;
        }
        let value = model(&position).value();
        if let Some(p) = position.get_mut(index) {
            *p = 0.0;
        }
        value
    };
    (0..count).map(|i| if value_at(i, 1.0) >= value_at(i, -1.0) { 1.0 } else { -1.0 }).collect()
}

fn all_corners<Q: Quantity>(count: usize, model: &impl Fn(&[f64]) -> Q) -> (f64, f64) {
    let mut limits = (f64::INFINITY, f64::NEG_INFINITY);
    for corner in 0..1_u32 << count {
        let position: Vec<f64> = (0..count).map(|i| if corner >> i & 1 == 1 { 1.0 } else { -1.0 }).collect();
        let value = model(&position).value();
        limits = (limits.0.min(value), limits.1.max(value));
    }
    limits
}

/// `√(Σ c_i²)` of contributions `c_i = ∂I/∂x_i·a_i`: the root of the sum of squares of the tolerances.
///
/// Valid for independent parameters and a model that is nearly straight over its tolerances.
pub fn root_sum_square<Q: Quantity>(contributions: &[Q]) -> Q {
    Q::si(contributions.iter().map(|c| c.value() * c.value()).sum::<f64>().sqrt())
}

/// `u = √(Σ c_i²)/√3`: standard uncertainty when every parameter may lie anywhere within its tolerance alike.
///
/// The expanded uncertainty for about 95 % is 2u. Source: JCGM 100:2008, 4.3.7.
pub fn standard_uncertainty<Q: Quantity>(contributions: &[Q]) -> Q {
    Q::si(root_sum_square(contributions).value() / 3f64.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Amperes, Ratio};

    #[test]
    fn a_bent_model_is_found_out() {
        // At the corners of this saddle the product is larger than the slopes at nominal can tell.
        let saddle = |p: &[f64]| Ratio::si(0.1 * p[0] + 0.1 * p[1] + p[0] * p[1]);
        let extremes = worst_case(2, saddle);
        assert!(!extremes.monotone);
        assert!((extremes.low.value() + 1.0).abs() < 1e-15 && (extremes.high.value() - 1.2).abs() < 1e-15);
    }

    #[test]
    fn a_straight_model_adds_its_tolerances() {
        let straight = |p: &[f64]| Amperes::si(1.0 + 0.1 * p[0] - 0.2 * p[1] + 0.05 * p[2]);
        let extremes = worst_case(3, straight);
        assert!(extremes.monotone);
        assert!((extremes.low.value() - 0.65).abs() < 1e-15 && (extremes.high.value() - 1.35).abs() < 1e-15);
    }

    #[test]
    fn beyond_twelve_parameters_the_slopes_decide() {
        let many = |p: &[f64]| Ratio::si(p.iter().sum());
        let extremes = worst_case(13, many);
        assert_eq!((extremes.low.value(), extremes.high.value(), extremes.monotone), (-13.0, 13.0, false));
    }

    #[test]
    fn squares_add() {
        let contributions = [Amperes::si(3e-3), Amperes::si(-4e-3)];
        assert!((root_sum_square(&contributions).value() - 5e-3).abs() < 1e-17);
        assert!((standard_uncertainty(&contributions).value() - 5e-3 / 3f64.sqrt()).abs() < 1e-17);
    }
}
