//! Figures for the first power from a bench supply: a resistor in the string's place, what then flows, current limits.
//! Turns the finished channel into what the one at the bench sets and expects.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::parts::resistor::RATINGS;
use crate::physics::electrical::preferred::Series;
use crate::quantity::{Amperes, Ohms, Watts};
use crate::schema::words::Reference;
use crate::spread::Spread;

use super::desk::{Desk, by};
use super::solution::StringVoltage;

/// Limit of the bench supply over the current expected.
const LIMIT: f64 = 1.2;
/// Bursts of a starting controller over its mean.
const BURST: f64 = 3.0;
/// Share of its rating a dummy may take; it is on for minutes.
const LOADING: f64 = 0.8;

/// Levels tried before the whole, per cent.
const STEPS: [u32; 2] = [25, 50];
/// Tolerance of a resistor from the dummy's box.
const SPREAD: f64 = 0.05;

/// Chooses the dummy of a channel that carries `current` at full; gives it with its tolerance. A channel without current
/// has none to try: nothing is entered, and its place stays open.
pub(super) fn choose(desk: &mut Desk<'_>, string: &StringVoltage, current: Amperes) -> Spread<Ohms> {
    if current <= Amperes::ZERO {
        return Spread::exact(Ohms::si(f64::INFINITY));
    }
    let exact: Ohms = string.at_current.nominal / current;
    let dummy = Series::E12.at_most(exact).unwrap_or(exact);
    let place = by("R = V_string/I, the next lower value of E12", "IEC 60063; common practice for dummy loads");
    desk.enter("dummy", "resistor in the string's place", dummy, place, &[("V_string", ".string"), ("I", ".current")]);
    Spread::within(dummy, SPREAD)
}

/// Enters what the chosen dummy carries and asks: `taken` is what the supply gives for it at full and `input` for the
/// string; `flows` the mean current through it at a share of full, every tolerance included. Nothing is entered where no
/// steady cycle is found.
pub(super) fn enter(
    desk: &mut Desk<'_>,
    taken: Option<Amperes>,
    input: Amperes,
    flows: impl Fn(f64) -> Option<Spread<Amperes>>,
) {
    let (Some(taken), Some(mean), Some(dummy)) = (taken, flows(1.0), desk.value("dummy").map(Ohms::si)) else {
        return;
    };
    let through = by(
        "the same circuit with V0 = 0 and Rd = R_dummy ± 5 %; band over every tolerance",
        "Kirchhoff's laws, as for the string",
    );
    let from = [("R", ".dummy"), ("I", ".current")];
    desk.enter_band("dummy-current", "current expected in it", mean, through, &from);
    if desk.engine.driver.reference.value != Some(Reference::Fixed) {
        for level in STEPS {
            let Some(current) = flows(f64::from(level) / 100.0) else { continue };
            let title = format!("current expected in it at {level} %");
            desk.enter_band(&format!("dummy-{level}-current"), &title, current, through, &from);
        }
    }
    let power = dummy.power_at(mean.nominal);
    desk.enter(
        "dummy-power",
        "its power",
        power,
        by("P = I²·R", "Ohm's law"),
        &[("I", ".dummy-current"), ("R", ".dummy")],
    );
    let least = power / LOADING;
    let rating: Watts = RATINGS.into_iter().find(|r| *r >= least).unwrap_or(least);
    let rated = by("next rating above P/0.8; it is on for minutes", "our margin");
    desk.enter("dummy-rating", "rating it needs", rating, rated, &[("P", ".dummy-power")]);
    limits(desk, taken, input);
}

/// Current limits of the bench supply with the dummy and with the string; none where the controller's power is not known.
fn limits(desk: &mut Desk<'_>, dummy: Amperes, input: Amperes) {
    let Ok(idle) = idle(desk.engine) else { return };
    let over = by("1.2·I_channel + 3·I_controller", "our margin: enough to work and to start, too little to burn");
    let controller = desk.engine.controller.map_or("", |c| c.power.path.as_str());
    let from = [("I", ".input-current"), ("P_controller", controller)];
    desk.enter(
        "dummy-limit",
        "limit of the bench supply with the dummy",
        dummy * LIMIT + idle * BURST,
        over,
        &[("I", ".dummy-current"), from[1]],
    );
    desk.enter("bench-limit", "limit of the bench supply with the string", input * LIMIT + idle * BURST, over, &from);
}

/// Current of the controller alone.
fn idle(engine: &Engine<'_>) -> Found<Amperes> {
    let power = engine.controller.map_or(Ok(Watts::ZERO), |c| c.power.nominal())?;
    Ok(power / engine.supply.output.nominal()?)
}

/// Enters what the lamp takes with all channels dark and with all on, and the limits for both.
pub(in crate::solve) fn supply_limits(engine: &Engine<'_>, all: &Found<Amperes>, ledger: &mut Ledger) {
    let output = engine.supply.output.path.as_str();
    if let (Ok(idle), Some(controller)) = (idle(engine), engine.controller) {
        let inputs = [("P", controller.power.path.as_str()), ("V", output)];
        ledger.computed(
            "feed.idle",
            "current of the controller alone",
            idle,
            by("I = P/V", "conservation of power"),
            &inputs,
        );
        let limit = Amperes::si((idle * BURST).value().max(0.05));
        let over = by("3·I_controller, no less than 50 mA: a controller starts with bursts", "our margin");
        ledger.computed(
            "feed.idle-limit",
            "limit of the bench supply with all dark",
            limit,
            over,
            &[("I", "feed.idle")],
        );
    }
    if let (Ok(all), Ok(idle)) = (all, idle(engine)) {
        let over = by("1.2·I + 2·I_controller", "our margin: enough to work and to start, too little to burn");
        let limit = *all * LIMIT + idle * (BURST - 1.0);
        let inputs = [("I", "feed.current"), ("I_controller", "feed.idle")];
        let inputs = if engine.controller.is_some() { &inputs[..] } else { &inputs[..1] };
        ledger.computed("feed.all-limit", "limit of the bench supply with all on", limit, over, inputs);
    }
}
