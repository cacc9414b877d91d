//! Sheet `section`: what stands where in the body, with every gap, before anything is glued or screwed.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::fit::gaps;
use crate::packet::sheet::TextSize;
use crate::packet::waived::OF_PLACE;
use crate::rules::report::Raised;
use crate::schema::words::Zone;
use crate::solve::fit::{Fit, Heavy, Part, Source, point};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "section",
    title: "Fit the parts in the body",
    moment: "dry fit: every part in its place before anything is fixed",
    template_name: "sheets/section.md",
    template: include_str!("../../../templates/sheets/section.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.lamp.layout.is_some(),
    data,
    required: |bench| fit(bench).map_or_else(Vec::new, |fit| fit.parts.iter().map(|p| p.name.clone()).collect()),
};

fn fit<'a>(bench: &Bench<'a>) -> Option<&'a Fit> {
    bench.solution.fit.as_ref()?.as_ref().ok()
}

fn data(bench: &Bench<'_>) -> Value {
    let missing = bench.solution.fit.as_ref().and_then(|fit| fit.as_ref().err()).map(|m| m.path.clone());
    let Some(fit) = fit(bench) else { return json!({ "missing": missing, "drawn": false }) };
    let gaps = gaps(bench, fit);
    let slanting = gaps.iter().any(|gap| gap.corner);
    let gaps = gaps
        .into_iter()
        .map(|gap| json!({ "letter": gap.letter, "what": gap.what, "room": gap.room, "wanted": gap.wanted }));
    let balance = bench.solution.balance.as_ref();
    let counted = balance.and_then(|b| b.as_ref().ok()).map_or_else(Vec::new, |balance| {
        let row =
            |heavy: &Heavy| json!({ "name": heavy.name, "mass": bench.shown(&heavy.path), "at": point(&heavy.at) });
        balance.counted.iter().map(row).collect()
    });
    json!({
        "missing": missing,
        "drawn": true,
        "parts": fit.parts.iter().map(|part| row(bench, part)).collect::<Vec<_>>(),
        "gaps": gaps.collect::<Vec<_>>(),
        "slanting": slanting,
        "corridor": matches!(fit.corridor, Some(Ok(_))),
        "entry": fit.entry.is_some(),
        "cord": bench.lamp.mains.as_ref().is_some_and(|mains| mains.cord.is_some()),
        "unplaced": fit.parts.iter().any(|part| part.solid.is_err()),
        "live": fit.parts.iter().any(|part| part.zone == Some(Zone::Mains)),
        "stopped_by": fit.corridor.as_ref().and_then(|c| c.as_ref().ok()?.stopped_by.clone()),
        "counted": counted,
        "balance_missing": balance.and_then(|b| b.as_ref().err()).map(|m| m.path.clone()),
        "faults": faults(bench),
    })
}

fn row(bench: &Bench<'_>, part: &Part) -> Value {
    let path = |what: &str| format!("fit.{}.{what}", part.name);
    json!({
        "name": part.name,
        "at": bench.shown(&path("at")),
        "lies": bench.shown(&path("lies")),
        "near": bench.shown(&path("near")),
        "zone": match (part.zone, part.closed) {
            _ if !bench.mains() => "extra-low voltage",
            (Some(Zone::Mains), true) => "mains, closed",
            (Some(Zone::Mains), false) => "mains",
            (Some(Zone::LowVoltage), _) => "extra-low voltage",
            (None, _) => "unknown",
        },
        "by": match part.source {
            Source::Author => "the spec",
            Source::Emitter => "the emitter's distance",
            Source::Program => "the program",
        },
    })
}

/// With a capital at its start; what stands between backticks keeps its letters.
fn sentence(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

/// What the rules about places say that no waiver lets through: what one does stands in a panel of its own.
fn faults(bench: &Bench<'_>) -> Vec<Value> {
    let standing = bench.report.standing().into_iter().filter(|raised| OF_PLACE.contains(&raised.rule.name));
    let fault = |raised: Raised<'_>| {
        json!({
            "signal": raised.rule.signal.word(),
            "message": sentence(&raised.finding.message),
            "fix": sentence(&raised.finding.fix),
        })
    };
    standing.map(fault).collect()
}
