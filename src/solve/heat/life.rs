//! Warmth of the supply's case to how long its capacitors last.
//! An estimate: the case stands for the capacitors, and life doubles for each ten kelvin less.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::thermal::life::capacitor_life_printed;
use crate::quantity::{Seconds, Temperature};

use super::super::drive::by;

/// A life in hours, to a hundred.
pub fn hours(life: Seconds) -> String {
    format!("{:.0} h", libm::round(life.value() / 360_000.0) * 100.0)
}

/// How long the supply's capacitors last at this temperature of its case: `heat.supply-life`.
pub(super) fn supply_life(engine: &Engine<'_>, hot: Temperature, ledger: &mut Ledger) -> Found<Seconds> {
    let given = &engine.supply.life;
    let (rated, at) = given.get()?;
    let life = capacitor_life_printed(rated.low, at, hot);
    let halves = by(
        "L = L_r·2^((T_r − T)/10 K), at most 15 years",
        "common practice, no source; case temperature taken for the capacitor's",
    );
    let inputs = [("L_r, T_r", given.path.as_str()), ("T", "heat.judged.supply")];
    ledger.computed_text("heat.supply-life", "life of the supply's capacitors", hours(life), halves, &inputs);
    Ok(life)
}
