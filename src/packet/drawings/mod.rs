//! Every drawing of a lamp, in paper millimetres.

use std::collections::BTreeMap;

use super::bench::Bench;
use super::drawing::Drawing;

/// Drawings for the sheets, by name.
pub fn all(_bench: &Bench<'_>) -> BTreeMap<String, Drawing> {
    BTreeMap::new()
}

/// Drawings for a machine: the cut layer alone, at full size.
pub fn machine(_bench: &Bench<'_>) -> BTreeMap<String, Drawing> {
    BTreeMap::new()
}
