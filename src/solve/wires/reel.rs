//! Wire to buy: conductors alike in colour, area and zone, with their lengths added up for all lamps.

use crate::ledger::{Formula, Ledger};
use crate::quantity::Metres;
use crate::schema::words::Word;

use super::{Wire, WireZone};

const REEL: Formula =
    Formula { text: "n Σ l · 1.1, up to the next 10 mm", source: "our margin: a tenth is lost to ends and mistakes" };
const LOSS: f64 = 1.1;

/// Wires of one colour, area and zone.
#[derive(Debug, Clone)]
pub struct Reel<'a> {
    /// The first of them.
    pub wire: &'a Wire,
    /// Numbers of all of them.
    pub numbers: Vec<&'a str>,
    /// Their lengths added up, one lamp.
    pub total: Metres,
}

/// Reels in the order of their first wires; the ledger has the length to buy of each under [`path`].
pub fn reels(wires: &[Wire]) -> Vec<Reel<'_>> {
    let kind = |w: &Wire| (w.colour, w.zone == WireZone::Mains);
    let mut reels: Vec<Reel<'_>> = Vec::new();
    for wire in wires {
        match reels.iter_mut().find(|r| kind(r.wire) == kind(wire) && r.wire.area == wire.area) {
            Some(reel) => {
                reel.numbers.push(&wire.number);
                reel.total = reel.total + wire.length;
            }
            None => reels.push(Reel { wire, numbers: vec![&wire.number], total: wire.length }),
        }
    }
    reels
}

/// Ledger path of the length to buy.
pub fn path(reel: &Reel<'_>) -> String {
    format!("reel.{}", reel.wire.number)
}

/// Enters the length to buy of each reel, for so many lamps.
pub(super) fn enter(wires: &[Wire], quantity: u32, ledger: &mut Ledger) {
    for reel in reels(wires) {
        let title = format!("{} wire of {} to buy", reel.wire.colour.word(), reel.wire.area);
        let exact = reel.total * f64::from(quantity) * LOSS;
        let length = Metres::si(libm::ceil(exact.value() * 100.0 - 1e-6) / 100.0);
        let paths: Vec<String> = wires
            .iter()
            .filter(|w| reel.numbers.contains(&w.number.as_str()))
            .map(|w| format!("wire.{}.length", w.name))
            .collect();
        let mut inputs: Vec<(&'static str, &str)> = vec![("n", "lamp.quantity")];
        inputs.extend(paths.iter().map(|p| ("l", p.as_str())));
        ledger.computed(path(&reel), &title, length, REEL, &inputs);
    }
}
