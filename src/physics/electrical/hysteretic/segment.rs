//! One stretch of a switching cycle: an inductor, a resistance and a constant voltage, solved exactly.
//! Turns a starting current and a time into current, charge and current-square integral, or a target into a time.

use crate::quantity::{AmpereSquareSeconds, Amperes, AmperesPerSecond, Coulombs, Henries, Ohms, Seconds, Volts};

/// `L·di/dt = V − R·i`: the equation of a stretch in which nothing switches.
///
/// Source: steady-state inductor analysis as in Erickson and Maksimovic, Fundamentals of Power Electronics.
/// The integrals are written in the starting slope and in functions of `x = R·t/L` that stay exact for small x,
/// so the ideal inductor (`R = 0`) needs no case of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Segment {
    pub(super) drive: Volts,
    pub(super) resistance: Ohms,
    pub(super) inductance: Henries,
}

impl Segment {
    /// `Iinf = V/R`: where the current would settle.
    pub(super) fn settled(&self) -> Amperes {
        self.drive / self.resistance
    }

    /// `τ = L/R`.
    pub(super) fn time_constant(&self) -> Seconds {
        Seconds::si(self.inductance.value() / self.resistance.value())
    }

    /// `m = (V − R·i)/L`.
    pub(super) fn slope(&self, current: Amperes) -> AmperesPerSecond {
        (self.drive - self.resistance * current) / self.inductance
    }

    /// `x = R·t/L`: the time in time constants.
    pub(super) fn decay(&self, time: Seconds) -> f64 {
        self.resistance.value() * time.value() / self.inductance.value()
    }

    /// `i(t) = i0 + m·t·(1 − e^−x)/x`.
    pub(super) fn after(&self, start: Amperes, time: Seconds) -> Amperes {
        let x = self.decay(time);
        let bend = if x == 0.0 { 1.0 } else { -libm::expm1(-x) / x };
        start + self.slope(start) * time * bend
    }

    /// Time from one current to another, `t = (L/R)·ln((V − R·a)/(V − R·b))`; `None` if it never gets there.
    pub(super) fn time(&self, from: Amperes, to: Amperes) -> Option<Seconds> {
        let end_drive = self.drive - self.resistance * to;
        let start_drive = self.drive - self.resistance * from;
        if from == to {
            return Some(Seconds::ZERO);
        }
        let step = to - from;
        let towards = step.value() * end_drive.value() > 0.0 && step.value() * start_drive.value() > 0.0;
        if !towards {
            return None;
        }
        let log = libm::log1p(self.resistance * step / end_drive);
        let time = match self.resistance.value() {
            0.0 => self.inductance.value() * step.value() / end_drive.value(),
            resistance => self.inductance.value() / resistance * log,
        };
        Some(Seconds::si(time))
    }

    /// `Q = ∫ i dt = i0·t + m·t²·φ2(x)`.
    pub(super) fn charge(&self, start: Amperes, time: Seconds) -> Coulombs {
        start * time + self.slope(start) * time * time * phi2(self.decay(time))
    }

    /// `S = ∫ i² dt = i0²·t + 2·i0·m·t²·φ2(x) + m²·t³·φ3(x)`.
    pub(super) fn square(&self, start: Amperes, time: Seconds) -> AmpereSquareSeconds {
        let (i0, t, x) = (start.value(), time.value(), self.decay(time));
        let mt = self.slope(start).value() * t;
        AmpereSquareSeconds::si(t * (i0 * i0 + 2.0 * i0 * mt * phi2(x) + mt * mt * phi3(x)))
    }
}

/// Below this argument the closed forms lose digits and the series are used.
const SERIES_BELOW: f64 = 0.5;

/// A term this small no longer changes a sum near a half or a third.
const LOST: f64 = 1e-18;

/// `φ2(x) = (x − 1 + e^−x)/x²`, which is 1/2 at zero.
fn phi2(x: f64) -> f64 {
    if x >= SERIES_BELOW {
        return (x + libm::expm1(-x)) / (x * x);
    }
    let (mut sum, mut term) = (0.0, 0.5);
    for k in 3..24 {
        sum += term;
        term *= -x / f64::from(k);
        if term.abs() < LOST {
            break;
        }
    }
    sum
}

/// `φ3(x) = (x − 2(1 − e^−x) + (1 − e^−2x)/2)/x³`, which is 1/3 at zero.
fn phi3(x: f64) -> f64 {
    if x >= SERIES_BELOW {
        return (x + 2.0 * libm::expm1(-x) - 0.5 * libm::expm1(-2.0 * x)) / (x * x * x);
    }
    // The series is Σ (−x)^(k−2)·(2^k − 2)/(k + 1)! from k = 2.
    let (mut sum, mut power, mut doubled) = (0.0, 1.0 / 6.0, 4.0);
    for k in 2..30 {
        sum += power * (doubled - 2.0);
        power *= -x / f64::from(k + 2);
        doubled *= 2.0;
        if (power * doubled).abs() < LOST {
            break;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(resistance: f64) -> Segment {
        Segment { drive: Volts::si(6.4), resistance: Ohms::si(resistance), inductance: Henries::si(10e-6) }
    }

    #[test]
    fn series_and_closed_forms_meet() {
        for (name, f) in [("phi2", phi2 as fn(f64) -> f64), ("phi3", phi3)] {
            let (below, above) = (f(SERIES_BELOW - 1e-9), f(SERIES_BELOW));
            assert!((below / above - 1.0).abs() < 2e-9, "{name}: {below} and {above}");
        }
        assert!((phi2(0.0) - 0.5).abs() < 1e-16 && (phi3(0.0) - 1.0 / 3.0).abs() < 1e-15);
    }

    #[test]
    fn the_time_leads_to_the_target() {
        for resistance in [0.0, 1e-9, 0.1, 4.23] {
            let on = segment(resistance);
            let (from, to) = (Amperes::si(0.05), Amperes::si(0.4));
            let time = on.time(from, to).unwrap();
            assert!((on.after(from, time).value() - 0.4).abs() < 1e-14, "R = {resistance}");
        }
        assert_eq!(segment(4.23).time(Amperes::ZERO, Amperes::si(1.6)), None, "settles at 1.51 A");
        assert_eq!(segment(4.23).time(Amperes::si(0.3), Amperes::si(0.2)), None, "it rises");
    }

    #[test]
    fn integrals_match_a_fine_sum() {
        for (resistance, time) in [(0.0, 1e-6), (0.2, 1e-6), (4.23, 1e-6), (4.23, 8e-6)] {
            let (on, start, steps) = (segment(resistance), Amperes::si(0.05), 2000);
            let (mut charge, mut square) = (0.0, 0.0);
            // Simpson's rule: exact enough here to see a wrong digit in the tenth place.
            for step in 0..=steps {
                let at = Seconds::si(time * f64::from(step) / f64::from(steps));
                let weight = if step == 0 || step == steps { 1.0 } else { f64::from(2 + 2 * (step % 2)) };
                let i = on.after(start, at).value();
                charge += weight * i * time / f64::from(steps) / 3.0;
                square += weight * i * i * time / f64::from(steps) / 3.0;
            }
            let exact = (on.charge(start, Seconds::si(time)).value(), on.square(start, Seconds::si(time)).value());
            assert!((exact.0 / charge - 1.0).abs() < 1e-11, "charge, R = {resistance}");
            assert!((exact.1 / square - 1.0).abs() < 1e-11, "square, R = {resistance}");
        }
    }
}
