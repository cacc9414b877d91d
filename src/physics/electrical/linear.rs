//! Topology b: a linear sink of amplifier, transistor and low-side sense resistor.
//! Turns a reference voltage into the set current, the current that flows, and the transistor's worst heat.

use super::string::StringModel;
use crate::quantity::{Amperes, Ohms, Volts, Watts};

/// A linear current sink below a string.
///
/// Source: amplifier current sink as in Horowitz and Hill, The Art of Electronics, 3rd ed.; the worst dissipation
/// is the maximum of the same parabola, derived by us and checked by a dense scan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearSink {
    /// Vs: supply at the driver's terminals.
    pub supply: Volts,
    /// The string.
    pub string: StringModel,
    /// Rs: the sense resistor.
    pub sense: Ohms,
    /// Ron: the transistor fully on, hot.
    pub on_resistance: Ohms,
    /// Vref: reference at the amplifier's input.
    pub reference: Volts,
    /// Vos: input offset of the amplifier, with its sign.
    pub offset: Volts,
}

impl LinearSink {
    /// `I_set = (Vref + Vos)/Rs`, not below zero.
    pub fn set_current(&self) -> Amperes {
        ((self.reference + self.offset) / self.sense).max(Amperes::ZERO)
    }

    /// `I_sat = (Vs − V0)/(Rd + Rs + Ron)`: all the supply can push with the transistor fully on.
    pub fn saturation_current(&self) -> Amperes {
        let resistance = self.string.slope + self.sense + self.on_resistance;
        ((self.supply - self.string.offset) / resistance).max(Amperes::ZERO)
    }

    /// `I = min(I_set, I_sat)`.
    pub fn current(&self) -> Amperes {
        self.set_current().min(self.saturation_current())
    }

    /// Worst transistor power while the reference is dimmed from zero to its full value:
    /// at `I* = (Vs − V0)/(2(Rd + Rs))` if that is below the current, else at the current.
    pub fn worst_power(&self) -> Watts {
        let excess = (self.supply - self.string.offset).max(Volts::ZERO);
        let resistance = self.string.slope + self.sense;
        let current = self.current().min(excess / (resistance * 2.0));
        current * (excess - resistance * current)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SINK: LinearSink = LinearSink {
        supply: Volts::si(24.0),
        string: StringModel { offset: Volts::si(2.7), slope: Ohms::si(0.9) },
        sense: Ohms::si(20.0),
        on_resistance: Ohms::si(0.05),
        reference: Volts::si(20.0),
        offset: Volts::ZERO,
    };

    #[test]
    fn no_dimmed_level_is_worse_than_the_worst() {
        let worst = SINK.worst_power().value();
        let seen = (0..=2000).fold(0.0, |seen: f64, step| {
            let dimmed = LinearSink { reference: SINK.reference * (f64::from(step) / 2000.0), ..SINK };
            let i = dimmed.current();
            let across = dimmed.supply - dimmed.string.forward_voltage(i) - dimmed.sense * i;
            seen.max((across * i).value())
        });
        assert!(seen <= worst + 1e-12 && seen > worst * 0.9999, "{seen} against {worst}");
    }

    #[test]
    fn an_offset_below_zero_is_a_dead_band() {
        let dim = LinearSink { reference: Volts::si(2e-3), offset: Volts::si(-3e-3), ..SINK };
        assert_eq!(dim.current(), Amperes::ZERO);
        let glow = LinearSink { reference: Volts::ZERO, offset: Volts::si(3e-3), ..SINK };
        assert!((glow.current().value() - 1.5e-4).abs() < 1e-15);
    }
}
