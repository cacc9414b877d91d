//! Whether the recess of the sheet, or the sheet itself, lies within the body, and whether the opening before it leaves
//! the lip that is written.

use crate::diag::{Signal, Span};
use crate::lamp::diffuser::Diffuser;
use crate::physics::mechanics::hollow::{Solid, Wall};
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Rule, Skip, once, wished};
use crate::schema::words::OutlineKind;
use crate::solve::fit::{outside, wall_word};

use super::net;

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
    let (diffuser, net) = net(case)?;
    let (what, span, solid) = recess(diffuser, net.seated)?;
    let (outer, before) = outside(case.lamp)?;
    // The outside counts from its own front plane.
    let mut in_outer = solid;
    in_outer.centre[2] = in_outer.centre[2] - before;
    let round = |wall: &Wall| !matches!(wall, Wall::Front | Wall::Back);
    let rooms = outer.rooms(&in_outer).into_iter().filter(|(wall, _)| round(wall));
    let (wall, room) = rooms.min_by(|a, b| a.1.value().total_cmp(&b.1.value())).ok_or(Skip::NotApplicable)?;
    let wanted = case.lamp.enclosure.wall.nominal()? * TAKEN;
    Measure::at_least(format!("wall left beside {what}"), None, room, wanted).judge(|m| {
        let side = wall_word(wall);
        let message = match room < Metres::ZERO {
            true => format!("{what} of the diffuser reaches {} out of the {side} wall", room.abs().show()),
            false => format!("{what} of the diffuser leaves {} of the {side} wall; {} is wanted", m.value, m.limit),
        };
        Finding::new(message, span, "this size")
            .also(case.lamp.enclosure.size.span, "the body")
            .fix(format!("make it {} smaller across, or the body as much larger", ((wanted - room) * 2.0).show()))
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
    let diffuser = case.lamp.diffuser.as_ref().ok_or(Skip::NotApplicable)?;
    let seat = diffuser.seat.as_ref().ok_or(Skip::NotApplicable)?;
    let (opening, lip) = (wished(&case.lamp.enclosure.opening)?.nominal, wished(&seat.lip)?.nominal);
    let width = seat.width.nominal()?;
    let least = if seat.height.is_left_out() { width } else { width.min(seat.height.nominal()?) };
    // To a micrometre, so that sizes worked out from each other in the spec agree.
    let whole = |length: Metres| Metres::si(libm::round(length.value() * 1e6) / 1e6);
    let (left, lip) = (whole((least - opening) / 2.0), whole(lip));
    Measure::at_least("lip that the opening leaves", None, left, lip).judge(|m| {
        let message = match left <= Metres::ZERO {
            true => format!(
                "the opening of {} is as wide as the recess of {}: nothing holds the sheet",
                opening.show(),
                least.show()
            ),
            false => format!("the opening leaves a lip of {}; {} is written", m.value, m.limit),
        };
        Finding::new(message, case.lamp.enclosure.opening.span, "the opening")
            .also(seat.lip.span, "the lip")
            .fix(format!("make the opening {} or less", (least - lip * 2.0).show()))
    })
}

/// The recess, or without one the sheet, behind the front plane; round where it has no height.
fn recess(d: &Diffuser, (width, height): (Metres, Metres)) -> Result<(&'static str, Span, Solid), Skip> {
    let thick = d.thickness.nominal()?;
    let solid = |w: Metres, h: Metres, round: bool| Solid {
        centre: [Metres::ZERO, Metres::ZERO, thick / -2.0],
        half: [w / 2.0, h / 2.0, thick / 2.0],
        axis: round.then_some(2),
    };
    if let Some(seat) = &d.seat {
        let wide = seat.width.nominal()?;
        let recess = if seat.height.is_left_out() {
            solid(wide, wide, true)
        } else {
            solid(wide, seat.height.nominal()?, false)
        };
        return Ok(("the recess", seat.width.span, recess));
    }
    let round = matches!(d.outline.value, Some(OutlineKind::Disc | OutlineKind::Ring));
    let span = if d.diameter.is_known() { d.diameter.span } else { d.width.span };
    Ok(("the edge", span, solid(width, height, round)))
}
