//! Light from die to room: what each channel makes, what the box and the sheet let through, and per watt at the wall.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Lumens, LumensPerWatt, Watts};

use super::drive::ChannelSolution;
use super::feed::Feed;

/// The light budget at full; ledger entries under `light.`.
#[derive(Debug, Clone)]
pub struct Budget {
    /// Light of each channel's dice, by channel.
    pub channels: Vec<(String, Lumens)>,
    /// Light of all dice.
    pub dice: Lumens,
    /// Light that reaches the sheet.
    pub at_sheet: Lumens,
    /// Light that leaves the lamp.
    pub out: Lumens,
    /// Radiant power of all dice.
    pub radiant: Watts,
    /// Radiant power that leaves the lamp; the rest stays inside as heat.
    pub radiant_out: Watts,
    /// Light out over power from the mains.
    pub efficacy: Found<LumensPerWatt>,
}

/// Adds up the light.
pub fn solve(lamp: &Lamp, _channels: &[ChannelSolution], _feed: &Feed, _ledger: &mut Ledger) -> Found<Budget> {
    Err(lamp.supply.power.missing())
}
