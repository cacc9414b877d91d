//! Sheets that give off poison or fire under the cutter that the spec names.

use crate::diag::Signal;
use crate::rules::rule::{Finding, Rule, Skip, once, unless};
use crate::schema::words::{Cutter, SheetMaterial, Word};

pub(super) static CUT_HAZARD: Rule = Rule {
    name: "make/cut-hazard",
    signal: Signal::Danger,
    waivable: false,
    title: "a sheet that must not be cut with a laser",
    source: "common practice of laser workshops, no source",
    why: "PVC gives off hydrogen chloride and chlorinated fumes that harm lungs and the machine; polycarbonate \
          takes fire, chars and gives off fumes instead of being cut",
    fix: "take acrylic for the laser, or cut this sheet with a router or saw",
    check: |case| {
        once(|| {
            let diffuser = case.lamp.diffuser.as_ref().ok_or(Skip::NotApplicable)?;
            let (material, method) = (diffuser.material.get()?, diffuser.cut.method.get()?);
            let fumes = match material {
                SheetMaterial::Pvc => "PVC gives off hydrogen chloride under a laser",
                SheetMaterial::Polycarbonate => "polycarbonate burns and gives off harmful fumes under a laser",
                _ => "",
            };
            unless(method == Cutter::Laser && !fumes.is_empty(), || {
                Finding::new(fumes, diffuser.cut.method.span, "cut with a laser")
                    .also(diffuser.material.span, format!("the sheet is {}", material.word()))
                    .fix("write `method saw` or `method router` with its kerf, or take `material opal-acrylic`")
            })
        })
    },
};
