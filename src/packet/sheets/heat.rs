//! Sheet `heat`: temperatures in every state, what is held against limits, which rung is short, what would just do.

use serde_json::{Value, json};

use crate::figures::{percent, powers};
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::rungs::title;
use crate::packet::sheet::TextSize;
use crate::schema::words::Side;
use crate::solve::battery::inside;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "heat",
    title: "Heat",
    moment: "design review and soak: how warm each part gets, and which rung is short",
    template_name: "sheets/heat.md",
    template: include_str!("../../../templates/sheets/heat.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.solution.heat.is_ok(),
    data,
    required: |bench| vec![bench.shown("heat.judged.hottest"), bench.shown("heat.inside-power")],
};

fn data(bench: &Bench<'_>) -> Value {
    let Ok(ladder) = &bench.solution.heat else { return Value::Null };
    let states: Vec<Value> = ladder.states.iter().map(|s| json!({ "name": s.name, "title": title(&s.name) })).collect();
    let all = bench.report.margins();
    let margins = all.iter().filter(|(rule, _, _)| rule.name.starts_with("heat/"));
    let limits: Vec<Value> = margins
        .map(|(rule, _, m)| {
            let margin = percent(m.margin);
            json!({ "what": m.what, "value": m.value, "limit": m.limit, "rule": rule.name, "margin": margin })
        })
        .collect();
    let strayed: Vec<Value> = ladder
        .strayed
        .iter()
        .map(|s| {
            let (low, high) = s.range;
            json!({ "body": s.body, "rayleigh": powers(s.rayleigh), "low": powers(low), "high": powers(high) })
        })
        .collect();
    let rises = [
        ("through the body to the air inside", (ladder.inside - ladder.room).value()),
        ("from the air to the sink", (ladder.sink - ladder.inside).value()),
        ("from the sink to the board", (ladder.board - ladder.sink).value()),
    ];
    let longest = rises.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or("", |(what, _)| what);
    json!({
        "states": states,
        "limits": limits,
        "strayed": strayed,
        "longest": longest,
        "fins": ladder.fins.is_some(),
        "best_gap": ladder.fins.as_ref().is_some_and(|fins| fins.best.is_ok()),
        "rungs": ladder.states.last().is_some_and(|s| s.junctions.iter().any(|(_, t)| t.is_ok())),
        "covered": ladder.covered,
        "outside": bench.lamp.sink.as_ref().is_some_and(|s| s.place.value == Some(Side::Outside)),
        "battery": inside(bench.lamp),
        "supply_inside": bench.lamp.supply.place.value != Some(Side::Outside),
    })
}
