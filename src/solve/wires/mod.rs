//! Every conductor from terminal to terminal, derived from the spec: mains, earth, supply, strings, controls.
//! `route` says which there are, `size` what they carry and lose, `dress` how their ends and colours look.

mod dress;
mod ends;
mod reel;
mod route;
mod size;
mod terminals;
mod torque;
mod way;

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Amperes, Metres, SquareMetres, Temperature, Volts};
use crate::schema::words::Colour;

use super::drive::ChannelSolution;
use super::feed::Feed;
use super::fit::Fit;
use super::heat::Ladder;
use super::line::Line;

pub use ends::{Join, battery_plug, join, strings_plug};
pub use reel::{Reel, path as reel_path, reels};
pub use terminals::{Terminal, terminals};

/// What a conductor belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WireZone {
    /// Live at mains voltage, or protective earth.
    Mains,
    /// Extra-low voltage, carrying power.
    LowVoltage,
    /// Extra-low voltage, carrying a signal.
    Signal,
}

/// What a conductor is for.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Protective earth.
    Earth,
    /// Line.
    Line,
    /// Neutral.
    Neutral,
    /// Positive of the supply.
    Plus,
    /// Negative of the supply.
    Minus,
    /// Positive end of a channel's string; the channel.
    StringPlus(String),
    /// Negative end of a channel's string; the channel.
    StringMinus(String),
    /// Control line of a channel.
    Control(String),
    /// Line that takes all current away.
    Shutoff,
    /// Written by the author beyond what follows from the lamp.
    Extra,
}

/// One conductor; ledger entries under `wire.NAME.`: `area`, `gauge`, `length`, `current`, `ampacity`, `drop`.
///
/// Names: `earth-PART`, `line`, `fused-line`, `switched-line` and the same for `neutral`; `battery-plus`, `supply-plus`,
/// `supply-minus`, `switched-plus`, `controller-plus`, `controller-minus`; `CHANNEL-plus`, `CHANNEL-minus` (or
/// `common-plus`, `common-minus` where the emitter shares a terminal); `CHANNEL-control`, `shutoff`; extra runs keep
/// theirs.
#[derive(Debug, Clone)]
pub struct Wire {
    /// Number on the wire's labels: `M1`, `L3`, `S2`.
    pub number: String,
    /// Name by which a `run` may replace its figures: `red-plus`.
    pub name: String,
    /// Where it starts: `part.terminal`.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// What it carries: `line`, `protective earth`, `24.0 V plus`, `red string +`.
    pub carries: String,
    /// What it is for.
    pub role: Role,
    /// Zone.
    pub zone: WireZone,
    /// Colour; two for green-and-yellow are one word.
    pub colour: Colour,
    /// Area of the conductor.
    pub area: SquareMetres,
    /// The gauge that is not smaller: `18 AWG`.
    pub gauge: String,
    /// Rating of its insulation.
    pub temperature: Found<Temperature>,
    /// Voltage its insulation must be rated for.
    pub voltage: Volts,
    /// Cut length.
    pub length: Metres,
    /// Length to strip at `from` and at `to`.
    pub strip: [Metres; 2],
    /// What the ends wear.
    pub termination: String,
    /// Sleeve, or empty.
    pub sleeve: String,
    /// Current it carries at full.
    pub current: Found<Amperes>,
    /// Current it may carry where it lies.
    pub ampacity: Found<Amperes>,
    /// Voltage lost in it at that current.
    pub drop: Found<Volts>,
}

/// Lists every conductor: protective earth first, then mains, then extra-low voltage, then signals.
pub fn solve(
    lamp: &Lamp,
    channels: &[ChannelSolution],
    feed: &Feed,
    line: Option<&Line>,
    heat: &Found<Ladder>,
    fit: Option<&Fit>,
    ledger: &mut Ledger,
) -> Vec<Wire> {
    let mut routes = route::all(lamp, channels, feed, line);
    routes.extend(route::extra(lamp, &routes));
    routes.sort_by_key(|r| r.zone);
    let site = size::Site::new(lamp, &routes, heat, fit, ledger);
    let mut counts = [0usize; 3];
    let mut wires = Vec::with_capacity(routes.len());
    for route in routes {
        let (letter, slot) = match route.zone {
            WireZone::Mains => ('M', 0),
            WireZone::LowVoltage => ('L', 1),
            WireZone::Signal => ('S', 2),
        };
        if let Some(count) = counts.get_mut(slot) {
            *count += 1;
            wires.push(site.wire(format!("{letter}{count}"), route, ledger));
        }
    }
    torque::enter(lamp, ledger);
    reel::enter(&wires, lamp.identity.quantity.value.unwrap_or(1), ledger);
    wires
}
