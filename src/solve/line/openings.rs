//! Vents and drilled holes of the body over live parts: whether a finger or a rod reaches them.
//! Turns widths, baffles and distances into a verdict for each.

use crate::lamp::Lamp;
use crate::lamp::body::{Drilled, Vent};
use crate::lamp::given::Found;
use crate::physics::conductors::touch::{Verdict, over_mains};
use crate::quantity::Metres;
use crate::schema::words::Zone;

/// An opening by its name, with what it is.
pub type Opening = (String, Found<Verdict>);

/// Every vent, and every hole that nothing fills.
pub(super) fn solve(lamp: &Lamp) -> (Vec<Opening>, Vec<Opening>) {
    let body = &lamp.enclosure;
    let vents = body.vents.iter().map(|vent| (vent.name.clone(), of_vent(vent)));
    let holes = body.holes.iter().map(|hole| (hole.name.clone(), of_hole(hole)));
    (vents.collect(), holes.collect())
}

/// Asked with the nearest live part at hand: a narrow opening needs no distance, and a wide one is refused anyway.
fn at_hand(width: Metres) -> Verdict {
    over_mains(width, Metres::ZERO)
}

fn of_vent(vent: &Vent) -> Found<Verdict> {
    let width = vent.width.high()?;
    Ok(match at_hand(width) {
        Verdict::NeedsBaffle if vent.baffle.get()? => Verdict::Free,
        Verdict::NeedsBaffle => over_mains(width, vent.reach.low()?),
        verdict => verdict,
    })
}

/// A drilled hole that nothing closes is an opening like any other.
fn of_hole(hole: &Drilled) -> Found<Verdict> {
    let width = hole.diameter.high()?;
    let bare = at_hand(width);
    if bare == Verdict::Free || hole.filled.get()? || hole.over.get()? != Zone::Mains {
        return Ok(Verdict::Free);
    }
    Ok(match bare {
        Verdict::NeedsBaffle => over_mains(width, hole.reach.low()?),
        verdict => verdict,
    })
}
