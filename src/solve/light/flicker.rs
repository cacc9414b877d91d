//! Flicker of each channel: how deep its light is modulated, at what frequency, and what is thought bearable.
//! Gated channels are off for a part of each period; filtered ones keep a ripple of their reference.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::dimming::{low_risk_modulation, no_effect_modulation};
use crate::physics::light::flicker::{
    Pulses, Tone, bands, index_of_pulses, left_for_short_term, percent_of_pulses, stroboscopic_worst, tones_of_pulses,
};
use crate::quantity::{Hertz, Lumens};
use crate::schema::words::Reference;
use crate::solve::drive::{ChannelSolution, Filter, Modulation, by};

/// A channel's flicker at half level; ledger entries under `light.flicker.NAME.`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flicker {
    /// Frequency; none where nothing is modulated.
    pub frequency: Option<Hertz>,
    /// (max − min)/(max + min).
    pub modulation: f64,
    /// Most modulation of low risk; none where there is no limit.
    pub low_risk: Option<f64>,
    /// Most modulation without observable effect; none where there is no limit.
    pub no_effect: Option<f64>,
    /// Stroboscopic measure, the worse of two fits.
    pub stroboscopic: f64,
    /// Contrast of bands in a picture, where an exposure is given.
    pub bands: Option<f64>,
}

/// Level that flicker is judged at.
const LEVEL: f64 = 0.5;
pub(super) const IEEE: &str = "IEEE 1789-2015; 8 % at 100 Hz from a public excerpt, the rest from memory";

/// Every channel.
pub(super) fn solve(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    ledger: &mut Ledger,
) -> Vec<(String, Found<Flicker>)> {
    let each = channels.iter().map(|channel| {
        let found = of_channel(engine, channel);
        if let Ok(flicker) = &found {
            enter(engine, &channel.name, flicker, ledger);
        }
        (channel.name.clone(), found)
    });
    each.collect()
}

fn of_channel(engine: &Engine<'_>, channel: &ChannelSolution) -> Found<Flicker> {
    let still =
        Flicker { frequency: None, modulation: 0.0, low_risk: None, no_effect: None, stroboscopic: 0.0, bands: None };
    let modulation = match (&channel.modulation, engine.driver.reference.get()?) {
        (_, Reference::Fixed) | (None, _) => return Ok(still),
        (Some(modulation), _) => modulation.clone()?,
    };
    let frequency = modulation.frequency;
    let (depth, tones) = match &channel.filter {
        Some(filter) => rippled(&modulation, &filter.clone()?, channel.transfer().steepness(LEVEL)),
        None => gated(frequency),
    };
    // The shortest exposure shows the deepest bands.
    let exposure = engine.aim.exposure.low().ok();
    let pictured = exposure.map(|exposure| match &channel.filter {
        Some(_) => depth * bands(frequency, LEVEL, exposure),
        None => bands(frequency, LEVEL, exposure),
    });
    Ok(Flicker {
        frequency: Some(frequency),
        modulation: depth,
        low_risk: low_risk_modulation(frequency),
        no_effect: no_effect_modulation(frequency),
        stroboscopic: stroboscopic_worst(&tones),
        bands: pictured,
    })
}

/// Full light for half of the period, then none.
fn gated(frequency: Hertz) -> (f64, Vec<Tone>) {
    let pulses = Pulses { full: Lumens::si(1.0), duty: LEVEL, phase: 0.0 };
    (percent_of_pulses(LEVEL, 0.0), tones_of_pulses(&[pulses], frequency))
}

/// The ripple of a filtered reference by the reference at that level; the current follows it, more steeply where a
/// peak is held.
fn rippled(modulation: &Modulation, filter: &Filter, steepness: f64) -> (f64, Vec<Tone>) {
    let depth = (ripple_depth(modulation, filter, LEVEL) * steepness).min(1.0);
    (depth, vec![Tone { frequency: modulation.frequency, amplitude: depth }])
}

/// Half the ripple of the reference by the reference at a level; all of it where the level is less than the ripple.
pub(super) fn ripple_depth(modulation: &Modulation, filter: &Filter, level: f64) -> f64 {
    let full = filter.step * (libm::exp2(f64::from(modulation.bits)) - 1.0);
    if level > 0.0 { (filter.ripple / full / (2.0 * level)).min(1.0) } else { 0.0 }
}

fn enter(engine: &Engine<'_>, name: &str, flicker: &Flicker, ledger: &mut Ledger) {
    let path = |figure: &str| format!("light.flicker.{name}.{figure}");
    let pwm = [("f", engine.driver.pwm.path.as_str())];
    let depth = by(
        "(max − min)/(max + min) at half level",
        "definition; current follows its reference, by its own slope where the reference holds the peak",
    );
    ledger.computed_share(path("modulation"), "percent flicker at half level", flicker.modulation, depth, &pwm);
    if let Some(limit) = flicker.low_risk {
        let line = by("0.025 %·f below 90 Hz, 0.08 %·f to 1250 Hz", IEEE);
        ledger.computed_share(path("low-risk"), "most percent flicker of low risk", limit, line, &pwm);
    }
    if let Some(limit) = flicker.no_effect {
        let line = by("0.01 %·f below 90 Hz, f/30 % to 3000 Hz", IEEE);
        ledger.computed_share(path("no-effect"), "most percent flicker without observable effect", limit, line, &pwm);
    }
    if flicker.frequency.is_some() {
        let index = index_of_pulses(LEVEL, (1.0 - flicker.modulation) / (1.0 + flicker.modulation));
        let areas = by("light above the mean by all light", "IES");
        ledger.computed_number(path("index"), "flicker index at half level", (index, 3), areas, &pwm);
        let sum = by(
            "(Σ(C/T)^3.7)^(1/3.7), the worse of two fits of T",
            "CIE TN 006:2016; Perz et al., JOSA A 35 (2018) 309",
        );
        ledger.computed_number(
            path("stroboscopic"),
            "stroboscopic measure at half level",
            (flicker.stroboscopic, 2),
            sum,
            &pwm,
        );
    }
    if let Some(frequency) = flicker.frequency {
        let filter = by("1/√(1 + (f/35 Hz)¹²)", "IEC TR 61547-1, low-pass of the light flickermeter; from memory");
        let title = "share of its modulation that the short-term measure's filter lets pass";
        // Digits below a millionth say nothing that the word does not.
        match left_for_short_term(frequency) {
            left if left < 1e-6 => ledger.computed_text(path("slow"), title, "less than 0.0001 %", filter, &pwm),
            left => {
                ledger.computed_share(path("slow"), title, left, filter, &pwm);
            }
        }
    }
    if let Some(contrast) = flicker.bands {
        let part = by("part of a period by the exposure", "geometry of a rolling shutter, worst phase");
        let inputs = [("f", engine.driver.pwm.path.as_str()), ("t", engine.aim.exposure.path.as_str())];
        ledger.computed_share(path("bands"), "contrast of bands in a picture", contrast, part, &inputs);
    }
}
