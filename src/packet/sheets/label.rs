//! Sheet `label`: the rating label at full size, and the card for the inside of the lid.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::label::refused;
use crate::packet::drawings::marks;
use crate::packet::sheet::TextSize;
use crate::schema::words::{Class, Word};
use crate::solve::label::class;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "label",
    title: "Rating label",
    moment: "cut out and stuck in the lamp",
    template_name: "sheets/label.md",
    template: include_str!("../../../templates/sheets/label.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required: refused,
};

fn data(bench: &Bench<'_>) -> Value {
    let class = class(bench.lamp);
    let channels: Vec<Value> =
        bench.solution.channels.iter().map(|c| json!({ "name": c.name, "current": current(bench, &c.name) })).collect();
    json!({
        "refused": refused(bench),
        "mains": bench.solution.line.is_some(),
        "battery": bench.lamp.supply.battery.is_some(),
        "class": class.map(Word::word),
        "earthed": class == Some(Class::I),
        "channels": channels,
        "marks": marks::named(bench).iter().map(|m| json!({ "number": m.number, "meaning": m.meaning, "memory": m.from_memory })).collect::<Vec<_>>(),
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
