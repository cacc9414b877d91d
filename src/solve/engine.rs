//! What follows from the light engine: currents, supply, heat and light.
//! Lamps that agree in their engine share it, so that a variant of the mains side is not worked out from the start.

use std::sync::{Arc, OnceLock};

use crate::lamp::Lamp;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::{Entry, Ledger};

use super::{drive, feed, heat, light};

/// An engine, worked out.
#[derive(Debug, Clone)]
pub(super) struct Glow {
    pub(super) channels: Vec<drive::ChannelSolution>,
    pub(super) feed: feed::Feed,
    pub(super) heat: Found<heat::Ladder>,
    pub(super) light: Found<light::Budget>,
    pub(super) look: Arc<light::Look>,
}

/// A lamp whose engine others may share: its own is worked out once, by whoever asks first.
#[derive(Debug)]
pub struct Shared {
    lamp: Arc<Lamp>,
    /// With the entries that were made.
    worked: OnceLock<(Glow, Vec<Arc<Entry>>)>,
}

impl Shared {
    /// Nothing is worked out yet.
    pub fn of(lamp: Arc<Lamp>) -> Self {
        Self { lamp, worked: OnceLock::new() }
    }

    /// What follows from this engine, worked out only where it is another one; `ledger` has the given figures and gets
    /// all that is found.
    pub(super) fn glow(&self, engine: &Engine<'_>, ledger: &mut Ledger) -> Glow {
        if *engine != self.lamp.engine() {
            return solve(engine, ledger);
        }
        let mut first = false;
        let (glow, entries) = self.worked.get_or_init(|| {
            first = true;
            let given = ledger.count();
            let glow = solve(engine, ledger);
            (glow, ledger.since(given))
        });
        if !first {
            entries.iter().cloned().for_each(|entry| ledger.put(entry));
        }
        glow.clone()
    }
}

/// The order matters: currents need strings, heat needs power, hot and warm currents need heat, light needs junctions and
/// warm currents, the supply's load needs hot and warm currents.
fn solve(engine: &Engine<'_>, ledger: &mut Ledger) -> Glow {
    let mut channels = drive::solve(engine, ledger);
    let mut feed = feed::solve(engine, &channels, ledger);
    let heat = heat::solve(engine, &channels, &feed, ledger);
    drive::hot(engine, &heat, &mut channels, ledger);
    let warm = drive::warm(engine, &heat, &channels, ledger);
    let light = light::solve(engine, &channels, &feed, &heat, ledger);
    feed::derate(engine, &channels, (&heat, &warm), &mut feed, ledger);
    let look = Arc::new(light::look(engine, &channels, &feed, &heat, &light, ledger));
    Glow { channels, feed, heat, light, look }
}
