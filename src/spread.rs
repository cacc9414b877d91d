//! A figure with what it may vary between, carried through by interval arithmetic.

use serde::Serialize;

use crate::figures::between;
use crate::quantity::Quantity;

/// Lowest, nominal and highest value; `low <= nominal <= high`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread<Q> {
    /// The lowest.
    pub low: Q,
    /// The typical or stated value.
    pub nominal: Q,
    /// The highest.
    pub high: Q,
}

impl<Q: Quantity> Spread<Q> {
    /// A figure without a stated spread.
    pub const fn exact(value: Q) -> Self {
        Self { low: value, nominal: value, high: value }
    }

    /// A nominal value with a relative tolerance both ways.
    pub fn within(nominal: Q, tolerance: f64) -> Self {
        let v = nominal.value();
        let reach = v.abs() * tolerance;
        Self { low: Q::si(v - reach), nominal, high: Q::si(v + reach) }
    }

    /// Whether a spread was stated at all.
    pub fn is_exact(&self) -> bool {
        self.low.value() == self.high.value()
    }

    /// A function that never falls as its argument rises.
    pub fn map<R: Quantity>(&self, f: impl Fn(Q) -> R) -> Spread<R> {
        Spread { low: f(self.low), nominal: f(self.nominal), high: f(self.high) }
    }

    /// As printed: one figure where no spread was stated, else `low to high`.
    pub fn show(&self) -> String {
        if self.is_exact() { self.nominal.show() } else { between(&self.low.show(), &self.high.show()) }
    }
}
