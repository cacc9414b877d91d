//! Topology d: a bought constant-current step-down module.
//! Turns its current and efficiency into input power and loss, and its shortest pulse into the least duty.

use super::string::StringModel;
use crate::quantity::{Amperes, Hertz, Seconds, Volts, Watts};

/// A step-down module that feeds a string.
///
/// Source: conservation of power with the maker's efficiency; common practice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BuckModule {
    /// I: the current it holds.
    pub current: Amperes,
    /// The string.
    pub string: StringModel,
    /// η: efficiency at this input and output, 0 to 1.
    pub efficiency: f64,
}

impl BuckModule {
    /// `V = V0 + Rd·I`.
    pub fn output_voltage(&self) -> Volts {
        self.string.forward_voltage(self.current)
    }

    /// `P_out = V·I`.
    pub fn output_power(&self) -> Watts {
        self.output_voltage() * self.current
    }

    /// `P_in = P_out/η`.
    pub fn input_power(&self) -> Watts {
        self.output_power() / self.efficiency
    }

    /// `P_loss = P_out·(1/η − 1)`: heat of the module.
    pub fn loss(&self) -> Watts {
        self.output_power() * (1.0 / self.efficiency - 1.0)
    }
}

/// `D = t_min·f`: least duty that a dimming input of frequency `dimming` passes on; 1 or more means it cannot dim.
pub fn least_dimming_duty(least_on_time: Seconds, dimming: Hertz) -> f64 {
    least_on_time / dimming.period()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shortest_pulse_is_the_least_duty() {
        let least = least_dimming_duty(Seconds::si(20e-6), Hertz::si(1000.0));
        assert!((least - 0.02).abs() < 1e-15);
    }
}
