//! What tells a channel its level: the pin's own voltage, the low-pass filter of the reference, steps of the modulation.
//! Turns pin, filter and timer into ripple, settling, resolution and the lowest level that can be reached.

use crate::lamp::given::{Found, Given};
use crate::lamp::supply::Controller;
use crate::physics::electrical::dimming::{pwm_bits, pwm_counts};
use crate::physics::electrical::reference::{PwmPin, RcSection, least_time_constant, settling_time};
use crate::quantity::{Farads, Hertz, Ohms, Ratio, Seconds, Volts};
use crate::schema::words::{Pull, Reference};
use crate::spread::Spread;

use super::desk::{Desk, Fitted, by, series, with_tolerance};
use super::outcome::absent;
use super::solution::{Filter, Modulation};

pub(super) const SIGNALS: &str = "first-order linear system in the periodic state, any signals text";

/// The low-pass filter of a reference before its capacitor is chosen.
pub(super) struct Low {
    /// Entry of the resistor.
    pub(super) figure: &'static str,
    pub(super) resistor: Spread<Ohms>,
    pub(super) pin: Ohms,
    /// To 0 V behind the resistor.
    pub(super) load: Option<Ohms>,
    /// High level of the pin.
    pub(super) full: Volts,
}

/// The controller, or what is missing without one.
pub(super) fn controller<'a>(desk: &Desk<'a>) -> Found<&'a Controller> {
    desk.engine.controller.ok_or_else(|| absent("controller.logic", desk.engine.driver.span))
}

/// High level of the pin with its pull on it, and the path of its entry.
///
/// `pulled`: the resistor that holds the line stands between pin and filter and loads the pin.
pub(super) fn level(desk: &mut Desk<'_>, pulled: bool) -> Found<(Spread<Volts>, String)> {
    let controller = controller(desk)?;
    let logic = desk.drifted(controller.logic.get()?, &controller.logic_drift)?;
    let pin = controller.pin_resistance.nominal()?;
    let pull = desk.value("pull");
    let down = desk.channel.pull_to.value == Some(Pull::Down);
    let Some(pull) = pull.filter(|_| pulled && down) else { return Ok((logic, controller.logic.path.clone())) };
    let share = Ohms::si(pull) / (Ohms::si(pull) + pin);
    let loaded = logic.map(|v| v * share);
    let inputs = [
        ("VDD", controller.logic.path.as_str()),
        ("R_pull", ".pull"),
        ("R_pin", controller.pin_resistance.path.as_str()),
    ];
    let divides = by("V = VDD·R_pull/(R_pull + R_pin)", "voltage divider");
    desk.enter_band("level", "high level of the pin under its pull-down", loaded, divides, &inputs);
    Ok((loaded, desk.path("level")))
}

/// Enters the reference at full with everything it passes on its way from the pin; again once the filter is known.
///
/// A filter hands on the mean, and at full the mean is the pin's own level.
pub(super) fn full(desk: &mut Desk<'_>, value: Spread<Volts>, text: &'static str, inputs: &[(&'static str, &str)]) {
    let (pin, pwm) = (&desk.channel.pin.path, &desk.engine.driver.pwm.path);
    let way = [
        ("pin", pin.as_str()),
        ("f", pwm.as_str()),
        ("R_filter", ".filter-resistor"),
        ("C_filter", ".filter-capacitor"),
    ];
    let all: Vec<(&'static str, &str)> = inputs.iter().copied().chain(way).collect();
    desk.enter_band("reference", "reference at full", value, by(text, SIGNALS), &all);
}

/// Output resistance of the pin.
pub(super) fn pin_resistance(desk: &mut Desk<'_>) -> Found<Ohms> {
    let given = &controller(desk)?.pin_resistance;
    let value = given.nominal()?;
    Ok(desk.enter(
        "pin-resistance",
        "output resistance of the pin",
        value,
        by("as given", "the controller's data sheet"),
        &[("R", &given.path)],
    ))
}

/// Chooses the capacitor, adds its row, and works out ripple and settling; `None` where the reference is not filtered.
pub(super) fn filter(desk: &mut Desk<'_>, low: &Low) -> Option<Found<Filter>> {
    (desk.engine.driver.reference.value == Some(Reference::FilteredPwm)).then(|| filtered(desk, low))
}

fn filtered(desk: &mut Desk<'_>, low: &Low) -> Found<Filter> {
    let driver = &desk.engine.driver;
    let (pwm, bits) = (driver.pwm.nominal()?, driver.bits.get()?);
    let (pwm_path, bits_path) = (&driver.pwm.path, &driver.bits.path);
    let fitted = capacitor(desk, low, pwm, bits)?;
    let section = |r: Ohms, c: Farads| RcSection { resistance: r + low.pin, capacitance: c, load: low.load };
    let half = PwmPin { high: low.full, low: Volts::ZERO, duty: 0.5, frequency: pwm };
    let lightest = section(low.resistor.low, fitted.value.low);
    let heaviest = section(low.resistor.high, fitted.value.high);
    let ripple = lightest.worst_ripple(&half);
    let step = low.full * (lightest.attenuation() / libm::exp2(f64::from(bits)));
    let settling = settling_time(heaviest.time_constant(), bits, 1.0);
    let parts = [("R", low.figure), ("C", ".filter-capacitor")];
    let logic = &controller(desk)?.logic.path;
    let worst = by("ΔV = V·tanh(T/4τ) at half duty, with the smallest capacitor of its tolerance", SIGNALS);
    desk.enter(
        "reference-ripple",
        "worst ripple of the reference, peak to peak",
        ripple,
        worst,
        &[parts[0], parts[1], ("f", pwm_path)],
    );
    desk.enter(
        "reference-step",
        "one step of the reference",
        step,
        by("V/2^B, V the filter's full output behind the lightest load on it", "definition"),
        &[("V", logic), parts[0], ("B", bits_path)],
    );
    let settles = by("t = τ·ln(2^B), with the largest capacitor of its tolerance", SIGNALS);
    desk.enter(
        "settling",
        "time to settle within one step",
        settling,
        settles,
        &[parts[0], parts[1], ("B", bits_path)],
    );
    let mut row = desk.capacitor_row("filter-capacitor", "filter: smooths the reference", &fitted);
    row.result = format!("ripple {ripple}, one step is {step}; settles in {settling}");
    desk.components.push(row);
    let rise = heaviest.time_constant();
    let single =
        Filter { resistor: low.resistor.nominal, capacitor: fitted.value.nominal, ripple, step, settling, rise };
    super::second::refine(desk, low, single)
}

/// The author's capacitor, or the smallest of the drawer that keeps the ripple within one step.
fn capacitor(desk: &mut Desk<'_>, low: &Low, pwm: Hertz, bits: u32) -> Found<Fitted<Farads>> {
    let driver = &desk.engine.driver;
    let stock = &desk.engine.stock;
    let tolerance = stock.capacitor_tolerance.get()?;
    let pinned: Given<Spread<Farads>> = driver.filter.capacitor.clone();
    let rc = RcSection { resistance: low.resistor.low + low.pin, capacitance: Farads::si(1.0), load: low.load };
    let least: Seconds = least_time_constant(pwm, bits, 1.0).ok_or_else(|| driver.bits.missing())?;
    let exact = Farads::si(least.value() / rc.time_constant().value() / (1.0 - tolerance));
    let (pwm_path, bits_path, tolerance_path) = (&driver.pwm.path, &driver.bits.path, &stock.capacitor_tolerance.path);
    let series = series(stock.capacitors.get()?);
    let sized = by("C = T/(4·atanh(1/2^B)·R)/(1 − tolerance): ripple of one step at half duty", SIGNALS);
    let inputs = [
        ("f", pwm_path.as_str()),
        ("B", bits_path.as_str()),
        ("R", low.figure),
        ("tolerance", tolerance_path.as_str()),
    ];
    desk.enter("filter-capacitor-exact", "least capacitor of the filter", exact, sized, &inputs);
    if let Some(given) = pinned.value {
        let value = with_tolerance(given, tolerance);
        let from = by("as the spec pins it, with the tolerance of the drawer where it states none", "the spec");
        desk.enter_band("filter-capacitor", "capacitor of the filter", value, from, &[("C", &pinned.path), inputs[3]]);
        return Ok(Fitted { value, pinned: true, error: value.nominal / exact - 1.0 });
    }
    let value = Spread::within(series.at_least(exact).ok_or_else(|| pinned.missing())?, tolerance);
    let from = by("the smallest value of the series that is not below it", "IEC 60063, compared with public tables");
    desk.enter_band(
        "filter-capacitor",
        "capacitor of the filter",
        value,
        from,
        &[("C", ".filter-capacitor-exact"), inputs[3]],
    );
    Ok(Fitted { value, pinned: false, error: value.nominal / exact - 1.0 })
}

/// Frequency, resolution and lowest level; `None` for a channel that is always at its set current.
///
/// `floor` is the share of full below which the drive cannot hold its current; where it is not known, neither is the
/// lowest level.
pub(super) fn modulation(desk: &mut Desk<'_>, floor: Option<f64>) -> Option<Found<Modulation>> {
    (desk.engine.driver.reference.value != Some(Reference::Fixed)).then(|| modulated(desk, floor))
}

fn modulated(desk: &mut Desk<'_>, floor: Option<f64>) -> Found<Modulation> {
    let driver = &desk.engine.driver;
    let (frequency, bits) = (driver.pwm.nominal()?, driver.bits.get()?);
    let clock = &controller(desk)?.clock;
    let possible = pwm_bits(clock.nominal()?, frequency);
    // Codes run from 0 to 2^B − 1, and that is full.
    let counts = pwm_counts(clock.nominal()?, frequency).min(libm::exp2(f64::from(bits)) - 1.0);
    let (pwm, bits_path, clock) = (&driver.pwm.path, &driver.bits.path, &clock.path);
    let counted = by("log2(f_clk/f)", "definition of the timer's period");
    desk.enter(
        "bits-possible",
        "resolution the timer can give",
        Ratio::si(possible),
        counted,
        &[("f_clk", clock), ("f", pwm)],
    );
    let step = 1.0 / counts.max(1.0);
    let one = by("1/min(2^B − 1, f_clk/f)", "definition of the timer's period; codes run from 0 to 2^B − 1");
    desk.enter_share(
        "step",
        "one step of the modulation",
        step,
        one,
        &[("B", bits_path), ("f_clk", clock), ("f", pwm)],
    );
    if let Some(floor) = floor {
        let least = by("the larger of one step and what the drive can hold", "our definition");
        let inputs = [("step", ".step"), ("floor", ".floor-share"), ("D_min", ".least-duty")];
        desk.enter_share("lowest", "lowest level that can be reached", step.max(floor), least, &inputs);
    }
    Ok(Modulation { frequency, bits, bits_possible: Ratio::si(possible), step: Ratio::si(step) })
}
