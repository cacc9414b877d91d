//! A second section behind the filter of the reference, where one alone cannot meet both ripple and settling.
//! Turns bits, frequency and the drawer into two resistors and two capacitors.

use crate::lamp::given::Found;
use crate::physics::electrical::preferred::Series;
use crate::physics::electrical::reference::PwmPin;
use crate::physics::electrical::second_order::TwoSections;
use crate::quantity::{Farads, Ohms, Seconds, Volts};
use crate::spread::Spread;

use super::desk::{Desk, Fitted, by, series};
use super::reference::{Low, SIGNALS};
use super::solution::Filter;

/// Impedance of the second section over the first, so that it hardly loads it.
const RATIO: f64 = 10.0;

/// Whether a second section is asked for: by the author, or by a settling that the first alone misses.
///
/// A divider stands before the first capacitor; the second section hangs on the divided reference.
pub(super) fn wanted(desk: &Desk<'_>, first: &Filter) -> bool {
    let filter = &desk.engine.driver.filter;
    if filter.stages.value == Some(1) {
        return false;
    }
    let wish = desk.engine.aim.settle.low();
    let slow = filter.capacitor.value.is_none() && wish.is_ok_and(|wish| first.settling > wish);
    filter.stages.value == Some(2) || slow
}

/// Both sections at one end of their tolerances.
fn sections(low: &Low, second: Spread<Ohms>, first: Spread<Farads>, last: Spread<Farads>, heavy: bool) -> TwoSections {
    let end = |r: Spread<Ohms>| if heavy { r.high } else { r.low };
    let of = |c: Spread<Farads>| if heavy { c.high } else { c.low };
    let pin = end(low.resistor) + low.pin;
    // Pin and divider together are one source behind both resistors in parallel.
    let behind = low.load.map_or(pin, |load| pin * (load / (pin + load)));
    TwoSections {
        first_resistance: behind,
        first_capacitance: of(first),
        second_resistance: end(second),
        second_capacitance: of(last),
        load: None,
    }
}

/// What two sections would be, before anything is entered.
struct Choice {
    resistor: Spread<Ohms>,
    first: Spread<Farads>,
    last: Spread<Farads>,
    ripple: Volts,
    settling: Seconds,
    rise: Seconds,
}

/// The smallest first capacitor of the drawer whose two sections keep the ripple within one step.
fn choose(desk: &Desk<'_>, low: &Low, first: &Filter) -> Found<Option<Choice>> {
    let (driver, stock) = (&desk.engine.driver, &desk.engine.stock);
    let (bits, tolerance) = (driver.bits.get()?, stock.capacitor_tolerance.get()?);
    let (resistors, resistor_tolerance) = desk.resistors()?;
    let capacitors: Series = series(stock.capacitors.get()?);
    let Some(second) = resistors.nearest(low.resistor.nominal * RATIO) else { return Ok(None) };
    let resistor = Spread::within(second, resistor_tolerance);
    let share = low.load.map_or(1.0, |load| load / (low.resistor.low + low.pin + load));
    let half = PwmPin { high: low.full * share, low: Volts::ZERO, duty: 0.5, frequency: driver.pwm.nominal()? };
    let pinned = driver.filter.capacitor.value.map(|c| c.nominal);
    let all = match pinned {
        Some(one) => vec![one],
        None => capacitors.between(first.capacitor * 1e-4, first.capacitor),
    };
    for nominal in all {
        let Some(after) = capacitors.nearest(nominal / RATIO) else { continue };
        let (before, after) = (Spread::within(nominal, tolerance), Spread::within(after, tolerance));
        let ripple = sections(low, resistor, before, after, false).ripple(&half);
        if ripple <= first.step || pinned.is_some() {
            let heavy = sections(low, resistor, before, after, true);
            let (settling, rise) = (heavy.settling_time(bits, 1.0), heavy.time_constants().0);
            return Ok(Some(Choice { resistor, first: before, last: after, ripple, settling, rise }));
        }
    }
    Ok(None)
}

/// Replaces the single section by two where that is wanted and settles sooner; gives the filter as it then stands.
pub(super) fn refine(desk: &mut Desk<'_>, low: &Low, single: Filter) -> Found<Filter> {
    if !wanted(desk, &single) {
        return Ok(single);
    }
    let asked = desk.engine.driver.filter.stages.value == Some(2);
    let Some(choice) = choose(desk, low, &single)?.filter(|c| asked || c.settling < single.settling) else {
        return Ok(single);
    };
    enter(desk, low, &choice);
    rows(desk, &choice, single.step);
    let Choice { first, ripple, settling, rise, .. } = choice;
    Ok(Filter { capacitor: first.nominal, ripple, settling, rise, ..single })
}

fn enter(desk: &mut Desk<'_>, low: &Low, choice: &Choice) {
    let driver = &desk.engine.driver;
    let (pwm, bits, settle) = (&driver.pwm.path, &driver.bits.path, &desk.engine.aim.settle.path);
    let pair = "two sections in a row, any signals text; the ratio of ten is common practice";
    let first = by("the smallest of the series whose two sections ripple by no more than a step", pair);
    let from = [("f", pwm.as_str()), ("B", bits.as_str()), ("R", low.figure), ("t", settle.as_str())];
    desk.enter_band("filter-capacitor", "first capacitor of the filter", choice.first, first, &from);
    let ten = by("10·R, nearest of the series", pair);
    desk.enter_band("filter-resistor-2", "second resistor of the filter", choice.resistor, ten, &[("R", low.figure)]);
    let tenth = by("C/10, nearest of the series", pair);
    let one = [("C", ".filter-capacitor")];
    desk.enter_band("filter-capacitor-2", "second capacitor of the filter", choice.last, tenth, &one);
    let parts = [
        ("R1", low.figure),
        ("C1", ".filter-capacitor"),
        ("R2", ".filter-resistor-2"),
        ("C2", ".filter-capacitor-2"),
        ("f", pwm.as_str()),
        ("B", bits.as_str()),
    ];
    let worst =
        by("highest less lowest of the periodic state at half duty, smallest parts of their tolerance", SIGNALS);
    desk.enter("reference-ripple", "worst ripple of the reference, peak to peak", choice.ripple, worst, &parts);
    let slow = by("(t1·e^(−t/t1) − t2·e^(−t/t2))/(t1 − t2) = 1/2^B, largest parts of their tolerance", SIGNALS);
    desk.enter("settling", "time to settle within one step", choice.settling, slow, &parts);
}

/// The first section's row changes its capacitor; two rows follow.
fn rows(desk: &mut Desk<'_>, choice: &Choice, step: Volts) {
    let result = format!("ripple {}, one step is {step}; settles in {}", choice.ripple, choice.settling);
    desk.components.pop();
    let pinned = desk.engine.driver.filter.capacitor.is_known();
    let mut first = desk.capacitor_row(
        "filter-capacitor",
        "filter, first: smooths",
        &Fitted { value: choice.first, pinned, error: 0.0 },
    );
    first.exact = None;
    first.result.clone_from(&result);
    desk.components.push(first);
    let second = Fitted { value: choice.resistor, pinned: false, error: 0.0 };
    let mut row = desk.row("filter-resistor-2", "filter: first to second section", &second);
    row.result = "with the capacitor below".to_owned();
    desk.components.push(row);
    let last = Fitted { value: choice.last, pinned: false, error: 0.0 };
    let mut row = desk.capacitor_row("filter-capacitor-2", "filter, second: smooths the reference", &last);
    row.result = result;
    desk.components.push(row);
}
