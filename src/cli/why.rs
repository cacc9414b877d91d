//! Verb `why`: how a number came about, down to the lines of the spec.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use serde_json::json;

use crate::diag::Sources;
use crate::language::suggest::{all_of, nearest};
use crate::ledger::{Entry, Ledger, Origin};
use crate::{Compiled, compile};

use super::output::{Trouble, narrate, say};
use super::{Exit, Format, SpecArgs, root, show};

/// `why`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright why drive.red.current my.lamp    formula, numbers put in, lines of the spec, source
  lampwright why heat.wall my.lamp --depth 3  three steps back")]
pub(super) struct Args {
    /// Path of the number: drive.red.current, mains.cord.core-area
    path: String,
    #[command(flatten)]
    spec: SpecArgs,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// How many steps back to show
    #[arg(long, default_value_t = 12)]
    depth: usize,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let mut spec = root::read(&args.spec)?;
    let outcome = compile(&spec.name, &spec.text, &mut spec.loader, args.spec.variant.as_deref());
    let Some(compiled) = &outcome.compiled else {
        narrate(&show::messages(&outcome.diags, &outcome.sources));
        return Ok(Exit::Broken);
    };
    let ledger = &compiled.solution.ledger;
    let Some(entry) = ledger.get(&args.path) else { return Err(unknown(&args.path, ledger)) };
    match args.format {
        Format::Json => say(&format!("{:#}\n", json(compiled, entry))),
        Format::Text => {
            let mut out = String::new();
            let mut seen = BTreeSet::new();
            tree(ledger, &outcome.sources, entry, "", 0, args.depth, &mut seen, &mut out);
            limits(compiled, &args.path, &mut out);
            say(&out);
        }
    }
    Ok(Exit::Clean)
}

pub(super) fn unknown(path: &str, ledger: &Ledger) -> Trouble {
    let paths = || ledger.iter().map(|e| e.path.as_str());
    let step = |p: &str| p.strip_prefix(path)?.strip_prefix('.')?.split('.').next().map(str::to_owned);
    let mut below: Vec<String> = Vec::new();
    for step in paths().filter_map(step) {
        let name = format!("{path}.{step}");
        if !below.contains(&name) {
            below.push(name);
        }
    }
    let trouble = Trouble::new(format!("there is no number `{path}`"));
    if !below.is_empty() {
        return trouble.help(format!("below it are {}", all_of(below.iter().map(String::as_str))));
    }
    // A slip is sought among the neighbours first: a ledger has more paths than are looked at.
    let area = path.split('.').next();
    let near = nearest(path, paths().filter(|p| p.split('.').next() == area)).or_else(|| nearest(path, paths()));
    trouble.help(match near {
        Some(near) => format!("did you mean `{near}`? The working sheet lists them all"),
        None => "the working sheet lists them all".to_owned(),
    })
}

#[allow(clippy::too_many_arguments, reason = "the state of one walk")]
fn tree(
    ledger: &Ledger,
    sources: &Sources,
    entry: &Entry,
    symbol: &str,
    level: usize,
    depth: usize,
    seen: &mut BTreeSet<String>,
    out: &mut String,
) {
    let indent = "  ".repeat(level);
    let head = if symbol.is_empty() { String::new() } else { format!("{symbol} = ") };
    let band = if entry.band.is_some() {
        format!("  ({})", ledger.band(&entry.path).unwrap_or_default())
    } else {
        String::new()
    };
    let _ = writeln!(out, "{indent}{head}{}{band}  {}  [{}]", entry.shown, entry.title, entry.path);
    let again = !seen.insert(entry.path.clone());
    match &entry.origin {
        Origin::Given { text, place, span } => {
            let line = if place == "default" { "default of the language".into() } else { sources.cite(*span) };
            let part = if place.starts_with("part ") { format!("; {place}") } else { String::new() };
            let _ = writeln!(out, "{indent}  given as `{text}`, {line}{part}");
        }
        Origin::Looked { row, source } => {
            let _ = writeln!(out, "{indent}  from a table: {row}\n{indent}  source: {source}");
        }
        Origin::Computed { formula, inputs, source } => {
            let _ = writeln!(out, "{indent}  {formula}\n{indent}  source: {source}");
            if again && !inputs.is_empty() {
                let _ = writeln!(out, "{indent}  (shown above)");
                return;
            }
            if level >= depth {
                let _ = writeln!(out, "{indent}  ... deeper with --depth");
                return;
            }
            for input in inputs {
                match ledger.get(&input.path) {
                    Some(inner) => tree(ledger, sources, inner, input.symbol, level + 1, depth, seen, out),
                    None => drop(writeln!(out, "{indent}  {} not written in the spec  [{}]", input.symbol, input.path)),
                }
            }
        }
    }
}

/// Rules that hold this number against a limit.
fn limits(compiled: &Compiled, path: &str, out: &mut String) {
    for (rule, subject, measure) in compiled.report.margins() {
        if measure.path.as_deref() == Some(path) {
            let sense = if measure.sense == crate::rules::rule::Sense::AtMost { "at most" } else { "at least" };
            let of = if subject.is_empty() { String::new() } else { format!(" of {subject}") };
            let margin = crate::figures::percent(measure.margin);
            let _ = writeln!(
                out,
                "\nheld by {}{of}: {sense} {}, {margin} left\n  source: {}",
                rule.name, measure.limit, rule.source
            );
        }
    }
}

fn json(compiled: &Compiled, entry: &Entry) -> serde_json::Value {
    let ledger = &compiled.solution.ledger;
    let mut wanted = vec![entry];
    let mut at = 0;
    while let Some(next) = wanted.get(at).copied() {
        if let Origin::Computed { inputs, .. } = &next.origin {
            for inner in inputs.iter().filter_map(|i| ledger.get(&i.path)) {
                if !wanted.iter().any(|w| w.path == inner.path) {
                    wanted.push(inner);
                }
            }
        }
        at += 1;
    }
    let places: Vec<_> = wanted
        .iter()
        .filter_map(|e| match &e.origin {
            Origin::Given { span, .. } => Some(json!({ "path": e.path, "place": compiled.sources.cite(*span) })),
            _ => None,
        })
        .collect();
    json!({ "format": "lampwright why 1", "figures": wanted, "places": places })
}
