//! A reference voltage made from a PWM pin and one RC section: ripple, mean, settling and the choice of R and C.
//! Turns pin, duty, frequency and parts into the exact periodic voltage.

use crate::quantity::{Farads, Hertz, Ohms, Seconds, Volts};

/// A PWM pin and its levels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PwmPin {
    /// VH: high level.
    pub high: Volts,
    /// VL: low level.
    pub low: Volts,
    /// D: part of the period at the high level, 0 to 1.
    pub duty: f64,
    /// f.
    pub frequency: Hertz,
}

/// One RC section behind a pin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RcSection {
    /// R + Ro: the resistor with the pin's own resistance.
    pub resistance: Ohms,
    /// C, with its losses by tolerance and bias taken off.
    pub capacitance: Farads,
    /// RL: load to 0 V, if any.
    pub load: Option<Ohms>,
}

/// The filtered voltage in the periodic state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilteredLevels {
    /// Lowest.
    pub least: Volts,
    /// Highest.
    pub most: Volts,
    /// Mean.
    pub mean: Volts,
    /// Highest minus lowest.
    pub ripple: Volts,
}

impl RcSection {
    /// `k = RL/(RL + R + Ro)`: part of the pin's voltage left by the load.
    pub fn attenuation(&self) -> f64 {
        self.load.map_or(1.0, |load| load / (load + self.resistance))
    }

    /// `τ = ((R + Ro) ∥ RL)·C`.
    pub fn time_constant(&self) -> Seconds {
        self.resistance * self.attenuation() * self.capacitance
    }

    /// Exact levels, with `x = T/τ` and `ΔV = k(VH − VL)`:
    /// `Vmax = k·VL + ΔV(1 − e^−Dx)/(1 − e^−x)`, `Vmin = k·VL + ΔV·e^−(1−D)x·(1 − e^−Dx)/(1 − e^−x)`,
    /// mean `k·VL + D·ΔV`.
    ///
    /// Exact for a pin with equal resistance at both levels. Source: first-order linear system in the periodic
    /// state, any signals text.
    pub fn levels(&self, pin: &PwmPin) -> FilteredLevels {
        let k = self.attenuation();
        let x = pin.frequency.period() / self.time_constant();
        let step = (pin.high - pin.low) * k;
        let base = pin.low * k;
        let charged = libm::expm1(-pin.duty * x) / libm::expm1(-x);
        let rest = (1.0 - pin.duty) * x;
        FilteredLevels {
            least: base + step * (libm::exp(-rest) * charged),
            most: base + step * charged,
            mean: base + step * pin.duty,
            ripple: step * (-libm::expm1(-rest) * charged),
        }
    }

    /// `ΔV·tanh(T/4τ)`: the ripple at D = 1/2, the largest over all duties.
    pub fn worst_ripple(&self, pin: &PwmPin) -> Volts {
        let x = pin.frequency.period() / self.time_constant();
        (pin.high - pin.low) * (self.attenuation() * libm::tanh(x / 4.0))
    }

    /// `ΔV·D(1 − D)·T/τ`: the ripple when it is small; always a little too large.
    pub fn small_ripple(&self, pin: &PwmPin) -> Volts {
        let x = pin.frequency.period() / self.time_constant();
        (pin.high - pin.low) * (self.attenuation() * pin.duty * (1.0 - pin.duty) * x)
    }
}

/// Levels behind a pin whose resistance differs between its two states, without load.
///
/// `resistor` R is the filter's alone. With `tH = (R + ROH)C`, `tL = (R + ROL)C`, `eH = e^(−DT/tH)`,
/// `eL = e^(−(1−D)T/tL)`: `Vmax = (VH(1 − eH) + VL(1 − eL)eH)/(1 − eH·eL)`, `Vmin = VL + (Vmax − VL)eL`,
/// and the mean by integrating both stretches: it is no longer `D·VH`.
/// Source: first-order linear system in the periodic state; checked by integration.
pub fn unequal_drive_levels(
    pin: &PwmPin,
    resistor: Ohms,
    capacitance: Farads,
    high_resistance: Ohms,
    low_resistance: Ohms,
) -> FilteredLevels {
    let period = pin.frequency.period();
    let (on, off) = (period * pin.duty, period * (1.0 - pin.duty));
    let t_high = (resistor + high_resistance) * capacitance;
    let t_low = (resistor + low_resistance) * capacitance;
    let (x_high, x_low) = (on / t_high, off / t_low);
    let charge = -libm::expm1(-x_high);
    let discharge = -libm::expm1(-x_low) * libm::exp(-x_high);
    let most = (pin.high * charge + pin.low * discharge) / -libm::expm1(-(x_high + x_low));
    let least = pin.low + (most - pin.low) * libm::exp(-x_low);
    let swing = most - least;
    let mean = pin.high * pin.duty + pin.low * (1.0 - pin.duty) + swing * ((t_low - t_high) / period);
    FilteredLevels { least, most, mean, ripple: swing }
}

/// `t = τ·ln(2^B/N)`: time until a full-scale step is within N steps of B bits.
pub fn settling_time(time_constant: Seconds, bits: u32, within_steps: f64) -> Seconds {
    time_constant * libm::log(steps(bits) / within_steps)
}

/// `τ ≥ T/(4·atanh(N/2^B))`: least time constant that keeps the worst ripple within N steps of B bits.
///
/// `None` if N is not between zero and full scale.
pub fn least_time_constant(pwm: Hertz, bits: u32, ripple_steps: f64) -> Option<Seconds> {
    let ratio = ripple_steps / steps(bits);
    (ratio > 0.0 && ratio < 1.0).then(|| pwm.period() / (4.0 * libm::atanh(ratio)))
}

/// `log2(VH/ripple)`: the number of bits that the ripple leaves.
pub fn effective_bits(full_scale: Volts, ripple: Volts) -> f64 {
    libm::log2(full_scale / ripple)
}

fn steps(bits: u32) -> f64 {
    libm::exp2(f64::from(bits))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_drive_is_the_plain_section() {
        let pin = PwmPin { high: Volts::si(3.3), low: Volts::si(0.1), duty: 0.3, frequency: Hertz::si(1000.0) };
        let (r, ro, c) = (Ohms::si(5100.0), Ohms::si(40.0), Farads::si(220e-9));
        let plain = RcSection { resistance: r + ro, capacitance: c, load: None }.levels(&pin);
        let unequal = unequal_drive_levels(&pin, r, c, ro, ro);
        for (a, b) in [(plain.least, unequal.least), (plain.most, unequal.most), (plain.mean, unequal.mean)] {
            assert!((a / b - 1.0).abs() < 1e-13, "{a} and {b}");
        }
        assert!((plain.ripple / (plain.most - plain.least) - 1.0).abs() < 1e-13);
    }

    #[test]
    fn ripple_is_worst_in_the_middle_and_gone_at_the_ends() {
        let section = RcSection { resistance: Ohms::si(5100.0), capacitance: Farads::si(220e-9), load: None };
        let pin = |duty| PwmPin { high: Volts::si(3.3), low: Volts::ZERO, duty, frequency: Hertz::si(1000.0) };
        assert_eq!(section.levels(&pin(0.0)).ripple, Volts::ZERO);
        assert_eq!(section.levels(&pin(1.0)).ripple, Volts::ZERO);
        for percent in 1..100 {
            let ripple = section.levels(&pin(f64::from(percent) / 100.0)).ripple;
            assert!(ripple.value() <= section.worst_ripple(&pin(0.5)).value() + 1e-15);
        }
    }

    #[test]
    fn ripple_beyond_full_scale_has_no_time_constant() {
        assert!(least_time_constant(Hertz::si(78125.0), 10, 1.0).is_some());
        assert_eq!(least_time_constant(Hertz::si(78125.0), 10, 1024.0), None);
    }
}
