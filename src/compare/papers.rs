//! Which tests have to be done again, and which printed sheets no longer hold.

use serde::Serialize;

use crate::packet::sheet::{Packet, Sheet};

use super::chain::{Cause, Changes};
use super::effects::{self, Test};
use super::findings::because;

/// A test to repeat, on every unit that was built.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Retest {
    /// Which.
    pub test: Test,
    /// On which units, in words.
    pub units: String,
    /// Why.
    pub because: Vec<Cause>,
}

/// What became of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fate {
    /// Its contents changed: the printed one no longer holds.
    Stale,
    /// It is new.
    New,
    /// The lamp has it no longer.
    Gone,
}

/// A sheet whose print no longer holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StaleSheet {
    /// Name.
    pub name: String,
    /// Title as printed.
    pub title: String,
    /// What became of it.
    pub fate: Fate,
    /// Lines of its text that differ.
    pub lines: usize,
    /// Whether a drawing on it differs.
    pub drawing: bool,
    /// Why.
    pub because: Vec<Cause>,
}

/// Temperatures that move by less than this need no new soak (our limit), kelvin.
const SOAK: f64 = 0.5;

/// Tests to repeat, in the order of the bench. `built` is how many units the old revision stands for.
pub fn retests(changes: &Changes<'_>, built: u32) -> Vec<Retest> {
    let mut reasons: std::collections::BTreeMap<Test, Vec<String>> = std::collections::BTreeMap::new();
    for change in changes.given() {
        for test in effects::of(&change.path).map_or(&[][..], |e| e.tests) {
            reasons.entry(*test).or_default().push(change.path.clone());
        }
    }
    for path in changes.moved("heat.", SOAK) {
        reasons.entry(Test::Soak).or_default().push(path);
    }
    let units = match built {
        1 => "the unit built".to_owned(),
        n => format!("every unit built, up to {n}"),
    };
    let retest =
        |(test, paths): (Test, Vec<String>)| Retest { test, units: units.clone(), because: because(&paths, changes) };
    reasons.into_iter().map(retest).collect()
}

/// Sheets whose print no longer holds, and the names of those that still do.
pub fn sheets(old: &Packet, new: &Packet, changes: &Changes<'_>) -> (Vec<StaleSheet>, Vec<String>) {
    let (mut stale, mut keep) = (Vec::new(), Vec::new());
    for sheet in &new.sheets {
        let Some(before) = old.sheets.iter().find(|s| s.name == sheet.name) else {
            stale.push(one(sheet, Fate::New, sheet.markdown.lines().count(), false, changes, ""));
            continue;
        };
        let lines = differing(&before.markdown, &sheet.markdown);
        let drawing = drawings_differ(old, new, sheet);
        if lines.is_empty() && !drawing {
            keep.push(sheet.name.clone());
        } else {
            stale.push(one(sheet, Fate::Stale, lines.len(), drawing, changes, &lines.join("\n")));
        }
    }
    for sheet in old.sheets.iter().filter(|s| !new.sheets.iter().any(|n| n.name == s.name)) {
        stale.push(one(sheet, Fate::Gone, sheet.markdown.lines().count(), false, changes, ""));
    }
    (stale, keep)
}

fn one(sheet: &Sheet, fate: Fate, lines: usize, drawing: bool, changes: &Changes<'_>, text: &str) -> StaleSheet {
    let because = because(&changes.printed_in(text), changes);
    StaleSheet { name: sheet.name.clone(), title: sheet.title.clone(), fate, lines, drawing, because }
}

/// Lines that stand in one text and not in the other.
fn differing(old: &str, new: &str) -> Vec<String> {
    let only = |a: &str, b: &str| -> Vec<String> {
        let there: std::collections::BTreeSet<&str> = b.lines().collect();
        a.lines().filter(|l| !there.contains(l)).map(str::to_owned).collect()
    };
    let mut lines = only(new, old);
    let gone = only(old, new);
    if lines.is_empty() && gone.is_empty() && old != new {
        return vec!["the order of the lines".to_owned()];
    }
    let more = gone.len().saturating_sub(lines.len());
    lines.extend(gone.into_iter().take(more));
    lines
}

fn drawings_differ(old: &Packet, new: &Packet, sheet: &Sheet) -> bool {
    let shown = |name: &&String| sheet.markdown.contains(&format!("({name}.svg)"));
    new.drawings.keys().filter(shown).any(|name| old.drawings.get(name) != new.drawings.get(name))
}
