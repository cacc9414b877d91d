//! Interval arithmetic on figures with a spread: what an expression of toleranced figures may come to at worst.
//! Every operation keeps `low <= nominal <= high`.

use super::document::Spread;

/// From the corners of an operation and its nominal result.
fn around(corners: &[f64], nominal: f64, typical: bool) -> Spread {
    let low = corners.iter().copied().fold(nominal, f64::min);
    let high = corners.iter().copied().fold(nominal, f64::max);
    Spread { low, nominal, high, typical }
}

pub(super) fn sum(a: Spread, b: Spread) -> Spread {
    around(&[a.low + b.low, a.high + b.high], a.nominal + b.nominal, a.typical && b.typical)
}

pub(super) fn negative(a: Spread) -> Spread {
    Spread { low: -a.high, nominal: -a.nominal, high: -a.low, typical: a.typical }
}

pub(super) fn product(a: Spread, b: Spread) -> Spread {
    let corners = [a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high];
    around(&corners, a.nominal * b.nominal, a.typical && b.typical)
}

/// Nothing where the divisor may be zero.
pub(super) fn quotient(a: Spread, b: Spread) -> Option<Spread> {
    if b.low <= 0.0 && b.high >= 0.0 {
        return None;
    }
    let corners = [a.low / b.low, a.low / b.high, a.high / b.low, a.high / b.high];
    Some(around(&corners, a.nominal / b.nominal, a.typical && b.typical))
}

pub(super) fn least(a: Spread, b: Spread) -> Spread {
    Spread {
        low: a.low.min(b.low),
        nominal: a.nominal.min(b.nominal),
        high: a.high.min(b.high),
        typical: a.typical && b.typical,
    }
}

pub(super) fn most(a: Spread, b: Spread) -> Spread {
    negative(least(negative(a), negative(b)))
}

/// Nothing where the figure may be negative.
pub(super) fn root(a: Spread) -> Option<Spread> {
    (a.low >= 0.0).then(|| Spread {
        low: a.low.sqrt(),
        nominal: a.nominal.sqrt(),
        high: a.high.sqrt(),
        typical: a.typical,
    })
}

/// `a ± t`, `t` in the unit of `a`.
pub(super) fn widened(a: Spread, t: f64) -> Spread {
    let t = t.abs();
    Spread { low: a.low - t, high: a.high + t, ..a }
}
