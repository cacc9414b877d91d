//! Sheet `working`: every number with its formula, the numbers put in, and its source.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::figures::percent;
use crate::ledger::{Entry, Ledger, Origin};
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::margins::bound;
use crate::packet::sheet::TextSize;
use crate::rules::rule::{Measure, Rule};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "working",
    title: "Working",
    moment: "design review: how each number came about",
    template_name: "sheets/working.md",
    template: include_str!("../../../templates/sheets/working.md"),
    size: TextSize::Fine,
    landscape: true,
    applies: |_| true,
    data,
    required,
};

/// The group of every figure that was worked out, and each figure that a rule holds against a limit, with the rule.
/// Not every figure: to look for thousands of paths in the longest sheet would cost more than to set it.
fn required(bench: &Bench<'_>) -> Vec<String> {
    let ledger = &bench.solution.ledger;
    let worked = |e: &&Entry| !matches!(e.origin, Origin::Given { .. });
    let groups: BTreeSet<&str> = ledger.iter().filter(worked).map(|e| group(&e.path)).collect();
    let mut rows: BTreeSet<String> = groups.into_iter().map(str::to_owned).collect();
    for (rule, _, measure) in bench.report.margins() {
        rows.insert(rule.name.to_owned());
        rows.extend(measure.path.as_deref().and_then(|p| ledger.get(p)).filter(worked).map(|e| e.path.clone()));
    }
    rows.into_iter().collect()
}

/// Sources in the order they are first named; a row cites its source by number.
#[derive(Default)]
struct Sources(Vec<&'static str>);

impl Sources {
    fn number(&mut self, source: &'static str) -> usize {
        let at = self.0.iter().position(|s| *s == source).unwrap_or_else(|| {
            self.0.push(source);
            self.0.len() - 1
        });
        at + 1
    }
}

fn data(bench: &Bench<'_>) -> Value {
    let ledger = &bench.solution.ledger;
    let mut sources = Sources::default();
    let mut groups: Vec<(String, Vec<Value>)> = Vec::new();
    for entry in ledger.iter() {
        let Some(row) = found(ledger, entry, &mut sources) else { continue };
        let name = group(&entry.path);
        // A figure stands in the group of its name, wherever it was entered: there it is looked for.
        match groups.iter_mut().find(|(known, _)| known == name) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((name.to_owned(), vec![row])),
        }
    }
    let found: Vec<Value> = groups.iter().map(|(name, rows)| json!({ "name": name, "rows": rows })).collect();
    let margins: Vec<Value> = bench
        .report
        .margins()
        .iter()
        .map(|(rule, subject, m)| {
            json!({
                "rule": rule.name, "subject": subject, "what": m.what, "value": m.value,
                "limit": bound(m), "margin": percent(m.margin), "source": sources.number(rule.source),
            })
        })
        .collect();
    let used = used(ledger);
    let given: Vec<Value> =
        ledger.iter().filter(|e| used.contains(e.path.as_str())).filter_map(|e| given(ledger, e)).collect();
    json!({ "given": given, "found": found, "margins": margins, "sources": sources.0 })
}

/// The first two steps of a path that has more: `drive.red` of `drive.red.sense`; else, and where the second is but a
/// number, the first.
fn group(path: &str) -> &str {
    let mut dots = path.match_indices('.').map(|(at, _)| at);
    let (first, second) = (dots.next(), dots.next());
    let numbered = first.and_then(|at| path.as_bytes().get(at + 1)).is_some_and(u8::is_ascii_digit);
    second.filter(|_| !numbered).or(first).and_then(|at| path.get(..at)).unwrap_or(path)
}

fn found(ledger: &Ledger, entry: &Entry, sources: &mut Sources) -> Option<Value> {
    let (formula, inputs, source) = match &entry.origin {
        Origin::Given { .. } => return None,
        Origin::Computed { formula, inputs, source } => {
            let put_in = inputs
                .iter()
                .map(|i| format!("{}\u{a0}= {}", i.symbol, ledger.shown(&i.path).unwrap_or("not written")));
            (*formula, put_in.collect::<Vec<_>>().join(", "), *source)
        }
        Origin::Looked { row, source } => ("from a table", row.clone(), *source),
    };
    Some(json!({
        "path": entry.path, "title": entry.title, "shown": shown(ledger, entry), "formula": formula, "inputs": inputs,
        "source": sources.number(source),
    }))
}

fn given(ledger: &Ledger, entry: &Entry) -> Option<Value> {
    let Origin::Given { text, place, .. } = &entry.origin else { return None };
    Some(json!({ "path": entry.path, "text": text, "shown": shown(ledger, entry), "place": place }))
}

/// The figures that a formula takes in; the rest of what was given stands in the spec itself.
fn used(ledger: &Ledger) -> BTreeSet<&str> {
    let mut used = BTreeSet::new();
    for entry in ledger.iter() {
        if let Origin::Computed { inputs, .. } = &entry.origin {
            used.extend(inputs.iter().map(|input| input.path.as_str()));
        }
    }
    used
}

fn shown(ledger: &Ledger, entry: &Entry) -> String {
    match entry.band {
        Some(_) => format!("{} ({})", entry.shown, ledger.band(&entry.path).unwrap_or_default()),
        None => entry.shown.clone(),
    }
}

/// Whether two lamps have the same working sheet: all that stands on it is held together, without setting it twice.
pub(super) fn alike(a: &Bench<'_>, b: &Bench<'_>) -> bool {
    let (one, other) = (&a.solution.ledger, &b.solution.ledger);
    let rows = |ledger| {
        let used = used(ledger);
        Ledger::iter(ledger)
            .filter(move |e| !matches!(e.origin, Origin::Given { .. }) || used.contains(e.path.as_str()))
    };
    let band = |x: &Entry, y: &Entry| x.band == y.band || shown(one, x) == shown(other, y);
    let same = |(x, y): (&Entry, &Entry)| {
        x.path == y.path
            && x.title == y.title
            && x.shown == y.shown
            && band(x, y)
            && origins_alike(&x.origin, &y.origin)
    };
    let margins = |bench: &Bench<'_>| -> Vec<_> {
        let row = |(rule, subject, m): &(&'static Rule, &str, &Measure)| {
            (rule.name, (*subject).to_owned(), m.what.clone(), m.value.clone(), m.limit.clone(), percent(m.margin))
        };
        bench.report.margins().iter().map(row).collect()
    };
    rows(one).count() == rows(other).count() && rows(one).zip(rows(other)).all(same) && margins(a) == margins(b)
}

fn origins_alike(a: &Origin, b: &Origin) -> bool {
    match (a, b) {
        (Origin::Given { text, place, .. }, Origin::Given { text: other, place: there, .. }) => {
            text == other && place == there
        }
        (a, b) => a == b,
    }
}
