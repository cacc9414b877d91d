//! The fuse inside the lamp: least rating, next rating made, melting integral against inrush, marking on its cap.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::mains::{Fuse, Mains};
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors::fuse::{LOADING_IEC, LOADING_UL, marking, melting_integral_needed, rating_for};
use crate::quantity::{AmpereSquareSeconds, Amperes, Ratio, Volts};
use crate::schema::words::Region;

use super::terms;

const LEAST: Formula =
    Formula { text: "I_n ≥ I / k", source: "common practice, no source: k = 0.8 IEC 60127, 0.75 UL 248-14" };
const NEXT: Formula = Formula { text: "next rated current from I / k", source: "IEC 60127-1, rated currents" };
const MELTING: Formula = Formula {
    text: "I²t_melting ≥ I²t_inrush / 0.3",
    source: "common practice, from memory: about ten thousand switchings",
};
const BREAKS: Formula = Formula { text: "L: 35 A or 10 I_n; E: 150 A; H: 1500 A", source: "IEC 60127-2" };
const MARKING: Formula =
    Formula { text: "speed, rated current, breaking capacity, voltage", source: "IEC 60127-1, marking" };

/// Voltage a fuse-link of this kind is made for.
const RATED: Volts = Volts::si(250.0);

/// What the fuse must be.
#[derive(Debug, Clone)]
pub struct FuseNeeds {
    /// Least rating that carries the running current.
    pub least: Found<Amperes>,
    /// Next rating made.
    pub next: Found<Amperes>,
    /// Melting I²t it needs to live through the inrush many times.
    pub melting: Found<AmpereSquareSeconds>,
    /// Short-circuit current the fitted fuse can break.
    pub breaks: Option<Found<Amperes>>,
}

pub(super) fn solve(lamp: &Lamp, mains: &Mains, current: &Found<Amperes>, ledger: &mut Ledger) -> FuseNeeds {
    let loading = lamp.identity.region.get().map(|r| match r {
        Region::Us => {
            let title = "share of its rating a fuse carries for good, by";
            let rows = [("ul", LOADING_UL, "UL 248-14"), ("iec", LOADING_IEC, "IEC 60127")];
            for (suffix, share, row) in rows {
                let path = format!("line.fuse-loading-{suffix}");
                ledger.looked_up(path, &format!("{title} {row}"), Ratio::si(share), row, LEAST.source);
            }
            LOADING_UL.min(LOADING_IEC)
        }
        _ => LOADING_IEC,
    });
    let least = loading.clone().and_then(|k| {
        let k = Ratio::si(k);
        ledger.looked_up(
            "line.fuse-loading",
            "share of its rating a fuse carries for good",
            k,
            "by region; in North America the smaller of both",
            LEAST.source,
        );
        let least = current.clone()? / k.value();
        let inputs = [("I", "line.current"), ("k", "line.fuse-loading")];
        Ok(ledger.computed("line.fuse-least", "least rating of the fuse", least, LEAST, &inputs))
    });
    let next = loading.and_then(|k| {
        let next = rating_for(current.clone()?, k).ok_or_else(|| lamp.supply.power.missing())?;
        let inputs = [("I / k", "line.fuse-least")];
        Ok(ledger.computed("line.fuse-next", "smallest fuse made that carries it", next, NEXT, &inputs))
    });
    let melting = lamp.supply.inrush.high().map(|inrush| {
        let need = melting_integral_needed(inrush);
        let inputs = [("I²t_inrush", "supply.inrush")];
        ledger.computed("line.fuse-melting", "melting I²t the fuse needs", need, MELTING, &inputs)
    });
    let breaks = mains.fuse.as_ref().map(|fuse| fitted(fuse, ledger));
    FuseNeeds { least, next, melting, breaks }
}

fn fitted(fuse: &Fuse, ledger: &mut Ledger) -> Found<Amperes> {
    let (rating, breaking) = (fuse.rating.nominal()?, terms::breaking(fuse.breaking.get()?));
    let inputs = [("I_n", "mains.fuse.rating"), ("letter", "mains.fuse.breaking")];
    let breaks = breaking.capacity(rating);
    ledger.computed("line.fuse-breaks", "short-circuit current the fuse can break", breaks, BREAKS, &inputs);
    if let Ok(speed) = fuse.speed.get() {
        let text = marking(rating, terms::speed(speed), breaking, RATED);
        ledger.computed_text("line.fuse-marking", "marking on the fuse", text, MARKING, &inputs);
    }
    Ok(breaks)
}
