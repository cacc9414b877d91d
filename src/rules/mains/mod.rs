//! Rules about the mains: what can hurt people. One file each for shock, distance, cord, fuse, body and wires.

mod apart;
mod body;
mod class;
mod cord;
mod fuse;
mod place;
mod region;
mod shock;
mod wires;

use super::rule::{Case, Rule, Skip};
use crate::lamp::mains::{Cord, Entry, Fuse, Mains};
use crate::schema::words::Class;
use crate::solve::line::{CordFigures, Line};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[
    &class::CLASS_MISMATCH,
    &class::NO_WAY_IN,
    &shock::NO_EARTH,
    &shock::METAL_UNBONDED,
    &shock::EARTH_IN_CLASS_TWO,
    &shock::TOUCHABLE_METAL_CLASS_TWO,
    &apart::SUPPLY_NOT_ISOLATED,
    &apart::NOT_EXTRA_LOW,
    &apart::DISTANCE,
    &apart::SHARED_BOARD,
    &cord::CORD_NOT_HELD,
    &cord::CORD_TOO_THIN,
    &cord::HOLE_EDGE,
    &cord::CORD_BEND,
    &fuse::NO_FUSE,
    &fuse::FUSE_WRONG,
    &fuse::FUSE_POLE,
    &fuse::SWITCH_POLE,
    &fuse::SWITCH_SMALL,
    &fuse::POLE_REVERSIBLE,
    &fuse::INLET_WRONG,
    &body::REACH,
    &body::PRINTED_INSULATION,
    &body::PLASTIC_FIRE,
    &place::HANGING,
    &place::DAMP,
    &wires::COLOURS,
    &wires::WIRE_TOO_THIN,
    &wires::TERMINATION,
    &wires::EARTH_SHORTEST,
    &wires::TERMINAL_SHARED,
    &place::NO_LABEL,
    &place::OUTSIDE_SUPPLY,
    &region::REGION,
];

/// The mains block: where one stands mains enters the lamp, whatever class is claimed.
fn mains<'a>(case: &'a Case<'_>) -> Result<&'a Mains, Skip> {
    case.lamp.mains.as_ref().ok_or(Skip::NotApplicable)
}

/// The same, only for a lamp of this class.
fn of_class<'a>(case: &'a Case<'_>, class: Class) -> Result<&'a Mains, Skip> {
    let mains = mains(case)?;
    if mains.class.get()? == class { Ok(mains) } else { Err(Skip::NotApplicable) }
}

/// What the mains side asks for.
fn line<'a>(case: &'a Case<'_>) -> Result<&'a Line, Skip> {
    mains(case)?;
    case.solution.line.as_ref().ok_or(Skip::NotApplicable)
}

/// The cord with what it may do; a lamp with an inlet has none.
fn cord<'a>(case: &'a Case<'_>) -> Result<(&'a Cord, &'a CordFigures), Skip> {
    let cord = mains(case)?.cord.as_ref();
    cord.zip(line(case)?.cord.as_ref()).ok_or(Skip::NotApplicable)
}

/// The cord's entry.
fn entry<'a>(case: &'a Case<'_>) -> Result<&'a Entry, Skip> {
    mains(case)?.entry.as_ref().ok_or(Skip::NotApplicable)
}

/// The fuse inside.
fn fuse<'a>(case: &'a Case<'_>) -> Result<&'a Fuse, Skip> {
    mains(case)?.fuse.as_ref().ok_or(Skip::NotApplicable)
}
