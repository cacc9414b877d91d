//! The chain from PWM pin to LED current with the tolerance of each part: what sets a channel's current.
//! Gives the current at any position within the tolerances, the contribution of each part, and its inverse.

use super::sampling::ConditionedQuantiles;
use super::tolerance::{Extremes, worst_case};
use crate::quantity::{Amperes, Ohms, Volts};

/// A value and the half-width of its tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Toleranced<Q> {
    /// Nominal value.
    pub nominal: Q,
    /// Half-width, in the same unit.
    pub half_width: Q,
}

/// `I = (VDD·D − Vos_c)/((1 + Rf/Rg)·Rs) − Vos_a/Rs`.
///
/// The static chain: a PWM pin filtered to a reference, a comparator, a sense amplifier with gain `1 + Rf/Rg`.
/// Valid for duties whose reference lies above the offset. Source: Kirchhoff's laws with ideal amplifiers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetCurrentChain {
    /// D: duty of the pin.
    pub duty: f64,
    /// VDD: supply of the pin.
    pub pin_supply: Toleranced<Volts>,
    /// Rf: feedback resistor.
    pub feedback: Toleranced<Ohms>,
    /// Rg: resistor to 0 V.
    pub ground: Toleranced<Ohms>,
    /// Rs: sense resistor.
    pub sense: Toleranced<Ohms>,
    /// Vos_a: offset of the amplifier.
    pub amplifier_offset: Toleranced<Volts>,
    /// Vos_c: offset of the comparator.
    pub comparator_offset: Toleranced<Volts>,
}

impl SetCurrentChain {
    /// Number of parameters with a tolerance, in the order pin supply, Rf, Rg, Rs, Vos_a, Vos_c.
    pub const PARAMETERS: usize = 6;

    /// The current with each parameter at its position, −1 to 1; a missing position is nominal.
    pub fn current_at(&self, positions: &[f64]) -> Amperes {
        let at = |index: usize| positions.get(index).copied().unwrap_or(0.0);
        let supply = self.pin_supply.nominal + self.pin_supply.half_width * at(0);
        let others = [at(1), at(2), at(3), at(4), at(5)];
        let (gain, sense, amplifier, comparator) = self.rest(&others);
        (supply * self.duty - comparator) / (sense * gain) - amplifier / sense
    }

    /// Gain, Rs, Vos_a and Vos_c at the positions of everything but the pin's supply.
    fn rest(&self, positions: &[f64]) -> (f64, Ohms, Volts, Volts) {
        let at = |index: usize| positions.get(index).copied().unwrap_or(0.0);
        let feedback = self.feedback.nominal + self.feedback.half_width * at(0);
        let ground = self.ground.nominal + self.ground.half_width * at(1);
        let sense = self.sense.nominal + self.sense.half_width * at(2);
        let amplifier = self.amplifier_offset.nominal + self.amplifier_offset.half_width * at(3);
        let comparator = self.comparator_offset.nominal + self.comparator_offset.half_width * at(4);
        (1.0 + feedback / ground, sense, amplifier, comparator)
    }

    /// The nominal current.
    pub fn nominal_current(&self) -> Amperes {
        self.current_at(&[])
    }

    /// `c_i = ∂I/∂x_i·a_i` at nominal: what each tolerance contributes, with its sign, in the order of the fields.
    ///
    /// `∂I/∂VDD = D/(A·Rs)`; with `P = (VDD·D − Vos_c)/(A·Rs)`: `∂I/∂Rf = −P/(A·Rg)`, `∂I/∂Rg = P·Rf/(A·Rg²)`,
    /// `∂I/∂Rs = −I/Rs`; `∂I/∂Vos_a = −1/Rs`; `∂I/∂Vos_c = −1/(A·Rs)`. Checked with finite differences.
    pub fn contributions(&self) -> [Amperes; Self::PARAMETERS] {
        let (gain, sense, _, comparator) = self.rest(&[]);
        let scaled = sense * gain;
        let through_gain = (self.pin_supply.nominal * self.duty - comparator) / scaled;
        let ratio = self.feedback.nominal / self.ground.nominal;
        [
            self.pin_supply.half_width * self.duty / scaled,
            -(through_gain * (self.feedback.half_width / self.ground.nominal / gain)),
            through_gain * (ratio * (self.ground.half_width / self.ground.nominal) / gain),
            -(self.nominal_current() * (self.sense.half_width / sense)),
            -(self.amplifier_offset.half_width / sense),
            -(self.comparator_offset.half_width / scaled),
        ]
    }

    /// Guaranteed limits of the current.
    pub fn extremes(&self) -> Extremes<Amperes> {
        worst_case(Self::PARAMETERS, |p| self.current_at(p))
    }

    /// Position of the pin's supply at which the current is `current`, the others at `positions`.
    ///
    /// `VDD = ((I + Vos_a/Rs)·A·Rs + Vos_c)/D`; for a duty above zero and a supply with a tolerance.
    fn supply_position_for(&self, current: Amperes, positions: &[f64]) -> f64 {
        let (gain, sense, amplifier, comparator) = self.rest(positions);
        let supply = ((current + amplifier / sense) * (sense * gain) + comparator) / self.duty;
        (supply - self.pin_supply.nominal) / self.pin_supply.half_width
    }

    /// Likely limits: the values below which the parts `probabilities` of the currents lie, each parameter
    /// anywhere within its tolerance alike. `points` Halton points; 1024 are plenty.
    ///
    /// `None` for a duty of zero, a supply without tolerance, or no points.
    pub fn quantiles<const N: usize>(&self, probabilities: [f64; N], points: u32) -> Option<[Amperes; N]> {
        if self.duty <= 0.0 || self.pin_supply.half_width.value() <= 0.0 {
            return None;
        }
        let conditioned = ConditionedQuantiles::new(Self::PARAMETERS - 1, points)?;
        let Extremes { low, high, .. } = self.extremes();
        let root = |p| conditioned.quantile(p, low, high, |q, others| self.supply_position_for(q, others));
        Some(probabilities.map(root))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chain() -> SetCurrentChain {
        let volts = |nominal, half_width| Toleranced { nominal: Volts::si(nominal), half_width: Volts::si(half_width) };
        let ohms = |nominal, half_width| Toleranced { nominal: Ohms::si(nominal), half_width: Ohms::si(half_width) };
        SetCurrentChain {
            duty: 0.4,
            pin_supply: volts(3.3, 0.1),
            feedback: ohms(18e3, 180.0),
            ground: ohms(2e3, 20.0),
            sense: ohms(0.47, 0.0047),
            amplifier_offset: volts(1e-3, 2e-3),
            comparator_offset: volts(-1e-3, 4e-3),
        }
    }

    #[test]
    fn contributions_match_finite_differences() {
        let chain = chain();
        for (index, contribution) in chain.contributions().into_iter().enumerate() {
            let mut position = [0.0; 6];
            position[index] = 1e-4;
            let up = chain.current_at(&position);
            position[index] = -1e-4;
            let slope = (up - chain.current_at(&position)).value() / 2e-4;
            assert!((slope / contribution.value() - 1.0).abs() < 1e-8, "parameter {index}");
        }
    }

    #[test]
    fn the_inverse_returns() {
        let positions = [0.7, -0.3, 0.9, 0.1, -0.8, 0.4];
        let current = chain().current_at(&positions);
        let back = chain().supply_position_for(current, &positions[1..]);
        assert!((back - 0.7).abs() < 1e-12);
    }

    #[test]
    fn likely_limits_lie_within_the_guaranteed() {
        let extremes = chain().extremes();
        let [low, high] = chain().quantiles([0.025, 0.975], 256).unwrap();
        assert!(extremes.monotone && extremes.low < low && low < high && high < extremes.high);
        assert_eq!(SetCurrentChain { duty: 0.0, ..chain() }.quantiles([0.5], 256), None);
    }
}
