//! What the router's cutter cannot do; no tool path is written then.

use crate::diag::Signal;
use crate::rules::rule::{Case, Finding, Outcome, Rule, Skip, each, once};
use crate::solve::sheet::ToolFault;

use super::sheet;

pub(super) static ROUTER_CANNOT: Rule = Rule {
    name: "make/router-cannot",
    signal: Signal::Warning,
    waivable: true,
    title: "a cut that this cutter cannot make",
    source: "geometry of a round tool; our margin: a cut at most 0.3 mm wider than its cutter",
    why: "a cutter that is driven where it cannot cut rubs, melts the sheet or breaks",
    fix: "change what the message names; until then no tool path is written",
    check: |case| match faults(case) {
        Ok([]) => once(|| Ok(Outcome::Pass(None))),
        Ok(faults) => each(faults, |fault| fault.subject.to_owned(), |fault| Ok(Outcome::Finding(finding(fault)?))),
        Err(skip) => once(|| Err(skip)),
    },
};

fn faults<'a>(case: &Case<'a>) -> Result<&'a [ToolFault], Skip> {
    let (_, solved) = sheet(case)?;
    let made = solved.routed.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
    Ok(made.as_ref().err().map_or(&[][..], Vec::as_slice))
}

fn finding(fault: &ToolFault) -> Result<Finding, Skip> {
    if [ToolFault::CORNER, ToolFault::MATERIAL].contains(&fault.subject) {
        // `make/inside-radius` or `make/cut-hazard` has said so.
        return Err(Skip::NotApplicable);
    }
    let finding = Finding::new(fault.said.clone(), fault.span, "here").fix(fault.fix.clone());
    Ok(match &fault.other {
        Some((span, label)) => finding.also(*span, label.clone()),
        None => finding,
    })
}
