//! What the rules say of two revisions: findings that are new, gone, worse or better, checks lost, margins that moved.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::Compiled;
use crate::diag::Signal;
use crate::figures::percent;
use crate::lamp::given::Missing;
use crate::rules::rule::{Finding, Measure, Outcome, Rule};

use super::chain::{Cause, Changes};

/// How a verdict moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Move {
    /// A finding that was not there.
    New,
    /// A finding with less left of its limit, or one that lost its waiver.
    Worse,
    /// Could be judged before and cannot now.
    NoLongerChecked,
    /// A finding that stays, with other words.
    Reworded,
    /// A finding that a waiver lets through now.
    Waived,
    /// A finding with more left of its limit.
    Better,
    /// A finding that is gone.
    Gone,
}

impl Move {
    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Worse => "worse",
            Self::NoLongerChecked => "no longer checked",
            Self::Reworded => "other words",
            Self::Waived => "waived",
            Self::Better => "better",
            Self::Gone => "gone",
        }
    }

    /// Whether the lamp is worse for it: a finding more or a graver one, or a check less.
    pub fn is_worse(self) -> bool {
        self <= Self::NoLongerChecked
    }
}

/// One verdict that moved.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FindingChange {
    /// How.
    pub moved: Move,
    /// The rule.
    pub rule: &'static str,
    /// Its signal word.
    pub signal: Signal,
    /// What it was asked of.
    pub subject: String,
    /// What it says now; of one that is gone, what it said.
    pub message: String,
    /// Why.
    pub because: Vec<Cause>,
}

/// A margin that moved by more than a tenth of itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MarginChange {
    /// The rule.
    pub rule: &'static str,
    /// What it was asked of.
    pub subject: String,
    /// What was measured.
    pub what: String,
    /// Figure and limit before, as printed.
    pub old: (String, String),
    /// Figure and limit now.
    pub new: (String, String),
    /// Share of the limit left before.
    pub old_margin: f64,
    /// Share of the limit left now.
    pub new_margin: f64,
    /// Why.
    pub because: Vec<Cause>,
}

impl MarginChange {
    /// What was measured, with what it was asked of where the words do not have it already.
    pub fn named(&self) -> String {
        let there = |word: &str| self.what.split(|c: char| !c.is_alphanumeric() && c != '-').any(|w| w == word);
        if self.subject.split_whitespace().all(there) {
            self.what.clone()
        } else {
            format!("{} of {}", self.what, self.subject)
        }
    }
}

/// Margins that move by less than this share of themselves are not told (our limit).
const TOLD: f64 = 0.1;

struct Said<'a> {
    outcome: &'a Outcome,
    waived: bool,
}

type Verdicts<'a> = BTreeMap<(&'static str, &'a str), (&'static Rule, Said<'a>)>;

fn verdicts(compiled: &Compiled) -> Verdicts<'_> {
    let mut found: Verdicts<'_> = BTreeMap::new();
    let waived: Vec<(&str, &str)> =
        compiled.report.findings().iter().filter(|r| r.waiver.is_some()).map(|r| (r.rule.name, r.subject)).collect();
    for judged in &compiled.report.judged {
        for verdict in &judged.verdicts {
            let key = (judged.rule.name, verdict.subject.as_str());
            let said = Said { outcome: &verdict.outcome, waived: waived.contains(&key) };
            // A rule may say two things of one subject: what weighs more counts, of two findings the first.
            let known = found.get(&key).map_or(0, |(_, said)| weight(said.outcome));
            if known < FINDING && known <= weight(said.outcome) {
                found.insert(key, (judged.rule, said));
            }
        }
    }
    found
}

/// Weight of a finding among the verdicts of one rule and subject.
const FINDING: u8 = 4;

/// How much a verdict weighs against others of its rule and subject: what could not be checked is no pass.
const fn weight(outcome: &Outcome) -> u8 {
    match outcome {
        Outcome::NotApplicable => 1,
        Outcome::Pass(_) => 2,
        Outcome::NotChecked(_) => 3,
        Outcome::Finding(_) => FINDING,
    }
}

/// Verdicts that moved: the gravest first, then in the order of how bad the move is.
pub fn findings(old: &Compiled, new: &Compiled, changes: &Changes<'_>) -> Vec<FindingChange> {
    let (before, after) = (verdicts(old), verdicts(new));
    let mut found = Vec::new();
    let keys: Vec<_> = before.keys().chain(after.keys().filter(|k| !before.contains_key(*k))).copied().collect();
    for key in keys {
        let (was, is) = (before.get(&key), after.get(&key));
        let Some(rule) = is.or(was).map(|(rule, _)| *rule) else { continue };
        let Some((moved, finding)) = moved(was.map(|(_, s)| s), is.map(|(_, s)| s)) else { continue };
        let message = match (finding, is.map(|(_, s)| s.outcome)) {
            (Some(finding), _) => finding.message.clone(),
            (None, Some(Outcome::NotChecked(missing))) => format!("{}: {}", rule.title, missing_told(new, missing)),
            (None, _) => rule.title.to_owned(),
        };
        let side = if moved == Move::Gone { old } else { new };
        let mut paths = finding.map(|f| paths_of(f, side)).unwrap_or_default();
        if let Some((_, Said { outcome: Outcome::NotChecked(missing), .. })) = is {
            paths.push(missing.path.clone());
        }
        found.push(FindingChange {
            moved,
            rule: rule.name,
            signal: rule.signal,
            subject: key.1.to_owned(),
            message,
            because: changes.because(&paths, |t| told(&t.lamp, key) != told(new, key)),
        });
    }
    found.sort_by_key(|f| (std::cmp::Reverse(grave(f)), f.moved));
    found
}

/// What keeps a rule from being checked: a figure that nobody gave, or one that cannot be worked out.
pub fn missing_told(lamp: &Compiled, missing: &Missing) -> String {
    let Some(target) = missing.path.strip_prefix("light.target.") else {
        return format!("`{}` is missing", missing.path);
    };
    let controller = lamp.lamp.controller.as_ref().and_then(|c| c.power.nominal().ok()).map_or(0.0, |p| p.value());
    let rating = lamp.solution.feed.rating.as_ref().ok();
    match rating.map(|r| r.value() - controller) {
        Some(left) if left <= 0.0 => {
            format!("the supply leaves nothing for the channels, so the light of `{target}` cannot be worked out")
        }
        _ => format!("the light of `{target}` cannot be worked out"),
    }
}

/// Findings that are worse or new count by their signal word; the rest come after them.
fn grave(change: &FindingChange) -> Option<Signal> {
    (change.moved <= Move::Reworded).then_some(change.signal)
}

fn moved<'a>(was: Option<&Said<'a>>, is: Option<&Said<'a>>) -> Option<(Move, Option<&'a Finding>)> {
    use Outcome as O;
    match (was.map(|s| (s.outcome, s.waived)), is.map(|s| (s.outcome, s.waived))) {
        (Some((O::Finding(a), wa)), Some((O::Finding(b), wb))) => match (wa, wb) {
            (true, false) => Some((Move::Worse, Some(b))),
            (false, true) => Some((Move::Waived, Some(b))),
            _ => degree(a, b).map(|m| (m, Some(b))),
        },
        (_, Some((O::Finding(b), true))) => Some((Move::Waived, Some(b))),
        (_, Some((O::Finding(b), false))) => Some((Move::New, Some(b))),
        // A finding that cannot be asked for any more is open, not gone.
        (Some((O::Pass(_) | O::Finding(_), _)), Some((O::NotChecked(_), _))) => Some((Move::NoLongerChecked, None)),
        (Some((O::Finding(a), _)), _) => Some((Move::Gone, Some(a))),
        _ => None,
    }
}

/// What a lamp's report says of one rule and subject, to be held against what another's says.
fn told(lamp: &Compiled, (rule, subject): (&str, &str)) -> Vec<(Outcome, bool)> {
    let waived =
        lamp.report.findings().iter().any(|r| r.rule.name == rule && r.subject == subject && r.waiver.is_some());
    let judged = lamp.report.judged.iter().filter(|j| j.rule.name == rule).flat_map(|j| &j.verdicts);
    judged.filter(|v| v.subject == subject).map(|v| (v.outcome.clone(), waived)).collect()
}

/// A margin that prints the same before and now has not moved.
fn printed_alike(a: &Measure, b: &Measure) -> bool {
    a.value == b.value && a.limit == b.limit && percent(a.margin) == percent(b.margin)
}

fn degree(a: &Finding, b: &Finding) -> Option<Move> {
    match (&a.measure, &b.measure) {
        (Some(a), Some(b)) if !printed_alike(a, b) && (a.margin - b.margin).abs() > 1e-9 => {
            Some(if b.margin < a.margin { Move::Worse } else { Move::Better })
        }
        _ if a.message != b.message => Some(Move::Reworded),
        _ => None,
    }
}

/// Ledger paths that a finding speaks of.
fn paths_of(finding: &Finding, side: &Compiled) -> Vec<String> {
    let ledger = &side.solution.ledger;
    let measured = finding.measure.as_ref().and_then(|m| m.path.clone());
    let given = finding.places.iter().filter_map(|(span, _)| ledger.given_at(*span));
    measured.into_iter().chain(given).collect()
}

fn measure(outcome: &Outcome) -> Option<&Measure> {
    match outcome {
        Outcome::Pass(measure) => measure.as_ref(),
        Outcome::Finding(finding) => finding.measure.as_ref(),
        _ => None,
    }
}

/// Margins that moved by more than a tenth of themselves or crossed their limit; the nearest to its limit first.
pub fn margins(old: &Compiled, new: &Compiled, changes: &Changes<'_>) -> Vec<MarginChange> {
    margins_beyond(old, new, changes, TOLD)
}

/// The same for margins that moved by more than this share of themselves.
pub fn margins_beyond(old: &Compiled, new: &Compiled, changes: &Changes<'_>, least: f64) -> Vec<MarginChange> {
    let (before, after) = (verdicts(old), verdicts(new));
    let mut found = Vec::new();
    for (key, (rule, is)) in &after {
        let was = before.get(key).and_then(|(_, s)| measure(s.outcome));
        let (Some(was), Some(is)) = (was, measure(is.outcome)) else { continue };
        let crossed = was.holds() != is.holds();
        let still = (was.margin - is.margin).abs() <= least * was.margin.abs() + 1e-9;
        if !crossed && (still || printed_alike(was, is)) {
            continue;
        }
        let paths: Vec<String> = is.path.iter().cloned().collect();
        found.push(MarginChange {
            rule: rule.name,
            subject: key.1.to_owned(),
            what: is.what.clone(),
            old: (was.value.clone(), was.limit.clone()),
            new: (is.value.clone(), is.limit.clone()),
            old_margin: was.margin,
            new_margin: is.margin,
            because: changes.because(&paths, |t| told(&t.lamp, *key) != told(new, *key)),
        });
    }
    found.sort_by(|a, b| a.new_margin.total_cmp(&b.new_margin));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Span;

    #[test]
    fn a_verdict_moves_to_what_it_is_and_unknown_is_no_pass() {
        let finding =
            Outcome::Finding(Finding { message: "hot".into(), places: vec![], fix: String::new(), measure: None });
        let open = Outcome::NotChecked(Missing { path: "heat.wall".into(), span: Span::default(), unknown: true });
        let pass = Outcome::Pass(None);
        for (was, is, expected) in [
            (&pass, &finding, Some(Move::New)),
            (&open, &finding, Some(Move::New)),
            (&finding, &pass, Some(Move::Gone)),
            (&finding, &Outcome::NotApplicable, Some(Move::Gone)),
            (&finding, &open, Some(Move::NoLongerChecked)),
            (&pass, &open, Some(Move::NoLongerChecked)),
            (&open, &pass, None),
            (&finding, &finding, None),
        ] {
            let said = |outcome| Said { outcome, waived: false };
            let found = moved(Some(&said(was)), Some(&said(is))).map(|(found, _)| found);
            assert_eq!(found, expected, "{was:?} to {is:?}");
        }
        assert!(weight(&finding) > weight(&open) && weight(&open) > weight(&pass));
    }
}
