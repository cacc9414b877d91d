//! Rules about currents, loops and parts of the drive.

mod chain;
mod control;
mod current;
mod parts;
mod reference;
mod switched;

pub(super) use control::unbalanced;

use crate::lamp::driver::Channel;
use crate::lamp::given::Missing;
use crate::lamp::parts::Transistor;
use crate::schema::words::{Reference, Topology};
use crate::solve::drive::{ChannelSolution, Drive, Hysteretic};

use super::rule::{Case, Rule, Skip};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[
    &control::NO_CURRENT_CONTROL,
    &control::RUNAWAY,
    &chain::REFERENCE_KIND,
    &chain::MODULE_LIMITS,
    &chain::DIE_SHARED,
    &chain::DIE_DARK,
    &current::OVER_CURRENT,
    &control::PARALLEL_STRINGS,
    &control::SHARED_TERMINAL,
    &current::UNCAPPED,
    &current::RESISTOR_POWER,
    &current::SERIES,
    &current::AIR,
    &switched::RIPPLE,
    &switched::SATURATION,
    &switched::FREQUENCY,
    &reference::REFERENCE_RIPPLE,
    &reference::LOW_FLOOR,
    &reference::NO_TRUE_OFF,
    &switched::FREEWHEEL,
    &parts::SWITCH_RATING,
    &parts::SWITCH_HEAT,
    &parts::GATE,
    &parts::AMPLIFIER,
    &parts::LINEAR_HEAT,
];

/// Ledger path of one of a channel's figures.
fn path(channel: &Channel, figure: &str) -> Option<String> {
    Some(format!("drive.{}.{figure}", channel.name))
}

/// The channel's drive, or what is missing for it.
fn drive(solved: &ChannelSolution) -> Result<&Drive, Skip> {
    solved.drive.as_ref().map_err(Skip::from)
}

/// A part that this drive cannot do without: where its block is not written, nothing of it is known.
fn part<'a, T>(case: &Case<'a>, part: Option<&'a T>, block: &str) -> Result<&'a T, Skip> {
    let missing = || Missing { path: format!("driver.{block}"), span: case.lamp.driver.span, unknown: false };
    part.ok_or_else(|| missing().into())
}

/// The switch or linear transistor; a ballast that nothing dims has none.
fn transistor<'a>(case: &Case<'a>) -> Result<&'a Transistor, Skip> {
    let driver = &case.lamp.driver;
    let plain = driver.topology.get()? == Topology::BallastResistor && driver.reference.get()? == Reference::Fixed;
    match &driver.transistor {
        None if plain => Err(Skip::NotApplicable),
        written => part(case, written.as_ref(), "transistor"),
    }
}

/// The channel's hysteretic sink; not applicable to other topologies.
fn hysteretic(solved: &ChannelSolution) -> Result<&Hysteretic, Skip> {
    match drive(solved)? {
        Drive::Hysteretic(hysteretic) => Ok(hysteretic),
        _ => Err(Skip::NotApplicable),
    }
}
