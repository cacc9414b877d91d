//! Sheet `wire-labels`: flags for both ends of every wire, the pieces to cut for all lamps, and what each terminal holds.

use serde_json::{Value, json};

use super::wiring::{colour, size};
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::packet::terms::{bought, length as taped};
use crate::quantity::Metres;
use crate::solve::wires::{Reel, Terminal, Wire, reel_path, reels, terminals};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "wire-labels",
    title: "Wire labels and cut list",
    moment: "cutting and labelling, before the first wire is fitted",
    template_name: "sheets/wire-labels.md",
    template: include_str!("../../../templates/sheets/wire-labels.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| !bench.solution.wires.is_empty(),
    data,
    required: |bench| terminals(bench.lamp, &bench.solution.wires).into_iter().map(|t| t.name).collect(),
};

fn data(bench: &Bench<'_>) -> Value {
    let lamps = bench.lamps();
    let wires = &bench.solution.wires;
    let cuts: Vec<Value> = reels(wires)
        .iter()
        .map(|reel| {
            let of_reel: Vec<&Wire> = wires.iter().filter(|w| reel.numbers.contains(&w.number.as_str())).collect();
            json!({
                "colour": colour(bench, reel.wire.colour), "size": size(bench, reel.wire), "buy": buy(bench, reel),
                "pieces": pieces(bench, &of_reel, lamps),
            })
        })
        .collect();
    json!({ "cuts": cuts, "lamps": lamps, "terminals": in_columns(&by_part(bench)) })
}

/// Every terminal with what it holds, those of one part together: so they are looked at.
fn by_part(bench: &Bench<'_>) -> Vec<Value> {
    let all = terminals(bench.lamp, &bench.solution.wires);
    let part = |t: &Terminal| t.name.split_once('.').map_or("", |(part, _)| part).to_owned();
    let mut parts: Vec<String> = Vec::new();
    for terminal in &all {
        if !parts.contains(&part(terminal)) {
            parts.push(part(terminal));
        }
    }
    let of = parts.iter().flat_map(|name| all.iter().filter(move |t| part(t) == **name));
    let held = |t: &Terminal| if t.holds() == 0 { "empty".to_owned() } else { t.held(bench.term("cord")).join(", ") };
    of.map(|t| json!({ "name": t.name, "wires": held(t) })).collect()
}

/// How many terminals stand side by side.
const COLUMNS: usize = 3;

/// So many of them in a row, read down the left column first.
fn in_columns(all: &[Value]) -> Vec<Value> {
    let rows = all.len().div_ceil(COLUMNS);
    (0..rows)
        .map(|row| (0..COLUMNS).map(|column| all.get(row + column * rows)).collect())
        .map(|row: Vec<_>| json!(row))
        .collect()
}

/// Length to buy, as the region's shops sell it.
pub(super) fn buy(bench: &Bench<'_>, reel: &Reel<'_>) -> String {
    let path = reel_path(reel);
    let length = bench.solution.ledger.get(&path).and_then(|e| e.value).map(Metres::si);
    let shown = bench.shown(&path);
    length.map_or_else(|| shown.clone(), |length| bought(bench.region(), length, &shown))
}

/// Pieces of one length on one line, longest first.
fn pieces(bench: &Bench<'_>, wires: &[&Wire], lamps: u32) -> Vec<Value> {
    let mut sorted = wires.to_vec();
    sorted.sort_by(|a, b| b.length.value().total_cmp(&a.length.value()));
    let alike = sorted.chunk_by(|a, b| a.length == b.length);
    let line = |group: &[&Wire]| {
        let length = group.first().map_or(Metres::ZERO, |w| w.length);
        let numbers: Vec<&str> = group.iter().map(|w| w.number.as_str()).collect();
        let count = u32::try_from(group.len()).unwrap_or(u32::MAX).saturating_mul(lamps);
        json!({ "count": count, "length": taped(bench.region(), length), "numbers": numbers.join(" ") })
    };
    alike.map(line).collect()
}
