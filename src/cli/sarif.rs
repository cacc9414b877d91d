//! Findings as SARIF 2.1.0 (OASIS, Static Analysis Results Interchange Format), for review tools.

use serde_json::{Value, json};

use crate::Outcome;
use crate::diag::{Diag, Signal, Sources, Span};
use crate::rules;
use crate::rules::report::{lacking, of};

use super::files::in_address;
use super::show;

/// Where the form is declared.
const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// Results of one spec: what a variant shares with the lamp itself is said once.
pub(super) fn results(runs: &[(Option<String>, Outcome)]) -> Vec<Value> {
    let mut said = std::collections::BTreeSet::new();
    let mut found = Vec::new();
    for (variant, outcome) in runs {
        for (key, result) in of_run(variant.as_deref(), outcome) {
            if said.insert(key) {
                found.push(result);
            }
        }
    }
    found
}

/// The whole document.
pub(super) fn document(results: Vec<Value>) -> Value {
    let rules: Vec<Value> = rules::ALL
        .iter()
        .map(|rule| {
            json!({
                "id": rule.name,
                "shortDescription": { "text": rule.title },
                "fullDescription": { "text": rule.why },
                "help": { "text": format!("{}. Source: {}.", rule.fix, rule.source) },
                "defaultConfiguration": { "level": level(rule.signal) },
                "properties": { "signal": rule.signal.word() },
            })
        })
        .collect();
    json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": "lampwright",
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "rules": rules,
            } },
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    })
}

fn of_run(variant: Option<&str>, outcome: &Outcome) -> Vec<(String, Value)> {
    let sources = &outcome.sources;
    let mut found: Vec<(String, Value)> = Vec::new();
    let mut add = |diag: &Diag, more: &dyn Fn(&mut Value)| {
        let mut value = result(diag, variant, sources);
        more(&mut value);
        found.push((show::key(diag), value));
    };
    for diag in &outcome.diags {
        add(diag, &|_| {});
    }
    let Some(compiled) = &outcome.compiled else { return found };
    for raised in compiled.report.findings() {
        add(&raised.diag(), &|value| {
            if let Some(waiver) = raised.waiver {
                let reason = format!("{} ({})", waiver.reason, waiver.by);
                value["suppressions"] = json!([{ "kind": "inSource", "justification": reason }]);
            }
        });
    }
    for (rule, subject, missing) in compiled.report.not_checked() {
        let of = of(subject);
        let lacks = lacking(missing, &compiled.solution.ledger);
        let message = format!("not checked{of}: {lacks}; it would find: {}", rule.title);
        let diag = Diag::new(rule.name, rule.signal, missing.span, message);
        add(&diag, &|value| {
            // A result that is open has no level.
            value["kind"] = json!("open");
            value["level"] = json!("none");
        });
    }
    found
}

fn result(diag: &Diag, variant: Option<&str>, sources: &Sources) -> Value {
    let help = diag.help.as_ref().map_or_else(String::new, |h| format!("\n{h}"));
    let related: Vec<Value> = diag
        .labels
        .iter()
        .skip(1)
        .map(|label| {
            let mut place = location(label.span, sources);
            place["message"] = json!({ "text": label.text });
            place
        })
        .collect();
    let mut value = json!({
        "ruleId": diag.code,
        "level": level(diag.signal),
        "message": { "text": format!("{}{help}", diag.message) },
        "locations": [location(diag.span(), sources)],
        "relatedLocations": related,
        "properties": { "signal": diag.signal.word(), "variant": variant },
    });
    if let Some(index) = rules::ALL.iter().position(|r| r.name == diag.code) {
        value["ruleIndex"] = json!(index);
    }
    value
}

fn location(span: Span, sources: &Sources) -> Value {
    let (line, column) = sources.place(span);
    let (end_line, end_column) = sources.place(Span { start: span.end, ..span });
    let name = sources.get(span.file).map_or("", |f| f.name.as_str());
    json!({ "physicalLocation": {
        "artifactLocation": { "uri": in_address(name) },
        "region": { "startLine": line, "startColumn": column, "endLine": end_line, "endColumn": end_column },
    } })
}

const fn level(signal: Signal) -> &'static str {
    match signal {
        Signal::Error | Signal::Danger => "error",
        Signal::Warning | Signal::Caution => "warning",
        Signal::Notice => "note",
    }
}
