//! Every drawing of a lamp, in paper millimetres.

pub(in crate::packet) mod bars;
mod board;
mod body;
mod boxes;
mod budget;
mod callouts;
mod chromaticity;
pub(in crate::packet) mod drill;
mod drill_round;
mod dry_run;
mod evenness;
mod faces;
pub(in crate::packet) mod fit;
mod front;
pub(in crate::packet) mod heat;
mod label;
mod lid;
pub(in crate::packet) mod margins;
pub(in crate::packet) mod marks;
pub(in crate::packet) mod openings;
mod outline;
pub mod pen;
pub(super) mod points;
pub(super) mod rungs;
mod section;
mod stock;
mod tags;
pub mod text;
pub(in crate::packet) mod wave;
mod wiring;

pub(in crate::packet) use wiring::{ordered, tag};

use std::collections::BTreeMap;

use super::bench::Bench;
use super::drawing::Drawing;

/// A drawing by its name, and what makes it.
type One = (&'static str, fn(&Bench<'_>) -> Option<Drawing>);
/// Drawings whose names begin alike, and what makes them.
type Family = (&'static str, fn(&Bench<'_>) -> Vec<Drawing>);

static SINGLE: [One; 19] = [
    ("diffuser", outline::diffuser),
    ("stock", stock::stock),
    ("dry-run", dry_run::dry_run),
    ("cover-front", front::front),
    ("cover-section", section::section),
    ("margins", margins::margins),
    ("label", label::rating),
    ("lid-card", lid::card),
    ("wiring-diagram", wiring::diagram),
    ("connector-faces", faces::faces),
    ("wire-labels", tags::tags),
    ("ladder", heat::ladder),
    ("warm-up", heat::warm_up),
    ("rungs", rungs::rungs),
    ("fins", rungs::fins),
    ("light-budget", budget::budget),
    ("chromaticity", chromaticity::chromaticity),
    ("evenness", evenness::evenness),
    ("pulses", wave::pulses),
];
static FAMILIES: [Family; 4] =
    [("current-", wave::currents), ("fit-", fit::all), ("board-", board::all), ("drill-", drill::all)];

/// Drawings by name that are wanted by what their names begin with: whoever asks for a few sheets waits for no others.
pub fn all(bench: &Bench<'_>, wanted: &dyn Fn(&str) -> bool) -> BTreeMap<String, Drawing> {
    let single = SINGLE.iter().filter(|(name, _)| wanted(name)).filter_map(|(_, draw)| draw(bench));
    let families = FAMILIES.iter().filter(|(start, _)| wanted(start)).flat_map(|(_, draw)| draw(bench));
    single.chain(families).map(|drawing| (drawing.name.clone(), drawing)).collect()
}

/// Whether the body's sizes are known, so that the cover has its views.
pub(super) fn has_views(bench: &Bench<'_>) -> bool {
    body::shell(bench.lamp).is_ok()
}

/// Drawings for a machine: the cut layer alone, at full size.
pub fn machine(bench: &Bench<'_>) -> BTreeMap<String, Drawing> {
    outline::machine(bench).into_iter().map(|drawing| (drawing.name.clone(), drawing)).collect()
}
