//! Every kind of sheet, in the order of the work at the bench.

mod assumptions;
mod batch;
mod board;
mod checklist;
mod colour;
mod cover;
mod cut;
mod cut_notes;
mod dead_tests;
mod diagram;
mod drill;
mod drive;
mod first_power;
mod handover;
mod heat;
mod label;
mod lid;
mod light;
pub(super) mod parts;
mod parts_wire;
pub(super) mod pins;
mod print;
mod repair;
mod safety;
mod section;
mod soak;
mod unit;
pub(super) mod values;
mod wire_labels;
pub(super) mod wiring;
mod working;

use super::bench::SheetKind;

/// The sheets in the order they are bound.
pub static ALL: &[&SheetKind] = &[
    &cover::SHEET,
    &safety::SHEET,
    &wiring::SHEET,
    &diagram::SHEET,
    &wire_labels::SHEET,
    &cut::SHEET,
    &print::SHEET,
    &drill::SHEET,
    &section::SHEET,
    &values::SHEET,
    &board::SHEET,
    &parts::SHEET,
    &pins::SHEET,
    &drive::SHEET,
    &heat::SHEET,
    &light::SHEET,
    &dead_tests::SHEET,
    &first_power::SHEET,
    &soak::SHEET,
    &colour::SHEET,
    &label::SHEET,
    &lid::SHEET,
    &unit::SHEET,
    &batch::SHEET,
    &handover::SHEET,
    &repair::SHEET,
    &assumptions::SHEET,
    &working::SHEET,
];

/// The record of one lamp, printed once for each lamp of a batch.
pub static UNIT: &SheetKind = &unit::SHEET;

/// The sheet of this name.
pub fn find(name: &str) -> Option<&'static SheetKind> {
    ALL.iter().copied().find(|kind| kind.name == name)
}

/// Whether the working sheets of two lamps say the same.
pub fn works_alike(a: &super::bench::Bench<'_>, b: &super::bench::Bench<'_>) -> bool {
    working::alike(a, b)
}

/// The parts list as data.
pub fn parts_table(bench: &super::bench::Bench<'_>) -> super::sheet::DataTable {
    parts::table(bench)
}

/// The shipped templates by file name.
pub fn templates() -> Vec<(&'static str, &'static str)> {
    ALL.iter().map(|kind| (kind.template_name, kind.template)).collect()
}
