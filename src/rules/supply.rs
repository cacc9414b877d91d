//! Rules about the extra-low voltage supply.

use super::rule::Rule;

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[];
