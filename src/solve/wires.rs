//! Every conductor from terminal to terminal, derived from the spec: mains, earth, supply, strings, controls.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Amperes, Metres, SquareMetres, Temperature, Volts};
use crate::schema::words::Colour;

use super::drive::ChannelSolution;
use super::feed::Feed;
use super::line::Line;

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

/// One conductor; ledger entries under `wire.NAME.`.
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
    /// What it carries: `line`, `protective earth`, `+24 V`, `red string +`.
    pub carries: String,
    /// Zone.
    pub zone: WireZone,
    /// Colour; two for green-and-yellow are one word.
    pub colour: Colour,
    /// Area of the conductor.
    pub area: SquareMetres,
    /// Rating of its insulation.
    pub temperature: Temperature,
    /// Voltage its insulation must be rated for.
    pub voltage: Volts,
    /// Cut length.
    pub length: Metres,
    /// Length to strip at both ends.
    pub strip: Metres,
    /// What the ends wear.
    pub termination: String,
    /// Sleeve, or empty.
    pub sleeve: String,
    /// Current it carries at full.
    pub current: Found<Amperes>,
    /// Current it may carry.
    pub ampacity: Amperes,
    /// Voltage lost in it at that current.
    pub drop: Found<Volts>,
}

/// Lists every conductor.
pub fn solve(
    _lamp: &Lamp,
    _channels: &[ChannelSolution],
    _feed: &Feed,
    _line: Option<&Line>,
    _ledger: &mut Ledger,
) -> Vec<Wire> {
    Vec::new()
}
