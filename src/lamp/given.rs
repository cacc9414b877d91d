//! A figure as the author gave it: known, said to be unknown, or not said, with the place and path it has in the spec.

use crate::diag::Span;
use crate::quantity::Quantity;
use crate::spread::Spread;

/// A figure that something needs and nobody gave.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Missing {
    /// Its path in the spec: `supply.open-circuit`.
    pub path: String,
    /// Where it was said to be unknown, or where it could be written.
    pub span: Span,
    /// The author wrote `unknown`.
    pub unknown: bool,
}

impl Missing {
    /// A figure of ours that cannot be worked out; `span` is the nearest place in the spec.
    pub fn of(path: impl Into<String>, span: Span) -> Self {
        Self { path: path.into(), span, unknown: false }
    }
}

impl From<&Missing> for Missing {
    fn from(missing: &Missing) -> Self {
        missing.clone()
    }
}

/// A value, or the figure that is missing for it.
pub type Found<T> = Result<T, Missing>;

/// What the author said about one property.
#[derive(Debug, Clone, PartialEq)]
pub struct Given<T> {
    /// The value, where there is one.
    pub value: Option<T>,
    /// The author wrote `unknown`.
    pub unknown: bool,
    /// Written in the spec or in a part, not a default.
    pub written: bool,
    /// Path in the spec.
    pub path: String,
    /// Place in the spec.
    pub span: Span,
}

impl<T> Given<T> {
    /// The value, or what is missing.
    pub fn known(&self) -> Found<&T> {
        self.value.as_ref().ok_or_else(|| self.missing())
    }
    /// What is missing where it is missing.
    pub fn missing(&self) -> Missing {
        Missing { path: self.path.clone(), span: self.span, unknown: self.unknown }
    }
    /// Whether a value was given.
    pub fn is_known(&self) -> bool {
        self.value.is_some()
    }
    /// Whether nobody spoke of it: neither a value nor `unknown`.
    pub fn is_left_out(&self) -> bool {
        self.value.is_none() && !self.unknown
    }
}

impl<T: Copy> Given<T> {
    /// The value itself, or what is missing.
    pub fn get(&self) -> Found<T> {
        self.known().copied()
    }
}

impl<Q: Quantity> Given<Spread<Q>> {
    /// The nominal value.
    pub fn nominal(&self) -> Found<Q> {
        self.known().map(|s| s.nominal)
    }
    /// The lowest value.
    pub fn low(&self) -> Found<Q> {
        self.known().map(|s| s.low)
    }
    /// The highest value.
    pub fn high(&self) -> Found<Q> {
        self.known().map(|s| s.high)
    }
}
