//! Every drawing of a lamp, in paper millimetres.

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
pub mod label;
mod lid;
mod margins;
pub mod marks;
pub(in crate::packet) mod openings;
pub mod outline;
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

/// Drawings for the sheets, by name.
pub fn all(bench: &Bench<'_>) -> BTreeMap<String, Drawing> {
    let made = [
        outline::diffuser(bench),
        stock::stock(bench),
        dry_run::dry_run(bench),
        front::front(bench),
        section::section(bench),
        margins::margins(bench),
        label::rating(bench),
        lid::card(bench),
        wiring::diagram(bench),
        faces::faces(bench),
        tags::tags(bench),
        heat::ladder(bench),
        heat::warm_up(bench),
        rungs::rungs(bench),
        rungs::fins(bench),
        budget::budget(bench),
        chromaticity::chromaticity(bench),
        evenness::evenness(bench),
    ];
    made.into_iter()
        .flatten()
        .chain(wave::all(bench))
        .chain(fit::all(bench))
        .chain(board::all(bench))
        .chain(drill::all(bench))
        .map(|drawing| (drawing.name.clone(), drawing))
        .collect()
}

/// Whether the body's sizes are known, so that the cover has its views.
pub(super) fn has_views(bench: &Bench<'_>) -> bool {
    body::shell(bench.lamp).is_ok()
}

/// Drawings for a machine: the cut layer alone, at full size.
pub fn machine(bench: &Bench<'_>) -> BTreeMap<String, Drawing> {
    outline::machine(bench).into_iter().map(|drawing| (drawing.name.clone(), drawing)).collect()
}
