//! Each channel from its pin to its string: what was chosen from the stock, what then really flows.
//! `solve` finds everything that needs no temperature; `hot` and `warm` come back once the heat is known, `headroom` once
//! the wires are.

mod after;
mod ballast;
mod circuit;
mod corners;
mod desk;
mod dimming;
mod drift;
mod dummy;
mod gain;
mod hysteretic;
mod linear;
mod module;
mod notes;
mod outcome;
mod parallel;
mod pull;
mod reference;
mod second;
mod sense;
mod solution;
mod stage;
mod string;
mod swing;
mod switch_loss;
mod transfer;
mod warm;
mod warmth;

pub use after::headroom;
pub(in crate::solve) use circuit::{Circuit, Running, STATED};
pub(in crate::solve) use desk::by;
pub use dimming::LEVELS;
pub use drift::air;
pub(in crate::solve) use dummy::supply_limits;
pub use notes::{Notes, READ_AT};
pub(in crate::solve) use outcome::absent;
pub use solution::{
    Ballast, ChannelPower, ChannelSolution, Component, Cycle, Drive, Filter, Floor, Headroom, Hysteretic, Linear,
    Loading, Modulation, Module, Parallel, PullSolution, SetCurrent, StrapBound, StringVoltage,
};
pub use transfer::Transfer;
pub use warm::warm;
pub use warmth::enter as hot;

use crate::lamp::driver::Channel;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::Amperes;
use crate::schema::words::{Reference, Topology};

use desk::Desk;
use outcome::Outcome;

/// Strings, chosen components, currents and power of every channel.
pub fn solve(engine: &Engine<'_>, ledger: &mut Ledger) -> Vec<ChannelSolution> {
    drift::enter(engine, ledger);
    let channels: Vec<ChannelSolution> =
        engine.driver.channels.iter().map(|channel| one(engine, channel, ledger)).collect();
    dimming::enter(engine, &channels, ledger);
    channels
}

fn one(engine: &Engine<'_>, channel: &Channel, ledger: &mut Ledger) -> ChannelSolution {
    let mut desk = Desk::new(engine, channel, ledger);
    let string = string::solve(&mut desk);
    // A pull-down loads the pin that makes a hysteretic sink's reference; a linear sink's divider is itself the pull.
    let linear = engine.driver.topology.value == Some(Topology::LinearSink);
    let early = if linear { None } else { pull::solve(&mut desk) };
    let outcome = string.clone().and_then(|s| topology(&mut desk, &s));
    let pull = if linear { pull::solve(&mut desk) } else { early };
    let pull = pull.map(|found| found.and_then(|solved| pull::pin_current(&mut desk, solved)));
    if let Ok(outcome) = &outcome {
        error(&mut desk, &outcome.set);
    }
    let floor = outcome.as_ref().map_err(Clone::clone).and_then(|outcome| floor(&mut desk, outcome));
    let least = floor.as_ref().ok().map(|floor| floor.map_or(0.0, |floor| floor.share));
    let modulation = reference::modulation(&mut desk, least);
    let parallel = parallel::solve(&mut desk, outcome.as_ref().ok());
    let components = std::mem::take(&mut desk.components);
    let notes = std::mem::take(&mut desk.notes);
    let later = outcome::absent("heat.inside", channel.span);
    let (set, drive, power, filter) = match outcome {
        Ok(Outcome { drive, set, power, filter }) => (Ok(set), Ok(drive), Ok(power), filter),
        Err(missing) => (Err(missing.clone()), Err(missing.clone()), Err(missing), None),
    };
    ChannelSolution {
        name: channel.name.clone(),
        span: channel.span,
        string,
        set,
        drive,
        filter,
        modulation,
        power,
        headroom: Err(later.clone()),
        floor,
        loading: Err(later),
        pull,
        parallel,
        components,
        notes,
    }
}

fn topology(desk: &mut Desk<'_>, string: &StringVoltage) -> Found<Outcome> {
    match desk.engine.driver.topology.get()? {
        Topology::BallastResistor => ballast::solve(desk, string),
        Topology::LinearSink => linear::solve(desk, string),
        Topology::HystereticSink => hysteretic::solve(desk, string),
        Topology::BuckModule => module::solve(desk, string),
    }
}

/// Share of full below which the drive cannot hold its current. A sink that is gated runs at full for its share of the
/// time: offsets and delays do not add up to less there, and only the steps of its modulation bound it.
fn floor(desk: &mut Desk<'_>, outcome: &Outcome) -> Found<Option<Floor>> {
    let floor = match &outcome.drive {
        Drive::Ballast(_) => return Ok(None),
        Drive::Module(module) => {
            let share = module.least_duty.clone()?.value();
            return Ok(Some(Floor { share, figure: "least-duty" }));
        }
        _ if desk.engine.driver.reference.get()? != Reference::FilteredPwm => return Ok(None),
        Drive::Linear(linear) => linear.floor.clone()?,
        Drive::Hysteretic(hysteretic) => hysteretic.floor.clone()?,
    };
    let held = desk::by("I_floor/I", "definition");
    let inputs = [("I_floor", ".floor"), ("I", ".current")];
    let title = "lowest level that the drive can hold, a share of full";
    if !(outcome.set.mean.nominal > Amperes::ZERO) {
        return Err(absent(&desk.path("current"), desk.channel.span));
    }
    let share = desk.enter_share("floor-share", title, floor / outcome.set.mean.nominal, held, &inputs);
    Ok(Some(Floor { share, figure: "floor-share" }))
}

/// How far the current is off the wanted one.
fn error(desk: &mut Desk<'_>, set: &SetCurrent) {
    if !(set.wanted > Amperes::ZERO) {
        return;
    }
    let wanted = &desk.channel.current.path;
    let off = desk::by("|I/I_wanted − 1|", "definition");
    let inputs = [("I", ".current"), ("I_wanted", wanted.as_str())];
    desk.enter_share("current-error", "how far the current is off the one wanted", set.error(), off, &inputs);
}
