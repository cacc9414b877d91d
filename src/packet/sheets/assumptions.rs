//! Sheet `assumptions`: defaults taken, part figures overridden, unknowns, rules not checked, waivers.

use serde_json::{Value, json};

use crate::lamp::given::Missing;
use crate::language::document::{Entry, Node, Origin};
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::packet::waived;
use crate::rules::rule::Rule;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "assumptions",
    title: "Assumptions",
    moment: "before you trust the rest: what was taken for granted",
    template_name: "sheets/assumptions.md",
    template: include_str!("../../../templates/sheets/assumptions.md"),
    size: TextSize::Dense,
    landscape: false,
    applies: |_| true,
    data,
    required,
};

/// Nothing that was taken for granted, let through or left open goes unsaid.
fn required(bench: &Bench<'_>) -> Vec<String> {
    let mut entries = Vec::new();
    collect(&bench.document.root, &mut entries);
    let taken = |e: &&&Entry| match e.origin {
        Origin::Default => used(bench, &e.path),
        Origin::Overrides { .. } => true,
        _ => false,
    };
    let taken = entries.iter().filter(taken).map(|e| e.path.clone());
    let not_checked = bench.report.not_checked();
    let open = not_checked.iter().map(|(rule, _, _)| rule.name.to_owned());
    let unknown = bench.lamp.facts.unknown.iter().map(|m| m.path.clone());
    let waived = bench.report.waivers.iter().flat_map(|(w, _)| [w.rule.value.clone(), w.reason.clone()]);
    open.chain(waived).chain(unknown).chain(taken).collect()
}

/// What only a lamp with mains would use is taken for nothing in any other.
fn used(bench: &Bench<'_>, path: &str) -> bool {
    bench.mains() || !["wiring.mains-area", "wiring.mains-length", "supply.discharge"].contains(&path)
}

fn data(bench: &Bench<'_>) -> Value {
    let mut entries = Vec::new();
    collect(&bench.document.root, &mut entries);
    let defaults = entries.iter().filter(|e| e.origin == Origin::Default && used(bench, &e.path));
    let defaults: Vec<_> =
        defaults.map(|e| json!({ "path": e.path, "value": e.text, "doc": e.property.doc })).collect();
    let overridden: Vec<_> = entries
        .iter()
        .filter_map(|e| match &e.origin {
            Origin::Overrides { part, instead_of } => Some(json!({
                "path": e.path, "value": e.text, "part": part, "instead_of": instead_of, "place": bench.file(e.span),
            })),
            _ => None,
        })
        .collect();
    let unknown = bench.lamp.facts.unknown.iter();
    let unknown: Vec<_> = unknown.map(|m| json!({ "path": m.path, "place": bench.file(m.span) })).collect();
    json!({
        "defaults": defaults, "overridden": overridden, "unknown": unknown,
        "not_checked": not_checked(bench, |_| true), "waivers": waived::rows(bench),
    })
}

/// Rules of this kind that could not be checked, with what is missing.
pub(super) fn not_checked(bench: &Bench<'_>, kind: impl Fn(&Rule) -> bool) -> Vec<Value> {
    let rules = bench.report.not_checked().into_iter().filter(|(rule, ..)| kind(rule));
    let row = |(rule, subject, missing): (&Rule, &str, &Missing)| {
        json!({
            "rule": rule.name,
            "subject": subject,
            "signal": rule.signal.word(),
            "title": rule.title,
            "missing": bench.lacks(missing),
        })
    };
    rules.map(row).collect()
}

fn collect<'d>(node: &'d Node, out: &mut Vec<&'d Entry>) {
    out.extend(&node.entries);
    for inner in &node.nodes {
        collect(inner, out);
    }
}
