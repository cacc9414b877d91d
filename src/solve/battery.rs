//! The battery side: running current when it is nearly empty, what its fuse must be, how long it lasts, how low it may go.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::supply::{Battery, BatteryFuse};
use crate::ledger::{Formula, Ledger};
use crate::quantity::{Amperes, Metres, Ratio, Seconds, Volts};
use crate::schema::words::{Chemistry, Side};

use super::feed::Feed;
use super::wires::{Role, Wire};

const CURRENT: Formula = Formula {
    text: "I = highest current from the supply: battery nearly empty, every band at its upper end",
    source: "conservation of power",
};
const FUSE_WIRE: Formula = Formula {
    text: "max(distance as written, cut length of the wire from plus to the fuse)",
    source: "what is cut decides, not what was meant",
};
const LEAST: Formula =
    Formula { text: "I_n ≥ I / k", source: "common practice, no source: a blade or glass fuse carries k for good" };
const MOST: Formula = Formula {
    text: "least current that a wire behind the fuse may carry",
    source: "the fuse protects the wire: ISO 10133 for boats, from memory",
};
const LASTS: Formula = Formula {
    text: "t = k C V / P, all channels at full",
    source: "conservation of energy; k for cold and age is our margin",
};
const EMPTY: Formula = Formula {
    text: "n · V_cell",
    source: "common practice for deep discharge, from memory; the cell's sheet comes first",
};

/// Share of its rating that a fuse carries for good.
const LOADING: Ratio = Ratio::si(0.75);
/// Share of the rated charge that is counted on.
const USED: Ratio = Ratio::si(0.8);
/// Longest wire between a battery's plus and its fuse (ISO 10133, 200 mm, from memory).
pub const FUSE_WITHIN: Metres = Metres::si(0.200);

/// What the battery side asks for; ledger entries under `battery.`.
#[derive(Debug, Clone)]
pub struct BatterySide {
    /// Highest running current, battery nearly empty.
    pub current: Found<Amperes>,
    /// Least rating of its fuse.
    pub fuse_least: Found<Amperes>,
    /// Largest rating of its fuse.
    pub fuse_most: Found<Amperes>,
    /// Unprotected wire from its plus to its fuse: what the spec says or what is cut, the larger.
    pub fuse_wire: Option<Found<Metres>>,
    /// How long it burns at full.
    pub lasts: Found<Seconds>,
    /// Voltage below which its cells are harmed.
    pub empty: Found<Volts>,
}

/// Works the battery side out.
pub fn solve(lamp: &Lamp, battery: &Battery, feed: &Feed, wires: &[Wire], ledger: &mut Ledger) -> BatterySide {
    let current = current(feed, ledger);
    ledger.looked_up("battery.fuse-within", "longest wire from plus to fuse", FUSE_WITHIN, "200 mm", MOST.source);
    BatterySide {
        fuse_least: fuse_least(&current, ledger),
        current,
        fuse_most: fuse_most(lamp, wires, ledger),
        fuse_wire: battery.fuse.as_ref().map(|fuse| fuse_wire(fuse, wires, ledger)),
        lasts: lasts(lamp, battery, feed, ledger),
        empty: empty(battery, ledger),
    }
}

fn current(feed: &Feed, ledger: &mut Ledger) -> Found<Amperes> {
    let current = feed.current_most.clone()?;
    let inputs = [("I", "feed.current-most")];
    Ok(ledger.computed("battery.current", "highest current from the battery, nearly empty", current, CURRENT, &inputs))
}

fn fuse_least(current: &Found<Amperes>, ledger: &mut Ledger) -> Found<Amperes> {
    let current = current.clone()?;
    let title = "share of its rating a fuse carries for good";
    ledger.looked_up("battery.fuse-loading", title, LOADING, "any", LEAST.source);
    let inputs = [("I", "battery.current"), ("k", "battery.fuse-loading")];
    let least = current / LOADING.value();
    Ok(ledger.computed("battery.fuse-least", "least rating of the battery's fuse", least, LEAST, &inputs))
}

/// Strings and signals are held by driver and controller; only the wires between battery and them hang on the fuse.
fn fuse_most(lamp: &Lamp, wires: &[Wire], ledger: &mut Ledger) -> Found<Amperes> {
    let behind = wires.iter().filter(|w| matches!(w.role, Role::Plus | Role::Minus));
    let mut least: Option<(Amperes, String)> = None;
    for wire in behind {
        let may = wire.ampacity.clone()?;
        if least.as_ref().is_none_or(|(now, _)| may < *now) {
            least = Some((may, format!("wire.{}.ampacity", wire.name)));
        }
    }
    let (most, path) = least.ok_or_else(|| lamp.wiring.area.missing())?;
    let inputs = [("I_wire", path.as_str())];
    Ok(ledger.computed("battery.fuse-most", "largest rating of the battery's fuse", most, MOST, &inputs))
}

/// A fuse may be meant close by and its wire still be cut long: only the longer of both is the truth.
fn fuse_wire(fuse: &BatteryFuse, wires: &[Wire], ledger: &mut Ledger) -> Found<Metres> {
    let distance = &fuse.distance;
    let said = distance.high()?;
    let cut = wires.iter().find(|w| w.name == "battery-plus").map(|w| w.length);
    let inputs = [("distance", distance.path.as_str()), ("l", "wire.battery-plus.length")];
    let inputs = if cut.is_some() { &inputs[..] } else { &inputs[..1] };
    let wire = cut.map_or(said, |cut| said.max(cut));
    Ok(ledger.computed("battery.fuse-wire", "wire from the battery's plus to its fuse", wire, FUSE_WIRE, inputs))
}

fn lasts(lamp: &Lamp, battery: &Battery, feed: &Feed, ledger: &mut Ledger) -> Found<Seconds> {
    let title = "share of the rated charge counted on";
    ledger.looked_up("battery.used", title, USED, "any", LASTS.source);
    let volts = lamp.supply.output.nominal()?;
    let energy = battery.capacity.low()?.value() * volts.value() * USED.value();
    let time = Seconds::si(energy / feed.uncapped.clone()?.value());
    let inputs = [
        ("C", battery.capacity.path.as_str()),
        ("V", lamp.supply.output.path.as_str()),
        ("P", "feed.uncapped"),
        ("k", "battery.used"),
    ];
    Ok(ledger.computed("battery.lasts", "time it burns at full", time, LASTS, &inputs))
}

/// Voltage of one cell below which it is harmed, by its kind.
const fn cell_empty(chemistry: Chemistry) -> Volts {
    Volts::si(match chemistry {
        Chemistry::LeadAcid => 1.75,
        Chemistry::IronPhosphate => 2.5,
        Chemistry::LithiumIon => 3.0,
        Chemistry::NickelHydride => 1.0,
    })
}

fn empty(battery: &Battery, ledger: &mut Ledger) -> Found<Volts> {
    let cell = cell_empty(battery.chemistry.get()?);
    ledger.looked_up("battery.cell-empty", "voltage of one cell that is empty", cell, "by its kind", EMPTY.source);
    let empty = cell * f64::from(battery.cells.get()?);
    let inputs = [("n", battery.cells.path.as_str()), ("V_cell", "battery.cell-empty")];
    Ok(ledger.computed("battery.empty", "voltage below which its cells are harmed", empty, EMPTY, &inputs))
}

/// Whether the battery stands in the lamp, so that its fuse and its leads are wired here.
pub fn inside(lamp: &Lamp) -> bool {
    lamp.mains.is_none() && lamp.supply.battery.is_some() && lamp.supply.place.value != Some(Side::Outside)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::words::Word;

    #[test]
    fn cells_are_empty_below_their_nominal_voltage() {
        // Nominal voltages are those of the words' own text.
        for choice in Chemistry::CHOICES {
            let word = Chemistry::from_word(choice.word).expect("a word of its own list");
            let nominal = choice.doc.split(": ").nth(1).and_then(|t| t.split(' ').next()).expect("a voltage");
            let nominal: f64 = nominal.parse().expect("a number");
            let share = cell_empty(word).value() / nominal;
            assert!((0.75..0.9).contains(&share), "{}: {share}", choice.word);
        }
        assert!((FUSE_WITHIN.value() - 0.2).abs() < 1e-12);
    }
}
