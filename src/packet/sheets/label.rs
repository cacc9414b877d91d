//! Sheet `label`: the rating label at full size, and what its marks mean.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::marks;
use crate::packet::sheet::TextSize;
use crate::physics::conductors::marks::Mark;
use crate::schema::words::Class;
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
    required: |bench| {
        let refusals = bench.refused();
        // What says why there is no label; else the label itself.
        if refusals.is_empty() { vec!["label.svg".to_owned()] } else { refusals }
    },
};

fn data(bench: &Bench<'_>) -> Value {
    let class = class(bench.lamp);
    let mark = |m: &&Mark| json!({ "number": m.number, "meaning": m.meaning, "memory": m.from_memory });
    json!({
        "refused": bench.refused(),
        "lamps": bench.lamps(),
        "earthed": class == Some(Class::I),
        "marks": marks::named(bench).iter().map(mark).collect::<Vec<_>>(),
    })
}
