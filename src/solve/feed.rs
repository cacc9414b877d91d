//! The extra-low voltage supply: what all channels and the controller ask of it, and what it asks of the mains.

use crate::lamp::Lamp;
use crate::lamp::given::{Found, Missing};
use crate::ledger::Ledger;
use crate::quantity::{Amperes, Ratio, Volts, Watts};

use super::drive::ChannelSolution;
use super::heat::Ladder;

/// The supply's budget; ledger entries under `feed.`.
#[derive(Debug, Clone)]
pub struct Feed {
    /// Power of all channels at full and uncapped, and of the controller.
    pub uncapped: Found<Watts>,
    /// The same with the firmware's cap.
    pub capped: Found<Watts>,
    /// Mean output current, uncapped.
    pub current: Found<Amperes>,
    /// Rating at the temperature it works at; set once the heat is known.
    pub rating: Found<Watts>,
    /// Uncapped power over that rating.
    pub load: Found<Ratio>,
    /// Lowest output of its tolerance.
    pub lowest: Found<Volts>,
    /// Highest output of its tolerance.
    pub highest: Found<Volts>,
    /// Power taken from the mains, uncapped.
    pub mains: Found<Watts>,
    /// Loss of the supply, uncapped.
    pub loss: Found<Watts>,
}

fn missing(lamp: &Lamp) -> Missing {
    lamp.supply.power.missing()
}

/// Adds up what the supply must give.
pub fn solve(lamp: &Lamp, _channels: &[ChannelSolution], _ledger: &mut Ledger) -> Feed {
    let m = missing(lamp);
    Feed {
        uncapped: Err(m.clone()),
        capped: Err(m.clone()),
        current: Err(m.clone()),
        rating: Err(m.clone()),
        load: Err(m.clone()),
        lowest: Err(m.clone()),
        highest: Err(m.clone()),
        mains: Err(m.clone()),
        loss: Err(m),
    }
}

/// Rating at the temperature of the air inside, and the load on it.
pub fn derate(_lamp: &Lamp, _heat: &Found<Ladder>, _feed: &mut Feed, _ledger: &mut Ledger) {}
