//! Sheet `diagram`: all wires at a glance, to lay beside the lamp while the wiring sheet is worked through.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::solve::wires::WireZone;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "diagram",
    title: "Wiring diagram",
    moment: "beside the lamp while wires are fitted and followed",
    template_name: "sheets/diagram.md",
    template: include_str!("../../../templates/sheets/diagram.md"),
    size: TextSize::Body,
    landscape: true,
    applies: |bench| !bench.solution.wires.is_empty(),
    data,
    required: |_| vec!["wiring-diagram".to_owned()],
};

fn data(bench: &Bench<'_>) -> Value {
    json!({ "mains": bench.solution.wires.iter().any(|w| w.zone == WireZone::Mains) })
}
