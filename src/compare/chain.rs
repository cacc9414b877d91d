//! What changed between two ledgers, and which given figures a changed figure hangs on.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use serde::Serialize;

use crate::ledger::{Entry, Ledger, Origin};

use super::trials::{self, Trial};

/// A figure before and after; nothing where it was not there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// Path of the figure.
    pub path: String,
    /// What it is.
    pub title: String,
    /// As printed before.
    pub old: Option<String>,
    /// As printed now.
    pub new: Option<String>,
    /// Whether somebody gave it; else it was worked out.
    pub given: bool,
}

/// Why something changed: a given figure, and the way from it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cause {
    /// The given figure that changed.
    pub change: Change,
    /// Worked-out figures between it and the thing itself, in order, each with its change.
    pub chain: Vec<Change>,
}

/// Most causes and links of a chain that are told; `--format json` has the rest.
const MOST_CAUSES: usize = 3;

/// How the count of causes that are not told begins.
pub const MORE: &str = "and ";

/// Causes as told, one by one; where there is none, that it was not traced. Nothing is guessed.
pub fn all_told(causes: &[Cause]) -> Vec<String> {
    if causes.is_empty() {
        return vec!["not traced".to_owned()];
    }
    let mut told: Vec<String> = causes.iter().take(MOST_CAUSES).map(Cause::told).collect();
    if let more @ 1.. = causes.len().saturating_sub(MOST_CAUSES) {
        told.push(format!("{MORE}{more} more"));
    }
    told
}

/// Changed figures of two ledgers.
pub struct Changes<'a> {
    old: &'a Ledger,
    new: &'a Ledger,
    changed: BTreeMap<String, Change>,
    /// The new lamp with one change taken back, for each; empty where nobody asked for trials.
    trials: Vec<Trial<'a>>,
}

impl<'a> Changes<'a> {
    /// Compares two ledgers entry by entry.
    pub fn between(old: &'a Ledger, new: &'a Ledger) -> Self {
        let mut changed = BTreeMap::new();
        for entry in new.iter().chain(old.iter().filter(|e| new.get(&e.path).is_none())) {
            let (before, after) = (old.get(&entry.path), new.get(&entry.path));
            if !same(before, after) {
                let change = Change {
                    path: entry.path.clone(),
                    title: entry.title.clone(),
                    old: before.map(|e| e.shown.clone()),
                    new: after.map(|e| e.shown.clone()),
                    given: matches!(entry.origin, Origin::Given { .. }),
                };
                changed.insert(entry.path.clone(), change);
            }
        }
        Self { old, new, changed, trials: Vec::new() }
    }

    /// The same with trials, for what the ledger does not hold.
    pub fn tried(self, trials: Vec<Trial<'a>>) -> Self {
        Self { trials, ..self }
    }

    /// What something hangs on: the changes behind these figures by the ledger; where it leads to none, the changes
    /// without which the thing would be otherwise. Nothing where neither tells.
    pub fn because(&self, paths: &[String], differs: impl Fn(&Trial<'_>) -> bool) -> Vec<Cause> {
        let found = self.causes(paths);
        if found.is_empty() { self.by_trial(differs) } else { found }
    }

    /// Changes without which a thing would be otherwise; as printed in the ledger where it has them.
    pub fn by_trial(&self, differs: impl Fn(&Trial<'_>) -> bool) -> Vec<Cause> {
        let mut found = trials::causes(&self.trials, differs);
        for cause in &mut found {
            if let Some(shown) = self.changed.get(&cause.change.path) {
                cause.change = shown.clone();
            }
        }
        found
    }

    /// The change of this figure, if it changed.
    pub fn get(&self, path: &str) -> Option<&Change> {
        self.changed.get(path)
    }

    /// Given figures that changed, in the order of the new spec, then those that are gone.
    pub fn given(&self) -> Vec<&Change> {
        let gone = self.old.iter().filter(|e| self.new.get(&e.path).is_none());
        self.new.iter().chain(gone).filter_map(|e| self.changed.get(&e.path)).filter(|c| c.given).collect()
    }

    /// Temperatures whose paths begin so and that moved by more than this, kelvin.
    pub fn warmer(&self, prefix: &str, least: f64) -> Vec<String> {
        let warm = |e: &&Entry| matches!(e.unit, "°C" | "K");
        let value = |ledger: &Ledger, path: &str| ledger.get(path).filter(warm).and_then(|e| e.value);
        let far = |path: &&String| match (value(self.old, path), value(self.new, path)) {
            (Some(old), Some(new)) => (old - new).abs() > least,
            (old, new) => old.is_some() != new.is_some(),
        };
        self.changed.keys().filter(|p| p.starts_with(prefix)).filter(far).cloned().collect()
    }

    /// What changed figures hang on: given figures, first found first.
    pub fn causes(&self, paths: &[String]) -> Vec<Cause> {
        let mut found: Vec<Cause> = Vec::new();
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        let mut queue: VecDeque<(&str, Vec<&str>)> = paths.iter().map(|p| (p.as_str(), Vec::new())).collect();
        while let Some((path, way)) = queue.pop_front() {
            if !seen.insert(path) {
                continue;
            }
            let Some(change) = self.changed.get(path) else { continue };
            if change.given {
                let chain = way.iter().rev().filter_map(|p| self.changed.get(*p)).cloned().collect();
                found.push(Cause { change: change.clone(), chain });
                continue;
            }
            let longer: Vec<&str> = way.iter().copied().chain([path]).collect();
            for input in self.inputs(path) {
                queue.push_back((input, longer.clone()));
            }
        }
        found
    }

    /// Inputs of a figure in either ledger.
    fn inputs(&self, path: &str) -> Vec<&'a str> {
        let of = |ledger: &'a Ledger| -> Vec<&'a str> {
            match ledger.get(path).map(|e| &e.origin) {
                Some(Origin::Computed { inputs, .. }) => inputs.iter().map(|i| i.path.as_str()).collect(),
                _ => Vec::new(),
            }
        };
        let mut inputs: Vec<&str> = of(self.new);
        inputs.extend(of(self.old));
        inputs
    }
}

fn same(old: Option<&Entry>, new: Option<&Entry>) -> bool {
    match (old, new) {
        (Some(old), Some(new)) => old.shown == new.shown && close(old.value, new.value) && bands(old.band, new.band),
        (None, None) => true,
        _ => false,
    }
}

fn bands(old: Option<(f64, f64)>, new: Option<(f64, f64)>) -> bool {
    match (old, new) {
        (Some(old), Some(new)) => close(Some(old.0), Some(new.0)) && close(Some(old.1), Some(new.1)),
        (old, new) => old.is_none() == new.is_none(),
    }
}

/// Equal up to what rounding of the last bits may do.
fn close(old: Option<f64>, new: Option<f64>) -> bool {
    match (old, new) {
        (Some(old), Some(new)) => old == new || (old - new).abs() <= 1e-9 * old.abs().max(new.abs()),
        (old, new) => old.is_none() == new.is_none(),
    }
}

impl Change {
    /// `320 mA → 350 mA`, `new: 350 mA`, `gone, was 320 mA`.
    pub fn told(&self) -> String {
        match (&self.old, &self.new) {
            (Some(old), Some(new)) if old == new => format!("{new}, its band or condition moved"),
            (Some(old), Some(new)) => format!("{old} → {new}"),
            (None, Some(new)) => format!("new: {new}"),
            (Some(old), None) => format!("gone, was {old}"),
            (None, None) => String::new(),
        }
    }
}

impl Cause {
    /// `driver.red.current 320 mA → 350 mA, so drive.red.trip 340 mA → 372 mA`.
    pub fn told(&self) -> String {
        let mut text = format!("{} {}", self.change.path, self.change.told());
        let shown = self.chain.len().min(MOST_CAUSES);
        let (first, last) = (self.chain.get(..shown.saturating_sub(1)), self.chain.last());
        for link in first.into_iter().flatten().chain(last) {
            text.push_str(&format!(", so {} {}", link.path, link.told()));
        }
        text
    }
}
