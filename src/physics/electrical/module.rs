//! Topology d: a bought constant-current step-down module.
//! Turns its current, efficiency and limits into input power, loss, least input voltage and least duty.

use super::string::StringModel;
use crate::quantity::{Amperes, Hertz, Seconds, Volts, Watts};

/// A step-down module that feeds a string.
///
/// Source: conservation of power with the maker's efficiency; common practice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BuckModule {
    /// Vin: its input.
    pub input: Volts,
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

    /// `I_in = P_in/Vin`.
    pub fn input_current(&self) -> Amperes {
        self.input_power() / self.input
    }

    /// `P_loss = P_out·(1/η − 1)`: heat of the module.
    pub fn loss(&self) -> Watts {
        self.output_power() * (1.0 / self.efficiency - 1.0)
    }

    /// `max(V + V_dropout, V/D_max)`: the least input voltage, from whichever limit the maker gives.
    ///
    /// `None` if neither is known.
    pub fn least_input(&self, dropout: Option<Volts>, most_duty: Option<f64>) -> Option<Volts> {
        let by_dropout = dropout.map(|d| self.output_voltage() + d);
        let by_duty = most_duty.map(|d| self.output_voltage() / d);
        match (by_dropout, by_duty) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        }
    }
}

/// `D = t_min·f`: least duty that a dimming input of frequency `dimming` passes on; 1 or more means it cannot dim.
pub fn least_dimming_duty(least_on_time: Seconds, dimming: Hertz) -> f64 {
    least_on_time / dimming.period()
}

/// Mean current at a dimming duty, `D·I`; duties the module cannot follow give zero or full current.
pub fn dimmed_current(current: Amperes, duty: f64, least_duty: f64) -> Amperes {
    if duty < least_duty { Amperes::ZERO } else { current * duty.min(1.0) }
}

/// Loss at a current between points of the maker's table, found by interpolating the loss and not the efficiency.
///
/// Efficiency bends sharply at low current while loss is nearly straight, so this is the truer of the two.
/// `points` rise in current; outside the table the end value is kept. `None` for an empty table.
pub fn interpolated_loss(points: &[(Amperes, Watts)], current: Amperes) -> Option<Watts> {
    let first = points.first()?;
    let last = points.last()?;
    if current <= first.0 {
        return Some(first.1);
    }
    let pair = points.iter().zip(points.iter().skip(1)).find(|(_, upper)| current <= upper.0);
    Some(match pair {
        Some((lower, upper)) => lower.1 + (upper.1 - lower.1) * ((current - lower.0) / (upper.0 - lower.0)),
        None => last.1,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn losses_are_interpolated_and_ends_are_kept() {
        let table = [(Amperes::si(0.2), Watts::si(0.3)), (Amperes::si(0.6), Watts::si(0.7))];
        let rows = [(0.1, 0.3), (0.2, 0.3), (0.4, 0.5), (0.6, 0.7), (0.9, 0.7)];
        for (current, loss) in rows {
            let found = interpolated_loss(&table, Amperes::si(current)).unwrap();
            assert!((found.value() - loss).abs() < 1e-12, "{current} A: {}", found.value());
        }
        assert_eq!(interpolated_loss(&[], Amperes::si(0.1)), None);
    }

    #[test]
    fn a_pulse_shorter_than_the_least_is_lost() {
        let least = least_dimming_duty(Seconds::si(20e-6), Hertz::si(1000.0));
        assert!((least - 0.02).abs() < 1e-15);
        assert_eq!(dimmed_current(Amperes::si(0.35), 0.01, least), Amperes::ZERO);
        assert!((dimmed_current(Amperes::si(0.35), 0.5, least).value() - 0.175).abs() < 1e-15);
    }
}
