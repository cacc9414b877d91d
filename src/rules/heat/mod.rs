//! Rules about temperatures: what softens, burns, ages or wastes its cooling. Limits are held against temperatures
//! that carry the margin of their place.

mod cooling;
mod limits;
mod parts;
mod surroundings;
mod touch;

use crate::quantity::Temperature;
use crate::solve::heat::Ladder;

use super::rule::{Case, Measure, Rule, Skip};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[
    &surroundings::MOUNTING_SURFACE,
    &touch::TOUCH_CHILDREN,
    &limits::JUNCTION,
    &limits::PLASTIC_SOFT,
    &touch::TOUCH,
    &parts::CABLE,
    &parts::SUPPLY_TOO_WARM,
    &parts::SUPPLY_LIFE,
    &parts::SOAK_SHORT,
    &surroundings::RUNAWAY,
    &cooling::SEALED_CANNOT_WORK,
    &surroundings::SINK_STARVED,
    &cooling::FINS_CHOKED,
    &cooling::FINS_SPARSE,
    &cooling::ORIENTATION,
    &cooling::INTERFACE,
    &cooling::VENTS_USELESS,
    &cooling::SHINY,
    &surroundings::OUT_OF_RANGE,
];

fn ladder<'a>(case: &Case<'a>) -> Result<&'a Ladder, Skip> {
    Ok(case.solution.heat.as_ref()?)
}

/// A temperature of the ladder held against a limit, both above its room.
fn below(ladder: &Ladder, what: &str, path: &str, hot: Temperature, limit: Temperature) -> Measure {
    Measure::rise_at_most(what, Some(path.to_owned()), hot, limit, ladder.room)
}
