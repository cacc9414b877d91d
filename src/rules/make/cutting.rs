//! Cutting the sheet: whether this cutter may and can, whether marks stay on the piece, whether the stock gives all
//! pieces.

use crate::diag::Signal;
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each, once, unless};
use crate::schema::words::Word;
use crate::solve::sheet::{Nest, ToolFault, hazard};

use super::sheet;

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
        Ok(faults) => each(faults, |fault| fault.subject.to_owned(), |fault| Ok(Outcome::Finding(cannot(fault)?))),
        Err(skip) => once(|| Err(skip)),
    },
};

fn faults<'a>(case: &Case<'a>) -> Result<&'a [ToolFault], Skip> {
    let (_, solved) = sheet(case)?;
    let made = solved.routed.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
    Ok(made.as_ref().err().map_or(&[][..], Vec::as_slice))
}

fn cannot(fault: &ToolFault) -> Result<Finding, Skip> {
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

/// Sheet that must be left between a stroke and an edge.
const LEAST: Metres = Metres::si(0.001);

pub(super) static MARK_OFF_SHEET: Rule = Rule {
    name: "make/mark-off-sheet",
    signal: Signal::Caution,
    waivable: true,
    title: "an engraved mark that runs off the sheet",
    source: "our margin: 1 mm of sheet between a stroke and an edge",
    why: "a stroke across an edge burns or mills into a finished edge, and the mark cannot be read",
    fix: "move the mark or make it smaller",
    check: |case| match sheet(case) {
        Ok((diffuser, solved)) => {
            let both: Vec<_> = diffuser.marks.iter().zip(&solved.marks).collect();
            each(
                &both,
                |(given, _)| given.name.clone(),
                |(given, mark)| {
                    let mark = mark.as_ref()?;
                    let (what, path) = (format!("room round {}", mark.name), Some(format!("cut.{}.clear", mark.name)));
                    Measure::at_least(what, path, mark.clear, LEAST).judge(|_| {
                        let said = if mark.clear < Metres::ZERO {
                            format!("mark `{}` is not wholly on the sheet", mark.name)
                        } else {
                            format!("mark `{}` comes as near as {} to an edge", mark.name, mark.clear.show())
                        };
                        Finding::new(said, given.at.span, "its middle")
                            .also(given.height.span, "its height")
                            .fix(format!("move it, or make it smaller, until {} of sheet are left", LEAST.show()))
                    })
                },
            )
        }
        Err(skip) => once(|| Err(skip)),
    },
};

pub(super) static SHEET_TOO_SMALL: Rule = Rule {
    name: "make/sheet-too-small",
    signal: Signal::Caution,
    waivable: true,
    title: "the stock does not give all pieces",
    source: "geometry of the layouts that the cut sheet shows; a cleverer one may win what its bound allows",
    why: "the last lamp of the batch waits for another sheet, which seldom has the same shade and lot",
    fix: "get more sheets, larger ones, or make fewer spares",
    check: |case| {
        once(|| {
            let (_, solved) = sheet(case)?;
            // Where the edges make no piece, another rule says so.
            solved.net.as_ref().ok().filter(|net| net.faults.is_empty()).ok_or(Skip::NotApplicable)?;
            yields(solved.nest.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?)
        })
    },
};

fn yields(nest: &Nest) -> Judgement {
    let each = nest.layout.places.len();
    unless(nest.yields < nest.pieces, || {
        let (w, h) = (nest.stock.width.show(), nest.stock.height.show());
        match nest.wanted {
            None => Finding::new(format!("a sheet of {w} by {h} does not give one piece"), nest.span, "this stock")
                .fix("take a larger sheet, or allow it to be turned"),
            Some(wanted) => Finding::new(
                format!("the stock gives {} pieces, {each} a sheet; {} are wanted", nest.yields, nest.pieces),
                nest.span,
                "this stock",
            )
            .fix(format!("write `sheets {wanted}`, or cut {} pieces fewer", nest.pieces - nest.yields)),
        }
    })
}
