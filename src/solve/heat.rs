//! The one-dimensional ladder of temperatures: junction, board, sink, air inside, wall, room.
//! A network may take its place: everything after it reads `Ladder` only.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Temperature, Watts};

use super::drive::ChannelSolution;
use super::feed::Feed;
use super::light::Budget;

/// Steady temperatures, all channels on and uncapped, in the warmest room; ledger entries under `heat.`.
#[derive(Debug, Clone)]
pub struct Ladder {
    /// The warmest room.
    pub room: Temperature,
    /// All heat set free inside the body.
    pub inside_heat: Watts,
    /// Heat of the dice alone.
    pub die_heat: Watts,
    /// Outer face of the wall.
    pub wall: Temperature,
    /// Air inside.
    pub inside: Temperature,
    /// The sink.
    pub sink: Temperature,
    /// The emitter's board.
    pub board: Temperature,
    /// Junction of each channel's die, by channel; missing where its thermal resistance is.
    pub junctions: Vec<(String, Found<Temperature>)>,
}

/// Climbs the ladder from the room.
pub fn solve(
    lamp: &Lamp,
    _channels: &[ChannelSolution],
    _feed: &Feed,
    _light: &Found<Budget>,
    _ledger: &mut Ledger,
) -> Found<Ladder> {
    Err(lamp.enclosure.size.missing())
}
