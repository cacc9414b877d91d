//! Life of capacitors by the 10 K rule.
//! Estimates; a figure beyond what was tested is capped and says so.

use crate::quantity::{Seconds, Temperature};

const HOUR: f64 = 3600.0;
/// Longest capacitor life worth printing, 15 years: seals age however cool (common practice).
const CAPACITOR_CAP: Seconds = Seconds::si(15.0 * 8766.0 * HOUR);

/// L = L₀ 2^((T₀ − T)/10 K), uncapped (common practice; follows Arrhenius best between 70 and 90 °C).
pub fn capacitor_life(rated_life: Seconds, rated: Temperature, actual: Temperature) -> Seconds {
    rated_life * libm::pow(2.0, (rated - actual).value() / 10.0)
}

/// The life to print: not above 15 years.
pub fn capacitor_life_printed(rated_life: Seconds, rated: Temperature, actual: Temperature) -> Seconds {
    capacitor_life(rated_life, rated, actual).min(CAPACITOR_CAP)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hours(h: f64) -> Seconds {
        Seconds::si(h * HOUR)
    }

    #[test]
    fn ten_kelvin_halve_the_life() {
        let c = Temperature::from_celsius;
        let life = |t| capacitor_life(hours(5000.0), c(105.0), c(t)).value() / HOUR;
        assert!((life(105.0) - 5000.0).abs() < 1e-9 && (life(95.0) / life(105.0) - 2.0).abs() < 1e-12);
        assert_eq!(capacitor_life_printed(hours(5000.0), c(105.0), c(30.0)), CAPACITOR_CAP);
    }
}
