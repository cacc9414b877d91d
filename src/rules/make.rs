//! Rules about cutting the sheet and fitting it.

use super::rule::Rule;

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[];
