//! What stands between a hysteretic sink's pin and its comparator: reference, filter's resistor, gain and its two resistors.
//! Turns the gain that the cycle asks for into parts of the drawer, and says what they make of it.

use crate::lamp::given::Found;
use crate::physics::electrical::parts::resistor::sense_gain;
use crate::physics::electrical::preferred::gain_network;
use crate::quantity::{Amperes, Ohms, Ratio, Volts};
use crate::schema::words::Reference;
use crate::spread::Spread;

use super::desk::{Desk, Fitted, by};
use super::drift::AWAY;
use super::hysteretic::EXACT;
use super::stage::Stage;

/// The reference that the comparator gets at full, and the path of its entry: filtered, or the pin's level itself.
pub(super) fn reference(desk: &mut Desk<'_>, level: Spread<Volts>, level_path: &str) -> String {
    if desk.engine.driver.reference.value != Some(Reference::FilteredPwm) {
        return level_path.to_owned();
    }
    super::reference::full(
        desk,
        level,
        "V = D·V_pin, D = 1 at full; the filter passes the mean",
        &[("V_pin", level_path)],
    );
    desk.path("reference")
}

/// The gain that is not ours to choose: the author's, or none at all without an amplifier.
pub(super) fn fixed(desk: &Desk<'_>) -> Option<f64> {
    let driver = &desk.engine.driver;
    driver.gain.value.or(if driver.amplifier.is_none() { Some(1.0) } else { None })
}

/// The gain wanted: the author's, or the one that brings the mean to the current wanted.
pub(super) fn gain(desk: &mut Desk<'_>, stage: &Stage, wanted: Amperes, level_path: &str) -> Found<f64> {
    let pinned = desk.engine.driver.gain.clone();
    let rough = sense_gain(stage.level.nominal, wanted, stage.sense.nominal);
    let found = fixed(desk).or_else(|| stage.gain_for(wanted, rough)).unwrap_or(rough);
    let own = &desk.channel.current.path;
    let sized = by(
        "A with mean(I) = I wanted, the cycle solved exactly; about V/(Rs·I_T), I_T = I(1 + r/2) − V_on·t_d/L; the author's where pinned; 1 without an amplifier",
        EXACT,
    );
    desk.enter(
        "gain-exact",
        "gain wanted",
        Ratio::si(found),
        sized,
        &[
            ("V", level_path),
            ("I", own),
            ("Rs", ".sense"),
            ("L", ".inductance"),
            ("t_off", ".off-time"),
            ("t_d", ".delay"),
            ("A", &pinned.path),
        ],
    );
    Ok(found)
}

/// The two resistors that make the gain.
pub(super) fn network(
    desk: &mut Desk<'_>,
    stage: &mut Stage,
    exact: f64,
) -> Found<Vec<(&'static str, &'static str, Fitted<Ohms>)>> {
    let (series, tolerance) = desk.resistors()?;
    let made = by(
        "A = A_R/(1 + A_R/A_0), A_R = 1 + R_f/R_g; A_0 endless at nominal, else the least; band: both resistors at opposite ends of tolerance and drift",
        "non-inverting amplifier, Horowitz and Hill, The Art of Electronics, 3rd ed.",
    );
    let drift = &desk.engine.stock.resistor_drift.path;
    let open = desk.engine.driver.amplifier.as_ref().map_or("", |a| a.open_gain.path.as_str());
    let inputs =
        [("R_f", ".gain-feedback"), ("R_g", ".gain-ground"), ("k", drift.as_str()), ("ΔT", AWAY), ("A_0", open)];
    let Some(pair) = gain_network(series, exact) else {
        stage.gain = Spread::exact(Ratio::si(exact.max(1.0)));
        desk.enter_band("gain", "gain of the sense amplifier", stage.gain, made, &[("A", ".gain-exact")]);
        return Ok(Vec::new());
    };
    let nearest = by("the pair of the series with R_f/R_g nearest to A − 1", "IEC 60063, compared with public tables");
    let (feedback, ground) = (Spread::within(pair.feedback, tolerance), Spread::within(pair.ground, tolerance));
    let from = [("A", ".gain-exact"), ("series", "stock.resistors"), ("tolerance", "stock.resistor-tolerance")];
    desk.enter_band("gain-feedback", "feedback resistor of the sense amplifier", feedback, nearest, &from);
    desk.enter_band("gain-ground", "resistor from its inverting input to 0 V", ground, nearest, &from);
    let (warm, warm_ground) = (desk.warmed(feedback)?, desk.warmed(ground)?);
    stage.gain = Spread {
        low: Ratio::si(stage.finite(1.0 + warm.low / warm_ground.high)),
        nominal: Ratio::si(pair.gain),
        high: Ratio::si(1.0 + warm.high / warm_ground.low),
    };
    desk.enter_band("gain", "gain of the sense amplifier", stage.gain, made, &inputs);
    let error = pair.gain / exact - 1.0;
    Ok(vec![
        (
            "gain-feedback",
            "gain, feedback: output to inverting input",
            Fitted { value: feedback, pinned: false, error },
        ),
        ("gain-ground", "gain, ground: inverting input to 0 V", Fitted { value: ground, pinned: false, error }),
    ])
}

/// The filter's resistor: the author's, else near 10 kΩ.
pub(super) fn filter_resistor(desk: &mut Desk<'_>) -> Found<Option<Fitted<Ohms>>> {
    if desk.engine.driver.reference.value != Some(Reference::FilteredPwm) {
        return Ok(None);
    }
    let pinned = desk.engine.driver.filter.resistor.clone();
    let wanted =
        by("10 kΩ: a pin drives it easily, and an input's bias current hardly loads it", "common practice, no source");
    desk.enter("filter-resistor-exact", "resistor of the filter wanted", Ohms::si(10e3), wanted, &[]);
    desk.resistor("filter-resistor", "resistor of the filter", Ohms::si(10e3), &pinned).map(Some)
}
