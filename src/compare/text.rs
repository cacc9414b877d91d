//! A comparison as text for the terminal and as Markdown for a review comment: the same answers in the same order.

use std::fmt::Write as _;

use crate::figures::percent;
use crate::packet::templates::escape;
use crate::rules::report::of;

use super::chain::{Cause, MORE, all_told};
use super::papers::Fate;
use super::variants::{Fate as VariantFate, VariantChange};
use super::work::{Task, Work};
use super::{Comparison, Reach, Side};

/// How the two forms differ.
struct Form {
    head: &'static str,
    item: &'static str,
    because: &'static str,
    safe: fn(&str) -> String,
}

const PLAIN: Form = Form { head: "", item: "  ", because: "\n      ", safe: |t| t.to_owned() };
const MARKDOWN: Form = Form { head: "### ", item: "- ", because: "  \n  ", safe: escape };

/// For the terminal.
pub fn plain(found: &Comparison) -> String {
    written(found, &PLAIN)
}

/// For a review comment.
pub fn markdown(found: &Comparison) -> String {
    written(found, &MARKDOWN)
}

/// What a change asks of the bench, counted.
pub struct Counts<'a> {
    /// Findings that are new or worse, and checks lost.
    pub worse: usize,
    /// What to buy, make, wire and set.
    pub work: &'a [Work],
    /// Tests to do again.
    pub tests: usize,
}

impl Counts<'_> {
    /// In one line.
    pub fn told(&self) -> String {
        let tasks = |task: Task| self.work.iter().filter(|w| w.task == task).count();
        format!(
            "{}; {} to buy, {} to make, {} to wire, {} to set, {} to test again",
            match self.worse {
                0 => "nothing worse".to_owned(),
                1 => "1 finding new or worse".to_owned(),
                n => format!("{n} findings new or worse"),
            },
            tasks(Task::Buy),
            tasks(Task::Make),
            tasks(Task::Wire),
            tasks(Task::Set),
            self.tests
        )
    }
}

/// The one line that sums it up.
pub fn verdict(found: &Comparison) -> String {
    match found.reach {
        Reach::None if found.variants.is_empty() => "no effect on lamp or papers".to_owned(),
        Reach::None => "no effect on the lamp without a variant; its variants change".to_owned(),
        Reach::Words => match found.sheets.len() {
            0 => "words only: nothing to build or to test again".to_owned(),
            n => format!("words only: nothing to build or to test again; {n} {} to print again", sheets(n)),
        },
        Reach::Lamp => {
            let worse = found.findings.iter().filter(|f| f.moved.is_worse()).count();
            Counts { worse, work: &found.work, tests: found.tests.len() }.told()
        }
    }
}

fn written(found: &Comparison, form: &Form) -> String {
    let mut out = String::new();
    let (old, new) = (told(&found.old), told(&found.new));
    let _ =
        writeln!(out, "{}{}: {} → {}\n", form.head, (form.safe)(&found.new.lamp), (form.safe)(&old), (form.safe)(&new));
    let _ = writeln!(out, "{}", verdict(found));
    if found.reach == Reach::None {
        in_variants(found, form, &mut out);
        return out;
    }
    passing(found, form, &mut out);
    for (task, head) in
        [(Task::Buy, "To buy"), (Task::Make, "To cut, drill or print"), (Task::Wire, "To wire"), (Task::Set, "To set")]
    {
        let rows: Vec<String> = found.work.iter().filter(|w| w.task == task).map(|w| one(w, form)).collect();
        section(head, &rows, form, &mut out);
    }
    let rows: Vec<String> =
        found.tests.iter().map(|t| format!("{}: {}{}", t.test.word(), t.units, because(&t.because, form))).collect();
    section("To test again", &rows, form, &mut out);
    in_variants(found, form, &mut out);
    papers(found, form, &mut out);
    words(found, form, &mut out);
    out
}

/// What was fitted to one lamp in place of the spec: what is in it, what that moves, and what is left to do on this
/// lamp and on no other. Nothing of what is in it has to be bought.
pub fn fitted(found: &Comparison, unit: &str) -> String {
    let form = &PLAIN;
    let mut out = String::new();
    let rows = |follows: bool| -> Vec<String> {
        found.work.iter().filter(|w| w.follows == follows).map(|w| one(w, form)).collect()
    };
    section("In it", &rows(false), form, &mut out);
    passing(found, form, &mut out);
    section(&format!("To change with it, on unit {unit}"), &rows(true), form, &mut out);
    let tests: Vec<String> =
        found.tests.iter().map(|t| format!("{}{}", t.test.word(), because(&t.because, form))).collect();
    section(&format!("To test again, on unit {unit}"), &tests, form, &mut out);
    if !found.sheets.is_empty() {
        let names: Vec<&str> = found.sheets.iter().map(|s| s.name.as_str()).collect();
        section("Sheets of the packet that do not hold for it", &[names.join(", ")], form, &mut out);
    }
    out
}

fn told(side: &Side) -> String {
    let revision = side.revision.as_ref().map_or_else(|| "draft".to_owned(), |r| format!("revision {r}"));
    let variant = side.variant.as_ref().map_or_else(String::new, |v| format!(", variant {v}"));
    format!("{revision}{variant} ({})", side.digest)
}

fn section(head: &str, rows: &[String], form: &Form, out: &mut String) {
    if rows.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{}{head}\n", form.head);
    for row in rows {
        let _ = writeln!(out, "{}{row}", form.item);
    }
}

fn because(causes: &[Cause], form: &Form) -> String {
    let word = if causes.is_empty() { "cause" } else { "because" };
    let one = |told: &String| match told.strip_prefix(MORE) {
        Some(_) => format!("{}{told}", form.because),
        None => format!("{}{word} {}", form.because, (form.safe)(told)),
    };
    all_told(causes).iter().map(one).collect()
}

fn passing(found: &Comparison, form: &Form, out: &mut String) {
    let mut rows = vec![format!("{} → {}", (form.safe)(&found.old.verdict), (form.safe)(&found.new.verdict))];
    rows.extend(found.findings.iter().map(|f| {
        let of = of(&f.subject);
        let text = format!("{}: {} {}{of}: {}", f.moved.word(), f.signal.word(), f.rule, f.message);
        format!("{}{}", (form.safe)(&text), because(&f.because, form))
    }));
    section("Is it still passing?", &rows, form, out);
    let rows: Vec<String> = found
        .margins
        .iter()
        .map(|m| {
            let moved = |was: &str, is: &str| if was == is { was.to_owned() } else { format!("{was} → {is}") };
            let text = format!(
                "{}: {}; limit {}; {} → {} left ({})",
                m.named(),
                moved(&m.old.0, &m.new.0),
                moved(&m.old.1, &m.new.1),
                percent(m.old_margin),
                percent(m.new_margin),
                m.rule
            );
            format!("{}{}", (form.safe)(&text), because(&m.because, form))
        })
        .collect();
    section("Margins that moved, nearest to its limit first", &rows, form, out);
}

fn one(work: &Work, form: &Form) -> String {
    let text = match (&work.old, &work.new) {
        (Some(old), Some(new)) => format!("{}: {old} → {new}", work.what),
        (None, Some(new)) => format!("{}: new, {new}", work.what),
        (Some(old), None) => format!("{}: not any more, was {old}", work.what),
        (None, None) => work.what.clone(),
    };
    format!("{}{}", (form.safe)(&text), because(&work.because, form))
}

/// Sheets with the same causes stand together, in the order of the packet's first of them.
fn papers(found: &Comparison, form: &Form, out: &mut String) {
    let mut groups: Vec<(&[Cause], Vec<String>)> = Vec::new();
    for s in &found.sheets {
        let fate = match s.fate {
            Fate::Stale if s.drawing && s.lines == 0 => "stale, its drawing differs".to_owned(),
            Fate::Stale if s.drawing => format!("stale, {} and its drawing differ", lines(s.lines)),
            Fate::Stale if s.lines == 1 => "stale, 1 line differs".to_owned(),
            Fate::Stale => format!("stale, {} differ", lines(s.lines)),
            Fate::New => "new".to_owned(),
            Fate::Gone => "gone".to_owned(),
        };
        let line = format!("{} ({}): {fate}", (form.safe)(&s.title), s.name);
        match groups.iter_mut().find(|(causes, _)| *causes == s.because) {
            Some((_, sheets)) => sheets.push(line),
            None => groups.push((&s.because, vec![line])),
        }
    }
    let between = format!("\n{}", form.item);
    let rows: Vec<String> =
        groups.iter().map(|(causes, sheets)| format!("{}{}", sheets.join(&between), because(causes, form))).collect();
    section("Sheets to print again", &rows, form, out);
    let mut rows = found.keep.clone();
    if !found.sheets_kept.is_empty() {
        rows.push(format!("sheets that still hold: {}", found.sheets_kept.join(", ")));
    }
    section("Keep", &rows, form, out);
}

fn sheets(n: usize) -> &'static str {
    if n == 1 { "sheet" } else { "sheets" }
}

fn lines(n: usize) -> String {
    if n == 1 { "1 line".to_owned() } else { format!("{n} lines") }
}

/// What the change does to the variants, where that is not what it does to the lamp without one.
fn in_variants(found: &Comparison, form: &Form, out: &mut String) {
    let row = |v: &VariantChange| {
        let mut text = (form.safe)(&format!("{}: {}", v.name, v.told()));
        if v.fate == VariantFate::Changed {
            v.worse.iter().for_each(|w| text.push_str(&format!("{}{}", form.because, (form.safe)(w))));
        }
        text
    };
    let mut rows: Vec<String> = found.variants.iter().map(row).collect();
    if let Some(v) = found.variants.iter().find(|v| v.fate == VariantFate::Changed) {
        rows.push((form.safe)(&format!("--variant {} says all of it", v.name)));
    }
    section("In its variants", &rows, form, out);
}

fn words(found: &Comparison, form: &Form, out: &mut String) {
    let mut rows: Vec<String> = found.words.iter().map(|c| (form.safe)(&format!("{}: {}", c.path, c.told()))).collect();
    if found.old.lamp != found.new.lamp {
        rows.push((form.safe)(&format!("name of the lamp: {} → {}", found.old.lamp, found.new.lamp)));
    }
    rows.extend(
        found.renames.iter().map(|r| {
            (form.safe)(&format!("{} {} is called {} now (a guess: all else is equal)", r.kind, r.old, r.new))
        }),
    );
    section("Words only", &rows, form, out);
}
