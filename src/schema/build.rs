//! Short constructors for the schema's rows, so that a table reads as a table.

use super::{Choice, Default, Dimension, Property, Shape};

/// A property of this shape, absent unless written.
pub const fn property(name: &'static str, shape: Shape, doc: &'static str) -> Property {
    Property { name, shape, default: Default::Absent, usual: None, bounds: None, doc }
}

/// A quantity that cannot be negative.
pub const fn quantity(name: &'static str, dimension: Dimension, doc: &'static str) -> Property {
    property(name, Shape::Quantity(dimension), doc).within(0.0, f64::INFINITY)
}

/// One of these words.
pub const fn word(name: &'static str, choices: &'static [Choice], doc: &'static str) -> Property {
    property(name, Shape::Word(choices), doc)
}

/// `yes` or `no`.
pub const fn yes_no(name: &'static str, doc: &'static str) -> Property {
    property(name, Shape::YesNo, doc)
}

/// A whole number, at least 1.
pub const fn count(name: &'static str, doc: &'static str) -> Property {
    property(name, Shape::Count, doc).within(1.0, 1e6)
}

impl Property {
    /// Must be written.
    pub const fn required(mut self) -> Self {
        self.default = Default::Required;
        self
    }
    /// Stands for this when not written.
    pub const fn is(mut self, text: &'static str) -> Self {
        self.default = Default::Is(text);
        self
    }
    /// Outside this range (SI) a maker most likely slipped.
    pub const fn usual(mut self, low: f64, high: f64) -> Self {
        self.usual = Some((low, high));
        self
    }
    /// Outside this range (SI) the figure has no meaning.
    pub const fn within(mut self, low: f64, high: f64) -> Self {
        self.bounds = Some((low, high));
        self
    }
    /// May be below zero.
    pub const fn signed(mut self) -> Self {
        self.bounds = None;
        self
    }
}
