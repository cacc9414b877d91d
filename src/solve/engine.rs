//! What follows from the light engine: currents, supply, heat and light.
//! Lamps that agree in their engine share it, so that a variant of the mains side is not worked out from the start.

use std::sync::{Arc, OnceLock};

use crate::lamp::Lamp;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::{Entry, Ledger, Scope};

use super::{drive, feed, heat, light};

/// An engine, worked out.
#[derive(Debug, Clone)]
pub(super) struct EngineSolution {
    pub(super) channels: Vec<drive::ChannelSolution>,
    pub(super) feed: feed::Feed,
    pub(super) heat: Found<heat::Ladder>,
    pub(super) light: Found<light::Budget>,
    pub(super) look: Arc<light::Look>,
}

/// A lamp whose engine others may share: its own is worked out by whoever asks first.
#[derive(Debug)]
pub struct SharedEngine {
    lamp: Arc<Lamp>,
    worked: OnceLock<Worked>,
}

/// What was found for one scope, with the entries that were made. No given figure is among them: its blocks are others.
#[derive(Debug)]
struct Worked {
    scope: Scope,
    solution: EngineSolution,
    entries: Vec<Arc<Entry>>,
}

impl SharedEngine {
    /// Nothing is worked out yet.
    pub fn of(lamp: Arc<Lamp>) -> Self {
        Self { lamp, worked: OnceLock::new() }
    }

    /// What follows from this engine, worked out only where it is another one; `ledger` has the given figures and gets
    /// all that is found.
    pub(super) fn solution(&self, engine: &Engine<'_>, ledger: &mut Ledger) -> EngineSolution {
        if *engine != self.lamp.engine() {
            return solve(engine, ledger);
        }
        if let Some(worked) = self.worked.get().filter(|worked| worked.scope == ledger.scope()) {
            worked.entries.iter().cloned().for_each(|entry| ledger.put(entry));
            return worked.solution.clone();
        }
        let given = ledger.count();
        let solution = solve(engine, ledger);
        // Who came between found the same.
        let entries = ledger.since(given);
        let _ = self.worked.set(Worked { scope: ledger.scope(), solution: solution.clone(), entries });
        solution
    }
}

/// The order matters: currents need strings, heat needs power, hot and warm currents need heat, light needs junctions and
/// warm currents, the supply's load needs hot and warm currents.
fn solve(engine: &Engine<'_>, ledger: &mut Ledger) -> EngineSolution {
    let mut channels = drive::solve(engine, ledger);
    let mut feed = feed::solve(engine, &channels, ledger);
    let heat = heat::solve(engine, &channels, &feed, ledger);
    drive::hot(engine, &heat, &mut channels, ledger);
    let warm = drive::warm(engine, &heat, &channels, ledger);
    let light = light::solve(engine, &channels, &feed, &heat, ledger);
    feed::derate(engine, &channels, (&heat, &warm), &mut feed, ledger);
    let look = Arc::new(light::look(engine, &channels, &feed, &heat, &light, ledger));
    EngineSolution { channels, feed, heat, light, look }
}
