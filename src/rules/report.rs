//! The verdicts of all rules on one lamp: what stands, what was waived, what was not checked, margins nearest first.

use serde::Serialize;

use crate::diag::{Diag, Label, Signal};
use crate::lamp::Lamp;
use crate::lamp::given::Missing;
use crate::language::document::{Date, Waiver};
use crate::ledger::{Ledger, Origin};
use crate::schema::tables::ROOT;
use crate::solve::Solution;

use super::rule::{Case, Finding, Measure, Outcome, Rule, Verdict};

/// A rule with its verdicts, one for each subject it was asked of.
pub struct Judged {
    /// The rule.
    pub rule: &'static Rule,
    /// Its verdicts.
    pub verdicts: Vec<Verdict>,
}

/// All verdicts, in the registry's order.
pub struct Report {
    /// Every rule.
    pub judged: Vec<Judged>,
    /// Waivers, each with whether it let a finding through.
    pub waivers: Vec<(Waiver, bool)>,
    /// Date of the revision: what a waiver's end is held against.
    revision: Option<Date>,
}

/// A finding with the rule that raised it.
#[derive(Clone, Copy)]
pub struct Raised<'a> {
    /// The rule.
    pub rule: &'static Rule,
    /// What it was asked of.
    pub subject: &'a str,
    /// The finding.
    pub finding: &'a Finding,
    /// The waiver that lets it through.
    pub waiver: Option<&'a Waiver>,
}

/// Verdicts of one kind, counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Counts {
    /// Findings that stand, by signal word.
    pub danger: usize,
    /// WARNING.
    pub warning: usize,
    /// CAUTION.
    pub caution: usize,
    /// NOTICE.
    pub notice: usize,
    /// Findings that a waiver lets through.
    pub waived: usize,
    /// Rules that could not be checked of some subject for a missing figure.
    pub not_checked: usize,
    /// Rules that hold of every subject.
    pub passed: usize,
    /// Rules that do not apply.
    pub not_applicable: usize,
}

/// Judges a lamp by every rule. `base` is the lamp without its variant, where one was laid over.
pub fn judge(rules: &'static [&'static Rule], lamp: &Lamp, base: Option<&Lamp>, solution: &Solution) -> Report {
    let case = Case { lamp, base, solution, raised: &[] };
    let mut judged: Vec<Judged> = rules.iter().map(|&rule| Judged { rule, verdicts: (rule.check)(&case) }).collect();
    // Rules about waivers look at what the others raised, so they are asked last.
    let raised: Vec<(&'static Rule, String)> = judged
        .iter()
        .flat_map(|j| j.verdicts.iter().map(move |v| (j.rule, v)))
        .filter(|(_, v)| matches!(v.outcome, Outcome::Finding(_)))
        .map(|(rule, v)| (rule, v.subject.clone()))
        .collect();
    let case = Case { raised: &raised, ..case };
    for judged in judged.iter_mut().filter(|j| j.rule.name.starts_with("spec/waiver")) {
        judged.verdicts = (judged.rule.check)(&case);
    }
    let revision = lamp.identity.date.value;
    let waivers = lamp.facts.waivers.iter().map(|w| {
        let used = !ran_out(w, revision) && raised.iter().any(|(rule, subject)| covers(w, rule, subject));
        (w.clone(), used)
    });
    let waivers = waivers.collect();
    Report { judged, waivers, revision }
}

/// ` of red`: what a rule was asked of, behind its name; nothing where it was asked of the lamp.
pub fn of(subject: &str) -> String {
    if subject.is_empty() { String::new() } else { format!(" of {subject}") }
}

/// What keeps a rule from being checked, in words that name what the author can do something about.
pub fn lacking(missing: &Missing, ledger: &Ledger) -> String {
    let path = &missing.path;
    let given = ledger.get(path).filter(|e| matches!(e.origin, Origin::Given { .. }));
    let first = path.split('.').next().unwrap_or("");
    match given {
        _ if missing.unknown => format!("`{path}` is unknown"),
        Some(given) if given.value.is_none() && given.shown == "unknown" => format!("`{path}` is unknown"),
        Some(given) => format!("`{path}` is {}, for which the program has no row or formula", given.shown),
        // A figure of ours that is nothing, and divides: a channel without current, a lamp without light.
        None if is_nothing(path, ledger) => format!("`{path}` is {}", ledger.shown(path).unwrap_or("nothing")),
        None if first == "waive" || ROOT.block(first).is_some() => format!("`{path}` is not written"),
        // A figure of ours: nobody can write it, so the figures it rests on are what is missing.
        None => match open_inputs(path, ledger) {
            open if open.is_empty() => {
                why(path, ledger).unwrap_or_else(|| format!("`{path}` cannot be worked out from what is written"))
            }
            open => format!("`{path}` cannot be worked out: {}", open.join(", ")),
        },
    }
}

/// Whether the ledger has this figure, and it is nothing.
fn is_nothing(path: &str, ledger: &Ledger) -> bool {
    ledger.get(path).is_some_and(|e| e.value == Some(0.0))
}

/// What the ledger says of a figure that could not be worked out, in its own words: its path is none the author knows.
fn why(path: &str, ledger: &Ledger) -> Option<String> {
    ledger.get(path).filter(|e| e.value.is_none()).map(|e| e.shown.clone())
}

/// The given figures that are not written or unknown beneath a figure, or beneath those in its group.
fn open_inputs(path: &str, ledger: &Ledger) -> Vec<String> {
    let below = format!("{path}.");
    let mut wanted: Vec<&str> =
        ledger.iter().map(|e| e.path.as_str()).filter(|p| *p == path || p.starts_with(&below)).collect();
    let (mut at, mut open) = (0, Vec::new());
    while let Some(next) = wanted.get(at).copied() {
        at += 1;
        let Some(Origin::Computed { inputs, .. }) = ledger.get(next).map(|e| &e.origin) else { continue };
        for input in inputs.iter().map(|i| i.path.as_str()) {
            let word = match ledger.get(input) {
                None if ROOT.block(input.split('.').next().unwrap_or("")).is_some() => "is not written",
                Some(e) if matches!(e.origin, Origin::Given { .. }) && e.shown == "unknown" => "is unknown",
                _ => "",
            };
            if !word.is_empty() {
                let text = format!("`{input}` {word}");
                if !open.contains(&text) {
                    open.push(text);
                }
            } else if !wanted.contains(&input) {
                wanted.push(input);
            }
        }
    }
    open
}

/// Whether a waiver ended before this revision: the finding then stands again.
pub fn ran_out(waiver: &Waiver, revision: Option<Date>) -> bool {
    waiver.until.as_ref().zip(revision).is_some_and(|(until, revision)| revision > until.value)
}

/// Whether a waiver speaks of this finding and may.
pub fn covers(waiver: &Waiver, rule: &Rule, subject: &str) -> bool {
    rule.waivable && waiver.rule.value == rule.name && waiver.subject.as_ref().is_none_or(|s| s.value == subject)
}

impl Report {
    /// Every finding, waived or not, gravest first, then in the registry's order.
    pub fn findings(&self) -> Vec<Raised<'_>> {
        let mut found: Vec<Raised<'_>> = Vec::new();
        for judged in &self.judged {
            for verdict in &judged.verdicts {
                if let Outcome::Finding(finding) = &verdict.outcome {
                    let mut in_force = self.waivers.iter().map(|(w, _)| w).filter(|w| !ran_out(w, self.revision));
                    let waiver = in_force.find(|w| covers(w, judged.rule, &verdict.subject));
                    found.push(Raised { rule: judged.rule, subject: &verdict.subject, finding, waiver });
                }
            }
        }
        found.sort_by_key(|r| std::cmp::Reverse(r.rule.signal));
        found
    }

    /// Findings that stand: no waiver lets them through.
    pub fn standing(&self) -> Vec<Raised<'_>> {
        self.findings().into_iter().filter(|r| r.waiver.is_none()).collect()
    }

    /// Rules that could not be checked, with what is missing.
    pub fn not_checked(&self) -> Vec<(&'static Rule, &str, &Missing)> {
        let all = self.judged.iter().flat_map(|j| j.verdicts.iter().map(move |v| (j.rule, v)));
        all.filter_map(|(rule, v)| match &v.outcome {
            Outcome::NotChecked(missing) => Some((rule, v.subject.as_str(), missing)),
            _ => None,
        })
        .collect()
    }

    /// Every figure that was held against a limit, nearest to its limit first.
    pub fn margins(&self) -> Vec<(&'static Rule, &str, &Measure)> {
        let all = self.judged.iter().flat_map(|j| j.verdicts.iter().map(move |v| (j.rule, v)));
        let mut margins: Vec<_> = all
            .filter_map(|(rule, v)| match &v.outcome {
                Outcome::Pass(Some(measure)) => Some((rule, v.subject.as_str(), measure)),
                Outcome::Finding(Finding { measure: Some(measure), .. }) => Some((rule, v.subject.as_str(), measure)),
                _ => None,
            })
            .collect();
        // What differs by rounding alone stays in the order of the rules.
        let coarse = |margin: f64| libm::round(margin * 1e9);
        margins.sort_by(|a, b| coarse(a.2.margin).total_cmp(&coarse(b.2.margin)));
        margins
    }

    /// Verdicts counted: every finding, and each rule once as not checked, passed or not applicable.
    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for raised in self.findings() {
            match (raised.waiver, raised.rule.signal) {
                (Some(_), _) => counts.waived += 1,
                (None, Signal::Danger | Signal::Error) => counts.danger += 1,
                (None, Signal::Warning) => counts.warning += 1,
                (None, Signal::Caution) => counts.caution += 1,
                (None, Signal::Notice) => counts.notice += 1,
            }
        }
        for judged in &self.judged {
            let any = |f: fn(&Outcome) -> bool| judged.verdicts.iter().any(|v| f(&v.outcome));
            let found = any(|o| matches!(o, Outcome::Finding(_)));
            // What was found of one channel does not make up for the figure that is missing of another.
            if any(|o| matches!(o, Outcome::NotChecked(_))) {
                counts.not_checked += 1;
            } else if any(|o| matches!(o, Outcome::Pass(_))) && !found {
                counts.passed += 1;
            } else if !found {
                counts.not_applicable += 1;
            }
        }
        counts
    }

    /// Whether a DANGER stands, or one that no waiver lets through could not be checked: unknown is no pass.
    pub fn dangerous(&self) -> bool {
        self.standing().iter().any(|r| r.rule.signal >= Signal::Danger) || !self.refusals().is_empty()
    }

    /// Why nothing may be labelled or powered: DANGERs that no waiver lets through, standing or not checked, by rule.
    pub fn refusals(&self) -> Vec<(&'static Rule, String)> {
        let never = |rule: &Rule| rule.signal >= Signal::Danger && !rule.waivable;
        let standing = self.standing();
        let found = standing.iter().filter(|r| never(r.rule)).map(|r| (r.rule, r.finding.message.clone()));
        let open = self.not_checked();
        let open = open.iter().filter(|(rule, ..)| never(rule)).map(|(rule, subject, missing)| {
            (*rule, format!("not checked{}: {}; `{}` is not known", of(subject), rule.title, missing.path))
        });
        found.chain(open).collect()
    }

    /// Findings that stand, as messages.
    pub fn diags(&self) -> Vec<Diag> {
        self.standing().iter().map(Raised::diag).collect()
    }
}

impl Raised<'_> {
    /// As a message at its place in the spec.
    pub fn diag(&self) -> Diag {
        let labels = self.finding.places.iter();
        Diag {
            code: self.rule.name.to_owned(),
            signal: self.rule.signal,
            message: self.finding.message.clone(),
            labels: labels.map(|(span, text)| Label { span: *span, text: text.clone() }).collect(),
            help: (!self.finding.fix.is_empty()).then(|| self.finding.fix.clone()),
        }
    }
}

impl Counts {
    /// In one line, as it stands in every footer.
    pub fn line(&self) -> String {
        let words = [
            (self.danger, "DANGER"),
            (self.warning, "WARNING"),
            (self.caution, "CAUTION"),
            (self.notice, "NOTICE"),
            (self.waived, "waived"),
            (self.not_checked, "not checked"),
        ];
        let said: Vec<String> = words.iter().filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect();
        if said.is_empty() { format!("no findings, {} rules checked", self.passed) } else { said.join(", ") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Span;
    use crate::ledger::{Entry, Formula};
    use crate::quantity::Metres;

    #[test]
    fn what_is_missing_is_called_by_what_the_author_can_write() {
        let mut ledger = Ledger::default();
        let given = |path: &str, value: Option<f64>, shown: &str| Entry {
            path: path.into(),
            title: String::new(),
            value,
            band: None,
            unit: "m",
            shown: shown.into(),
            origin: Origin::Given { text: shown.into(), place: "spec.lamp".into(), span: Span::default() },
        };
        ledger.put(given("diffuser.thickness", Some(3e-3), "3 mm"));
        ledger.put(given("enclosure.wall", None, "unknown"));
        let formula = Formula { text: "t + w + d", source: "ours" };
        let inputs = [("t", "diffuser.thickness"), ("w", "enclosure.wall"), ("d", "emitter.distance")];
        ledger.computed("light.depth", "depth", Metres::ZERO, formula, &inputs);
        ledger.computed("light.target.candle.x", "x", Metres::ZERO, formula, &[("d", "light.depth")]);
        ledger.computed_text("heat.balance", "balance", "hotter without end", formula, &[]);
        let open = "`enclosure.wall` is unknown, `emitter.distance` is not written";
        for (path, unknown, said) in [
            ("supply.size", false, "`supply.size` is not written".to_owned()),
            ("supply.size", true, "`supply.size` is unknown".to_owned()),
            ("enclosure.wall", false, "`enclosure.wall` is unknown".to_owned()),
            ("light.target.candle", false, format!("`light.target.candle` cannot be worked out: {open}")),
            ("heat.balance", false, "hotter without end".to_owned()),
            ("heat.soak.curve", false, "`heat.soak.curve` cannot be worked out from what is written".to_owned()),
            (
                "diffuser.thickness",
                false,
                "`diffuser.thickness` is 3 mm, for which the program has no row or formula".to_owned(),
            ),
        ] {
            let missing = Missing { path: path.into(), span: Span::default(), unknown };
            assert_eq!(lacking(&missing, &ledger), said);
        }
    }
}
