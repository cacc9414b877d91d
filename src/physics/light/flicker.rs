//! Flicker of light: percent flicker, flicker index, the stroboscopic and the short-term measure, and cameras.
//! Limits of modulation by frequency stand in `electrical::dimming`. Nothing below 80 Hz is modelled here.

use std::f64::consts::PI;

use crate::quantity::{Hertz, Lumens, Seconds};

/// Pulses of a channel: its full flux for a share of the period, starting at a phase, over nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulses {
    /// Flux while on.
    pub full: Lumens,
    /// Share of the period it is on.
    pub duty: f64,
    /// Where in the period it starts, 0 to 1.
    pub phase: f64,
}

/// (max − min)/(max + min) of pulses over a floor, by full light.
pub fn percent_of_pulses(duty: f64, floor: f64) -> f64 {
    if duty <= 0.0 || duty >= 1.0 { 0.0 } else { (1.0 - floor) / (1.0 + floor) }
}

/// Flicker index of pulses over a floor: D (1 − mean)/mean, mean = D + (1 − D) floor. Source: IES.
pub fn index_of_pulses(duty: f64, floor: f64) -> f64 {
    let mean = duty + (1.0 - duty) * floor;
    if mean > 0.0 { duty * (1.0 - mean) / mean } else { 0.0 }
}

/// Light of channels pulsed together, as steps through one period: share of the period, and the light in it.
pub fn steps_of_pulses(channels: &[Pulses]) -> Vec<(f64, Lumens)> {
    let turn = |at: f64| at - libm::floor(at);
    let ends = |c: &Pulses| [turn(c.phase), turn(c.phase + c.duty)];
    let gated = channels.iter().filter(|c| c.duty > 0.0 && c.duty < 1.0);
    let mut edges: Vec<f64> = gated.flat_map(ends).chain([0.0, 1.0]).collect();
    edges.sort_by(f64::total_cmp);
    let starts = edges.iter().zip(edges.iter().skip(1)).filter(|(from, to)| *to - *from > EDGE);
    let step = |(from, to): (&f64, &f64)| {
        let middle = (from + to) / 2.0;
        let on = channels.iter().filter(|c| c.duty >= 1.0 || turn(middle - c.phase) < c.duty);
        (to - from, on.map(|c| c.full).sum())
    };
    starts.map(step).collect()
}

/// Edges of pulses nearer than this share of a period are one edge.
const EDGE: f64 = 1e-12;

/// (max − min)/(max + min) of light in steps; nothing of darkness.
pub fn percent_of_steps(steps: &[(f64, Lumens)]) -> f64 {
    let most = steps.iter().fold(0.0, |most: f64, (_, light)| most.max(light.value()));
    let least = steps.iter().fold(most, |least: f64, (_, light)| least.min(light.value()));
    if most > 0.0 { (most - least) / (most + least) } else { 0.0 }
}

/// Flicker index of light in steps: light above the mean by all light. Source: IES.
pub fn index_of_steps(steps: &[(f64, Lumens)]) -> f64 {
    let mean: f64 = steps.iter().map(|(share, light)| share * light.value()).sum();
    let above: f64 = steps.iter().map(|(share, light)| share * (light.value() - mean).max(0.0)).sum();
    if mean > 0.0 { above / mean } else { 0.0 }
}

/// One frequency of the light: peak amplitude by mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tone {
    /// Its frequency.
    pub frequency: Hertz,
    /// Peak amplitude by mean light.
    pub amplitude: f64,
}

/// Most harmonics that are followed: all up to 2000 Hz for pulses from 0.05 Hz on. What is slower is switched, and
/// does not flicker.
const MOST_TONES: u32 = 40_000;

/// Tones of channels pulsed together up to 2000 Hz: for one, 2 |sin πkD|/(πkD).
pub fn tones_of_pulses(channels: &[Pulses], frequency: Hertz) -> Vec<Tone> {
    let mean: f64 = channels.iter().map(|c| c.full.value() * c.duty).sum();
    if mean <= 0.0 || frequency.value() <= 0.0 {
        return Vec::new();
    }
    let last = (libm::floor(HIGHEST / frequency) as u32).min(MOST_TONES);
    let tone = |k: u32| {
        let (mut real, mut imaginary) = (0.0, 0.0);
        for c in channels {
            // A pulse from φ to φ + D: amplitude 2 sin(πkD)/(πk), its middle at φ + D/2.
            let k = f64::from(k);
            let size = 2.0 * c.full.value() * libm::sin(PI * k * c.duty) / (PI * k);
            let angle = 2.0 * PI * k * (c.phase + c.duty / 2.0);
            real += size * libm::cos(angle);
            imaginary += size * libm::sin(angle);
        }
        Tone { frequency: frequency * f64::from(k), amplitude: libm::hypot(real, imaginary) / mean }
    };
    (1..=last).map(tone).collect()
}

/// Highest frequency of the stroboscopic measure.
pub const HIGHEST: Hertz = Hertz::si(2000.0);
/// Lowest frequency of the stroboscopic measure; slower change is for the short-term measure.
pub const LOWEST: Hertz = Hertz::si(80.0);

/// Which fit of the eye's threshold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Threshold {
    /// 1/(1 + e^(−0.00518 (f − 306.6))) + 20 e^(−f/10): CIE TN 006:2016, from memory.
    First,
    /// 2.865e-5 f^1.543 + 0.225: Perz et al., J. Opt. Soc. Am. A 35 (2018) 309; tied to IEC TR 63158 by public texts.
    Second,
}

impl Threshold {
    /// Just visible peak amplitude by mean at a frequency.
    pub fn at(self, frequency: Hertz) -> f64 {
        let f = frequency.value();
        match self {
            Self::First => 1.0 / (1.0 + libm::exp(-0.005_18 * (f - 306.6))) + 20.0 * libm::exp(-f / 10.0),
            Self::Second => 2.865e-5 * libm::pow(f, 1.543) + 0.225,
        }
    }
}

/// Stroboscopic visibility measure: (Σ (C/T)^3.7)^(1/3.7) over tones from 80 Hz to 2000 Hz; 1 is just visible.
///
/// Source: CIE TN 006:2016, IEC TR 63158. For more than about 100 lx and movement up to 4 m/s.
pub fn stroboscopic(tones: &[Tone], threshold: Threshold) -> f64 {
    let heard = tones.iter().filter(|t| t.frequency >= LOWEST && t.frequency <= HIGHEST);
    let sum: f64 = heard.map(|t| libm::pow(t.amplitude / threshold.at(t.frequency), 3.7)).sum();
    libm::pow(sum, 1.0 / 3.7)
}

/// The worse of the two fits: they differ by half at 1 kHz, and which one a standard prints was not seen.
pub fn stroboscopic_worst(tones: &[Tone]) -> f64 {
    stroboscopic(tones, Threshold::First).max(stroboscopic(tones, Threshold::Second))
}

/// Contrast of the dark bands in a picture by a rolling shutter: the part of a pulse's period by the exposure.
///
/// Worst phase, peak to peak by mean: T/t for duties up to one half, (1 − D)/D T/t above.
pub fn bands(pulses: Hertz, duty: f64, exposure: Seconds) -> f64 {
    let share = pulses.period() / exposure;
    if duty <= 0.5 { share } else { share * (1.0 - duty) / duty }
}

/// Frequency at which bands fall to 1 %: 100/t.
pub fn clean_for_camera(exposure: Seconds) -> Hertz {
    Hertz::si(100.0 / exposure.value())
}

/// Share of a modulation at this frequency that the light flickermeter's low-pass filter lets through: Butterworth of
/// order 6, 35 Hz, 1/√(1 + (f/35)¹²).
///
/// Source: IEC TR 61547-1 and IEC 61000-4-15, from memory. What passes at 80 Hz is less than a hundredth, so that the
/// short-term measure P_st of light modulated faster than that is nothing.
pub fn left_for_short_term(frequency: Hertz) -> f64 {
    let x = frequency.value() / 35.0;
    let (square, fourth) = (x * x, x * x * x * x);
    1.0 / libm::sqrt(1.0 + fourth * fourth * square * square)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_flickermeter_is_deaf_to_fast_light() {
        // Half power at the corner; a filter of order 6 falls by 36 dB an octave: 2^6 at 70 Hz, 2^12 at 140 Hz.
        let at = |f: f64| left_for_short_term(Hertz::si(f));
        assert!((at(35.0) - 0.5f64.sqrt()).abs() < 1e-12);
        assert!((at(140.0) * 4096.0 - 1.0).abs() < 1e-6 && at(80.0) < 0.01 && at(8.8) > 0.999_9);
    }

    #[test]
    fn pulses_at_full_do_not_flicker() {
        assert_eq!(percent_of_pulses(1.0, 0.0), 0.0);
        let full = Pulses { full: Lumens::si(100.0), duty: 1.0, phase: 0.0 };
        assert!(stroboscopic_worst(&tones_of_pulses(&[full], Hertz::si(500.0))) < 1e-12);
        assert!(tones_of_pulses(&[], Hertz::si(500.0)).is_empty());
        // What takes hours a period is no endless sum.
        assert_eq!(tones_of_pulses(&[Pulses { duty: 0.5, ..full }], Hertz::si(1e-4)).len(), MOST_TONES as usize);
    }

    #[test]
    fn bands_are_those_of_the_worst_window() {
        // Light in windows of 7 to 8 periods, summed by thousandths of a period over every phase.
        const N: usize = 1000;
        for on in [200, 500, 800] {
            let lit = |k: usize| f64::from(u8::from(k % N < on));
            let window = |from: usize, long: usize| (from..from + long).map(lit).sum::<f64>();
            let worst = (7 * N..8 * N).step_by(20).map(|long| {
                let each: Vec<f64> = (0..N).step_by(20).map(|from| window(from, long)).collect();
                let (least, most) = each.iter().fold((f64::MAX, 0.0_f64), |(l, m), w| (l.min(*w), m.max(*w)));
                (most - least) / (on as f64 / N as f64 * long as f64) * long as f64 / N as f64
            });
            let by_periods = worst.fold(0.0, f64::max);
            let duty = on as f64 / N as f64;
            let found = bands(Hertz::si(1.0), duty, Seconds::si(1.0));
            assert!((found - by_periods).abs() < 1e-9, "{duty}: {found}, summed {by_periods}");
        }
    }

    #[test]
    fn steps_of_one_channel_are_its_pulses_and_staggered_halves_fill_each_other() {
        let pulses = |full: f64, duty: f64, phase: f64| Pulses { full: Lumens::si(full), duty, phase };
        // Percent flicker and index by hand; the index of one channel of duty D is 1 − D.
        for (channels, percent, index) in [
            (vec![pulses(10.0, 0.3, 0.9)], 1.0, 0.7),
            (vec![pulses(10.0, 0.5, 0.0), pulses(10.0, 0.5, 0.0)], 1.0, 0.5),
            (vec![pulses(10.0, 0.5, 0.0), pulses(10.0, 0.5, 0.5)], 0.0, 0.0),
            (vec![pulses(30.0, 1.0, 0.0), pulses(10.0, 0.5, 0.0)], 10.0 / 70.0, 5.0 * 0.5 / 35.0),
            // 40 for 0.2, 10 for 0.3, 0 for 0.5: mean 11.
            (vec![pulses(30.0, 0.2, 0.0), pulses(10.0, 0.5, 0.0)], 1.0, 0.2 * 29.0 / 11.0),
            (vec![pulses(30.0, 0.0, 0.0)], 0.0, 0.0),
        ] {
            let steps = steps_of_pulses(&channels);
            assert!((percent_of_steps(&steps) - percent).abs() < 1e-9, "{channels:?}");
            assert!((index_of_steps(&steps) - index).abs() < 1e-9, "{channels:?}");
        }
    }
}
