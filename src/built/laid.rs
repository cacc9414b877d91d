//! Measured figures as a layer over the lamp: what the meter read in place of what the data sheets say, in the language
//! of specs, so that the same program works the lamp out again. What cannot be laid over is named with its reason.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use serde::Serialize;

use crate::Compiled;
use crate::figures::percent;
use crate::lamp::driver::Channel;
use crate::language::document::Spread;
use crate::rules::rule::Outcome;

use super::AsBuilt;

/// What became of one reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Laid {
    /// Where the file says it: `measured.red.current`.
    pub key: String,
    /// The figure of the spec that it took the place of; nothing where it took none.
    pub path: Option<String>,
    /// Why it took none.
    pub note: String,
}

/// Every reading with what becomes of it, and the layer as text; empty where nothing is laid over.
///
/// Resistors stay those that were fitted to `fitted`, else the program would choose new ones for the measured voltages.
/// Only where a ballast or set resistor alone makes the current, it is the one that makes the measured current; `first`
/// is the lamp with the layer of a first pass, and knows that value.
pub fn lay(built: &AsBuilt, fitted: &Compiled, first: Option<&Compiled>) -> (Vec<Laid>, String) {
    let mut layer = Layer { built, fitted, first, rows: Vec::new() };
    let supply = layer.supply();
    let (mut dice, mut channels) = (String::new(), String::new());
    for channel in &fitted.lamp.driver.channels {
        layer.die(channel, &mut dice);
        layer.current(channel, &mut channels);
    }
    for (key, why) in ONLY_HELD {
        if built.measured.contains_key(*key) {
            layer.rows.push(Laid { key: (*key).to_owned(), path: None, note: (*why).to_owned() });
        }
    }
    let rows = layer.rows;
    if rows.iter().all(|row| row.path.is_none()) {
        return (rows, String::new());
    }
    let mut text = format!("language 1\nfitted {{\n{supply}");
    if !dice.is_empty() {
        let _ = writeln!(text, "emitter {{\n{dice}}}");
    }
    let _ = writeln!(text, "driver {{\n{channels}}}\n}}");
    (rows, text)
}

const HELD: &str = "held against its figure; the spec gives no figure that it could take the place of";

/// Readings of what the program works out and nobody gives.
const ONLY_HELD: &[(&str, &str)] = &[
    ("measured.earth", HELD),
    ("measured.idle", HELD),
    ("measured.mains", HELD),
    ("measured.wall", HELD),
    ("measured.sink", HELD),
];

struct Layer<'a> {
    built: &'a AsBuilt,
    fitted: &'a Compiled,
    first: Option<&'a Compiled>,
    rows: Vec<Laid>,
}

impl Layer<'_> {
    fn over(&mut self, key: &str, path: String) {
        self.rows.push(Laid { key: key.to_owned(), path: Some(path), note: String::new() });
    }

    fn held(&mut self, key: &str, note: &str) {
        self.rows.push(Laid { key: key.to_owned(), path: None, note: note.to_owned() });
    }

    fn supply(&mut self) -> String {
        let key = "measured.supply";
        let Some(found) = self.built.measured.get(key) else { return String::new() };
        if self.fitted.lamp.supply.battery.is_some() {
            self.held(
                key,
                "held against its figure; a battery's voltage falls as it empties, one reading is not its range",
            );
            return String::new();
        }
        self.over(key, "supply.output".to_owned());
        format!("supply {{ output {} }}\n", interval(*found, "V"))
    }

    /// The string's voltage, shared out to its dice. It is read warm, at a junction that nobody knows: the die at 25 °C,
    /// which the spec's figure is of, has up to what the worked-out junction would take off it more.
    fn die(&mut self, channel: &Channel, dice: &mut String) {
        let (current, voltage) = (key(channel, "current"), key(channel, "voltage"));
        let Some(read) = self.built.measured.get(&voltage).copied() else { return };
        let Some(at) = self.built.measured.get(&current).copied() else {
            return self
                .held(&voltage, &format!("held against its figure; without `{current}` it is of no known current"));
        };
        let fitted = self.fitted;
        let lamp = &fitted.lamp;
        let alone = lamp.driver.channels.iter().filter(|c| c.feeds.value == channel.feeds.value).count() == 1;
        let one = channel.strings.get().is_ok_and(|n| n == 1);
        let (Some(die), true, true) = (lamp.die(channel), alone, one) else {
            return self.held(&voltage, "held against its figure; its dice hang on several strings");
        };
        let (Ok(count), Ok(drift)) = (die.count.get(), die.drift.low()) else {
            return self.held(&voltage, "held against its figure; count or drift of its dice is not known");
        };
        let junction = fitted.solution.ledger.get(&format!("heat.junction.{}", channel.name)).and_then(|e| e.value);
        let Some(junction) = junction else {
            return self.held(&voltage, "held against its figure; the junction's temperature is not known");
        };
        let warm = (crate::quantity::Quantity::value(drift) * (junction - COLD)).abs();
        let each = |volts: f64| volts / f64::from(count.max(1));
        let one =
            Spread { low: each(read.low), nominal: each(read.nominal), high: each(read.high) + warm, typical: true };
        let Some(name) = &channel.feeds.value else { return };
        let _ = writeln!(dice, "die {name} {{ forward {} at {} A }}", interval(one, "V"), at.nominal);
        self.over(&voltage, die.forward.path.clone());
    }

    fn current(&mut self, channel: &Channel, channels: &mut String) {
        let key = key(channel, "current");
        let read = self.built.measured.get(&key).copied();
        let mut said = Vec::new();
        if let Some(read) = read {
            said.push(format!("current {}", interval(read, "A")));
            self.over(&key, channel.current.path.clone());
        }
        let of = |lamp: &Compiled, figure: &str| {
            lamp.solution.ledger.get(&format!("drive.{}.{figure}", channel.name)).and_then(|e| e.value)
        };
        for (property, figure, alone) in RESISTORS {
            let exact = self.first.filter(|_| *alone && read.is_some());
            let exact = exact.and_then(|first| of(first, &format!("{figure}-exact"))).filter(|ohms| *ohms > 0.0);
            if let Some(ohms) = exact.or_else(|| of(self.fitted, figure)) {
                said.push(format!("{property} {ohms} Ω"));
            }
        }
        let _ = writeln!(channels, "channel {} {{ {} }}", channel.name, said.join("; "));
    }
}

/// Property and figure of the resistor that sets a channel's current, and whether it does so alone.
const RESISTORS: &[(&str, &str, bool)] =
    &[("sense", "sense", false), ("sense", "set", true), ("ballast", "ballast", true)];

/// The temperature that a die's forward voltage is stated at: 25 °C in kelvin.
const COLD: f64 = 298.15;

fn key(channel: &Channel, reading: &str) -> String {
    format!("measured.{}.{reading}", channel.name)
}

/// An interval in the language: what was read, with what the meter may be off.
fn interval(found: Spread, unit: &str) -> String {
    let Spread { low, nominal, high, .. } = found;
    match (low == high, found.typical) {
        (true, _) => format!("{nominal} {unit}"),
        (false, true) => format!("{low} {unit} .. {nominal} {unit} .. {high} {unit}"),
        (false, false) => format!("{low} {unit} .. {high} {unit}"),
    }
}

/// More than this apart, and the lamp does not flow what was measured (our limit).
const FLOWS: f64 = 0.02;

/// Notes where written parts, or the nearest of the drawer, set another current than the measured one: the lamp is then
/// worked out with theirs.
pub fn note_currents(rows: &mut [Laid], built: &AsBuilt, measured: &Compiled) {
    for row in rows.iter_mut().filter(|row| row.path.is_some()) {
        let Some(name) = row.key.strip_prefix("measured.").and_then(|k| k.strip_suffix(".current")) else { continue };
        let Some(entry) = measured.solution.ledger.get(&format!("drive.{name}.current")) else { continue };
        let (Some(flows), Some(read)) = (entry.value, built.measured.get(&row.key)) else { continue };
        if (flows / read.nominal - 1.0).abs() > FLOWS {
            row.note =
                format!("but written parts and the drawer set {}, and with that the lamp is judged", entry.shown);
        }
    }
}

/// A judgement that measured figures moved.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Moved {
    /// The rule.
    pub rule: &'static str,
    /// What it was asked of.
    pub subject: String,
    /// What it said of the lamp as it was fitted.
    pub from: String,
    /// What it says with the measured figures.
    pub to: String,
    /// Whether passing became a finding, or the reverse, or it can no longer be judged.
    pub turned: bool,
    /// Whether no more than the figures moved, and what is left of the limit by less than a tenth of itself.
    pub slight: bool,
}

/// What is left of a limit and moves by less than this share of itself moves slightly (our limit).
const SLIGHT: f64 = 0.1;

/// Judgements of `fitted` that say something else of `measured`: those that turned first, then those with other figures.
pub fn moved(fitted: &Compiled, measured: &Compiled) -> Vec<Moved> {
    let (old, new) = (said(fitted), said(measured));
    let keys: BTreeSet<&Asked> = old.keys().chain(new.keys()).collect();
    let silent = ("", "not asked".to_owned(), None);
    let row = |key: &Asked| {
        let (from, to) = (old.get(key).unwrap_or(&silent), new.get(key).unwrap_or(&silent));
        let turned = from.0 != to.0;
        let slight = match (from.2, to.2) {
            (Some(old), Some(new)) => !turned && (new - old).abs() < SLIGHT * old.abs(),
            _ => !turned,
        };
        let (subject, from_text, to_text) = (key.1.clone(), from.1.clone(), to.1.clone());
        let moved = Moved { rule: key.0, subject, from: from_text, to: to_text, turned, slight };
        (from.1 != to.1).then_some(moved)
    };
    let mut rows: Vec<Moved> = keys.into_iter().filter_map(row).collect();
    rows.sort_by_key(|row| !row.turned);
    rows
}

/// Rule, subject and which of its answers.
type Asked = (&'static str, String, usize);

/// Word, words and what is left of the limit.
type Answer = (&'static str, String, Option<f64>);

/// Every answer of every rule.
fn said(lamp: &Compiled) -> BTreeMap<Asked, Answer> {
    let mut found = BTreeMap::new();
    for judged in &lamp.report.judged {
        for (number, verdict) in judged.verdicts.iter().enumerate() {
            let answer = match &verdict.outcome {
                Outcome::NotApplicable | Outcome::Pass(None) => ("pass", "passes".to_owned(), None),
                Outcome::Pass(Some(m)) => {
                    let words = format!("{} {}, limit {}: {} left", m.what, m.value, m.limit, percent(m.margin));
                    ("pass", words, Some(m.margin))
                }
                Outcome::NotChecked(missing) => ("open", format!("not checked, `{}` is missing", missing.path), None),
                Outcome::Finding(finding) => {
                    let left = finding.measure.as_ref().map(|m| m.margin);
                    ("finding", format!("{}: {}", judged.rule.signal.word(), finding.message), left)
                }
            };
            found.insert((judged.rule.name, verdict.subject.clone(), number), answer);
        }
    }
    found
}
