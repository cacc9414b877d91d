//! Verb `why`: how a number came about, down to the lines of the spec.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use serde_json::json;

use crate::diag::{Sources, Span};
use crate::figures::{engineering, percent};
use crate::language::document::Document;
use crate::language::parse::value;
use crate::language::suggest::{all_of, nearest};
use crate::language::syntax::{Expr, ExprForm};
use crate::ledger::{Entry, Ledger, Origin};
use crate::rules::report::of;
use crate::rules::rule::Sense;
use crate::schema::dimension;
use crate::{Compiled, compile};

use super::output::{Trouble, say};
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
    let mut spec = root::read(&args.spec).map_err(|trouble| turned_round(args, trouble))?;
    let outcome = compile(&spec.name, &spec.text, &mut spec.loader, args.spec.variant.as_deref());
    let Some(compiled) = &outcome.compiled else {
        show::narrate(&outcome.diags, &outcome.sources);
        return Ok(Exit::Broken);
    };
    let ledger = &compiled.solution.ledger;
    let Some(entry) = ledger.get(&args.path) else { return Err(unknown(&args.path, ledger)) };
    match args.format {
        Format::Json => say(&format!("{:#}\n", json(compiled, entry))),
        Format::Text => {
            let mut out = String::new();
            let mut seen = BTreeSet::new();
            let walk = Walk { ledger, sources: &outcome.sources, document: &compiled.document, depth: args.depth };
            walk.tree(entry, "", 0, &mut seen, &mut out);
            limits(compiled, &args.path, &mut out);
            say(&out);
        }
    }
    Ok(Exit::Clean)
}

/// The two arguments in the wrong order: the file first.
fn turned_round(args: &Args, trouble: Trouble) -> Trouble {
    let (path, spec) = (&args.path, &args.spec.spec);
    if path.ends_with(".lamp") && !spec.ends_with(".lamp") {
        return trouble.help(format!("the number stands first: `lampwright why {spec} {path}`"));
    }
    trouble
}

/// Most paths named that have a word in them.
const MOST_NAMED: usize = 8;

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
    let has_it = |e: &&Entry| e.path.split('.').any(|step| step == path || step.split('-').any(|w| w == path));
    let mut named: Vec<&str> = ledger.iter().filter(has_it).map(|e| e.path.as_str()).collect();
    let more = named.len().saturating_sub(MOST_NAMED);
    named.truncate(MOST_NAMED);
    if !named.is_empty() {
        let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
        return trouble.help(format!("paths with this word: {}{rest}", named.join(", ")));
    }
    // A slip is sought among the neighbours first: a ledger has more paths than are looked at.
    let area = path.split('.').next();
    let near = nearest(path, paths().filter(|p| p.split('.').next() == area)).or_else(|| nearest(path, paths()));
    trouble.help(match near {
        Some(near) => format!("did you mean `{near}`? The working sheet lists them all"),
        None => "the working sheet lists them all".to_owned(),
    })
}

/// What one walk back from a number looks at.
struct Walk<'a> {
    ledger: &'a Ledger,
    sources: &'a Sources,
    document: &'a Document,
    depth: usize,
}

impl Walk<'_> {
    fn tree(&self, entry: &Entry, symbol: &str, level: usize, seen: &mut BTreeSet<String>, out: &mut String) {
        let indent = "  ".repeat(level);
        let head = if symbol.is_empty() { String::new() } else { format!("{symbol} = ") };
        let band = if entry.band.is_some() {
            format!("  ({})", self.ledger.band(&entry.path).unwrap_or_default())
        } else {
            String::new()
        };
        let _ = writeln!(out, "{indent}{head}{}{band}  {}  [{}]", entry.shown, entry.title, entry.path);
        let again = !seen.insert(entry.path.clone());
        match &entry.origin {
            Origin::Given { text, place, span } => {
                let line = if place == "default" { "default of the language".into() } else { self.sources.cite(*span) };
                let part = if place.starts_with("part ") { format!("; {place}") } else { String::new() };
                let _ = writeln!(out, "{indent}  given as `{text}`, {line}{part}");
                if !again && is_figure(entry) {
                    let home = entry.path.rsplit_once('.').map_or("", |(home, _)| home);
                    self.named(text, home, level, seen, out);
                }
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
                if level >= self.depth {
                    let _ = writeln!(out, "{indent}  ... deeper with --depth");
                    return;
                }
                for input in inputs {
                    match self.ledger.get(&input.path) {
                        Some(inner) => self.tree(inner, input.symbol, level + 1, seen, out),
                        None => {
                            let symbol = input.symbol;
                            let _ = writeln!(out, "{indent}  {symbol} not written in the spec  [{}]", input.path);
                        }
                    }
                }
            }
        }
    }

    /// What the names in an expression stand for: lets and other properties, each with where it is written.
    fn named(&self, text: &str, home: &str, level: usize, seen: &mut BTreeSet<String>, out: &mut String) {
        if level >= self.depth {
            return;
        }
        for name in names(text) {
            let indent = "  ".repeat(level + 1);
            if let Some(found) = self.document.lets.iter().find(|l| l.name.value == name) {
                let again = !seen.insert(format!("let {name}"));
                let shown = engineering(found.value.nominal, dimension::shown(found.dimension));
                let place = self.sources.cite(found.name.span);
                let _ = writeln!(out, "{indent}{name} = {shown}  let\n{indent}  given as `{}`, {place}", found.text);
                if !again {
                    self.named(&found.text, "", level + 1, seen, out);
                }
                continue;
            }
            let near = format!("{home}.{name}");
            if let Some(inner) = self.ledger.get(&near).or_else(|| self.ledger.get(&name)) {
                self.tree(inner, &name, level + 1, seen, out);
            }
        }
    }
}

/// Whether the names in its text are names of figures rather than words of the schema.
fn is_figure(entry: &Entry) -> bool {
    entry.value.is_some() || !entry.unit.is_empty()
}

/// The names and paths in a value as written, each once.
fn names(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(value) = value(text, Span::default()) {
        value.exprs().for_each(|e| collect(e, &mut found));
    }
    found
}

fn collect(expr: &Expr, into: &mut Vec<String>) {
    match &expr.form {
        ExprForm::Path(path) if !into.contains(path) => into.push(path.clone()),
        ExprForm::Call(_, inner) | ExprForm::Group(inner) | ExprForm::List(inner) => {
            inner.iter().for_each(|e| collect(e, into));
        }
        ExprForm::Minus(inner) => collect(inner, into),
        ExprForm::Chain(first, rest) => {
            collect(first, into);
            rest.iter().for_each(|(_, e)| collect(e, into));
        }
        _ => {}
    }
}

/// Rules that hold this number against a limit.
fn limits(compiled: &Compiled, path: &str, out: &mut String) {
    for (rule, subject, measure) in compiled.report.margins() {
        if measure.path.as_deref() == Some(path) {
            let sense = if measure.sense == Sense::AtMost { "at most" } else { "at least" };
            let of = of(subject);
            let margin = percent(measure.margin);
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
        let rests_on: Vec<&Entry> = match &next.origin {
            Origin::Computed { inputs, .. } => inputs.iter().filter_map(|i| ledger.get(&i.path)).collect(),
            Origin::Given { text, .. } if is_figure(next) => {
                let home = next.path.rsplit_once('.').map_or("", |(home, _)| home);
                let near = |name: &String| ledger.get(&format!("{home}.{name}")).or_else(|| ledger.get(name));
                names(text).iter().filter_map(near).collect()
            }
            Origin::Given { .. } | Origin::Looked { .. } => Vec::new(),
        };
        for inner in rests_on {
            if !wanted.iter().any(|w| w.path == inner.path) {
                wanted.push(inner);
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
