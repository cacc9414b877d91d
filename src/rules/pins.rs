//! Rules about the controller's pins.

use super::rule::Rule;

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[];
