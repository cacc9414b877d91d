//! A reference voltage made from a PWM pin and one RC section: ripple, settling and the choice of R and C.
//! Turns pin, frequency and parts into the worst ripple and the time to settle.

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

impl RcSection {
    /// `k = RL/(RL + R + Ro)`: part of the pin's voltage left by the load.
    pub fn attenuation(&self) -> f64 {
        self.load.map_or(1.0, |load| load / (load + self.resistance))
    }

    /// `τ = ((R + Ro) ∥ RL)·C`.
    pub fn time_constant(&self) -> Seconds {
        self.resistance * self.attenuation() * self.capacitance
    }

    /// `ΔV·tanh(T/4τ)`: the ripple at D = 1/2, the largest over all duties; the pin's own duty does not count.
    ///
    /// Exact for a pin with equal resistance at both levels. Source: first-order linear system in the periodic state, any
    /// signals text.
    pub fn worst_ripple(&self, pin: &PwmPin) -> Volts {
        let x = pin.frequency.period() / self.time_constant();
        (pin.high - pin.low) * (self.attenuation() * libm::tanh(x / 4.0))
    }
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

fn steps(bits: u32) -> f64 {
    libm::exp2(f64::from(bits))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ripple_beyond_full_scale_has_no_time_constant() {
        assert!(least_time_constant(Hertz::si(78125.0), 10, 1.0).is_some());
        assert_eq!(least_time_constant(Hertz::si(78125.0), 10, 1024.0), None);
    }
}
