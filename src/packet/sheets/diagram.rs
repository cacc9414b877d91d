//! Sheet `diagram`: all wires at a glance, to lay beside the lamp while the wiring sheet is worked through.

use serde_json::{Value, json};

use crate::figures::{fixed, stated};
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::{ordered, tag};
use crate::packet::sheet::TextSize;
use crate::packet::terms;
use crate::schema::words::Region;
use crate::solve::battery::inside;
use crate::solve::wires::{Role, Wire, WireZone};

/// Wires side by side in the key.
const COLUMNS: usize = 6;
/// The same where inches stand before millimetres.
const COLUMNS_US: usize = 4;

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
        let cut = terms::length(bench.region(), wire.length);
        // The one that is as good stands on the wiring sheet.
        let size = if bench.region() == Region::Us { wire.gauge.clone() } else { stated(wire.area.value(), "m²") };
        format!("{}, {size}, {cut}", tag(wire))
    };
    let cells: Vec<String> = bench.solution.wires.iter().map(cell).collect();
    let columns = if bench.region() == Region::Us { COLUMNS_US } else { COLUMNS };
    let rows: Vec<Vec<String>> = cells
        .chunks(columns)
        .map(|row| (0..columns).map(|k| row.get(k).cloned().unwrap_or_default()).collect())
        .collect();
    let order = ordered(bench);
    let along = order.along.map(|along| json!({ "from": along.from, "to": along.to }));
    let at = |name: &String| {
        let part = if name == "battery" { "supply" } else { name.as_str() };
        let entry = format!("layout.{part}.at");
        let path = format!("fit.{part}.at");
        let shown = bench.solution.ledger.shown(&path).or_else(|| bench.solution.ledger.shown(&entry));
        match shown {
            Some(shown) => Some(format!("{name} {}", middle(bench.region(), shown))),
            None if part == "emitter" => Some("emitter on the front of the sink".to_owned()),
            None => None,
        }
    };
    let places: Vec<String> = order.placed.iter().filter_map(at).collect();
    let unit = if bench.region() == Region::Us { "inches, then in mm" } else { "mm" };
    json!({
        "mains": bench.solution.wires.iter().any(|w| w.zone == WireZone::Mains),
        "earth": bench.solution.wires.iter().any(|w| w.role == Role::Earth),
        "rows": rows,
        "battery": inside(bench.lamp),
        "along": along,
        "places": places,
        "unit": unit,
    })
}

/// `(16, 0, -176)` of `(16, 0, -176) mm` or of a point as written; in North America inches before it.
fn middle(region: Region, shown: &str) -> String {
    let millimetres = shown.replace(" mm", "");
    let numbers: Vec<&str> = millimetres.trim_matches(['(', ')']).split(", ").collect();
    let inches: Option<Vec<String>> =
        numbers.iter().map(|n| Some(fixed(n.parse::<f64>().ok()? * 1e-3 / terms::INCH.value(), 2))).collect();
    match inches {
        Some(inches) if region == Region::Us => format!("({}) {millimetres}", inches.join(", ")),
        _ => millimetres,
    }
}
