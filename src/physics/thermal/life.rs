//! Life of capacitors and of light: the 10 K rule, and lumen maintenance between two measured temperatures.
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

/// Decay of light at one case temperature: Φ/Φ₀ = B e^(−α t) (IES TM-21).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decay {
    /// Case temperature of the test.
    pub temperature: Temperature,
    /// α, per hour.
    pub per_hour: f64,
    /// B, pure number near 1.
    pub start: f64,
}

/// α and B between two tested temperatures: α = A e^(−(E_a/k)/T), E_a/k = ln(α₁/α₂)/(1/T₂ − 1/T₁), B = √(B₁B₂)
/// (IES TM-21). `None` outside the two, since the method does not extrapolate; at a tested one its own α.
pub fn decay_between(cooler: Decay, warmer: Decay, at: Temperature) -> Option<Decay> {
    let (t1, t2, ti) = (cooler.temperature.value(), warmer.temperature.value(), at.value());
    if !(t1 < t2 && (t1..=t2).contains(&ti)) {
        return None;
    }
    let activation = libm::log(cooler.per_hour / warmer.per_hour) / (1.0 / t2 - 1.0 / t1);
    let per_hour = cooler.per_hour * libm::exp(activation * (1.0 / t1 - 1.0 / ti));
    let start = libm::sqrt(cooler.start * warmer.start);
    Some(Decay { temperature: at, per_hour, start })
}

/// Time to a share p of the first light: ln(B/p)/α.
pub fn maintained_time(decay: Decay, share: f64) -> Seconds {
    Seconds::si(libm::log(decay.start / share) / decay.per_hour * HOUR)
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

    #[test]
    fn lumen_maintenance_stays_between_its_tests() {
        let c = Temperature::from_celsius;
        let cool = Decay { temperature: c(55.0), per_hour: 2e-6, start: 1.01 };
        let warm = Decay { temperature: c(85.0), per_hour: 4.5e-6, start: 1.0 };
        assert_eq!(decay_between(cool, warm, c(54.0)), None);
        assert_eq!(decay_between(warm, cool, c(70.0)), None);
        let middle = decay_between(cool, warm, c(70.0)).unwrap();
        assert!(middle.per_hour > cool.per_hour && middle.per_hour < warm.per_hour);
    }
}
