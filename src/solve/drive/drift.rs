//! What warmth adds to a tolerance: resistors, the pin's level and offsets drift from the 25 °C at which they are stated.
//! Turns the air that the parts work in into wider spreads, which every limit of a current is made from.

use crate::lamp::engine::Engine;
use crate::lamp::given::{Found, Given};
use crate::ledger::Ledger;
use crate::quantity::{Kelvin, PerKelvin, Quantity, Temperature, Volts, VoltsPerKelvin};
use crate::spread::Spread;

use super::circuit::STATED;
use super::desk::{Desk, by};

/// Entry of the largest distance of the parts' air from 25 °C.
pub(super) const AWAY: &str = "drive.away";

/// Hottest air that the parts are worked out for where the spec states none; film resistors bear full power up to it.
const HOTTEST: Temperature = Temperature::from_celsius(70.0);

/// The air the parts work in: the author's, else from the coldest room to 70 °C (our margin).
///
/// # Errors
/// Where neither is known, or the author says that the air is not.
pub fn air(engine: &Engine<'_>) -> Found<Spread<Temperature>> {
    let own = &engine.driver.air;
    if own.is_known() || own.unknown {
        return own.get();
    }
    let coldest = engine.room.low()?;
    Ok(Spread { low: coldest, nominal: STATED.max(coldest), high: HOTTEST })
}

/// The larger distance of the coldest and the hottest air from the 25 °C of the data sheets.
fn away(engine: &Engine<'_>) -> Found<Kelvin> {
    let air = air(engine)?;
    Ok((air.high - STATED).abs().max((STATED - air.low).abs()))
}

/// Enters that distance.
pub(super) fn enter(engine: &Engine<'_>, ledger: &mut Ledger) {
    let Ok(away) = away(engine) else { return };
    let apart =
        by("ΔT = the larger of |T_hottest − 25 °C| and |25 °C − T_coldest|", "data sheets state values at 25 °C");
    let given = if engine.driver.air.is_known() { &engine.driver.air.path } else { &engine.room.path };
    let inputs = [("T", given.as_str())];
    ledger.computed(AWAY, "how far the parts' air goes from 25 °C, at most", away, apart, &inputs);
}

impl Desk<'_> {
    /// A spread widened by a coefficient either way: `x_low·(1 − k·ΔT)` to `x_high·(1 + k·ΔT)`.
    ///
    /// Each part's coefficient may have either sign, so that parts do not follow one another.
    pub(super) fn drifted<Q: Quantity>(
        &self,
        spread: Spread<Q>,
        coefficient: &Given<Spread<PerKelvin>>,
    ) -> Found<Spread<Q>> {
        let share = coefficient.high()? * away(self.engine)?;
        let at = |q: Q, factor: f64| Q::si(q.value() * factor);
        Ok(Spread { low: at(spread.low, 1.0 - share), nominal: spread.nominal, high: at(spread.high, 1.0 + share) })
    }

    /// The same where the spec states the coefficient; as it is where it does not.
    ///
    /// # Errors
    /// Where the author says that it is unknown.
    pub(super) fn drifted_if_stated<Q: Quantity>(
        &self,
        spread: Spread<Q>,
        coefficient: &Given<Spread<PerKelvin>>,
    ) -> Found<Spread<Q>> {
        let left_out = !coefficient.is_known() && !coefficient.unknown;
        if left_out { Ok(spread) } else { self.drifted(spread, coefficient) }
    }

    /// A resistor of the drawer as it is once cold or warm.
    pub(super) fn warmed<Q: Quantity>(&self, resistor: Spread<Q>) -> Found<Spread<Q>> {
        self.drifted(resistor, &self.engine.stock.resistor_drift)
    }

    /// The largest offset once cold or warm: `Vos + k·ΔT`.
    pub(super) fn offset(&self, at_25: &Given<Spread<Volts>>, drift: &Given<Spread<VoltsPerKelvin>>) -> Found<Volts> {
        Ok(at_25.high()? + drift.high()? * away(self.engine)?)
    }
}
