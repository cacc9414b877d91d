//! Power and current from the mains at full, at the lowest mains, and the inlet's rating.

use crate::figures::stated;
use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors::fuse::running_current;
use crate::quantity::{Amperes, Volts, Watts};
use crate::schema::words::{Plug, Region};
use crate::solve::feed::Feed;

use super::terms;

const POWER: Formula = Formula {
    text: "P = P_mains",
    source: "most power of the supply's input: all channels on, every band at its upper end",
};
const LOWEST: Formula =
    Formula { text: "U_min = U (1 − t)", source: "IEC 60038 gives ± 10 %; the spec's own tolerance is used" };
const CURRENT: Formula = Formula { text: "I = P / (U_min · pf)", source: "definition of the power factor" };
const PLUG_FUSE: Formula = Formula {
    text: "rating as written, the cartridge of its plug",
    source: "BS 1363-1: its fuse is by BS 1362; from memory",
};

/// The running state at full.
pub(super) struct Running {
    pub(super) power: Found<Watts>,
    pub(super) lowest: Found<Volts>,
    pub(super) current: Found<Amperes>,
}

pub(super) fn solve(lamp: &Lamp, mains: &Mains, feed: &Feed, ledger: &mut Ledger) -> Running {
    let power = feed.mains_most.clone();
    let power = power.map(|p| {
        let inputs = [("P_mains", "feed.mains-most")];
        ledger.computed("line.power", "most power from the mains", p, POWER, &inputs)
    });
    let lowest = lowest(mains).map(|u| {
        let inputs = [("U", "mains.voltage"), ("t", "mains.tolerance")];
        ledger.computed("line.lowest", "lowest mains voltage", u, LOWEST, &inputs)
    });
    let current = current(lamp, mains, &power, &lowest).map(|i| {
        let inputs = [("P", "line.power"), ("U_min", "line.lowest"), ("pf", "supply.power-factor")];
        ledger.computed("line.current", "highest running current, at the lowest mains", i, CURRENT, &inputs)
    });
    Running { power, lowest, current }
}

fn lowest(mains: &Mains) -> Found<Volts> {
    Ok(mains.voltage.low()? * (1.0 - mains.tolerance.get()?))
}

fn current(lamp: &Lamp, mains: &Mains, power: &Found<Watts>, lowest: &Found<Volts>) -> Found<Amperes> {
    let factor = lamp.supply.power_factor.get()?;
    let (power, lowest) = (power.clone()?, lowest.clone()?);
    // No power comes through no voltage, nor through a current that is all beside it.
    if lowest <= Volts::ZERO {
        return Err(mains.voltage.missing());
    }
    if factor <= 0.0 {
        return Err(lamp.supply.power_factor.missing());
    }
    Ok(running_current(power, lowest, factor))
}

/// Rated current of the inlet in this region.
pub(super) fn inlet(lamp: &Lamp, mains: &Mains, ledger: &mut Ledger) -> Option<Found<Amperes>> {
    let inlet = mains.inlet.as_ref()?;
    Some(inlet.kind.get().and_then(|kind| {
        let row = terms::inlet(kind).ok_or_else(|| inlet.kind.missing())?;
        let us = lamp.identity.region.get()? == Region::Us;
        let rated = if us { row.current_us.unwrap_or(row.current) } else { row.current };
        Ok(ledger.looked_up("line.inlet-rating", "rated current of the inlet", rated, row.name, row.source))
    }))
}

/// The fuse in the plug, as the papers name it, where the plug is of a kind that has one.
pub(super) fn plug_fuse(mains: &Mains, ledger: &mut Ledger) {
    let Some(cord) = &mains.cord else { return };
    if let (Some(Plug::Bs1363), Ok(rating)) = (cord.plug.value, cord.plug_fuse.nominal()) {
        let text = format!("{}, BS 1362", stated(rating.value(), "A"));
        let inputs = [("I_n", "mains.cord.plug-fuse"), ("plug", "mains.cord.plug")];
        ledger.computed_text("line.plug-fuse", "fuse in the plug", text, PLUG_FUSE, &inputs);
    }
}
