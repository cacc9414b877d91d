//! The cycle of a hysteretic sink cold and hot, at lowest and highest supply, and the overshoot while it starts.
//! Turns the stage at four corners into rows of the drive sheet.

use crate::physics::electrical::hysteretic::SwitchedCycle;
use crate::quantity::{Amperes, Seconds};

use super::desk::{Desk, by};
use super::hysteretic::EXACT;
use super::stage::{Corner, Stage};

/// Short name, words, position of the supply, position of the string: a cold string is the highest.
const CORNERS: [(&str, &str, f64, f64); 4] = [
    ("cold-low", "cold, lowest supply", -1.0, 1.0),
    ("cold-high", "cold, highest supply", 1.0, 1.0),
    ("hot-low", "hot, lowest supply", -1.0, -1.0),
    ("hot-high", "hot, highest supply", 1.0, -1.0),
];

/// Enters the times of the nominal cycle and, for papers, the four corners, the nominal start and the wave.
///
/// `rise` is the time constant of the reference's filter, where it has one.
pub(super) fn enter(desk: &mut Desk<'_>, stage: &Stage, nominal: &SwitchedCycle, rise: Option<Seconds>) {
    if desk.ledger.is_for_papers() {
        beside(desk, stage, nominal, rise);
    }
    let times = by("exact time from one current to the other", EXACT);
    let chain = [("L", ".inductance"), ("I_peak", ".peak"), ("I_valley", ".valley")];
    if nominal.period.value().is_finite() {
        desk.enter("on-time", "time the switch conducts", nominal.on_time, times, &chain);
        desk.enter("fall-time", "time the diode conducts", nominal.fall_time, times, &chain);
    }
}

/// The corners, how it starts, and its wave.
fn beside(desk: &mut Desk<'_>, stage: &Stage, nominal: &SwitchedCycle, rise: Option<Seconds>) {
    for (name, words, supply, string) in CORNERS {
        let corner = Corner::at(supply, string);
        if let Some(cycle) = stage.cycle(&corner) {
            one(desk, name, words, &cycle);
            start(desk, stage, &corner, Seconds::ZERO, &format!("{name}-start"), cycle.peak);
            desk.notes.corners.push(name);
        }
    }
    start(desk, stage, &Corner::NOMINAL, Seconds::ZERO, "start", nominal.peak);
    if let Some(rise) = rise {
        start(desk, stage, &Corner::NOMINAL, rise, "start-filtered", nominal.peak);
    }
    desk.notes.wave = stage.wave(nominal);
}

fn one(desk: &mut Desk<'_>, name: &str, words: &str, cycle: &SwitchedCycle) {
    let solved = by("steady cycle with everything else nominal", EXACT);
    let chain = [
        ("I_T", ".trip"),
        ("L", ".inductance"),
        ("t_off", ".off-time"),
        ("t_d", ".delay"),
        ("V_cold", ".string-coldest"),
        ("V_hot", ".string-hottest"),
    ];
    for (figure, value) in [("peak", cycle.peak), ("valley", cycle.valley), ("mean", cycle.mean)] {
        desk.enter(&format!("{name}-{figure}"), &format!("{figure} current, {words}"), value, solved, &chain);
    }
    let share = if cycle.mean.value() > 0.0 { cycle.ripple / cycle.mean } else { 0.0 };
    let over = by("(I_peak − I_valley)/I_mean", EXACT);
    desk.enter_share(&format!("{name}-ripple"), &format!("ripple, {words}"), share, over, &chain);
    desk.enter(&format!("{name}-frequency"), &format!("frequency, {words}"), cycle.frequency, solved, &chain);
}

/// The highest current of a start, no lower than the steady peak it ends in.
fn start(desk: &mut Desk<'_>, stage: &Stage, corner: &Corner, rise: Seconds, figure: &str, steady: Amperes) {
    let Some(found) = stage.start(corner, rise) else { return };
    let highest = found.highest.max(steady);
    let (title, text) = match rise.value() > 0.0 {
        true => (
            "highest current of a start through the reference's filter",
            "cycle by cycle from zero current, the reference rising with the filter's time constant",
        ),
        false => (
            "highest current of a start at a settled reference",
            "cycle by cycle from zero current, the amplifier behind at first",
        ),
    };
    let chain = [("I_T", ".trip"), ("L", ".inductance"), ("t_d", ".delay"), ("I_peak", ".peak")];
    let filter = [("τ = R·C, R", ".filter-resistor"), ("C", ".filter-capacitor")];
    let chain: Vec<_> = if rise.value() > 0.0 { chain.into_iter().chain(filter).collect() } else { chain.to_vec() };
    desk.enter(figure, title, highest, by(text, EXACT), &chain);
}
