//! Whether the recess of the sheet, or the sheet itself, lies within the body, and whether the opening before it leaves
//! the lip that is written.

use crate::diag::Signal;
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Rule, Skip, once};

use super::{net, sheet};

/// Share of the wall that a recess may take away (our margin).
const TAKEN: f64 = 0.5;

pub(super) static RECESS_OFF_BODY: Rule = Rule {
    name: "make/recess-off-body",
    signal: Signal::Warning,
    waivable: true,
    title: "the recess of the diffuser goes through the wall of the body",
    source: "geometry; half of the wall beside the recess is our margin",
    why: "a recess wider than its body is found when the body is printed or folded, and there is nothing to hold the sheet",
    fix: "make recess and sheet smaller, or the body larger",
    check: |case| once(|| judge(case)),
};

fn judge(case: &Case<'_>) -> Judgement {
    net(case)?;
    let recess = sheet(case)?.1.recess.as_ref()?.as_ref().ok_or(Skip::NotApplicable)?;
    let (what, side, room) = (recess.what, recess.wall, recess.room);
    let wanted = case.lamp.enclosure.wall.nominal()? * TAKEN;
    let path = Some("cut.seat.wall-left".to_owned());
    Measure::at_least(format!("wall left beside {what}"), path, room, wanted).judge(|m| {
        let message = match room < Metres::ZERO {
            true => format!("{what} of the diffuser reaches {} out of the {side} wall", room.abs().show()),
            false => format!("{what} of the diffuser leaves {} of the {side} wall; {} is wanted", m.value, m.limit),
        };
        Finding::new(message, recess.span, "this size")
            .also(case.lamp.enclosure.size.span, "the body")
            .fix(format!("make it {} smaller across, or the body as much larger", ((wanted - room) * 2.0).no_less()))
    })
}

pub(super) static OPENING_TOO_WIDE: Rule = Rule {
    name: "make/opening-too-wide",
    signal: Signal::Warning,
    waivable: true,
    title: "the opening in front leaves less lip than is written",
    source: "geometry",
    why: "the lip is what holds the sheet: an opening wider than the drawing of it lets the sheet fall through",
    fix: "make the opening smaller or the recess larger, or write the lip that is left",
    check: |case| once(|| leaves_lip(case)),
};

fn leaves_lip(case: &Case<'_>) -> Judgement {
    let lip = case.solution.lip.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
    let path = Some("cut.seat.lip-left".to_owned());
    Measure::at_least("lip that the opening leaves", path, lip.left, lip.written).judge(|m| {
        let message = match lip.left <= Metres::ZERO {
            true => format!(
                "the opening of {} is as wide as the recess of {}: nothing holds the sheet",
                lip.opening.show(),
                lip.recess.show()
            ),
            false => format!("the opening leaves a lip of {}; {} is written", m.value, m.limit),
        };
        let opening = &case.lamp.enclosure.opening;
        let finding = Finding::new(message, opening.span, "the opening");
        let seat = case.lamp.diffuser.as_ref().and_then(|diffuser| diffuser.seat.as_ref());
        let finding = seat.into_iter().fold(finding, |found, seat| found.also(seat.lip.span, "the lip"));
        finding.fix(format!("make the opening {} or less", (lip.recess - lip.written * 2.0).no_more()))
    })
}
