//! Sheet `working`: every number with its formula, the numbers put in, and its source.

use serde_json::{Value, json};

use crate::ledger::{Entry, Ledger, Origin};
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "working",
    title: "Working",
    moment: "design review: how each number came about",
    template_name: "sheets/working.md",
    template: include_str!("../../../templates/sheets/working.md"),
    size: TextSize::Dense,
    landscape: false,
    applies: |_| true,
    data,
    required: |_| Vec::new(),
};

fn data(bench: &Bench<'_>) -> Value {
    let ledger = &bench.solution.ledger;
    let (mut given, mut found) = (Vec::new(), Vec::new());
    for entry in ledger.iter() {
        match &entry.origin {
            Origin::Given { text, place, .. } => given.push(json!({
                "path": entry.path, "text": text, "shown": shown(ledger, entry), "place": place,
            })),
            Origin::Computed { formula, inputs, source } => {
                let inputs = inputs.iter().map(|i| format!("{} = {}", i.symbol, value_of(ledger, &i.path)));
                found.push(json!({
                    "path": entry.path, "title": entry.title, "shown": shown(ledger, entry), "formula": formula,
                    "inputs": inputs.collect::<Vec<_>>().join("; "), "source": source,
                }));
            }
            Origin::Looked { row, source } => found.push(json!({
                "path": entry.path, "title": entry.title, "shown": shown(ledger, entry), "formula": "from a table",
                "inputs": row, "source": source,
            })),
        }
    }
    let margins = bench.report.margins();
    let margins: Vec<_> = margins
        .iter()
        .map(|(rule, subject, m)| {
            json!({
                "rule": rule.name, "subject": subject, "what": m.what, "value": m.value, "limit": m.limit,
                "sense": match m.sense { crate::rules::rule::Sense::AtMost => "at most", crate::rules::rule::Sense::AtLeast => "at least" },
                "margin": crate::figures::percent(m.margin), "source": rule.source,
            })
        })
        .collect();
    json!({ "given": given, "found": found, "margins": margins })
}

fn shown(ledger: &Ledger, entry: &Entry) -> String {
    match entry.band {
        Some(_) => format!("{} ({})", entry.shown, ledger.band(&entry.path).unwrap_or_default()),
        None => entry.shown.clone(),
    }
}

fn value_of(ledger: &Ledger, path: &str) -> String {
    ledger.shown(path).unwrap_or("–").to_owned()
}
