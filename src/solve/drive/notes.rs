//! What the drive sheet lists of a channel: which figures are losses, which are contributions, which levels were read.
//! Paths only; the figures themselves stand in the ledger.

use std::sync::OnceLock;

use crate::physics::electrical::sampling::{Positions, root_sum_square};
use crate::quantity::{Amperes, Seconds, Volts, Watts};
use crate::schema::words::Reference;
use crate::spread::Spread;

use super::desk::{Desk, by};
use super::stage::Stage;

/// Levels at which meter readings are worked out, per cent of full.
pub const READ_AT: [u32; 5] = [1, 10, 25, 50, 100];

/// Lists for the drive sheet; those of readings, contributions, corners and wave are empty where no paper is wanted.
#[derive(Debug, Clone, Default)]
pub struct Notes {
    /// Ledger paths of the losses, largest first.
    pub losses: Vec<String>,
    /// Ledger paths of what each tolerance adds to the current, largest first.
    pub contributions: Vec<String>,
    /// Levels with readings, per cent of full.
    pub levels: Vec<u32>,
    /// One cycle of the inductor's current, from the closing of the switch.
    pub wave: Vec<(Seconds, Amperes)>,
    /// Short names of the corners with a cycle of their own: `cold-low` and so on.
    pub corners: Vec<&'static str>,
    /// The stage of a hysteretic sink, to be run again once it is warm.
    pub(super) stage: Option<Stage>,
    /// What that drive loses beside its cycle: edges of the switch, gain resistors.
    pub(super) beside: Watts,
}

/// One loss: figure, title, value, formula and what it is made from.
pub(super) type Loss<'a> = (&'static str, &'static str, Watts, &'static str, &'a [(&'static str, &'a str)]);

const HEAT: &str = "conservation of power";

/// Enters the losses of a channel at full, their sum and the efficiency; lists them largest first.
pub(super) fn losses(desk: &mut Desk<'_>, string: Watts, all: &[Loss<'_>]) {
    let mut found: Vec<(f64, String)> = Vec::new();
    for &(figure, title, value, text, inputs) in all {
        desk.enter(figure, title, value, by(text, HEAT), inputs);
        found.push((value.value(), desk.path(figure)));
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let total: Watts = all.iter().map(|l| l.2).sum();
    let parts: Vec<String> = all.iter().map(|l| format!(".{}", l.0)).collect();
    let inputs: Vec<(&'static str, &str)> = parts.iter().map(|p| ("P", p.as_str())).collect();
    desk.enter("losses", "losses of the drive at full", total, by("ΣP", HEAT), &inputs);
    let taken = string + total;
    if taken.value() > 0.0 {
        let share = by("P_string/(P_string + ΣP)", HEAT);
        let from = [("P_string", ".power"), ("ΣP", ".losses")];
        desk.enter_share("efficiency", "efficiency of the drive at full", string / taken, share, &from);
    }
    desk.notes.losses = found.into_iter().map(|(_, path)| path).collect();
}

/// What meters show at one level.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reading {
    /// Reference at comparator or amplifier, where it is filtered.
    pub(super) reference: Option<Spread<Volts>>,
    /// Mean current of the string.
    pub(super) current: Spread<Amperes>,
    /// Mean voltage over the sense, set or ballast resistor.
    pub(super) sense: Spread<Volts>,
}

/// Enters, for papers, what meters show at each level the channel can have; `reading` works one level out, or finds no
/// steady cycle there.
///
/// `resistor` is the entry over which the voltage is read, `text` how it comes about.
pub(super) fn readings(
    desk: &mut Desk<'_>,
    resistor: &'static str,
    text: &'static str,
    reading: impl Fn(f64) -> Option<Reading>,
) {
    if !desk.ledger.is_for_papers() {
        return;
    }
    let fixed = desk.engine.driver.reference.value == Some(Reference::Fixed);
    let pwm = desk.engine.driver.pwm.clone();
    let levels = READ_AT.into_iter().filter(|l| !fixed || *l == 100);
    let mut ends = [None; 2];
    for level in levels {
        let share = f64::from(level) / 100.0;
        let Some(found) = reading(share) else { continue };
        match level {
            10 => ends[0] = Some(found.current.nominal),
            100 => ends[1] = Some(found.current.nominal),
            _ => {}
        }
        let figure = |name: &str| format!("at-{level}-{name}");
        let source = "a meter shows the mean; Kirchhoff's laws, band over every tolerance";
        let inputs = [("I", ".current"), ("R", resistor)];
        let current = by("mean current at this share of full", source);
        desk.enter_band(
            &figure("current"),
            "current in the string at this level",
            found.current,
            current,
            &inputs[..1],
        );
        desk.enter_band(
            &figure("sense"),
            "meter over the resistor at this level",
            found.sense,
            by(text, source),
            &inputs[..2],
        );
        if let Some(reference) = found.reference {
            let v = by("V = D·V_full", source);
            let from = [("V_full", ".reference"), ("f", pwm.path.as_str())];
            desk.enter_band(&figure("reference"), "reference at this level", reference, v, &from);
        }
        if let (Ok(f), false) = (pwm.nominal(), fixed) {
            let high = f.period() * share;
            let t = by("t = D/f", "definition");
            let from = [("f", pwm.path.as_str()), ("pin", desk.channel.pin.path.as_str())];
            desk.enter(&figure("high"), "time the pin is high at this level", high, t, &from);
        }
        desk.notes.levels.push(level);
    }
    if let [Some(low), Some(high)] = ends {
        calibration(desk, low, high);
    }
}

/// The straight line through the low and the high point, which takes out offset and gain error together.
fn calibration(desk: &mut Desk<'_>, low: Amperes, high: Amperes) {
    let Ok(wanted) = desk.channel.current.nominal() else { return };
    let slope = (high - low) / 0.9;
    if slope.value() <= 0.0 {
        return;
    }
    let offset = low - slope * 0.1;
    // A current that follows the duty exactly leaves only the rounding of the subtraction.
    let offset = if offset.abs() < slope * 1e-9 { Amperes::ZERO } else { offset };
    let line = "straight line through two points; what is left is drift and bend between them";
    let points = [("I_low", ".at-10-current"), ("I_high", ".at-100-current")];
    let b = by("b = (I_high − I_low)/0.9", line);
    desk.enter("calibration-slope", "current for each whole of duty, expected", slope, b, &points);
    let a = by("a = I_low − 0.1·b", line);
    desk.enter("calibration-offset", "current the line starts from, expected", offset, a, &points);
    let own = desk.channel.current.path.clone();
    let duty = ((wanted - offset) / slope).min(1.0);
    let d = by("D = (I − a)/b, no more than 1", line);
    let from = [("I", own.as_str()), ("a", ".calibration-offset"), ("b", ".calibration-slope")];
    desk.enter_share("calibration-duty", "duty for the current wanted, expected", duty, d, &from);
}

/// One tolerance: figure, title, the entry it comes from.
pub(super) type Part<'a> = (&'static str, &'static str, &'a str);

/// Samples drawn; the seed is fixed so that every run prints the same digits.
const SAMPLES: u32 = 5000;
const SEED: u64 = 1;
/// Rank from either end that holds 95 % of all lamps with 99 % confidence, by that many samples.
const RANK: u32 = 107;
/// The samples by the number of parts: every channel of a kind is asked at the same ones, so they are drawn once.
static DRAWN: [OnceLock<Positions>; 16] = [const { OnceLock::new() }; 16];

/// Enters, for papers, what each tolerance adds to the current, their root of squares, and the limits that hold 95 %
/// of lamps.
///
/// `current` takes each part's position, −1 to 1, within its tolerance.
pub(super) fn contributions(desk: &mut Desk<'_>, parts: &[Part<'_>], current: impl Fn(&[f64]) -> Amperes) {
    if !desk.ledger.is_for_papers() {
        return;
    }
    let mut each: Vec<Amperes> = Vec::new();
    for index in 0..parts.len() {
        let mut position = vec![0.0; parts.len()];
        let mut end = |side: f64| {
            if let Some(p) = position.get_mut(index) {
                *p = side;
            }
            current(&position)
        };
        each.push((end(1.0) - end(-1.0)) / 2.0);
    }
    let mut found: Vec<(f64, String)> = Vec::new();
    for (&(figure, title, input), add) in parts.iter().zip(&each) {
        let half =
            by("half the change of the current from one end of this tolerance and drift to the other", "JCGM 100:2008");
        desk.enter(figure, title, add.abs(), half, &[("x", input)]);
        if add.value() != 0.0 {
            found.push((add.abs().value(), desk.path(figure)));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    desk.notes.contributions = found.into_iter().map(|(_, path)| path).collect();
    let figures: Vec<String> = parts.iter().map(|p| format!(".{}", p.0)).collect();
    let inputs: Vec<(&'static str, &str)> = figures.iter().map(|p| ("c", p.as_str())).collect();
    let squares = by("√Σc²: independent tolerances", "JCGM 100:2008, 5.1.2");
    desk.enter("root-square", "root of the sum of squares, either way", root_sum_square(&each), squares, &inputs);
    likely(desk, parts.len(), &inputs, current);
}

fn likely(desk: &mut Desk<'_>, count: usize, inputs: &[(&'static str, &str)], current: impl Fn(&[f64]) -> Amperes) {
    let draw = || Positions::draw(count, SAMPLES as usize, SEED);
    let mut sample = match DRAWN.get(count) {
        Some(drawn) => drawn.get_or_init(draw).sample(current),
        None => draw().sample(current),
    };
    let Some((low, high)) = sample.between_ranks(RANK) else { return };
    let middle = sample.quantile(0.5).max(low).min(high);
    let ranks = by(
        "ranks of 5000 seeded samples that hold 95 % of lamps with 99 % confidence, each tolerance with its drift uniform",
        "Wilks, Annals of Mathematical Statistics 12, 1941; JCGM 101:2008",
    );
    desk.enter_band("likely", "current of 95 % of lamps", Spread { low, nominal: middle, high }, ranks, inputs);
}

#[cfg(test)]
mod tests {
    use super::{RANK, SAMPLES};

    /// The largest rank r at which the results from the r-th smallest to the r-th largest of `samples` hold at least the
    /// part `coverage` of all results with the stated confidence; `None` if there are too few samples.
    ///
    /// What lies outside that pair of ranks is a binomial count: `P(Bin(N, 1 − coverage) ≥ 2r) ≥ confidence`, whatever
    /// the distribution. Source: Wilks, Annals of Mathematical Statistics 12, 1941.
    fn tolerance_rank(samples: u32, coverage: f64, confidence: f64) -> Option<u32> {
        let (n, p) = (f64::from(samples), 1.0 - coverage);
        let choose = |k: f64| libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0);
        let part = |k: u32| {
            let k = f64::from(k);
            libm::exp(choose(k) + k * libm::log(p) + (n - k) * libm::log(1.0 - p))
        };
        let mut below = 0.0;
        let mut rank = None;
        for k in 0..samples / 2 {
            if 1.0 - below < confidence {
                break;
            }
            // `below` is the chance of fewer than k results outside.
            rank = (k >= 2).then_some(k / 2);
            below += part(k);
        }
        rank
    }

    #[test]
    fn ranks_of_published_tolerance_limits() {
        // Smallest samples whose extremes hold 95 % with 95 %, 90 % with 95 %, and 99 % with 95 %: tables after Wilks.
        for (samples, coverage, least) in [(93, 0.95, 92), (46, 0.90, 45), (473, 0.99, 472)] {
            assert_eq!(tolerance_rank(samples, coverage, 0.95), Some(1), "{samples}");
            assert_eq!(tolerance_rank(least, coverage, 0.95), None, "{least}");
        }
    }

    #[test]
    fn the_rank_belongs_to_that_many_samples() {
        assert_eq!(tolerance_rank(SAMPLES, 0.95, 0.99), Some(RANK));
    }
}
