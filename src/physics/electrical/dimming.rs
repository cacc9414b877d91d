//! Dimming: counts and bits of a PWM timer, even steps of lightness, and limits of temporal modulation.
//! Turns clock and frequency into counts, lightness into luminance, and a frequency into the modulation it allows.

use crate::quantity::Hertz;

/// `⌊f_clk/f⌋`: counts of one PWM period.
pub fn pwm_counts(clock: Hertz, pwm: Hertz) -> f64 {
    // A quotient a rounding below a whole number is that number.
    libm::floor(clock / pwm * (1.0 + 1e-12))
}

/// `log2(f_clk/f)`: resolution in bits.
pub fn pwm_bits(clock: Hertz, pwm: Hertz) -> f64 {
    libm::log2(clock / pwm)
}

/// Relative luminance of a CIE 1976 lightness L* from 0 to 100:
/// `Y = ((L* + 16)/116)³` above 8, else `27·L*/24389`.
///
/// Source: CIE 15 (and ISO/CIE 11664-4).
pub fn luminance(lightness: f64) -> f64 {
    if lightness > 8.0 {
        let root = (lightness + 16.0) / 116.0;
        root * root * root
    } else {
        27.0 * lightness / 24389.0
    }
}

/// CIE 1976 lightness of a relative luminance from 0 to 1: `L* = 116·Y^⅓ − 16` above 216/24389, else `24389·Y/27`.
///
/// Source: CIE 15 (and ISO/CIE 11664-4).
pub fn lightness(luminance: f64) -> f64 {
    if luminance > 216.0 / 24389.0 { 116.0 * libm::cbrt(luminance) - 16.0 } else { 24389.0 * luminance / 27.0 }
}

/// Largest modulation of low risk at a frequency, as a ratio: `0.025 %·f/Hz` below 90 Hz, `0.08 %·f/Hz` to 1250 Hz,
/// no limit (`None`) above.
///
/// Source: IEEE 1789-2015; 8 % at 100 Hz from a public excerpt, the rest from memory.
pub fn low_risk_modulation(frequency: Hertz) -> Option<f64> {
    let f = frequency.value();
    match f {
        _ if f < 90.0 => Some(0.025e-2 * f),
        _ if f <= 1250.0 => Some(0.08e-2 * f),
        _ => None,
    }
}

/// Largest modulation without observable effect at a frequency, as a ratio: `0.01 %·f/Hz` below 90 Hz,
/// `f/30 Hz %` to 3000 Hz (0.08/2.4: a gated light is free of it from there), no limit (`None`) above.
///
/// Source: IEEE 1789-2015, from memory.
pub fn no_effect_modulation(frequency: Hertz) -> Option<f64> {
    let f = frequency.value();
    match f {
        _ if f < 90.0 => Some(0.01e-2 * f),
        _ if f <= 3000.0 => Some(f / 3000.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lightness_returns_and_its_branches_meet() {
        for step in 0..=1000 {
            let l = f64::from(step) / 10.0;
            assert!((lightness(luminance(l)) - l).abs() < 1e-11, "L* = {l}");
        }
        assert!((luminance(8.0) - luminance(8.0 + 1e-12)).abs() < 1e-13);
    }

    #[test]
    fn full_gating_needs_1250_hz_for_low_risk() {
        let full = 1.0;
        assert!(low_risk_modulation(Hertz::si(1249.0)).is_some_and(|limit| limit < full));
        assert!(low_risk_modulation(Hertz::si(1251.0)).is_none());
        assert!(no_effect_modulation(Hertz::si(2999.0)).is_some_and(|limit| limit < full));
        assert_eq!(no_effect_modulation(Hertz::si(3000.0)), Some(full), "gated light at 3 kHz meets it exactly");
    }
}
