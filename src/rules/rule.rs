//! What a rule is, and what it may say: pass with margin, finding, not checked, not applicable.

use serde::Serialize;

use crate::diag::{Signal, Span};
use crate::figures::percent;
use crate::lamp::Lamp;
use crate::lamp::driver::Channel;
use crate::lamp::given::{Given, Missing};
use crate::quantity::{Quantity, Temperature};
use crate::solve::Solution;
use crate::solve::drive::ChannelSolution;

/// One rule: its words and its check stand together.
pub struct Rule {
    /// `area/what-is-wrong`.
    pub name: &'static str,
    /// How grave a finding is.
    pub signal: Signal,
    /// False: no waiver lets a finding through.
    pub waivable: bool,
    /// What is wrong, in a few words.
    pub title: &'static str,
    /// Standard and clause, handbook, "common practice, no source" or "our margin"; says where a figure is from memory.
    pub source: &'static str,
    /// Why it matters to the one who builds or uses the lamp.
    pub why: &'static str,
    /// The usual fix.
    pub fix: &'static str,
    /// The check.
    pub check: fn(&Case<'_>) -> Vec<Verdict>,
}

/// What a check may look at.
pub struct Case<'a> {
    /// What the author said.
    pub lamp: &'a Lamp,
    /// The same lamp without its variant, where one was laid over.
    pub base: Option<&'a Lamp>,
    /// What follows from it.
    pub solution: &'a Solution,
    /// What the other rules raised; filled only for the rules about waivers.
    pub raised: &'a [(&'static Rule, String)],
}

/// What a rule says of one subject.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// What it was asked of: a channel, a metal part; empty for the lamp as a whole.
    pub subject: String,
    /// What it says.
    pub outcome: Outcome,
}

/// The four things a rule may say.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// It holds, by this much where it has a limit.
    Pass(Option<Measure>),
    /// It does not.
    Finding(Finding),
    /// A figure is missing.
    NotChecked(Missing),
    /// The lamp has no such thing.
    NotApplicable,
}

/// A figure held against its limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measure {
    /// What was measured, in a few words: `sense resistor power`.
    pub what: String,
    /// Ledger path of the figure, or of the one it follows from; none where the ledger has neither.
    pub path: Option<String>,
    /// The figure as printed.
    pub value: String,
    /// `at most` or `at least`.
    pub sense: Sense,
    /// The limit as printed.
    pub limit: String,
    /// How much of the limit is left, as a share of it: negative in a finding.
    pub margin: f64,
}

/// On which side of the limit the figure must lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// Not above it.
    AtMost,
    /// Not below it.
    AtLeast,
}

/// What is wrong, with the numbers and the way out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Stands alone; no full stop at its end.
    pub message: String,
    /// The place in the spec, then the places that conflict with it, each with what it is.
    pub places: Vec<(Span, String)>,
    /// One concrete fix for this lamp.
    pub fix: String,
    /// The figure against its limit, where it has one.
    pub measure: Option<Measure>,
}

/// Why a check gave no judgement.
pub enum Skip {
    /// A figure is missing.
    Missing(Missing),
    /// The lamp has no such thing.
    NotApplicable,
}

impl From<Missing> for Skip {
    fn from(missing: Missing) -> Self {
        Self::Missing(missing)
    }
}

impl From<&Missing> for Skip {
    fn from(missing: &Missing) -> Self {
        Self::Missing(missing.clone())
    }
}

/// What the check of one subject gives; `?` on a missing figure makes it "not checked".
pub type Judgement = Result<Outcome, Skip>;

/// A figure that may be left out, and then asks nothing of the lamp; one that is said to be unknown is missing.
pub fn wished<T>(given: &Given<T>) -> Result<&T, Skip> {
    if given.is_left_out() { Err(Skip::NotApplicable) } else { Ok(given.known()?) }
}

/// Asks once, of the lamp as a whole.
pub fn once(judge: impl FnOnce() -> Judgement) -> Vec<Verdict> {
    vec![verdict(String::new(), judge())]
}

/// Asks of each channel.
pub fn each_channel(case: &Case<'_>, judge: impl Fn(&Channel, &ChannelSolution) -> Judgement) -> Vec<Verdict> {
    let pairs = case.lamp.driver.channels.iter().zip(&case.solution.channels);
    pairs.map(|(channel, solved)| verdict(channel.name.clone(), judge(channel, solved))).collect()
}

/// Asks of each of several named things.
pub fn each<'t, T: 't>(
    things: impl IntoIterator<Item = &'t T>,
    name: impl Fn(&T) -> String,
    judge: impl Fn(&T) -> Judgement,
) -> Vec<Verdict> {
    things.into_iter().map(|thing| verdict(name(thing), judge(thing))).collect()
}

fn verdict(subject: String, judgement: Judgement) -> Verdict {
    let outcome = match judgement {
        Ok(outcome) => outcome,
        Err(Skip::Missing(missing)) => Outcome::NotChecked(missing),
        Err(Skip::NotApplicable) => Outcome::NotApplicable,
    };
    Verdict { subject, outcome }
}

impl Measure {
    /// `value` must not exceed `limit`.
    pub fn at_most<Q: Quantity>(what: impl Into<String>, path: Option<String>, value: Q, limit: Q) -> Self {
        let margin = share(limit.value() - value.value(), limit.value());
        Self { what: what.into(), path, value: value.show(), sense: Sense::AtMost, limit: limit.show(), margin }
    }
    /// A share must not exceed `limit`; both are shown in per cent.
    pub fn share_at_most(what: impl Into<String>, path: Option<String>, value: f64, limit: f64) -> Self {
        let margin = share(limit - value, limit);
        Self { what: what.into(), path, value: percent(value), sense: Sense::AtMost, limit: percent(limit), margin }
    }
    /// A share must reach `limit`; both are shown in per cent.
    pub fn share_at_least(what: impl Into<String>, path: Option<String>, value: f64, limit: f64) -> Self {
        let margin = share(value - limit, limit);
        Self { what: what.into(), path, value: percent(value), sense: Sense::AtLeast, limit: percent(limit), margin }
    }
    /// `hot` must not exceed `limit`. A share of kelvins above absolute zero would say nothing, so the margin is that of
    /// the rise above the room.
    pub fn rise_at_most(
        what: impl Into<String>,
        path: Option<String>,
        hot: Temperature,
        limit: Temperature,
        room: Temperature,
    ) -> Self {
        let measure = Self::at_most(what, path, hot - room, limit - room);
        Self { value: hot.show(), limit: limit.show(), ..measure }
    }
    /// `value` must reach `limit`.
    pub fn at_least<Q: Quantity>(what: impl Into<String>, path: Option<String>, value: Q, limit: Q) -> Self {
        let margin = share(value.value() - limit.value(), limit.value());
        Self { what: what.into(), path, value: value.show(), sense: Sense::AtLeast, limit: limit.show(), margin }
    }
    /// Whether the figure lies on the right side.
    pub fn holds(&self) -> bool {
        self.margin >= -1e-9
    }
    /// A pass where it holds; otherwise the finding made by `finding`, with this measure in it.
    pub fn judge(self, finding: impl FnOnce(&Self) -> Finding) -> Judgement {
        if self.holds() {
            return Ok(Outcome::Pass(Some(self)));
        }
        let mut found = finding(&self);
        // Two figures that look the same would read as no fault at all.
        if self.value == self.limit {
            found.message.push_str(" (missed by less than the last figure)");
        }
        Ok(Outcome::Finding(Finding { measure: Some(self), ..found }))
    }
}

/// Of a limit of nothing, and of one without end, there is no share: all is left, or all is missing; what rounding leaves
/// is neither.
fn share(left: f64, limit: f64) -> f64 {
    if limit.is_infinite() {
        if left > 0.0 { 1.0 } else { -1.0 }
    } else if limit != 0.0 {
        left / limit.abs()
    } else if left.abs() < 1e-9 {
        left
    } else {
        left.signum()
    }
}

impl Finding {
    /// What is wrong, and where.
    pub fn new(message: impl Into<String>, span: Span, label: impl Into<String>) -> Self {
        Self { message: message.into(), places: vec![(span, label.into())], fix: String::new(), measure: None }
    }
    /// A second place that conflicts with the first.
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.places.push((span, label.into()));
        self
    }
    /// The way out.
    pub fn fix(mut self, fix: impl Into<String>) -> Self {
        self.fix = fix.into();
        self
    }
}

/// A finding where `wrong`, else a pass without a margin.
pub fn unless(wrong: bool, finding: impl FnOnce() -> Finding) -> Judgement {
    Ok(if wrong { Outcome::Finding(finding()) } else { Outcome::Pass(None) })
}
