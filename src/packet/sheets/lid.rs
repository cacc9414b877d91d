//! Sheet `lid`: the card for the inside of the lid at full size; its words are the drawing's.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "lid",
    title: "Inside the lid",
    moment: "cut out and stuck inside the lid, for whoever opens the lamp",
    template_name: "sheets/lid.md",
    template: include_str!("../../../templates/sheets/lid.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required: |bench| match bench.refused() {
        none if none.is_empty() => {
            let card = std::iter::once("lid-card".to_owned());
            card.chain(bench.solution.channels.iter().map(|c| c.name.clone())).collect()
        }
        messages => messages,
    },
};

fn data(bench: &Bench<'_>) -> Value {
    json!({
        "refused": bench.refused(),
        "mains": bench.mains(),
        "battery": bench.battery(),
        "lamps": bench.lamps(),
        "channels": bench.solution.channels.iter().map(|c| c.name.clone()).collect::<Vec<_>>(),
    })
}
