//! Sheets that give off poison, take fire or shatter under the cutter that the spec names.

use crate::diag::Signal;
use crate::rules::rule::{Finding, Outcome, Rule, Skip, once};
use crate::schema::words::Word;
use crate::solve::sheet::hazard;

pub(super) static CUT_HAZARD: Rule = Rule {
    name: "make/cut-hazard",
    signal: Signal::Danger,
    waivable: false,
    title: "a sheet that must not be cut this way",
    source: "common practice of workshops, no source",
    why: "PVC gives off hydrogen chloride and chlorinated fumes that harm lungs and the machine; polycarbonate \
          takes fire, chars and gives off fumes instead of being cut; glass breaks into sharp pieces under \
          every tool but a glazier's",
    fix: "take acrylic for the laser, cut this sheet with a router or saw, or leave glass to a glazier",
    check: |case| {
        once(|| {
            let diffuser = case.lamp.diffuser.as_ref().ok_or(Skip::NotApplicable)?;
            let (material, method) = (diffuser.material.get()?, diffuser.cut.method.get()?);
            match hazard(material, method) {
                None => Ok(Outcome::Pass(None)),
                Some(hazard) => Ok(Outcome::Finding(
                    Finding::new(hazard.said, diffuser.cut.method.span, format!("cut by {}", method.word()))
                        .also(diffuser.material.span, format!("the sheet is {}", material.word()))
                        .fix(hazard.fix),
                )),
            }
        })
    },
};
