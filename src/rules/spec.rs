//! Rules about the spec itself: what it leaves open, what it does not use, what it waives.

use crate::diag::Signal;
use crate::lamp::given::Missing;
use crate::language::document::Waiver;

use super::protections::weakened;
use super::report::{covers, ran_out};
use super::rule::{Case, Finding, Outcome, Rule, Skip, Verdict, each, once, unless};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[
    &UNKNOWN,
    &IMPLAUSIBLE,
    &UNUSED_PART,
    &PART_SOURCE,
    &UNUSED_RUN,
    &WAIVER_REFUSED,
    &WAIVER_EXPIRED,
    &WAIVER_UNUSED,
    &VARIANT_WEAKENS,
];

static UNKNOWN: Rule = Rule {
    name: "spec/unknown",
    signal: Signal::Notice,
    waivable: true,
    title: "a figure is said to be unknown",
    source: "our margin: unknown is never pass",
    why: "every rule that needs the figure is not checked, and the packet says so instead of passing it",
    fix: "find the figure in the part's data sheet, or measure it",
    check: |case| {
        each(
            &case.lamp.facts.unknown,
            |m| m.path.clone(),
            |m| {
                Ok(Outcome::Finding(
                    Finding::new(
                        format!("`{}` is unknown, so rules that need it are not checked", m.path),
                        m.span,
                        "here",
                    )
                    .fix("find it in the part's data sheet, or measure it"),
                ))
            },
        )
        .or_pass()
    },
};

static IMPLAUSIBLE: Rule = Rule {
    name: "spec/implausible",
    signal: Signal::Caution,
    waivable: true,
    title: "a figure lies outside its usual range",
    source: "common practice, no source: the usual ranges stand in the language reference",
    why: "a slipped prefix or unit gives a lamp that is computed well and built wrong",
    fix: "correct the figure, or waive the finding if it is meant",
    check: |case| {
        each(
            &case.lamp.facts.implausible,
            |d| case.path_of(d.span()),
            |d| {
                let mut finding = Finding::new(d.message.clone(), d.span(), d.labels.first().map_or("", |l| &l.text));
                finding.fix = d.help.clone().unwrap_or_default();
                Ok(Outcome::Finding(finding))
            },
        )
        .or_pass()
    },
};

static UNUSED_PART: Rule = Rule {
    name: "spec/unused-part",
    signal: Signal::Notice,
    waivable: true,
    title: "a part is declared and not used",
    source: "common practice, no source",
    why: "a part that nothing starts from is often a part that was meant to be used",
    fix: "use it with `is`, or take it out",
    check: |case| {
        each(
            &case.lamp.facts.unused_parts,
            |(_, name, _)| name.clone(),
            |(kind, name, span)| {
                Ok(Outcome::Finding(
                    Finding::new(
                        format!("part `{name}` is declared and no block starts from it"),
                        *span,
                        "declared here",
                    )
                    .fix(format!("write `{kind} is {name}`, or take the part out")),
                ))
            },
        )
        .or_pass()
    },
};

static PART_SOURCE: Rule = Rule {
    name: "spec/part-source",
    signal: Signal::Notice,
    waivable: true,
    title: "a part does not say where its figures come from",
    source: "common practice, no source",
    why: "a part is copied from lamp to lamp; a figure whose origin nobody knows is trusted all the more for it",
    fix: "write `from \"...\"` in the part: its data sheet, or what it was measured on",
    check: |case| {
        each(
            &case.lamp.facts.unsourced_parts,
            |(_, name, _)| name.clone(),
            |(kind, name, span)| {
                let text = format!("part `{name}` does not say where its figures come from");
                let fix = format!("write `from \"...\"` in `part {kind} {name}`: its data sheet, or what was measured");
                Ok(Outcome::Finding(Finding::new(text, *span, "declared here").fix(fix)))
            },
        )
        .or_pass()
    },
};

static UNUSED_RUN: Rule = Rule {
    name: "spec/unused-run",
    signal: Signal::Notice,
    waivable: true,
    title: "a run is written for a wire that the lamp does not have",
    source: "common practice, no source",
    why: "a misspelled run changes nothing, and the wire it was meant for is cut to the default",
    fix: "write the wire's name as the wiring sheet has it",
    check: |case| {
        let wires = &case.solution.wires;
        let stray = case.lamp.wiring.runs.iter().filter(|r| wires.iter().all(|w| w.name != r.name));
        each(
            stray,
            |r| r.name.clone(),
            |r| {
                let names: Vec<&str> = wires.iter().map(|w| w.name.as_str()).collect();
                let text = format!("no wire of this lamp is called `{}`", r.name);
                let fix = format!("use one of: {}", names.join(", "));
                Ok(Outcome::Finding(Finding::new(text, r.span, "this run").fix(fix)))
            },
        )
        .or_pass()
    },
};

static WAIVER_REFUSED: Rule = Rule {
    name: "spec/waiver-refused",
    signal: Signal::Danger,
    waivable: false,
    title: "a waiver for a rule that is never waived",
    source: "our margin: what can kill is put right, not signed for",
    why: "the rule it names guards against shock; no signature makes the lamp less live",
    fix: "put right what the rule finds and take the waiver out",
    check: |case| {
        let refused = |w: &&Waiver| super::find(&w.rule.value).is_none_or(|rule| !rule.waivable);
        let waivers: Vec<_> = case.lamp.facts.waivers.iter().filter(refused).collect();
        each(
            waivers,
            |w| w.rule.value.clone(),
            |w| {
                let (text, fix) = match super::find(&w.rule.value) {
                    Some(rule) => (
                        format!("`{}` is never waived", rule.name),
                        "put right what the rule finds, and take the waiver out",
                    ),
                    None => (
                        format!("there is no rule `{}` to waive", w.rule.value),
                        "correct its name; `lampwright rules` lists the rules",
                    ),
                };
                Ok(Outcome::Finding(Finding::new(text, w.rule.span, "this waiver").fix(fix)))
            },
        )
        .or_pass()
    },
};

static WAIVER_EXPIRED: Rule = Rule {
    name: "spec/waiver-expired",
    signal: Signal::Danger,
    waivable: false,
    title: "a waiver ran out before this revision",
    source: "our margin: judged against the revision's date, so that the same spec always gives the same packet",
    why: "a waiver is a loan; past its date the finding stands again",
    fix: "put the finding right, or sign the waiver anew with a later date",
    check: |case| {
        each(
            &case.lamp.facts.waivers,
            |w| w.rule.value.clone(),
            |w| {
                // A waiver without an end never runs out, so whether it still holds is not known.
                let endless = || Missing { path: "waive.until".to_owned(), span: w.rule.span, unknown: false };
                let until = w.until.as_ref().ok_or_else(endless)?;
                let date = &case.lamp.identity.date;
                let revision = date.known()?;
                unless(ran_out(w, Some(*revision)), || {
                    Finding::new(
                        format!(
                            "waiver of `{}` ran out on {}; this revision is of {revision}",
                            w.rule.value, until.value
                        ),
                        until.span,
                        "ran out",
                    )
                    .also(date.span, "date of the revision")
                    .fix("put the finding right, or sign the waiver anew with a later date")
                })
            },
        )
        .or_not_applicable()
    },
};

static WAIVER_UNUSED: Rule = Rule {
    name: "spec/waiver-unused",
    signal: Signal::Notice,
    waivable: true,
    title: "a waiver lets nothing through",
    source: "common practice, no source",
    why: "a waiver that outlives its finding will hide the next one",
    fix: "take the waiver out",
    check: |case| {
        each(
            &case.lamp.facts.waivers,
            |w| w.rule.value.clone(),
            |w| {
                let Some(rule) = super::find(&w.rule.value).filter(|r| r.waivable) else {
                    return Err(Skip::NotApplicable);
                };
                let used =
                    case.raised.iter().any(|(raised, subject)| raised.name == rule.name && covers(w, raised, subject));
                unless(!used, || {
                    let text = format!("the waiver of `{}` lets nothing through", rule.name);
                    let own = case.raised.iter().filter(|(raised, _)| raised.name == rule.name);
                    let found: Vec<&str> = own.map(|(_, subject)| subject.as_str()).filter(|s| !s.is_empty()).collect();
                    match &w.subject {
                        Some(subject) if !found.is_empty() => {
                            let like = |s: &&&str| strsim::jaro_winkler(s, &subject.value);
                            let near = found.iter().max_by(|a, b| like(a).total_cmp(&like(b)));
                            let near = near.filter(|n| like(n) > 0.8).map_or_else(
                                || format!("the rule finds: {}", found.join(", ")),
                                |near| format!("did you mean `{near}`?"),
                            );
                            Finding::new(text, subject.span, "nothing is found of this").fix(near)
                        }
                        _ => Finding::new(text, w.rule.span, "this waiver").fix("take the waiver out"),
                    }
                })
            },
        )
        .or_not_applicable()
    },
};

static VARIANT_WEAKENS: Rule = Rule {
    name: "spec/variant-weakens",
    signal: Signal::Warning,
    waivable: true,
    title: "a variant drops a protection that the lamp has without it",
    source: "our margin",
    why: "a variant is read for what it changes, and a protection that is gone is easily overlooked",
    fix: "keep the protection in the variant, or say in a waiver why it may go",
    check: |case| {
        let Some(base) = case.base else { return once(|| Err(Skip::NotApplicable)) };
        let gone = weakened(base, case.lamp);
        once(|| {
            unless(!gone.is_empty(), || {
                let variant = case.lamp.variant.as_deref().unwrap_or_default();
                let words: Vec<&str> = gone.iter().map(|(what, _)| what.as_str()).collect();
                let span = gone.first().map_or(case.lamp.span, |(_, span)| *span);
                let message = format!("variant `{variant}` drops or weakens: {}", words.join(", "));
                let finding = Finding::new(message, span, "in this variant");
                let finding = gone.iter().skip(1).fold(finding, |found, (what, span)| found.also(*span, what.as_str()));
                finding.fix("keep the protection in the variant, or say in a waiver why it may go")
            })
        })
    },
};

/// What a list of subjects says when it is empty.
trait Empty {
    /// Nothing to find is a pass.
    fn or_pass(self) -> Vec<Verdict>;
    /// Nothing to look at is not applicable.
    fn or_not_applicable(self) -> Vec<Verdict>;
}

impl Empty for Vec<Verdict> {
    fn or_pass(self) -> Self {
        if self.is_empty() { once(|| Ok(Outcome::Pass(None))) } else { self }
    }
    fn or_not_applicable(self) -> Self {
        if self.is_empty() { once(|| Err(Skip::NotApplicable)) } else { self }
    }
}

impl Case<'_> {
    /// The ledger path of the given figure that stands here; nothing for what the ledger does not have.
    fn path_of(&self, span: crate::diag::Span) -> String {
        self.solution.ledger.given_at(span).unwrap_or_default()
    }
}
