//! Verb `check`: every finding of a lamp at its line, for each variant; of many specs, one line each.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::compare::matrix;
use crate::diag::{Diag, Signal, Sources};
use crate::language::parse::Parsed;
use crate::rules::report::{lacking, of};
use crate::{Compiled, Outcome, Reading, threads};

use super::laid;
use super::many::{self, Done};
use super::output::{Trouble, complain, say};
use super::root;
use super::{Exit, FailOn, ManyArgs, sarif, show};

/// `check`.
#[derive(clap::Args)]
#[command(after_help = "\
On a terminal the gravest finding stands last, above the prompt; as data it stands first.")]
#[command(before_help = "\
Examples:
  lampwright check my.lamp                         every finding, every variant
  lampwright check *.lamp                          many lamps, one line each
  lampwright check my.lamp --matrix                rules by variant, with what is left of each limit
  lampwright check *.lamp --format sarif > f.sarif for a review tool")]
pub(super) struct Args {
    #[command(flatten)]
    specs: ManyArgs,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Form::Text)]
    format: Form,
    /// Least signal word that makes the exit code 1
    #[arg(long, value_enum, default_value_t = FailOn::Danger)]
    fail_on: FailOn,
    /// Show rules by variant, with what is left of each limit
    #[arg(long)]
    matrix: bool,
}

#[derive(Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Form {
    /// For people
    Text,
    /// For programs
    Json,
    /// For review tools: SARIF 2.1.0
    Sarif,
}

type Runs = Vec<(Option<String>, Outcome)>;

/// A file and all that was made of it.
struct Looked {
    name: String,
    runs: Runs,
    /// It holds parts and no lamp: no rule was asked, and what it lacks to be a lamp is no error of it.
    parts: bool,
}

impl Looked {
    fn exit(&self, args: &Args) -> Exit {
        let outcomes = || self.runs.iter().map(|(_, outcome)| outcome);
        if self.parts && !outcomes().any(has_errors) {
            return Exit::Clean;
        }
        verdict(outcomes(), args.fail_on)
    }
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let names = &args.specs.specs;
    if args.matrix && args.format != Form::Text {
        return Err(Trouble::new("`--matrix` is a table for people and has no other form")
            .help("leave out `--format`: as data every variant has its own findings"));
    }
    match (args.format, names.as_slice()) {
        (Form::Text, _) => Ok(many::each(names, |name| one_as_text(name, args))),
        (Form::Json, [name]) => {
            let looked = compiled(name, args)?;
            say(&format!("{:#}\n", as_json(&looked)));
            Ok(looked.exit(args))
        }
        (Form::Json | Form::Sarif, _) => Ok(as_data(names, args)),
    }
}

fn compiled(name: &str, args: &Args) -> Result<Looked, Trouble> {
    let mut spec = root::read(&args.specs.one(name))?;
    let (reading, parts) = Reading::of_any(&spec.name, &spec.text, &mut spec.loader, &mut Parsed::default());
    let reading = reading.for_rules();
    if parts {
        let mut outcome = reading.work_out(None);
        // What the lamp around it lacks stands in no file of theirs.
        outcome.diags.retain(|d| d.labels.iter().any(|l| l.span.file != 0));
        return Ok(Looked { name: spec.name, runs: vec![(None, outcome)], parts: true });
    }
    let runs = match &args.specs.variant {
        Some(variant) => vec![(Some(variant.clone()), reading.work_out(Some(variant)))],
        None => every_variant(&reading),
    };
    Ok(Looked { name: spec.name, runs, parts: false })
}

fn one_as_text(name: &str, args: &Args) -> Result<Done, Trouble> {
    let looked = compiled(name, args)?;
    let (err, mut out) = as_text(&looked, args.specs.least());
    if args.matrix && !looked.parts {
        let made: Vec<(&str, &Compiled)> = looked
            .runs
            .iter()
            .filter_map(|(variant, outcome)| Some((variant.as_deref().unwrap_or("lamp"), outcome.compiled.as_deref()?)))
            .collect();
        out.push_str(&matrix::text(&matrix::matrix(&made), laid::width().unwrap_or(usize::MAX)));
    }
    let done = Done { err, out, exit: looked.exit(args) };
    if args.specs.specs.len() == 1 {
        // The process ends with it, and the system takes its memory back faster than we do piece by piece.
        std::mem::forget(looked);
    }
    Ok(done)
}

/// One document of all specs for programs.
fn as_data(names: &[String], args: &Args) -> Exit {
    let sarif = args.format == Form::Sarif;
    let job = |name: &str| {
        let looked = compiled(name, args)?;
        let said = if sarif { sarif::results(&looked.runs) } else { vec![as_json(&looked)] };
        Ok((said, looked.exit(args)))
    };
    let (mut all, mut worst) = (Vec::new(), Exit::Clean);
    many::gather(names, job, |done: Result<(Vec<Value>, Exit), Trouble>| match done {
        Ok((said, exit)) => {
            all.extend(said);
            worst = worst.max(exit);
        }
        Err(trouble) => {
            complain(&trouble);
            if !sarif {
                all.push(json!({ "error": trouble.message }));
            }
            worst = Exit::Usage;
        }
    });
    let document = match sarif {
        true => sarif::document(all),
        false => json!({ "format": "lampwright check 1", "specs": all }),
    };
    say(&format!("{document:#}\n"));
    worst
}

/// Lamps to be worked out from the start from which on threads are worth their own start (our limit: a machine may take
/// as long to wake a thread as such a lamp takes); a variant that shares its engine is a third of one.
const MANY: usize = 4;

/// The lamp as it is and with each of its variants. What a variant shares with the lamp was found by then, so that few
/// variants are done before another thread has begun.
fn every_variant(reading: &Reading) -> Runs {
    let lamp = reading.work_out(None);
    // Where the lamp itself cannot be compiled, its variants would say the same again.
    let variants: Vec<&str> = if lamp.compiled.is_some() { reading.variants().collect() } else { Vec::new() };
    let work_out = |name: &&str| (Some((*name).to_owned()), reading.work_out(Some(name)));
    let anew = variants.iter().filter(|name| !reading.shares_engine(name)).take(MANY).count();
    let others = match anew + variants.len() / 3 {
        MANY.. => threads::each(&variants, work_out),
        _ => variants.iter().map(work_out).collect(),
    };
    std::iter::once((None, lamp)).chain(others).collect()
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

/// Messages of one run from this signal word up, the gravest last; those of a spec that cannot be compiled in their order.
pub(super) fn messages(outcome: &Outcome, least: Signal) -> Vec<Diag> {
    let found = outcome.compiled.iter().flat_map(|compiled| compiled.report.diags());
    let mut diags: Vec<Diag> = outcome.diags.iter().cloned().chain(found).filter(|d| d.signal >= least).collect();
    if outcome.compiled.is_some() {
        diags.sort_by_key(|d| d.signal);
    }
    diags
}

/// Messages of this signal word and above, and summary lines.
fn as_text(looked: &Looked, least: Signal) -> (String, String) {
    let (name, runs) = (looked.name.as_str(), &looked.runs);
    let mut shown: BTreeSet<String> = BTreeSet::new();
    let (mut err, mut out) = (String::new(), String::new());
    for (variant, outcome) in runs {
        let mut diags = messages(outcome, least);
        // What a variant shares with the lamp itself is said once.
        diags.retain(|d| shown.insert(show::key(d)));
        err.push_str(&show::messages(&diags, &outcome.sources));
        let line = match looked.parts {
            true => of_parts(name, outcome),
            false => summary(name, variant.as_deref(), outcome),
        };
        out.push_str(&format!("{line}\n"));
        out.push_str(&not_checked(outcome));
    }
    (err, out)
}

/// The rules that lack a figure, each with the figure it lacks: unknown is never pass.
pub(super) fn not_checked(outcome: &Outcome) -> String {
    let mut out = String::new();
    if let Some(compiled) = &outcome.compiled {
        for (rule, subject, missing) in compiled.report.not_checked() {
            let of = of(subject);
            let lacks = lacking(missing, &compiled.solution.ledger);
            out.push_str(&format!("  not checked: {}{of}; {lacks}\n", rule.name));
        }
    }
    out
}

/// One line for one variant.
pub(super) fn summary(name: &str, variant: Option<&str>, outcome: &Outcome) -> String {
    let head = variant.map_or_else(|| name.to_owned(), |v| format!("{name}, variant {v}"));
    match &outcome.compiled {
        None => format!("{head}: cannot be compiled, {}", errors(outcome)),
        Some(compiled) => {
            let counts = compiled.report.counts();
            format!("{head}: {}; {} rules hold, {} do not apply", counts.line(), counts.passed, counts.not_applicable)
        }
    }
}

/// One line for a file of parts.
fn of_parts(name: &str, outcome: &Outcome) -> String {
    if has_errors(outcome) {
        return format!("{name}: parts and no lamp, {}", errors(outcome));
    }
    format!("{name}: parts and no lamp, nothing wrong in it; rules are asked of the lamps that use it")
}

fn has_errors(outcome: &Outcome) -> bool {
    outcome.diags.iter().any(|d| d.signal == Signal::Error)
}

fn errors(outcome: &Outcome) -> String {
    match outcome.diags.iter().filter(|d| d.signal == Signal::Error).count() {
        1 => "1 error".to_owned(),
        count => format!("{count} errors"),
    }
}

fn as_json(looked: &Looked) -> Value {
    let runs: Vec<Value> = looked.runs.iter().map(|(variant, outcome)| one(variant.as_deref(), outcome)).collect();
    json!({ "format": "lampwright check 1", "spec": looked.name, "parts": looked.parts, "runs": runs })
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
                .map(|(rule, subject, m)| {
                    let why = lacking(m, &compiled.solution.ledger);
                    json!({ "rule": rule.name, "subject": subject, "missing": m.path, "why": why })
                })
                .collect();
            json!({
                "variant": variant,
                "compiled": true,
                "digest": compiled.identity().digest,
                "counts": compiled.report.counts(),
                "findings": list(&compiled.report.diags(), &outcome.sources),
                "not_checked": missing,
            })
        }
    }
}
