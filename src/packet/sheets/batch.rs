//! Sheet `batch`: lamps down, stations across; one glance shows which lamp waits where.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "batch",
    title: "Batch",
    moment: "on the wall while several lamps are built at once",
    template_name: "sheets/batch.md",
    template: include_str!("../../../templates/sheets/batch.md"),
    size: TextSize::Body,
    landscape: true,
    applies: |bench| bench.lamps() > 1,
    data,
    required: |bench| stations(bench).into_iter().map(str::to_owned).collect(),
};

/// Lamps on one sheet; those beyond have a sheet of their own, printed again.
const ROWS: u32 = 40;

/// Stations that this lamp passes, in order.
fn stations(bench: &Bench<'_>) -> Vec<&'static str> {
    let sheet = bench.lamp.diffuser.is_some();
    let all = [
        (sheet, "sheet cut"),
        (true, "body made"),
        (true, "board soldered"),
        (true, "wires fitted"),
        (true, "wires followed"),
        (true, "dead tests"),
        (true, "first power"),
        (true, "soak"),
        (true, "tests again"),
        (true, "label"),
    ];
    all.into_iter().filter(|(has, _)| *has).map(|(_, name)| name).collect()
}

fn data(bench: &Bench<'_>) -> Value {
    let units: Vec<u32> = (1..=bench.lamps().min(ROWS)).collect();
    json!({ "stations": stations(bench), "units": units, "lamps": bench.lamps() })
}
