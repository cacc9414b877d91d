//! Where the recess of the sheet lies in its body: the wall left beside it, and the lip that the opening leaves.
//! Turns sizes of sheet, recess, opening and body into room.

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::hollow::{Solid, Wall};
use crate::quantity::Metres;
use crate::schema::words::OutlineKind;
use crate::solve::fit::{outside, wall_word};

const BESIDE: Formula = Formula { text: "least distance to the outside of the body, exact", source: "geometry" };
const LEFT: Formula = Formula { text: "(S − opening)/2, S the smaller side of the recess", source: "geometry" };

/// The recess in the body; without one the edge of the sheet.
#[derive(Debug, Clone)]
pub struct Recess {
    /// `the recess` or `the edge`.
    pub what: &'static str,
    /// Where the spec says how wide it is.
    pub span: Span,
    /// The wall that is nearest.
    pub wall: &'static str,
    /// What is left of it; negative where it is broken through.
    pub room: Metres,
}

/// The lip, as the opening leaves it.
#[derive(Debug, Clone, Copy)]
pub struct Lip {
    /// What the opening leaves.
    pub left: Metres,
    /// What is written.
    pub written: Metres,
    /// Smaller side of the recess.
    pub recess: Metres,
    /// The opening.
    pub opening: Metres,
}

/// The wall beside the recess; none where no wall runs round it.
pub(super) fn solve(
    lamp: &Lamp,
    diffuser: &Diffuser,
    seated: (Metres, Metres),
    ledger: &mut Ledger,
) -> Found<Option<Recess>> {
    let (what, span, path, solid) = recess(diffuser, seated)?;
    let (outer, before) = outside(&lamp.enclosure)?;
    // The outside counts from its own front plane.
    let mut in_outer = solid;
    in_outer.centre[2] = in_outer.centre[2] - before;
    let round = |wall: &Wall| !matches!(wall, Wall::Front | Wall::Back);
    let rooms = outer.rooms(&in_outer).into_iter().filter(|(wall, _)| round(wall));
    let Some((wall, room)) = rooms.min_by(|a, b| a.1.value().total_cmp(&b.1.value())) else { return Ok(None) };
    let wall = wall_word(wall);
    let from = [("recess", path), ("body", lamp.enclosure.size.path.as_str())];
    ledger.computed("cut.seat.wall-left", &format!("{wall} wall left beside {what}"), room, BESIDE, &from);
    Ok(Some(Recess { what, span, wall, room }))
}

/// The recess, or without one the sheet, behind the front plane; round where it has no height.
fn recess(d: &Diffuser, (width, height): (Metres, Metres)) -> Found<(&'static str, Span, &str, Solid)> {
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
        return Ok(("the recess", seat.width.span, &seat.width.path, recess));
    }
    let round = matches!(d.outline.value, Some(OutlineKind::Disc | OutlineKind::Ring));
    let given = if d.diameter.is_known() { &d.diameter } else { &d.width };
    Ok(("the edge", given.span, &given.path, solid(width, height, round)))
}

/// The lip that the opening leaves; none where opening or lip is not written.
pub fn lip(lamp: &Lamp, ledger: &mut Ledger) -> Option<Found<Lip>> {
    let seat = lamp.diffuser.as_ref()?.seat.as_ref()?;
    let opening = &lamp.enclosure.opening;
    if opening.is_left_out() || seat.lip.is_left_out() {
        return None;
    }
    // To a micrometre, so that sizes worked out from each other in the spec agree.
    let whole = |length: Metres| Metres::si(libm::round(length.value() * 1e6) / 1e6);
    let found = || {
        let (opening, written, width) = (opening.nominal()?, seat.lip.nominal()?, seat.width.nominal()?);
        let recess = if seat.height.is_left_out() { width } else { width.min(seat.height.nominal()?) };
        Ok(Lip { left: whole((recess - opening) / 2.0), written: whole(written), recess, opening })
    };
    let found: Found<Lip> = found();
    if let Ok(lip) = &found {
        let from = [("S", seat.width.path.as_str()), ("opening", opening.path.as_str())];
        ledger.computed("cut.seat.lip-left", "lip that the opening leaves", lip.left, LEFT, &from);
    }
    Some(found)
}
