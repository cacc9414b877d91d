//! The capacitor across the supply's output: the author's, or the least that keeps the ripple of all channels small.
//! Turns currents, duties and the voltages that stand across it into a capacitance and a rated voltage.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::preferred::Series;
use crate::quantity::{Farads, Volts};
use crate::solve::drive::{ChannelSolution, Drive, by};
use crate::spread::Spread;

/// Share of the supply's voltage that its capacitors may ripple by.
const RIPPLE: f64 = 0.01;
/// Capacitance for each ampere of a load that does not switch at a high frequency, F/A.
const PER_AMPERE: f64 = 100e-6;
/// Tolerance of an electrolytic capacitor, either way.
const TOLERANCE: f64 = 0.2;

/// The author's capacitance, or the next of E6 that keeps the ripple of all channels together small.
pub(super) fn solve(engine: &Engine<'_>, channels: &[ChannelSolution], ledger: &mut Ledger) -> Found<Farads> {
    let own = &engine.driver.bulk;
    if own.is_known() {
        voltage(engine, ledger);
    }
    if own.is_known() || own.unknown {
        return own.high();
    }
    let volts = engine.supply.output.nominal()?;
    let (mut least, mut switched, mut inputs) = (0.0, false, Vec::new());
    for channel in channels {
        let current = channel.set.clone()?.mean.high;
        let own = |figure: &str| format!("drive.{}.{figure}", channel.name);
        inputs.push(("I", own("current")));
        least += match channel.drive.as_ref().map_err(Clone::clone)? {
            Drive::Hysteretic(h) if h.nominal.frequency.value() > 0.0 => {
                switched = true;
                inputs.extend([("D", own("duty")), ("f", own("frequency"))]);
                let pulsed = current.value() * h.nominal.duty * (1.0 - h.nominal.duty);
                pulsed / (h.frequency.0.value() * RIPPLE * volts.value())
            }
            _ => PER_AMPERE * current.value(),
        };
    }
    let supply = switched.then_some(("V", engine.supply.output.path.as_str()));
    let inputs: Vec<(&'static str, &str)> = inputs.iter().map(|(s, p)| (*s, p.as_str())).chain(supply).collect();
    let sized = by(
        "C = ΣI·D(1 − D)/(f·0.01·V)/0.8 where the drive switches, 100 µF for each ampere/0.8 where it does not",
        "charge balance over one cycle; common practice, no source",
    );
    let exact = Farads::si(least / (1.0 - TOLERANCE));
    ledger.computed("feed.bulk-exact", "least capacitance across the output", exact, sized, &inputs);
    let near = Series::E6.at_least(exact).unwrap_or(exact);
    let next = by("next of E6, ± 20 %", "IEC 60063, compared with public tables");
    let chosen = Spread::within(near, TOLERANCE);
    ledger.computed_spread("feed.bulk", "capacitor across the output", chosen, next, &[("C", "feed.bulk-exact")]);
    voltage(engine, ledger);
    Ok(chosen.high)
}

/// Rated voltages that small electrolytic capacitors are sold for, V.
const RATINGS: [f64; 9] = [6.3, 10.0, 16.0, 25.0, 35.0, 50.0, 63.0, 80.0, 100.0];
/// Rated voltage over the highest that stands across it.
const SPARE: f64 = 1.25;

/// The rating the capacitor needs: the highest of what stands across it, under load, without, and while a battery is
/// charged. None where the author says that one of them is not known.
fn voltage(engine: &Engine<'_>, ledger: &mut Ledger) {
    let supply = &engine.supply;
    let surge = supply.battery.as_ref().map(|battery| &battery.surge);
    let all = [Some(&supply.open_circuit), Some(&supply.output), surge];
    if all.iter().flatten().any(|given| given.unknown) {
        return;
    }
    let known = all.into_iter().flatten().filter_map(|given| Some((given.value?.high, given.path.as_str())));
    let Some((highest, path)) = known.reduce(|a, b| if b.0 > a.0 { b } else { a }) else { return };
    let least = highest.value() * SPARE;
    let Some(rated) = RATINGS.into_iter().find(|v| *v >= least) else { return };
    let next =
        by("next rating above 1.25 times the highest voltage that stands across it", "common practice, no source");
    let title = "rated voltage of the capacitor across the output";
    ledger.computed("feed.bulk-voltage", title, Volts::si(rated), next, &[("V", path)]);
}
