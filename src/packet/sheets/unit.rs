//! Sheet `unit`: the record of one lamp: what it should show, what it shows, who says so.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::schema::words::Class;
use crate::solve::label::class;

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
        "feed": if bench.lamp.supply.battery.is_some() { "Battery" } else { "Supply" },
        "mains": bench.solution.line.is_some(),
        "revision": bench.identity.revision,
        "digest": bench.identity.digest,
    })
}

/// What is read on a finished lamp, with what this lamp should show; what has no figure has no row.
pub(super) fn readings(bench: &Bench<'_>) -> Vec<Value> {
    let mut rows = Vec::new();
    let mut add = |what: String, path: &str, unit: &str, most: bool| {
        if bench.solution.ledger.get(path).is_some() {
            rows.push(json!({ "what": what, "path": path, "unit": unit, "most": most }));
        }
    };
    if class(bench.lamp) == Some(Class::I) {
        add("earth pin to each touchable metal part".into(), "line.earth-most", "Ω", true);
    }
    let feed = if bench.lamp.supply.battery.is_some() { "battery" } else { "supply" };
    add(format!("{feed}'s output under load"), "supply.output", "V", false);
    add(format!("current from the {feed} at rest"), "feed.idle", "mA", false);
    for channel in &bench.lamp.driver.channels {
        let name = &channel.name;
        add(format!("{name}: string current at full"), &format!("drive.{name}.current"), "mA", false);
        add(format!("{name}: string voltage at full"), &format!("drive.{name}.string"), "V", false);
    }
    if bench.solution.line.is_some() {
        add("power from the mains, all at full".into(), "feed.mains", "W", false);
    }
    add("wall, after the soak, warmest room".into(), "heat.wall", "°C", true);
    add("sink, after the soak, warmest room".into(), "heat.sink", "°C", true);
    rows
}
