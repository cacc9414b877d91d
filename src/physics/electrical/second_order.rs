//! A reference voltage made from a PWM pin and two RC sections in a row: ripple and settling.
//! Turns pin, duty and parts into both, exactly, through the two real time constants.

use super::reference::PwmPin;
use crate::quantity::{Farads, Ohms, Seconds, Volts};

/// Two RC sections in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoSections {
    /// R1 + Ro: the first resistor with the pin's own resistance.
    pub first_resistance: Ohms,
    /// C1.
    pub first_capacitance: Farads,
    /// R2; ten times R1 with C2 a tenth of C1 keeps the sections from loading one another.
    pub second_resistance: Ohms,
    /// C2.
    pub second_capacitance: Farads,
    /// RL: load to 0 V, if any.
    pub load: Option<Ohms>,
}

impl TwoSections {
    /// `k = 1/c0`, `c0 = 1 + (R1 + R2)/RL`.
    pub fn attenuation(&self) -> f64 {
        1.0 / self.load.map_or(1.0, |load| 1.0 + (self.first_resistance + self.second_resistance) / load)
    }

    /// The two time constants, the longer first; always real and unequal.
    ///
    /// `H(s) = 1/(c2·s² + c1·s + c0)`, `c1 = R1·C1(1 + R2/RL) + R1·C2 + R2·C2`, `c2 = R1·C1·R2·C2`;
    /// `t1 = (s + √(s² − 4p))/2`, `t2 = p/t1` with `s = c1/c0`, `p = c2/c0`.
    pub fn time_constants(&self) -> (Seconds, Seconds) {
        let (r1, c1) = (self.first_resistance, self.first_capacitance);
        let (r2, c2) = (self.second_resistance, self.second_capacitance);
        let k = self.attenuation();
        let loaded = self.load.map_or(1.0, |load| 1.0 + r2 / load);
        let sum = ((r1 * c1) * loaded + r1 * c2 + r2 * c2).value() * k;
        let product = (r1 * c1).value() * (r2 * c2).value() * k;
        let longer = (sum + (sum * sum - 4.0 * product).sqrt()) / 2.0;
        (Seconds::si(longer), Seconds::si(product / longer))
    }

    /// Exact ripple in the periodic state, greatest less least voltage, which lie a little after the pin's edges.
    ///
    /// With `r1 = t1/(t1 − t2)`, `r2 = −t2/(t1 − t2)`, `a_i = (1 − e^−(1−D)T/t_i)/(1 − e^−T/t_i)` and
    /// `b_i = (1 − e^−DT/t_i)/(1 − e^−T/t_i)`: the minimum `Σ r_i(1 − a_i·e^−th/t_i)` falls at
    /// `th = ln(a2/a1)/(1/t2 − 1/t1)` after the rising edge, the maximum `Σ r_i·b_i·e^−tl/t_i` at
    /// `tl = ln(b2/b1)/(1/t2 − 1/t1)` after the falling edge.
    /// Valid for a duty between 0 and 1; at the ends the voltage stands still.
    /// Source: two-pole linear system in the periodic state; checked with the matrix exponential.
    pub fn ripple(&self, pin: &PwmPin) -> Volts {
        if pin.duty <= 0.0 || pin.duty >= 1.0 {
            return Volts::ZERO;
        }
        let (t1, t2) = self.time_constants();
        let (t1, t2, period) = (t1.value(), t2.value(), pin.frequency.period().value());
        let part = |fraction: f64, t: f64| libm::expm1(-fraction * period / t) / libm::expm1(-period / t);
        let weights = (t1 / (t1 - t2), -t2 / (t1 - t2));
        let rate = 1.0 / t2 - 1.0 / t1;
        // Both extremes have one form: how far the output is from the level it moves towards.
        let distance = |fraction: f64| {
            let (p1, p2) = (part(fraction, t1), part(fraction, t2));
            let at = libm::log(p2 / p1) / rate;
            weights.0 * p1 * libm::exp(-at / t1) + weights.1 * p2 * libm::exp(-at / t2)
        };
        let (below_high, above_low) = (distance(1.0 - pin.duty), distance(pin.duty));
        (pin.high - pin.low) * self.attenuation() * (above_low + below_high - 1.0)
    }

    /// Time until a full-scale step is within N steps of B bits:
    /// the root of `(t1·e^−t/t1 − t2·e^−t/t2)/(t1 − t2) = N/2^B`, found by halving an interval.
    pub fn settling_time(&self, bits: u32, within_steps: f64) -> Seconds {
        let (t1, t2) = self.time_constants();
        let (t1, t2) = (t1.value(), t2.value());
        let target = within_steps / libm::exp2(f64::from(bits));
        let left = |t: f64| (t1 * libm::exp(-t / t1) - t2 * libm::exp(-t / t2)) / (t1 - t2);
        let (mut low, mut high) = (0.0, t1);
        while left(high) > target && high < t1 * 1e3 {
            high *= 2.0;
        }
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if left(middle) > target { low = middle } else { high = middle }
        }
        Seconds::si(0.5 * (low + high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Hertz;

    const SECTIONS: TwoSections = TwoSections {
        first_resistance: Ohms::si(5100.0),
        first_capacitance: Farads::si(220e-9),
        second_resistance: Ohms::si(51_000.0),
        second_capacitance: Farads::si(22e-9),
        load: None,
    };

    #[test]
    fn equal_sections_have_the_ratio_of_the_golden_mean() {
        let equal = TwoSections {
            second_resistance: SECTIONS.first_resistance,
            second_capacitance: SECTIONS.first_capacitance,
            ..SECTIONS
        };
        let (t1, t2) = equal.time_constants();
        assert!((t1 / t2 - (7.0 + 3.0 * 5f64.sqrt()) / 2.0).abs() < 1e-12, "φ⁴ = 6.854");
    }

    #[test]
    fn a_steady_pin_gives_a_steady_voltage() {
        for duty in [0.0, 1.0] {
            let pin = PwmPin { high: Volts::si(3.3), low: Volts::si(0.2), duty, frequency: Hertz::si(1e3) };
            assert_eq!(SECTIONS.ripple(&pin), Volts::ZERO);
        }
    }
}
