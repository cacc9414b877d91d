//! Flicker of the mixed light: all channels of a target together, at its levels and at half of them. The channels share
//! one timer, so that their pulses stand still to each other: they start together unless the spec says at which phase.

use crate::diag::Span;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::dimming::low_risk_modulation;
use crate::physics::light::flicker::{
    Pulses, index_of_steps, percent_of_steps, steps_of_pulses, stroboscopic_worst, tones_of_pulses,
};
use crate::quantity::Hertz;
use crate::schema::words::Reference;
use crate::solve::drive::{ChannelSolution, absent, by};

use super::Budget;
use super::flicker::{IEEE, ripple_depth};
use super::targets::Target;

/// The mixed light of one target; ledger entries under `light.together.NAME.`.
#[derive(Debug, Clone)]
pub struct Together {
    /// Name of the target.
    pub target: String,
    /// Where the spec declares it.
    pub span: Span,
    /// At the levels of the target.
    pub asked: Found<Mixed>,
    /// At half of them.
    pub half: Found<Mixed>,
}

/// How a mix flickers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixed {
    /// Frequency of the modulation.
    pub frequency: Hertz,
    /// (max − min)/(max + min).
    pub modulation: f64,
    /// Light above the mean by all light.
    pub index: f64,
    /// Stroboscopic measure, the worse of two fits.
    pub stroboscopic: f64,
    /// Most modulation of low risk; none where there is no limit.
    pub low_risk: Option<f64>,
}

/// Every target of a lamp that is dimmed.
pub(super) fn solve(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    light: &Found<Budget>,
    targets: &[Target],
    ledger: &mut Ledger,
) -> Vec<Together> {
    let still = channels.iter().all(|channel| channel.modulation.is_none());
    if still || engine.driver.reference.value == Some(Reference::Fixed) {
        return Vec::new();
    }
    let each = targets.iter().map(|target| {
        let at = |part: f64| of(engine, channels, light, target, part);
        let together = Together { target: target.name.clone(), span: target.span, asked: at(1.0), half: at(0.5) };
        for (figure, found) in [("asked", &together.asked), ("half", &together.half)] {
            if let Ok(mixed) = found {
                enter(engine, &target.name, figure, mixed, ledger);
            }
        }
        together
    });
    each.collect()
}

/// All channels at a part of the target's levels.
fn of(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    light: &Found<Budget>,
    target: &Target,
    part: f64,
) -> Found<Mixed> {
    let levels = &target.mix.as_ref().map_err(Clone::clone)?.levels;
    let budget = light.as_ref().map_err(Clone::clone)?;
    let (mut pulses, mut frequency, mut ripple) = (Vec::new(), None, 0.0);
    for (place, ((given, solved), level)) in engine.driver.channels.iter().zip(channels).zip(levels).enumerate() {
        let (level, full) = (level * part, budget.out_of(place));
        let Some(modulation) = &solved.modulation else {
            pulses.push(Pulses { full, duty: 1.0, phase: 0.0 });
            continue;
        };
        let modulation = modulation.clone()?;
        frequency = Some(modulation.frequency);
        match &solved.filter {
            // What is filtered shines on, and its ripple rides on it: the worst of all levels, all in step, a bound.
            Some(filter) => {
                // Its light follows the current to the power of the die's droop, and so does its ripple.
                let droop = engine.die(given).ok_or_else(|| given.feeds.missing())?.droop.get()?;
                let transfer = solved.transfer();
                let light = full * libm::pow(transfer.share(level), droop);
                pulses.push(Pulses { full: light, duty: 1.0, phase: 0.0 });
                let depth = ripple_depth(&modulation, &filter.clone()?, level) * transfer.steepness(level);
                ripple += light.value() * droop * depth;
            }
            None => pulses.push(Pulses { full, duty: level, phase: given.phase.get()? }),
        }
    }
    let frequency = frequency.ok_or_else(|| absent("driver.pwm", engine.driver.span))?;
    Ok(judged(&pulses, ripple, frequency))
}

/// Pulses with the peak of the ripples, in lumens.
fn judged(pulses: &[Pulses], ripple: f64, frequency: Hertz) -> Mixed {
    let steps = steps_of_pulses(pulses);
    let mean: f64 = steps.iter().map(|(share, light)| share * light.value()).sum();
    let rides = if mean > 0.0 { (ripple / mean).min(1.0) } else { 0.0 };
    let mut tones = tones_of_pulses(pulses, frequency);
    if let Some(first) = tones.first_mut() {
        first.amplitude += rides;
    }
    Mixed {
        frequency,
        modulation: (percent_of_steps(&steps) + rides).min(1.0),
        // No ripple of this depth has more light above its mean than a square one.
        index: index_of_steps(&steps) + rides / 2.0,
        stroboscopic: stroboscopic_worst(&tones),
        low_risk: low_risk_modulation(frequency),
    }
}

fn enter(engine: &Engine<'_>, target: &str, at: &str, mixed: &Mixed, ledger: &mut Ledger) {
    let path = |figure: &str| format!("light.together.{target}.{at}.{figure}");
    let levels: Vec<String> =
        engine.driver.channels.iter().map(|c| format!("light.target.{target}.level.{}", c.name)).collect();
    let phases = engine.driver.channels.iter().map(|c| ("φ", c.phase.path.as_str()));
    let outs: Vec<String> = engine.driver.channels.iter().map(|c| format!("light.channel.{}.out", c.name)).collect();
    let mut inputs = vec![("f", engine.driver.pwm.path.as_str())];
    inputs.extend(outs.iter().map(|out| ("Φ", out.as_str())));
    inputs.extend(levels.iter().map(|level| ("l", level.as_str())).chain(phases));
    let title = |what: &str| format!("{what} of the mixed light{}", if at == "half" { ", at half level" } else { "" });
    let depth = by(
        "(max − min)/(max + min) of Σ Φ·[on from φ to φ + l]; filtered: Σ Φ·i^b·b·ripple by Σ Φ·i^b, i the current at l",
        "definition; filtered an upper bound: the worst ripple of all levels, in step",
    );
    ledger.computed_share(path("modulation"), &title("percent flicker"), mixed.modulation, depth, &inputs);
    let areas = by("light above the mean by all light; filtered: half the depth, the most", "IES");
    ledger.computed_number(path("index"), &title("flicker index"), (mixed.index, 3), areas, &inputs);
    let sum = by(
        "(Σ(C/T)^3.7)^(1/3.7) of the channels' tones added by phase, the worse of two fits of T",
        "CIE TN 006:2016; Perz et al., JOSA A 35 (2018) 309",
    );
    ledger.computed_number(path("stroboscopic"), &title("stroboscopic measure"), (mixed.stroboscopic, 2), sum, &inputs);
    if let Some(limit) = mixed.low_risk {
        let line = by("0.025 %·f below 90 Hz, 0.08 %·f to 1250 Hz", IEEE);
        let pwm = [("f", engine.driver.pwm.path.as_str())];
        ledger.computed_share(path("low-risk"), "most percent flicker of low risk", limit, line, &pwm);
    }
}
