//! Sheet `lid`: the card for the inside of the lid, in letters that can be read while the lamp hangs open.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::label::refused;
use crate::packet::sheet::TextSize;
use crate::schema::words::Word;
use crate::solve::label::class;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "lid",
    title: "Inside the lid",
    moment: "cut out and stuck inside the lid, for whoever opens the lamp",
    template_name: "sheets/lid.md",
    template: include_str!("../../../templates/sheets/lid.md"),
    size: TextSize::Card,
    landscape: false,
    applies: |_| true,
    data,
    required: |bench| match refused(bench) {
        none if none.is_empty() => bench.solution.channels.iter().map(|c| c.name.clone()).collect(),
        messages => messages,
    },
};

fn data(bench: &Bench<'_>) -> Value {
    let channels: Vec<Value> =
        bench.solution.channels.iter().map(|c| json!({ "name": c.name, "current": current(bench, &c.name) })).collect();
    json!({
        "refused": refused(bench),
        "mains": bench.solution.line.is_some(),
        "battery": bench.lamp.supply.battery.is_some(),
        "class": class(bench.lamp).map(Word::word),
        "channels": channels,
        "name": bench.lamp.name,
        "revision": bench.identity.revision,
        "digest": bench.identity.digest,
    })
}

/// Highest current of a string; where the emitter shares its anodes, of the wire on the other side.
fn current(bench: &Bench<'_>, channel: &str) -> String {
    let ends = ["plus", "minus"].map(|end| format!("wire.{channel}-{end}.current"));
    let shown = ends.iter().find_map(|path| bench.solution.ledger.shown(path));
    shown.unwrap_or("–").to_owned()
}
