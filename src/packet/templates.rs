//! MiniJinja, strict: a sheet's template and its data to Markdown.
//! A missing name is an error with the template's line; text from a spec is escaped for Markdown; fuel is limited.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, Error, ErrorKind, Output, State, UndefinedBehavior, Value};

use super::terms::{self, Words};
use crate::diag::hidden;
use crate::ledger::{Entry, Ledger};
use crate::quantity::Metres;
use crate::schema::words::Region;

/// Instructions one sheet may take; the longest shipped sheet takes about a twentieth of it.
const FUEL: u64 = 4_000_000;
const RECURSION: usize = 40;

/// Templates that stand in for the shipped ones, by file name (`sheets/safety.md`).
pub type Overrides = BTreeMap<String, String>;

/// What went wrong in a template.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateError {
    /// The template's file name.
    pub template: String,
    /// Its line, from 1; 0 where none is known.
    pub line: usize,
    /// Byte range in the template, where known.
    pub range: Option<std::ops::Range<usize>>,
    /// What is wrong.
    pub message: String,
}

/// Renders sheets.
pub struct Templates {
    environment: Environment<'static>,
    /// Names that each replaced template asked for as it was shipped.
    shipped: BTreeMap<String, BTreeSet<String>>,
}

impl Templates {
    /// The shipped templates, with overrides over them; `ledger` answers `fig(path)`, `band(path)` and `has(path)`, `words`
    /// answer `term(thing)`.
    ///
    /// # Errors
    /// An override that is not a template.
    pub fn new(
        shipped: &[(&'static str, &'static str)],
        overrides: &Overrides,
        ledger: &Ledger,
        words: Words,
    ) -> Result<Self, TemplateError> {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_auto_escape_callback(|_| AutoEscape::Custom("markdown".into()));
        environment.set_formatter(write_escaped);
        environment.set_recursion_limit(RECURSION);
        environment.set_fuel(Some(FUEL));
        environment.set_debug(true);
        if let Ok(syntax) =
            SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).keep_trailing_newline(true).build()
        {
            environment.set_syntax(syntax);
        }
        add_figures(&mut environment, ledger, words.region);
        add_words(&mut environment, words);
        let known: BTreeMap<&str, &str> = shipped.iter().copied().collect();
        let mut names = BTreeMap::new();
        for (name, text) in known.iter().filter(|(name, _)| overrides.contains_key(**name)) {
            environment.add_template_owned((*name).to_owned(), (*text).to_owned()).map_err(|e| explain(name, &e))?;
            let template = environment.get_template(name).map_err(|e| explain(name, &e))?;
            names.insert((*name).to_owned(), template.undeclared_variables(true).into_iter().collect());
        }
        for (name, text) in &known {
            let text = overrides.get(*name).cloned().unwrap_or_else(|| (*text).to_owned());
            environment.add_template_owned((*name).to_owned(), text).map_err(|e| explain(name, &e))?;
        }
        for (name, text) in overrides.iter().filter(|(name, _)| !known.contains_key(name.as_str())) {
            environment.add_template_owned(name.clone(), text.clone()).map_err(|e| explain(name, &e))?;
        }
        Ok(Self { environment, shipped: names })
    }

    /// Holds every name in a replaced template to the sheet's data, those in branches that this lamp does not take too.
    /// A name that the shipped template asks for may be absent; names inside the rows of a loop are met when it runs.
    fn names_hold(&self, name: &str, data: &serde_json::Value) -> Result<(), TemplateError> {
        let Some(shipped) = self.shipped.get(name) else { return Ok(()) };
        let template = self.environment.get_template(name).map_err(|e| explain(name, &e))?;
        let asked: BTreeSet<String> = template.undeclared_variables(true).into_iter().collect();
        let globals: BTreeSet<&str> = self.environment.globals().map(|(name, _)| name).collect();
        let known = |path: &String| {
            let below = |other: &String| other.strip_prefix(path.as_str()).is_some_and(|rest| rest.starts_with('.'));
            let first = path.split('.').next().unwrap_or("");
            shipped.iter().any(|s| s == path || below(s)) || globals.contains(first) || leads_somewhere(path, data)
        };
        let Some(wrong) = asked.iter().find(|path| !known(path)) else { return Ok(()) };
        Err(TemplateError {
            template: name.to_owned(),
            line: line_of(template.source(), wrong),
            range: None,
            message: format!("a name that this sheet does not know: {wrong}"),
        })
    }

    /// One sheet's Markdown.
    ///
    /// # Errors
    /// A name the data does not have, a figure the ledger does not have, or too much work.
    pub fn render(&self, name: &str, data: &serde_json::Value) -> Result<String, TemplateError> {
        self.names_hold(name, data)?;
        let template = self.environment.get_template(name).map_err(|e| explain(name, &e))?;
        template.render(Serde(data)).map_err(|e| explain(name, &e))
    }
}

/// Whether a path of names leads to something in the data; past what is no object anything may follow.
fn leads_somewhere(path: &str, data: &serde_json::Value) -> bool {
    let mut at = data;
    for step in path.split('.') {
        let Some(fields) = at.as_object() else { return true };
        match fields.get(step) {
            Some(inner) => at = inner,
            None => return false,
        }
    }
    true
}

/// The first line that has the path, as a word of its own.
fn line_of(source: &str, path: &str) -> usize {
    let inside = |c: char| c.is_alphanumeric() || c == '_';
    let holds = |line: &str| {
        line.match_indices(path).any(|(at, found)| {
            !line[..at].ends_with(|c: char| inside(c) || c == '.') && !line[at + found.len()..].starts_with(inside)
        })
    };
    source.lines().position(holds).map_or(0, |at| at + 1)
}

/// Sheets on which North America reads lengths in inches beside millimetres. The lengths of wires, which a tape measures,
/// come as sixteenths from elsewhere.
const MEASURED: [&str; 5] =
    ["sheets/cut.md", "sheets/drill.md", "sheets/wiring.md", "sheets/safety.md", "sheets/dead-tests.md"];

/// A figure for templates.
struct Figure {
    shown: String,
    band: String,
    /// Its value, where it is a length.
    length: Option<Metres>,
    /// Both ends of its band, where it is a length.
    ends: Option<(Metres, Metres)>,
    unknown: bool,
}

fn add_figures(environment: &mut Environment<'static>, ledger: &Ledger, region: Region) {
    let figure = |e: &Entry| {
        let is_length = e.unit == "m";
        Figure {
            shown: e.shown.clone(),
            band: ledger.band(&e.path).unwrap_or_default(),
            length: e.value.filter(|_| is_length).map(Metres::si),
            ends: e.band.filter(|_| is_length).map(|(low, high)| (Metres::si(low), Metres::si(high))),
            unknown: e.is_unknown(),
        }
    };
    let figures: Arc<BTreeMap<String, Figure>> = Arc::new(ledger.iter().map(|e| (e.path.clone(), figure(e))).collect());
    let lookup = |figures: Arc<BTreeMap<String, Figure>>, band: bool| {
        move |state: &State<'_, '_>, path: String| -> Result<String, Error> {
            let figure = figures
                .get(&path)
                .ok_or_else(|| Error::new(ErrorKind::InvalidOperation, format!("the ledger has no figure `{path}`")))?;
            let text = if band { &figure.band } else { &figure.shown };
            let inches = region == Region::Us && MEASURED.contains(&state.name());
            Ok(match (figure.length, figure.ends) {
                _ if !inches => text.clone(),
                (_, Some((low, high))) if band => terms::band_beside(low, high, text),
                (Some(length), _) => terms::beside(length, text),
                _ => text.clone(),
            })
        }
    };
    environment.add_function("fig", lookup(Arc::clone(&figures), false));
    environment.add_function("band", lookup(Arc::clone(&figures), true));
    environment.add_function("has", move |path: String| figures.get(&path).is_some_and(|figure| !figure.unknown));
}

fn add_words(environment: &mut Environment<'static>, words: Words) {
    let region = words.region;
    environment.add_function("term", move |thing: String| -> Result<&'static str, Error> {
        let unknown = || Error::new(ErrorKind::InvalidOperation, format!("no region has a word for `{thing}`"));
        words.term(&thing).ok_or_else(unknown)
    });
    environment.add_filter("said", move |text: String| said(&terms::spoken(region, &text)));
    environment.add_filter("local", move |text: String| terms::local(region, &text));
    environment.add_function("box", |unit: Option<String>| match unit {
        Some(unit) if !unit.is_empty() => format!("▭ {unit}"),
        _ => "▭".to_owned(),
    });
}

/// Words of a message: escaped, but what stands between backticks is set as code.
fn said(text: &str) -> Value {
    let pieces: Vec<&str> = text.split('`').collect();
    if pieces.len().is_multiple_of(2) {
        return Value::from_safe_string(escape(text));
    }
    let piece = |(i, piece): (usize, &&str)| match i % 2 {
        0 => escape(piece),
        _ => format!("`{}`", piece.replace(['|', '\n', '\r'], " ")),
    };
    Value::from_safe_string(pieces.iter().enumerate().map(piece).collect())
}

fn write_escaped(out: &mut Output<'_>, state: &mut State<'_, '_>, value: &Value) -> Result<(), Error> {
    if value.is_undefined() {
        return minijinja::escape_formatter(out, state, value);
    }
    if value.is_safe() || matches!(state.auto_escape(), AutoEscape::None) {
        return write!(out, "{value}").map_err(Error::from);
    }
    match value.as_str() {
        Some(text) => out.write_str(&escape(text)).map_err(Error::from),
        None => write!(out, "{value}").map_err(Error::from),
    }
}

/// Text that Markdown shows as it stands: no markup, no table cell, no line break of its own.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '#' => {
                out.push('\\');
                out.push(c);
            }
            '\n' | '\r' | '\t' => out.push(' '),
            c if hidden(c) => {}
            c => out.push(c),
        }
    }
    out
}

fn explain(name: &str, error: &Error) -> TemplateError {
    let mut deepest = error;
    let mut source = std::error::Error::source(error);
    while let Some(inner) = source {
        if let Some(inner) = inner.downcast_ref::<Error>() {
            deepest = inner;
        }
        source = inner.source();
    }
    let detail = deepest.detail().map_or_else(|| deepest.kind().to_string(), str::to_owned);
    let message = match deepest.kind() {
        ErrorKind::UndefinedError => format!("a name that this sheet does not know: {detail}"),
        ErrorKind::OutOfFuel => "the template takes too long".to_owned(),
        _ => detail,
    };
    TemplateError {
        template: deepest.name().unwrap_or(name).to_owned(),
        line: deepest.line().unwrap_or(0),
        range: deepest.range(),
        message,
    }
}
