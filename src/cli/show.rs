//! Messages for people: each with its place, its second place, its fix, eighty columns wide.

use std::collections::BTreeMap;
use std::fmt::{self, Write as _};
use std::sync::Arc;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, Severity, SourceCode};

use crate::diag::{Diag, Label, Signal, Sources, hidden};

use super::output::{coloured, columns, narrate_messages, printable};

/// Most messages shown in full; the rest are counted.
const MOST: usize = 20;
/// A line longer than this is named, not shown.
const LONGEST_LINE: usize = 400;

/// One message as the terminal printer wants it.
struct Shown<'a> {
    diag: &'a Diag,
    source: NamedSource<Arc<str>>,
    elsewhere: String,
}

impl fmt::Debug for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.diag.message)
    }
}
impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&printable(&self.diag.message))
    }
}
impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(format!("{} {}", self.diag.signal.word(), self.diag.code)))
    }
    fn severity(&self) -> Option<Severity> {
        Some(match self.diag.signal {
            Signal::Error | Signal::Danger => Severity::Error,
            Signal::Warning | Signal::Caution => Severity::Warning,
            Signal::Notice => Severity::Advice,
        })
    }
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        let help = self.diag.help.as_deref().unwrap_or_default();
        let text = [help, &self.elsewhere].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join("\n");
        (!text.is_empty()).then(|| Box::new(printable(&text)) as Box<dyn fmt::Display>)
    }
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.source)
    }
    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let file = self.diag.span().file;
        let here = self.diag.labels.iter().enumerate().filter(move |(_, l)| l.span.file == file);
        Some(Box::new(here.map(|(i, l)| {
            let text = (!l.text.is_empty()).then(|| printable(&l.text));
            let span = (l.span.start as usize, l.span.end.saturating_sub(l.span.start) as usize);
            if i == 0 { LabeledSpan::new_primary_with_span(text, span) } else { LabeledSpan::new_with_span(text, span) }
        })))
    }
}

/// What two messages have in common that say the same of the same place.
pub(super) fn key(diag: &Diag) -> String {
    format!("{} {:?} {}", diag.code, diag.span(), diag.message)
}

/// Writes all messages of one run to standard error.
pub(super) fn narrate(diags: &[Diag], sources: &Sources) {
    narrate_messages(&messages(diags, sources));
}

/// All messages of one run as text, the gravest last so that it stands above the prompt.
pub(super) fn messages(diags: &[Diag], sources: &Sources) -> String {
    let theme = if coloured() { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
    set(diags, sources, theme, columns())
}

/// Messages as they look without colour on eighty columns, for a test whose page a person reads.
pub(super) fn on_paper(diags: &[Diag], sources: &Sources) -> String {
    set(diags, sources, GraphicalTheme::unicode_nocolor(), 80)
}

fn set(diags: &[Diag], sources: &Sources, theme: GraphicalTheme, width: usize) -> String {
    let handler = GraphicalReportHandler::new_themed(theme).with_width(width).with_links(false).with_context_lines(1);
    // A name of the language is not broken at its hyphens.
    let handler = handler.with_word_splitter(textwrap::WordSplitter::NoHyphenation);
    let mut out = String::new();
    let mut texts: BTreeMap<u32, Arc<str>> = BTreeMap::new();
    for diag in diags.iter().take(MOST) {
        let number = diag.span().file;
        let Some(file) = sources.get(number) else {
            let _ = writeln!(out, "{} {}: {}\n", diag.signal.word(), diag.code, printable(&diag.message));
            continue;
        };
        if longest_line(&file.text, diag) > LONGEST_LINE {
            out.push_str(&plain(diag, sources));
            continue;
        }
        let text = texts.entry(number).or_insert_with(|| quoted(&file.text).into());
        let shown = Shown {
            diag,
            source: NamedSource::new(printable(&file.name), Arc::clone(text)),
            elsewhere: see_also(diag, sources, |label| label.span.file != number),
        };
        if handler.render_report(&mut out, &shown).is_err() {
            let _ = writeln!(out, "{} {}: {}", diag.signal.word(), diag.code, printable(&diag.message));
        }
        out.push('\n');
    }
    out + &rest(diags)
}

/// The same without colour and pictures of the text, for a page.
pub(super) fn plain_messages(diags: &[Diag], sources: &Sources) -> String {
    let shown: String = diags.iter().take(MOST).map(|diag| plain(diag, sources)).collect();
    shown + &rest(diags)
}

/// How many messages are not shown.
fn rest(diags: &[Diag]) -> String {
    match diags.len().saturating_sub(MOST) {
        0 => String::new(),
        more => format!("{more} more like these are not shown\n"),
    }
}

/// Length of the longest line that would be shown.
fn longest_line(text: &str, diag: &Diag) -> usize {
    let around = |label: &Label| {
        let start = text.get(..label.span.start as usize).and_then(|t| t.rfind('\n')).unwrap_or(0);
        let before = text.get(..start).and_then(|t| t.rfind('\n')).map_or(0, |i| i + 1);
        text.get(before..).unwrap_or("").lines().take(4).map(str::len).max().unwrap_or(0)
    };
    let here = diag.labels.iter().filter(|label| label.span.file == diag.span().file);
    here.map(around).max().unwrap_or(0)
}

/// Without the text it is about: for lines that would flood the terminal.
fn plain(diag: &Diag, sources: &Sources) -> String {
    let mut out = format!(
        "{} {}\n\n  × {}\n    {}\n",
        diag.signal.word(),
        diag.code,
        printable(&diag.message),
        printable(&sources.cite(diag.span()))
    );
    let also = see_also(diag, sources, |_| true);
    for help in diag.help.iter().map(String::as_str).chain(also.lines()) {
        let _ = writeln!(out, "  help: {}", printable(help));
    }
    out.push('\n');
    out
}

/// Places besides the first that no picture of the text shows.
fn see_also(diag: &Diag, sources: &Sources, unseen: impl Fn(&Label) -> bool) -> String {
    let others = diag.labels.iter().skip(1).filter(|label| unseen(label));
    let told = |label: &Label| format!("see also {}: {}", sources.cite(label.span), label.text);
    others.map(told).collect::<Vec<_>>().join("\n")
}

/// A file's text without commands to the terminal, each sign as long in bytes as before, so that places still hold.
fn quoted(text: &str) -> String {
    let hides = |sign: char| hidden(sign) && sign != '\r';
    // What most specs are: nothing to look for sign by sign.
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~' | b'\n')) || !text.contains(hides) {
        return text.to_owned();
    }
    let shown = |(at, sign): (usize, char)| match sign.len_utf8() {
        _ if !hides(sign) => sign,
        // The mark of the encoding, which may stand first: a space as long as it.
        _ if at == 0 && sign == '\u{FEFF}' => '\u{2007}',
        1 => '?',
        2 => '\u{B7}',
        _ => '\u{FFFD}',
    };
    text.char_indices().map(shown).collect()
}

/// One message for programs.
pub(super) fn json(diag: &Diag, sources: &Sources) -> serde_json::Value {
    let places: Vec<_> = diag
        .labels
        .iter()
        .map(|l| {
            let (line, column) = sources.place(l.span);
            let file = sources.get(l.span.file).map_or("", |f| f.name.as_str());
            serde_json::json!({
                "file": file, "line": line, "column": column,
                "start": l.span.start, "end": l.span.end, "text": l.text,
            })
        })
        .collect();
    serde_json::json!({
        "code": diag.code, "signal": diag.signal, "message": diag.message, "places": places, "help": diag.help,
    })
}
