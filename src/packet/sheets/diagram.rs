//! Sheet `diagram`: all wires at a glance, to lay beside the lamp while the wiring sheet is worked through.

use serde_json::{Value, json};

use super::wiring::size;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::{ordered, tag};
use crate::packet::sheet::TextSize;
use crate::packet::terms;
use crate::schema::words::Region;
use crate::solve::battery::inside;
use crate::solve::wires::{Wire, WireZone};

/// Wires side by side in the key.
const COLUMNS: usize = 4;

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
    let cell = |wire: &Wire| {
        let cut = terms::length(bench.region(), wire.length, 2);
        let size = if bench.region() == Region::Us { wire.gauge.clone() } else { size(bench, wire) };
        format!("{}, {size}, {cut}", tag(wire))
    };
    let cells: Vec<String> = bench.solution.wires.iter().map(cell).collect();
    let rows: Vec<Vec<String>> = cells
        .chunks(COLUMNS)
        .map(|row| (0..COLUMNS).map(|k| row.get(k).cloned().unwrap_or_default()).collect())
        .collect();
    let mains = bench.solution.wires.iter().any(|w| w.zone == WireZone::Mains);
    let order = ordered(bench);
    let along = order.along.map(|along| json!({ "from": along.from, "to": along.to }));
    let at = |name: &String| {
        let part = if name == "battery" { "supply" } else { name.as_str() };
        let shown = bench.solution.ledger.shown(&format!("fit.{part}.at"))?;
        Some(format!("{name} {}", shown.trim_end_matches(" mm")))
    };
    let places: Vec<String> = order.placed.iter().filter_map(at).collect();
    json!({ "mains": mains, "rows": rows, "battery": inside(bench.lamp), "along": along, "places": places })
}
