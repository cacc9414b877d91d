//! Verb `check`: every finding of a lamp at its line, for each variant.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::diag::{Diag, Signal, Sources};
use crate::{Compiled, Outcome, compile};

use super::output::{Trouble, narrate, say};
use super::root::{self, Spec};
use super::{Exit, FailOn, Format, ReportArgs, SpecArgs, show};

/// `check`.
#[derive(clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    spec: SpecArgs,
    #[command(flatten)]
    report: ReportArgs,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let mut spec = root::read(&args.spec)?;
    let first = compile(&spec.name, &spec.text, &mut spec.loader, args.spec.variant.as_deref());
    let more = match (&first.compiled, &args.spec.variant) {
        (Some(compiled), None) => variants(&mut spec, compiled),
        _ => Vec::new(),
    };
    let mut runs = vec![(args.spec.variant.clone(), first)];
    runs.extend(more);
    match args.report.format {
        Format::Json => say(&format!("{:#}\n", as_json(&spec.name, &runs))),
        Format::Text => as_text(&spec.name, &runs),
    }
    Ok(verdict(runs.iter().map(|(_, outcome)| outcome), args.report.fail_on))
}

fn variants(spec: &mut Spec, base: &Compiled) -> Vec<(Option<String>, Outcome)> {
    let names: Vec<String> = base.document.variants.iter().map(|v| v.value.clone()).collect();
    let compiled = |name: String| {
        let outcome = compile(&spec.name, &spec.text, &mut spec.loader, Some(&name));
        (Some(name), outcome)
    };
    names.into_iter().map(compiled).collect()
}

/// The exit code of these runs.
pub(super) fn verdict<'a>(outcomes: impl Iterator<Item = &'a Outcome>, fail_on: FailOn) -> Exit {
    let mut exit = Exit::Clean;
    for outcome in outcomes {
        match &outcome.compiled {
            None => return Exit::Broken,
            Some(compiled) => {
                if compiled.report.standing().iter().any(|r| fail_on.fails(r.rule.signal)) {
                    exit = Exit::Findings;
                }
            }
        }
    }
    exit
}

fn as_text(name: &str, runs: &[(Option<String>, Outcome)]) {
    let mut shown: BTreeSet<String> = BTreeSet::new();
    for (variant, outcome) in runs {
        let mut diags = outcome.diags.clone();
        diags.extend(outcome.compiled.iter().flat_map(|c| c.report.diags()));
        // What a variant shares with the lamp itself is said once.
        diags.retain(|d| shown.insert(format!("{} {:?} {}", d.code, d.span(), d.message)));
        diags.sort_by_key(|d| d.signal);
        if outcome.compiled.is_none() {
            diags.sort_by_key(Diag::span);
        }
        narrate(&show::messages(&diags, &outcome.sources));
        say(&format!("{}\n", summary(name, variant.as_deref(), outcome)));
        say(&not_checked(outcome));
    }
}

/// The rules that lack a figure, each with the figure it lacks: unknown is never pass.
pub(super) fn not_checked(outcome: &Outcome) -> String {
    let missing = outcome.compiled.iter().flat_map(|c| c.report.not_checked());
    let line = |(rule, subject, missing): (&crate::rules::rule::Rule, &str, &crate::lamp::given::Missing)| {
        let of = if subject.is_empty() { String::new() } else { format!(" of {subject}") };
        let word = if missing.unknown { "is unknown" } else { "is not written" };
        format!("  not checked: {}{of}; `{}` {word}\n", rule.name, missing.path)
    };
    missing.map(line).collect()
}

/// One line for one variant.
pub(super) fn summary(name: &str, variant: Option<&str>, outcome: &Outcome) -> String {
    let head = variant.map_or_else(|| name.to_owned(), |v| format!("{name}, variant {v}"));
    match &outcome.compiled {
        None => {
            let errors = outcome.diags.iter().filter(|d| d.signal == Signal::Error).count();
            format!("{head}: cannot be compiled, {errors} {}", if errors == 1 { "error" } else { "errors" })
        }
        Some(compiled) => {
            let counts = compiled.report.counts();
            format!("{head}: {}; {} rules hold, {} do not apply", counts.line(), counts.passed, counts.not_applicable)
        }
    }
}

fn as_json(name: &str, runs: &[(Option<String>, Outcome)]) -> Value {
    let runs: Vec<Value> = runs.iter().map(|(variant, outcome)| one(variant.as_deref(), outcome)).collect();
    json!({ "format": "lampwright check 1", "spec": name, "runs": runs })
}

fn one(variant: Option<&str>, outcome: &Outcome) -> Value {
    let list =
        |diags: &[Diag], sources: &Sources| -> Vec<Value> { diags.iter().map(|d| show::json(d, sources)).collect() };
    match &outcome.compiled {
        None => json!({ "variant": variant, "compiled": false, "errors": list(&outcome.diags, &outcome.sources) }),
        Some(compiled) => {
            let missing: Vec<Value> = compiled
                .report
                .not_checked()
                .iter()
                .map(|(rule, subject, m)| json!({ "rule": rule.name, "subject": subject, "missing": m.path }))
                .collect();
            json!({
                "variant": variant,
                "compiled": true,
                "digest": compiled.identity.digest,
                "counts": compiled.report.counts(),
                "findings": list(&compiled.report.diags(), &outcome.sources),
                "not_checked": missing,
            })
        }
    }
}
