//! Rules about the mains: what can hurt people.

use super::rule::Rule;

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[];
