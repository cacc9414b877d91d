//! Spectra of dice on the grid of the standard observer, and the sums over them: tristimulus values, efficacy, blue light.
//! Model spectra are normalised by their analytic area, not by their sum, so a coarse grid shows as an error, not as gain.

use super::chromaticity::{Chromaticity, Tristimulus};
use super::data::blue_light::BLUE_LIGHT;
use super::data::observer::{FIRST, OBSERVER, ROWS, STEP};
use crate::quantity::{LumensPerWatt, Metres, WattsPerLumen};

/// K_cd, 683 lm/W: SI defining constant at 540 THz; CIE practice uses it for the sums. No radiation has more.
pub const GREATEST_EFFICACY: LumensPerWatt = LumensPerWatt::si(683.0);
/// FWHM by Ohno's Δλ: twice the root of (g + 2g⁵)/3 = 1/2.
const FWHM_BY_DELTA: f64 = 0.921_823_119_65;

/// Spectral power per nanometre of one radiant watt, on the grid of the observer.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    per_nm: [f64; ROWS],
}

/// The wavelengths of the grid in nanometres.
pub(crate) fn grid() -> impl Iterator<Item = f64> {
    (0..ROWS).map(|i| FIRST + STEP * i as f64)
}

impl Spectrum {
    /// From a function of the wavelength in nanometres, taken as it is.
    pub fn of(density: impl Fn(f64) -> f64) -> Self {
        let mut per_nm = [0.0; ROWS];
        for (value, wavelength) in per_nm.iter_mut().zip(grid()) {
            *value = density(wavelength);
        }
        Self { per_nm }
    }

    /// A single-colour die: S = (g + 2g⁵)/(3 A Δλ), g = e^(−((λ − λp)/Δλ)²), A = √π (1 + 2/√5)/3, Δλ = FWHM/0.9218.
    ///
    /// Source: Ohno, Opt. Eng. 44 (2005) 111302. Symmetric; for widths from 10 nm, below which the grid of 5 nm loses or
    /// counts light twice (2e-4 of it at 10 nm, 4e-5 from 12 nm on, beside a grid of 1 nm), to 60 nm.
    pub fn die(peak: Metres, width: Metres) -> Self {
        let (peak, delta) = (peak.value() * 1e9, width.value() * 1e9 / FWHM_BY_DELTA);
        let area = libm::sqrt(std::f64::consts::PI) * (1.0 + 2.0 / libm::sqrt(5.0)) / 3.0;
        Self::of(|wavelength| {
            let t = (wavelength - peak) / delta;
            let g = libm::exp(-t * t);
            (g + 2.0 * g * g * g * g * g) / 3.0 / (area * delta)
        })
    }

    /// A Gaussian band, 2√(ln2/π)/F e^(−4 ln2 ((λ − λp)/F)²).
    fn band(peak: f64, width: f64) -> Self {
        let ln2 = std::f64::consts::LN_2;
        let top = 2.0 * libm::sqrt(ln2 / std::f64::consts::PI) / width;
        Self::of(|wavelength| {
            let t = (wavelength - peak) / width;
            top * libm::exp(-4.0 * ln2 * t * t)
        })
    }

    /// A phosphor white of this chromaticity: blue leak, a green and a red band, mixed to hit it exactly.
    ///
    /// Bands fitted by us to the CIE spectra LED-B1 to B5 (efficacy within 1 %, blue light within 2.3 %); for colour
    /// rendering near 80. `None` where a band would have to be negative, roughly below 2000 K or off the locus.
    pub fn phosphor_white(at: Chromaticity, blue_peak: Metres) -> Option<Self> {
        let bands = [Self::die(blue_peak, Metres::si(22e-9)), Self::band(547.0, 110.0), Self::band(618.0, 119.0)];
        let rows = bands.each_ref().map(|b| {
            let t = b.tristimulus();
            let (x, y, sum) = (t.x.value(), t.y.value(), t.sum());
            [x - at.x * sum, y - at.y * sum, 1.0]
        });
        let shares = shares(rows)?;
        if shares.iter().any(|a| *a < 0.0) {
            return None;
        }
        let mut per_nm = [0.0; ROWS];
        for (band, share) in bands.iter().zip(shares) {
            for (sum, value) in per_nm.iter_mut().zip(band.per_nm) {
                *sum += share * value;
            }
        }
        Some(Self { per_nm })
    }

    /// 683 · 5 nm · Σ S x̄, and so on for ȳ and z̄: tristimulus values of one radiant watt. Source: CIE 15.
    pub fn tristimulus(&self) -> Tristimulus {
        let mut sums = [0.0; 3];
        for (value, row) in self.per_nm.iter().zip(&OBSERVER) {
            for (sum, weight) in sums.iter_mut().zip(row) {
                *sum += value * weight;
            }
        }
        let [x, y, z] = sums.map(|s| s * GREATEST_EFFICACY.value() * STEP);
        Tristimulus::new(x, y, z)
    }

    /// Luminous efficacy of radiation: lumens of one radiant watt.
    pub fn efficacy(&self) -> LumensPerWatt {
        LumensPerWatt::si(self.tristimulus().y.value())
    }

    /// K_B: blue-light-weighted watts by lumens. Source: ICNIRP (2013), IEC 62471:2006.
    pub fn blue_light(&self) -> WattsPerLumen {
        let weighted: f64 = self.per_nm.iter().zip(&BLUE_LIGHT).map(|(s, b)| s * b).sum::<f64>() * STEP;
        WattsPerLumen::si(weighted / self.tristimulus().y.value())
    }
}

/// Shares a of three bands with Σ a·row₀ = 0, Σ a·row₁ = 0, Σ a = 1, by Cramer's rule.
fn shares(rows: [[f64; 3]; 3]) -> Option<[f64; 3]> {
    let minor = |i: usize, j: usize| {
        let (a, b) = (rows.get(i)?, rows.get(j)?);
        Some(a.first()? * b.get(1)? - a.get(1)? * b.first()?)
    };
    let found = [minor(1, 2)?, minor(2, 0)?, minor(0, 1)?];
    let sum: f64 = found.iter().sum();
    (sum.abs() > 1e-12).then(|| found.map(|m| m / sum))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn nm(value: f64) -> Metres {
        Metres::si(value * 1e-9)
    }

    #[test]
    fn a_die_has_its_width_at_half_its_peak() {
        let top = |w: f64| Spectrum::die(nm(500.0), nm(w)).per_nm;
        // Half the width off the peak lies on the grid for 20 nm: two rows.
        let spectrum = top(20.0);
        let peak = 24;
        assert!((spectrum[peak + 2] / spectrum[peak] - 0.5).abs() < 1e-9);
        assert!((spectrum[peak - 2] / spectrum[peak] - 0.5).abs() < 1e-9);
    }

    #[test]
    fn spectra_carry_one_watt() {
        for (peak, width) in [(450.0, 20.0), (520.0, 33.0), (630.0, 12.0)] {
            let sum: f64 = Spectrum::die(nm(peak), nm(width)).per_nm.iter().sum::<f64>() * STEP;
            assert!((sum - 1.0).abs() < 1e-4, "{peak} {width}: {sum}");
        }
    }

    #[test]
    fn a_white_that_no_band_can_make_is_refused() {
        assert!(Spectrum::phosphor_white(Chromaticity { x: 0.2, y: 0.7 }, nm(450.0)).is_none());
        assert!(Spectrum::phosphor_white(Chromaticity { x: 0.38, y: 0.3768 }, nm(450.0)).is_some());
    }
}
