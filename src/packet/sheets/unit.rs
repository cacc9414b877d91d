//! Sheet `unit`: the record of one lamp: what it should show, what it shows, who says so.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::readings::readings;
use crate::packet::sheet::TextSize;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "unit",
    title: "Unit record",
    moment: "filled in once for each lamp, and kept",
    template_name: "sheets/unit.md",
    template: include_str!("../../../templates/sheets/unit.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required: |bench| bench.lamp.driver.channels.iter().map(|c| c.name.clone()).collect(),
};

fn data(bench: &Bench<'_>) -> Value {
    json!({
        "readings": readings(bench),
        "others": !super::dead_tests::all_at_hand(bench),
        // A number only on a traveller, which is of one lamp.
        "unit": Value::Null,
        "feed": if bench.lamp.supply.battery.is_some() { "Battery" } else { "Supply" },
        "mains": bench.solution.line.is_some(),
        "revision": bench.identity.revision,
        "digest": bench.identity.digest,
    })
}
