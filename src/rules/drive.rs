//! Rules about currents, loops and parts of the drive.

use super::rule::Rule;

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[];
