//! The mains side: currents, least sizes, distances, pulls and test values that class, region and voltage ask for.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::ledger::Ledger;
use crate::quantity::{
    AmpereSquareSeconds, Amperes, Kilograms, Metres, NewtonMetres, Newtons, Ohms, SquareMetres, Volts, Watts,
};

use super::feed::Feed;

/// What the mains side asks for; ledger entries under `line.`.
#[derive(Debug, Clone)]
pub struct Line {
    /// Power from the mains.
    pub power: Found<Watts>,
    /// Highest running current, at the lowest mains.
    pub current: Found<Amperes>,
    /// Current the cord may carry.
    pub cord_rating: Found<Amperes>,
    /// Least area of the cord's cores for this lamp.
    pub least_area: SquareMetres,
    /// Smallest and largest outside of the cord: measured, or of its standard.
    pub outer: Found<(Metres, Metres)>,
    /// Smallest bend radius of the cord.
    pub bend: Found<Metres>,
    /// Pull the anchorage must stand.
    pub pull: Found<Newtons>,
    /// Twist the anchorage must stand.
    pub twist: Found<NewtonMetres>,
    /// Most mass that may hang on the cord.
    pub hang: Found<Kilograms>,
    /// Creepage needed between mains and anything touchable or extra-low.
    pub creepage: Metres,
    /// Clearance needed between the same.
    pub clearance: Metres,
    /// Least fuse rating that carries the running current.
    pub fuse_least: Found<Amperes>,
    /// Melting I²t the fuse needs to live through the inrush many times.
    pub fuse_melting: Found<AmpereSquareSeconds>,
    /// Test voltage of the insulation test.
    pub insulation_test: Volts,
    /// Least insulation resistance between joined line and neutral and anything touchable.
    pub insulation_least: Ohms,
    /// Most resistance of the earth path, and what is expected of it; class I only.
    pub earth: Option<Found<(Ohms, Ohms)>>,
    /// Rated current of the inlet, where there is one.
    pub inlet_rating: Option<Amperes>,
}

/// Works the mains side out.
pub fn solve(lamp: &Lamp, _mains: &Mains, _feed: &Feed, _ledger: &mut Ledger) -> Line {
    let m = lamp.supply.power.missing();
    Line {
        power: Err(m.clone()),
        current: Err(m.clone()),
        cord_rating: Err(m.clone()),
        least_area: SquareMetres::ZERO,
        outer: Err(m.clone()),
        bend: Err(m.clone()),
        pull: Err(m.clone()),
        twist: Err(m.clone()),
        hang: Err(m.clone()),
        creepage: Metres::ZERO,
        clearance: Metres::ZERO,
        fuse_least: Err(m.clone()),
        fuse_melting: Err(m),
        insulation_test: Volts::ZERO,
        insulation_least: Ohms::ZERO,
        earth: None,
        inlet_rating: None,
    }
}
