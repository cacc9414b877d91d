//! Channels with a hysteretic sink: sense resistor, gain, off-time, and the exact cycle nominal and over all corners.
//! The gain is chosen so that the mean, not the peak, is what was wanted.

use crate::lamp::given::Found;
use crate::lamp::parts::Amplifier;
use crate::physics::electrical::hysteretic::SwitchedCycle;
use crate::physics::electrical::parts::resistor::amplifier_time_constant;
use crate::quantity::{Amperes, Hertz, Ohms, Ratio, Seconds, Volts, Watts};
use crate::schema::words::Reference;
use crate::spread::Spread;

use super::desk::{Desk, at, by};
use super::drift::AWAY;
use super::dummy;
use super::notes::{Loss, Reading};
use super::outcome::{Outcome, absent, flows, ordered, power, rated, rating, supply};
use super::reference::{Low, filter};
use super::solution::{Cycle, Drive, Filter, Hysteretic, SetCurrent, StringVoltage};
use super::stage::{Built, Corner, Stage, build, regulated};
use super::switch_loss::{gate, switch_loss};

pub(super) const EXACT: &str = "exact solution of each stretch of the cycle, agrees with numerical integration; Erickson and Maksimovic, Fundamentals of Power Electronics";

/// What all corners together say.
struct Extremes {
    mean: (Amperes, Amperes),
    peak: Amperes,
    frequency: (Hertz, Hertz),
    /// Power of the sense resistor.
    sense: Watts,
    /// Mean current of the diode.
    diode: Amperes,
    regulates: bool,
}

/// Chooses what is not pinned, solves the cycle, and gathers the corners.
pub(super) fn solve(desk: &mut Desk<'_>, string: &StringVoltage) -> Found<Outcome> {
    let built = build(desk, string)?;
    let stage = &built.stage;
    let none = || desk.engine.driver.off_time.missing();
    let cycle = stage.cycle(&Corner::NOMINAL).ok_or_else(none)?;
    let places = stage.corners();
    let solved: Vec<(Corner, SwitchedCycle)> = places.iter().filter_map(|c| Some((*c, stage.cycle(c)?))).collect();
    let corners: Vec<SwitchedCycle> = solved.iter().map(|(_, cycle)| *cycle).collect();
    let all = corners.len() == places.len();
    let ends = extremes(&cycle, &corners, all);
    let wanted = desk.channel.current.nominal()?;
    let mean = ordered(ends.mean.0, cycle.mean, ends.mean.1);
    enter_cycle(desk, &cycle, &ends, mean)?;
    let own = &desk.channel.sense_rating;
    let sense_rating = rating(desk, "sense-rating", "rating of the sense resistor", own);
    let floor = floor(desk, stage);
    let loss = switch_loss(desk, &cycle, stage.supply.nominal);
    let mut sense = desk.row("sense", "sense: its voltage trips the comparator", &built.sense);
    sense.power = Some(desk.path("sense-power"));
    sense.rating = rated(&sense_rating);
    sense.result = flows(&mean);
    desk.components.push(sense);
    for (figure, purpose, fitted) in &built.network {
        let mut row = desk.row(figure, purpose, fitted);
        row.exact = Some(desk.path("gain-exact"));
        row.result = format!("gain {}", desk.ledger.shown(&desk.path("gain")).unwrap_or("–"));
        desk.components.push(row);
    }
    let gate = gate(desk, Some((ends.peak, built.stage.sense.nominal)));
    let shown = shown(desk, stage, &cycle);
    let follow = desk.engine.driver.amplifier.as_ref().map(|amplifier| follow(desk, amplifier, stage, &cycle));
    let filter = filter_of(desk, &built)?;
    let (_, output_path) = supply(desk)?;
    // Edges of the switch and gain resistors are no part of the cycle, but what they lose the supply gives too.
    let edges = loss.as_ref().map_or(Watts::ZERO, |loss| *loss - cycle.switch_power);
    let beside = edges + gain_loss(desk, stage, &built, &cycle).unwrap_or(Watts::ZERO);
    let input =
        [("Vs", output_path.as_str()), ("I_switch", ".switch-current"), ("P_switch", ".switch-loss"), ("A", ".gain")];
    let power = power(
        desk,
        cycle.led_power,
        cycle.input_power + beside,
        "P = Vs·I_switch while the switch is on, and what its edges and the gain resistors lose",
        &input,
    )?;
    desk.notes.stage = Some(built.stage);
    desk.notes.beside = beside;
    details(desk, &built, (&cycle, &solved), &loss, filter.as_ref(), power.string);
    if desk.ledger.is_for_papers() {
        with_dummy(desk, stage, string, (mean.nominal, power.current), filter.is_some());
    }
    let hysteretic = Hysteretic {
        sense: stage.sense.nominal,
        sense_power: ends.sense,
        sense_rating,
        gain: Ratio::si(stage.gain(0.0)),
        inductance: stage.inductance.nominal,
        off_time: stage.off_time.nominal,
        trip: stage.trip(0.0),
        nominal: Cycle {
            peak: cycle.peak,
            valley: cycle.valley,
            mean: cycle.mean,
            frequency: cycle.frequency,
            duty: cycle.duty,
        },
        peak: ends.peak,
        frequency: ends.frequency,
        regulates: ends.regulates,
        on_time: cycle.on_time,
        switch_loss: loss,
        switch_junction: Err(absent("heat.inside", desk.engine.driver.span)),
        diode_current: ends.diode,
        gate,
        follow,
        shown,
        floor,
    };
    let set = SetCurrent { wanted, mean, peak: ends.peak };
    Ok(Outcome { drive: Drive::Hysteretic(Box::new(hysteretic)), set, power, filter })
}

/// The stage with a resistor in the string's place; `mean` and `input` are the string's currents. A gated stage runs
/// whole for its share of the time; under a filtered reference, `dimmed`, it runs at that share of it.
fn with_dummy(
    desk: &mut Desk<'_>,
    stage: &Stage,
    string: &StringVoltage,
    (mean, input): (Amperes, Amperes),
    dimmed: bool,
) {
    let fitted = stage.with_resistor(&dummy::choose(desk, string, mean));
    let (whole, full) = (fitted.cycle(&Corner::NOMINAL), fitted.reading(1.0));
    dummy::enter(desk, whole.map(|cycle| cycle.switch_mean), input, |share| {
        let here = if dimmed && share < 1.0 { fitted.reading(share) } else { full };
        here.map(|reading| if dimmed { reading.current } else { reading.current.map(|i| i * share) })
    });
}

/// Corners, start, losses, meter readings and tolerances for the drive sheet.
fn details(
    desk: &mut Desk<'_>,
    built: &Built,
    (cycle, corners): (&SwitchedCycle, &[(Corner, SwitchedCycle)]),
    switch: &Found<Watts>,
    filter: Option<&Found<Filter>>,
    string: Watts,
) {
    let stage = &built.stage;
    let rise = filter.and_then(|f| f.as_ref().ok()).map(|f| f.rise);
    super::corners::enter(desk, stage, cycle, rise);
    let all = losses(desk, stage, built, cycle, switch);
    super::notes::losses(desk, string, &all);
    let filtered = filter.is_some();
    let gated = desk.engine.driver.reference.value == Some(Reference::PwmGate);
    let whole = stage.read(cycle, corners);
    let reading = |share: f64| {
        let reference = filtered.then(|| stage.level.map(|v| v * share));
        Some(match gated {
            true => {
                Reading { current: whole.current.map(|i| i * share), sense: whole.sense.map(|v| v * share), ..whole }
            }
            false if share == 1.0 => Reading { reference, ..whole },
            false => Reading { reference, ..stage.reading(share)? },
        })
    };
    super::notes::readings(desk, ".sense", "V = Rs·I_switch: only while the switch conducts", reading);
    tolerances(desk, built, cycle.mean);
}

fn losses(
    desk: &Desk<'_>,
    stage: &Stage,
    built: &Built,
    cycle: &SwitchedCycle,
    switch: &Found<Watts>,
) -> Vec<Loss<'static>> {
    let switch = switch.as_ref().map_or(cycle.switch_power, |loss| *loss);
    let mut all: Vec<Loss<'static>> = vec![
        (
            "loss-switch",
            "switch",
            switch,
            "conduction hot, and the edges where known",
            &[("P", ".switch-loss"), ("I", ".switch-current")],
        ),
        (
            "loss-diode",
            "freewheel diode",
            cycle.diode_power,
            "P = V_D·I_diode,mean",
            &[("I", ".current"), ("D", ".duty")],
        ),
        ("loss-inductor", "winding of the inductor", cycle.winding_power, "P = RL·I_rms²", &[("I", ".current")]),
        (
            "loss-sense",
            "sense resistor",
            cycle.sense_power,
            "P = Rs·I_rms² while the switch is on",
            &[("Rs", ".sense"), ("I", ".switch-current")],
        ),
    ];
    if let Some(loss) = gain_loss(desk, stage, built, cycle) {
        all.push((
            "loss-gain",
            "gain resistors",
            loss,
            "P = (A·Rs·I_rms)²/(R_f + R_g)",
            &[("A", ".gain"), ("R_f", ".gain-feedback"), ("R_g", ".gain-ground")],
        ));
    }
    all
}

/// What the amplifier's output loses in its two resistors.
fn gain_loss(desk: &Desk<'_>, stage: &Stage, built: &Built, cycle: &SwitchedCycle) -> Option<Watts> {
    let pair: f64 = built.network.iter().map(|(_, _, fitted)| fitted.value.nominal.value()).sum();
    let volts = stage.sense.nominal * cycle.switch_rms * stage.gain(0.0);
    (pair > 0.0 && desk.engine.driver.amplifier.is_some()).then(|| volts * (volts / Ohms::si(pair)))
}

/// The static chain exactly, and the cycle's own tolerances along a parabola each.
fn tolerances(desk: &mut Desk<'_>, built: &Built, mean: Amperes) {
    let stage = &built.stage;
    let (follow, bends, trip) = (stage.follow(), stage.bends(mean), stage.trip(0.0));
    let resistors: Vec<Spread<Ohms>> = built.network.iter().filter_map(|(_, _, f)| desk.warmed(f.value).ok()).collect();
    let gain = |feedback: f64, ground: f64| match resistors.as_slice() {
        [rf, rg] => 1.0 + at(rf, feedback) / at(rg, ground),
        _ => stage.gain(0.0),
    };
    let parts = [
        ("adds-level", "level of the pin", "controller.logic"),
        ("adds-feedback", "feedback resistor", ".gain-feedback"),
        ("adds-ground", "resistor to 0 V", ".gain-ground"),
        ("adds-sense", "sense resistor", ".sense"),
        ("adds-amplifier", "offset of the amplifier", "driver.amplifier.offset"),
        ("adds-comparator", "offset of the comparator", "driver.comparator.offset"),
        ("adds-supply", "supply", "supply.output"),
        ("adds-string", "string, cold to hot", ".string"),
        ("adds-inductance", "inductor", ".inductance"),
        ("adds-delay", "delay of the comparator", ".delay"),
        ("adds-off-time", "off-time", ".off-time"),
        ("adds-open-gain", "gain of the amplifier without feedback", "driver.amplifier.open-gain"),
    ];
    super::notes::contributions(desk, &parts, |p| {
        let &[level, feedback, ground, sense, amplifier, comparator, ref cycle @ .., open] = p else { return mean };
        let (gain, sense) = (gain(feedback, ground), at(&stage.sense, sense));
        // It only ever lowers the gain: by nothing at one end, by all of it at the other.
        let gain = gain + (stage.finite(gain) - gain) * (0.5 + 0.5 * open);
        let reference = at(&stage.level, level) - stage.comparator_offset * comparator;
        let here = reference / (sense * gain) - stage.amplifier_offset * amplifier / sense;
        let rest = bends.iter().zip(cycle).map(|((s, c), x)| *s * *x + *c * (*x * *x)).sum::<Amperes>();
        mean + (here - trip) * follow + rest
    });
}

fn extremes(nominal: &SwitchedCycle, corners: &[SwitchedCycle], all: bool) -> Extremes {
    let every = || corners.iter().chain(std::iter::once(nominal));
    let most = |f: fn(&SwitchedCycle) -> f64| every().map(f).fold(f64::NEG_INFINITY, f64::max);
    let least = |f: fn(&SwitchedCycle) -> f64| every().map(f).fold(f64::INFINITY, f64::min);
    Extremes {
        mean: (Amperes::si(least(|c| c.mean.value())), Amperes::si(most(|c| c.mean.value()))),
        peak: Amperes::si(most(|c| c.peak.value())),
        frequency: (Hertz::si(least(|c| c.frequency.value())), Hertz::si(most(|c| c.frequency.value()))),
        sense: Watts::si(most(|c| c.sense_power.value())),
        diode: Amperes::si(most(|c| c.diode_mean.value())),
        regulates: all && every().all(|c| regulated(c.regime)),
    }
}

fn enter_cycle(desk: &mut Desk<'_>, cycle: &SwitchedCycle, ends: &Extremes, mean: Spread<Amperes>) -> Found<()> {
    let (_, output_path) = supply(desk)?;
    let chain = [
        ("I_T", ".trip"),
        ("L", ".inductance"),
        ("t_off", ".off-time"),
        ("t_d", ".delay"),
        ("Vs", output_path.as_str()),
        ("V0", ".string-offset"),
        ("Rd", ".string-slope"),
        ("ΔT", AWAY),
    ];
    let solved = by("mean of the steady cycle; band: every corner of tolerances, drift, supply and string", EXACT);
    desk.enter_band("current", "current that really flows at full", mean, solved, &chain);
    let peak = Spread { low: cycle.peak, nominal: cycle.peak, high: ends.peak };
    desk.enter_band(
        "peak",
        "peak current, nominal and in the worst corner",
        peak,
        by("highest current of the steady cycle", EXACT),
        &chain,
    );
    desk.enter(
        "valley",
        "lowest current of the cycle",
        cycle.valley,
        by("lowest current of the steady cycle", EXACT),
        &chain,
    );
    let ripple = if cycle.mean.value() > 0.0 { cycle.ripple / cycle.mean } else { 0.0 };
    desk.enter_share(
        "ripple",
        "ripple, peak to peak over mean",
        ripple,
        by("(I_peak − I_valley)/I_mean", EXACT),
        &[("I_peak", ".peak"), ("I_valley", ".valley"), ("I_mean", ".current")],
    );
    let frequency = Spread { low: ends.frequency.0, nominal: cycle.frequency, high: ends.frequency.1 };
    desk.enter_band("frequency", "switching frequency", frequency, by("1/(t_on + t_off)", EXACT), &chain);
    desk.enter_share(
        "duty",
        "share of the period the switch conducts",
        cycle.duty,
        by("t_on/(t_on + t_off)", EXACT),
        &chain,
    );
    desk.enter(
        "switch-current",
        "mean current taken from the supply",
        cycle.switch_mean,
        by("mean of the current while the switch is on", EXACT),
        &chain,
    );
    desk.enter(
        "sense-power",
        "power of the sense resistor in the worst corner",
        ends.sense,
        by("P = Rs·I_rms² while the switch is on", EXACT),
        &[("Rs", ".sense"), ("I", ".peak")],
    );
    desk.enter(
        "diode-current",
        "highest mean current of the diode",
        ends.diode,
        by("mean of the current while the switch is off", EXACT),
        &chain,
    );
    Ok(())
}

/// What still flows at the lowest reference that surely leaves the amplifier's bottom: offsets, low output and delay
/// together, in the corner of highest supply and lowest string.
fn floor(desk: &mut Desk<'_>, stage: &Stage) -> Found<Amperes> {
    let floor = stage.floor().ok_or_else(|| desk.engine.driver.off_time.missing())?;
    let held =
        by("mean of the cycle at I_T = V_OL/(A·Rs) + Vos_a/Rs + Vos_c/(A·Rs), highest supply, lowest string", EXACT);
    let chain = [("A", ".gain"), ("Rs", ".sense"), ("t_d", ".delay"), ("L", ".inductance")];
    Ok(desk.enter("floor", "lowest current the loop can hold", floor, held, &chain))
}

/// What comparator and amplifier see at full: the reference, and the peak.
fn shown(desk: &mut Desk<'_>, stage: &Stage, cycle: &SwitchedCycle) -> (Volts, Volts) {
    let volts = stage.sense.nominal * stage.gain(0.0);
    let (trip, peak) = (volts * stage.trip(0.0), volts * cycle.peak);
    let sensed = by("V = I·Rs·A", "Ohm's law");
    let inputs = |current| [("I", current), ("Rs", ".sense"), ("A", ".gain")];
    desk.enter("trip-level", "level at which the comparator trips at full", trip, sensed, &inputs(".trip"));
    desk.enter("peak-level", "sensed peak, as the amplifier puts it out", peak, sensed, &inputs(".peak"));
    (trip, peak)
}

/// Time constants within which an amplifier must see the current: leaves 0.7 % of the step.
const SETTLED: f64 = 5.0;

/// Slewing up to the valley's voltage, and settling.
fn follow(desk: &mut Desk<'_>, amplifier: &Amplifier, stage: &Stage, cycle: &SwitchedCycle) -> Found<Seconds> {
    let gain = stage.gain(0.0);
    let tau = amplifier_time_constant(gain, amplifier.bandwidth.low()?);
    let needs = tau * SETTLED + cycle.valley * (stage.sense.nominal * gain) / amplifier.slew.low()?;
    let formula = by(
        "t = 5·A/(2π·GBW) + A·Rs·I_valley/SR",
        "one-pole model, Horowitz and Hill, The Art of Electronics, 3rd ed.; 5 time constants is our margin",
    );
    let inputs = [
        ("A", ".gain"),
        ("Rs", ".sense"),
        ("I_valley", ".valley"),
        ("GBW", amplifier.bandwidth.path.as_str()),
        ("SR", amplifier.slew.path.as_str()),
    ];
    Ok(desk.enter("amplifier-time", "time the amplifier needs to follow", needs, formula, &inputs))
}

fn filter_of(desk: &mut Desk<'_>, built: &Built) -> Found<Option<Found<Filter>>> {
    let Some(resistor) = built.filter_resistor else { return Ok(None) };
    let mut row = desk.row("filter-resistor", "filter: pin to reference", &resistor);
    row.result = "with the capacitor below".to_owned();
    desk.components.push(row);
    let pin = super::reference::pin_resistance(desk)?;
    let full: Volts = built.stage.level.nominal;
    let found = filter(desk, &Low { figure: ".filter-resistor", resistor: resistor.value, pin, load: None, full });
    super::gain::reference(desk, built.stage.level, &built.level_path);
    Ok(found)
}
