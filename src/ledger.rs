//! Every printed number: path, value, unit, formula, source and the entries it was made from.
//! Papers, `why` and the working sheet read figures from here and from nowhere else.

use std::collections::hash_map::Entry::{Occupied, Vacant};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rustc_hash::FxHashMap;
use serde::Serialize;

use crate::diag::Span;
use crate::figures::{between, engineering, for_machine, percent, stated};
use crate::quantity::Quantity;
use crate::spread::Spread;

/// One number with its origin.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// Dotted path: `drive.red.current`.
    pub path: String,
    /// What it is, in a few words.
    pub title: String,
    /// Value in SI units, unless it is a word.
    pub value: Option<f64>,
    /// Lowest and highest value in SI units, where it has a band.
    pub band: Option<(f64, f64)>,
    /// SI unit.
    pub unit: &'static str,
    /// As printed everywhere.
    pub shown: String,
    /// How it came about.
    pub origin: Origin,
}

impl Entry {
    /// As data for a machine: what was worked out without the digits that floating numbers leave over.
    #[must_use]
    pub fn for_machine(&self) -> Self {
        let mut entry = self.clone();
        if !matches!(self.origin, Origin::Given { .. }) {
            entry.value = self.value.map(for_machine);
            entry.band = self.band.map(|(low, high)| (for_machine(low), for_machine(high)));
        }
        entry
    }
    /// Whether the author said that nobody knows it.
    pub fn is_unknown(&self) -> bool {
        self.value.is_none() && self.shown == "unknown" && matches!(self.origin, Origin::Given { .. })
    }
}

/// How a number came about.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Origin {
    /// The author, a part or a default says so.
    Given {
        /// As written.
        text: String,
        /// Where: file and line, or the part's own words.
        place: String,
        /// Where, for editors.
        #[serde(skip)]
        span: Span,
    },
    /// A formula.
    Computed {
        /// The formula in the field's symbols.
        formula: &'static str,
        /// Symbol and entry of each input.
        inputs: Vec<Input>,
        /// Standard and clause, handbook, "common practice, no source" or "our margin".
        source: &'static str,
    },
    /// A figure of a table or standard.
    Looked {
        /// Which row, in words.
        row: String,
        /// Standard and clause, and whether from memory.
        source: &'static str,
    },
}

/// One input of a formula.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Input {
    /// Symbol in the formula.
    pub symbol: &'static str,
    /// Path of its entry.
    pub path: String,
}

/// What a ledger is kept for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scope {
    /// For papers, and for whoever asks how a number came about: every figure.
    #[default]
    Papers,
    /// For the rules: what papers print beside that is not worked out.
    Rules,
}

/// All entries of one lamp, in the order they were made.
#[derive(Debug, Clone, Default)]
pub struct Ledger {
    scope: Scope,
    entries: Vec<Arc<Entry>>,
    /// Where each path stands among the entries; asked, never walked.
    index: FxHashMap<String, usize>,
}

/// A formula with its source, as one constant beside the code that applies it.
#[derive(Debug, Clone, Copy)]
pub struct Formula {
    /// In the field's symbols.
    pub text: &'static str,
    /// Where it stands.
    pub source: &'static str,
}

impl Ledger {
    /// An empty one with room for this many entries.
    pub fn with_room(entries: usize, scope: Scope) -> Self {
        Self {
            scope,
            entries: Vec::with_capacity(entries),
            index: FxHashMap::with_capacity_and_hasher(entries, Default::default()),
        }
    }

    /// Enters a value that a formula gave.
    pub fn computed<Q: Quantity>(
        &mut self,
        path: impl Into<String>,
        title: &str,
        value: Q,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> Q {
        let shown = show(value);
        self.enter(path.into(), title, Some(value.value()), None, Q::UNIT, shown, by(formula, inputs));
        value
    }

    /// Enters a value that was rounded to whole steps: it shows no zeros after the point that it does not need.
    pub fn computed_whole<Q: Quantity>(
        &mut self,
        path: &str,
        title: &str,
        value: Q,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> Q {
        let shown = stated(value.value(), Q::UNIT);
        self.enter(path.to_owned(), title, Some(value.value()), None, Q::UNIT, shown, by(formula, inputs));
        value
    }

    /// Enters a value with its band.
    pub fn computed_spread<Q: Quantity>(
        &mut self,
        path: impl Into<String>,
        title: &str,
        value: Spread<Q>,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> Spread<Q> {
        self.computed_from(path.into(), title, value, formula, owned(inputs))
    }

    /// The same from inputs whose paths were made for it.
    pub fn computed_from<Q: Quantity>(
        &mut self,
        path: String,
        title: &str,
        value: Spread<Q>,
        formula: Formula,
        inputs: Vec<Input>,
    ) -> Spread<Q> {
        let band = (!value.is_exact()).then_some((value.low.value(), value.high.value()));
        let nominal = value.nominal;
        self.enter(path, title, Some(nominal.value()), band, Q::UNIT, show(nominal), formula.of(inputs));
        value
    }

    /// Enters a share, shown in per cent.
    pub fn computed_share(
        &mut self,
        path: impl Into<String>,
        title: &str,
        value: f64,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> f64 {
        self.computed_share_from(path.into(), title, value, formula, owned(inputs))
    }

    /// The same from inputs whose paths were made for it.
    pub fn computed_share_from(
        &mut self,
        path: String,
        title: &str,
        value: f64,
        formula: Formula,
        inputs: Vec<Input>,
    ) -> f64 {
        self.enter(path, title, Some(value), None, "", percent(value), formula.of(inputs));
        value
    }

    /// Enters a pure number with this many decimals: a chromaticity, which three figures would blur.
    pub fn computed_number(
        &mut self,
        path: impl Into<String>,
        title: &str,
        (value, places): (f64, usize),
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> f64 {
        let shown = crate::figures::fixed(value, places);
        self.enter(path.into(), title, Some(value), None, "", shown, by(formula, inputs));
        value
    }

    /// Enters a word or a text that was worked out: a code, a marking.
    pub fn computed_text(
        &mut self,
        path: impl Into<String>,
        title: &str,
        text: impl Into<String>,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) {
        self.enter(path.into(), title, None, None, "", text.into(), by(formula, inputs));
    }

    /// Enters a value from a table.
    pub fn looked_up<Q: Quantity>(
        &mut self,
        path: impl Into<String>,
        title: &str,
        value: Q,
        row: impl Into<String>,
        source: &'static str,
    ) -> Q {
        let origin = Origin::Looked { row: row.into(), source };
        let shown = stated(value.value(), Q::UNIT);
        self.enter(path.into(), title, Some(value.value()), None, Q::UNIT, shown, origin);
        value
    }

    /// Enters what was made elsewhere: what the author gave, or what another lamp's ledger has.
    pub fn put(&mut self, entry: impl Into<Arc<Entry>>) {
        let entry = entry.into();
        match self.index.entry(entry.path.clone()) {
            Occupied(at) => self.entries[*at.get()] = entry,
            Vacant(at) => {
                at.insert(self.entries.len());
                self.entries.push(entry);
            }
        }
    }

    #[allow(clippy::too_many_arguments, reason = "the one place that builds an entry")]
    fn enter(
        &mut self,
        path: String,
        title: &str,
        value: Option<f64>,
        band: Option<(f64, f64)>,
        unit: &'static str,
        shown: String,
        origin: Origin,
    ) {
        self.put(Entry { path, title: title.into(), value, band, unit, shown, origin });
    }

    /// The entry of this path.
    pub fn get(&self, path: &str) -> Option<&Entry> {
        self.index.get(path).and_then(|&at| self.entries.get(at)).map(|entry| &**entry)
    }

    /// As printed, or `None` where there is no such number.
    pub fn shown(&self, path: &str) -> Option<&str> {
        self.get(path).map(|e| e.shown.as_str())
    }

    /// The band as printed: `310 mA to 334 mA`; the single value where it has none.
    pub fn band(&self, path: &str) -> Option<String> {
        let entry = self.get(path)?;
        Some(match entry.band {
            Some((low, high)) => {
                let written = matches!(entry.origin, Origin::Given { .. });
                let show = if written { stated } else { engineering };
                between(&show(low, entry.unit), &show(high, entry.unit))
            }
            None => entry.shown.clone(),
        })
    }

    /// Path of the given figure that was written here.
    pub fn given_at(&self, place: Span) -> Option<String> {
        let at = |e: &&Entry| matches!(&e.origin, Origin::Given { span, .. } if *span == place);
        self.iter().find(at).map(|e| e.path.clone())
    }

    /// These figures and all that were made from them, directly or by way of others.
    pub fn reached<'a>(&'a self, from: &[&'a str]) -> BTreeSet<&'a str> {
        let mut leads: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for entry in &self.entries {
            if let Origin::Computed { inputs, .. } = &entry.origin {
                inputs.iter().for_each(|i| leads.entry(&i.path).or_default().push(&entry.path));
            }
        }
        let (mut found, mut open) = (BTreeSet::new(), from.to_vec());
        while let Some(path) = open.pop() {
            if found.insert(path) {
                open.extend(leads.get(path).into_iter().flatten());
            }
        }
        found
    }

    /// All entries in the order they were made.
    pub fn iter(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().map(|entry| &**entry)
    }

    /// What it is kept for.
    pub fn scope(&self) -> Scope {
        self.scope
    }

    /// Whether it has the figures that papers alone print.
    pub fn is_for_papers(&self) -> bool {
        self.scope == Scope::Papers
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.entries.len()
    }

    /// Those that came after the first so many.
    pub fn since(&self, first: usize) -> Vec<Arc<Entry>> {
        self.entries.get(first..).unwrap_or_default().to_vec()
    }
}

fn show<Q: Quantity>(value: Q) -> String {
    value.show()
}

fn by(formula: Formula, inputs: &[(&'static str, &str)]) -> Origin {
    formula.of(owned(inputs))
}

fn owned(inputs: &[(&'static str, &str)]) -> Vec<Input> {
    inputs.iter().map(|&(symbol, path)| Input { symbol, path: path.to_owned() }).collect()
}

impl Formula {
    fn of(self, inputs: Vec<Input>) -> Origin {
        Origin::Computed { formula: self.text, inputs, source: self.source }
    }
}
