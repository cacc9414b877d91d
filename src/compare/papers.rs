//! Which tests have to be done again, and which printed sheets no longer hold.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::Compiled;
use crate::packet::sheet::{Packet, Sheet};

use super::chain::{Cause, Changes};
use super::effects::{self, Test};

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

/// The sheet of all figures: as long as eighteen others, and nothing but the ledger and the margins, so that these are
/// compared in its place.
pub const WORKING: &str = "working";

/// Temperatures that move by less than this need no new soak (our limit), kelvin. Times and powers of the ledger's heat
/// are no reason of their own: what moves them moves a temperature.
const SOAK: f64 = 0.5;

/// Tests to repeat, in the order of the bench. `built` is how many units the old revision stands for.
pub fn retests(changes: &Changes<'_>, built: u32) -> Vec<Retest> {
    let mut reasons: BTreeMap<Test, Vec<String>> = BTreeMap::new();
    for change in changes.given() {
        for test in effects::of(&change.path).map_or(&[][..], |e| e.tests) {
            reasons.entry(*test).or_default().push(change.path.clone());
        }
    }
    for path in changes.warmer("heat.", SOAK) {
        reasons.entry(Test::Soak).or_default().push(path);
    }
    let units = match built {
        1 => "the unit built".to_owned(),
        n => format!("every unit built, up to {n}"),
    };
    let retest =
        |(test, paths): (Test, Vec<String>)| Retest { test, units: units.clone(), because: changes.causes(&paths) };
    reasons.into_iter().map(retest).collect()
}

/// Sheets whose print no longer holds, and the names of those that still do; causes are found by [`traced`].
pub fn sheets(old: &Packet, new: &Packet) -> (Vec<StaleSheet>, Vec<String>) {
    let (mut stale, mut keep) = (Vec::new(), Vec::new());
    let one = |sheet: &Sheet, fate: Fate, lines: usize, drawing: bool| {
        let (name, title) = (sheet.name.clone(), sheet.title.clone());
        StaleSheet { name, title, fate, lines, drawing, because: Vec::new() }
    };
    for sheet in &new.sheets {
        let Some(before) = sheet_of(old, &sheet.name) else {
            stale.push(one(sheet, Fate::New, sheet.markdown.lines().count(), false));
            continue;
        };
        let lines = differing(&before.markdown, &sheet.markdown);
        let drawing = drawings_differ(old, new, sheet);
        if lines == 0 && !drawing {
            keep.push(sheet.name.clone());
        } else {
            stale.push(one(sheet, Fate::Stale, lines, drawing));
        }
    }
    for sheet in old.sheets.iter().filter(|s| sheet_of(new, &s.name).is_none()) {
        stale.push(one(sheet, Fate::Gone, sheet.markdown.lines().count(), false));
    }
    (stale, keep)
}

/// Gives each sheet the changes without which it would be otherwise. `named` are the guesses at renamed blocks, each
/// with the old packet in which it alone has its old name, and `before` is the old packet with all new names.
pub fn traced(
    sheets: &mut [StaleSheet],
    before: &Packet,
    (lamp, new): (&Compiled, &Packet),
    changes: &Changes<'_>,
    named: &[(Cause, Cow<'_, Packet>)],
) {
    for sheet in sheets {
        let by_name = named.iter().filter(|(_, with_old)| !alike(with_old, before, &sheet.name));
        sheet.because.extend(by_name.map(|(cause, _)| cause.clone()));
        let tried = changes.by_trial(|t| match &t.packet {
            _ if sheet.name == WORKING => !t.lamp.works_alike(lamp),
            Some(tried) => !alike(tried, new, &sheet.name),
            None => false,
        });
        sheet.because.extend(tried);
    }
}

fn sheet_of<'p>(packet: &'p Packet, name: &str) -> Option<&'p Sheet> {
    packet.sheets.iter().find(|s| s.name == name)
}

/// Whether a sheet reads and looks the same in two packets, or is in neither.
fn alike(a: &Packet, b: &Packet, name: &str) -> bool {
    match (sheet_of(a, name), sheet_of(b, name)) {
        (Some(was), Some(is)) => was.markdown == is.markdown && !drawings_differ(a, b, is),
        (None, None) => true,
        _ => false,
    }
}

/// How many lines stand in one text and not in the other; a line that took another's place counts once.
fn differing(old: &str, new: &str) -> usize {
    let only = |a: &str, b: &str| {
        let there: BTreeSet<&str> = b.lines().collect();
        a.lines().filter(|l| !there.contains(l)).count()
    };
    // Where none is new and none is gone, their order may differ all the same.
    only(new, old).max(only(old, new)).max(usize::from(old != new))
}

fn drawings_differ(old: &Packet, new: &Packet, sheet: &Sheet) -> bool {
    let shown = |name: &&String| sheet.markdown.contains(&format!("({name}.svg)"));
    new.drawings.keys().filter(shown).any(|name| old.drawings.get(name) != new.drawings.get(name))
}
