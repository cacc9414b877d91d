//! Sheet `unit`: the record of one lamp: what it should show, what it shows, who says so.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::readings::on_paper;
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
    let mains = bench.lamp.mains.as_ref();
    let battery_fuse = bench.lamp.supply.battery.as_ref().is_some_and(|b| b.fuse.is_some());
    let readings = on_paper(bench);
    // A channel of which nothing can be read is named all the same.
    let unread = |name: &&str| !readings.iter().any(|r| r.path.starts_with(&format!("drive.{name}.")));
    let unread: Vec<&str> = bench.lamp.driver.channels.iter().map(|c| c.name.as_str()).filter(unread).collect();
    json!({
        "unread": unread,
        "readings": readings,
        "others": !super::dead_tests::all_at_hand(bench),
        // A number only on a traveller, which is of one lamp.
        "unit": Value::Null,
        "serial": Value::Null,
        "feed": if bench.battery() { "Battery" } else { "Supply" },
        "controller": bench.lamp.controller.is_some(),
        "cord": mains.is_some_and(|m| m.cord.is_some()),
        "fused": battery_fuse || mains.is_some_and(|m| m.fuse.is_some()),
        "revision": bench.identity.revision,
        "digest": bench.identity.digest,
    })
}
