//! The mains side: currents, least sizes, distances, pulls and test values that class, region and voltage ask for.
//! One file each for the running current, the cord, distances, the fuse, and what the dead tests must show.

mod apart;
mod cord;
mod fuse;
mod openings;
mod proof;
mod running;
pub mod terms;

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::ledger::Ledger;
use crate::quantity::{Amperes, SquareMetres, Volts, Watts};

pub use apart::{Apart, Pair};
pub use cord::{CordFigures, Outer, WayIn};
pub use fuse::FuseNeeds;
pub use openings::Opening;
pub(super) use proof::expected as earth_expected;

use super::feed::Feed;

/// What the mains side asks for; ledger entries under `line.`.
#[derive(Debug, Clone)]
pub struct Line {
    /// Most power from the mains, every channel on and uncapped, every band at its upper end.
    pub power: Found<Watts>,
    /// Lowest mains voltage of its tolerance.
    pub lowest: Found<Volts>,
    /// Highest running current, at the lowest mains.
    pub current: Found<Amperes>,
    /// The cord, where there is one.
    pub cord: Option<CordFigures>,
    /// Least area of wires inside that are tied to the mains.
    pub inner_area: SquareMetres,
    /// Distances needed; none where the tables end, above 250 V.
    pub apart: Found<Option<Apart>>,
    /// What the fuse must be.
    pub fuse: FuseNeeds,
    /// Rated current of the inlet, where there is one.
    pub inlet_rating: Option<Found<Amperes>>,
    /// What each vent is over live parts, and each hole that nothing fills.
    pub vents: Vec<Opening>,
    /// See `vents`.
    pub holes: Vec<Opening>,
}

/// Works the mains side out.
pub fn solve(lamp: &Lamp, mains: &Mains, feed: &Feed, ledger: &mut Ledger) -> Line {
    let running = running::solve(lamp, mains, feed, ledger);
    let cord = mains.cord.as_ref().map(|cord| cord::solve(lamp, cord, &running.current, ledger));
    running::plug_fuse(mains, ledger);
    let apart = apart::solve(mains, ledger);
    let fuse = fuse::solve(lamp, mains, &running.current, ledger);
    proof::enter(mains, ledger);
    let (vents, holes) = openings::solve(lamp);
    Line {
        vents,
        holes,
        inner_area: cord::inner_area(ledger),
        inlet_rating: running::inlet(lamp, mains, ledger),
        power: running.power,
        lowest: running.lowest,
        current: running.current,
        cord,
        apart,
        fuse,
    }
}
