//! Tables and data for machines: CSV rows, and the body of `packet.json`.

use serde_json::{Value, json};

use super::bench::Bench;
use super::sheet::DataTable;
use super::sheets::{parts, pins, values, wiring};
use crate::figures::for_machine;
use crate::ledger::Entry;
use crate::rules::rule::{Measure, Outcome};

/// Every table written as CSV.
pub fn all(bench: &Bench<'_>) -> Vec<DataTable> {
    vec![wiring::table(bench), parts::table(bench), values::table(bench), pins::table(bench)]
}

/// Lamp, figures and verdicts as data.
pub fn data(bench: &Bench<'_>) -> Value {
    let figures: Vec<_> = bench.solution.ledger.iter().map(Entry::for_machine).collect();
    json!({
        "lamp": bench.lamp.name,
        "variant": bench.lamp.variant,
        "figures": figures,
        "rules": verdicts(bench),
    })
}

fn rounded(measure: Option<&Measure>) -> Option<Measure> {
    measure.map(|m| Measure { margin: for_machine(m.margin), ..m.clone() })
}

fn verdicts(bench: &Bench<'_>) -> Vec<Value> {
    let mut rows = Vec::new();
    for judged in &bench.report.judged {
        for verdict in &judged.verdicts {
            let outcome = match &verdict.outcome {
                Outcome::Pass(measure) => json!({ "result": "pass", "measure": rounded(measure.as_ref()) }),
                Outcome::Finding(finding) => json!({
                    "result": "finding", "message": finding.message, "fix": finding.fix, "measure": rounded(finding.measure.as_ref()),
                }),
                Outcome::NotChecked(missing) => json!({ "result": "not-checked", "missing": missing.path }),
                Outcome::NotApplicable => json!({ "result": "not-applicable" }),
            };
            rows.push(json!({
                "rule": judged.rule.name, "signal": judged.rule.signal, "subject": verdict.subject, "outcome": outcome,
            }));
        }
    }
    rows
}
