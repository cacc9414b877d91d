//! Spread of a result over tolerances: by a seeded generator and order statistics, and by the root of the sum of squares.
//! Turns a model of relative positions, −1 to 1 within each tolerance, into quantiles, the same on every machine.

use std::marker::PhantomData;

use crate::quantity::Quantity;

/// The SplitMix64 generator: 64 bits of state, one output a step.
///
/// Source: Steele, Lea and Flood, Fast Splittable Pseudorandom Number Generators, 2014.
#[derive(Debug, Clone)]
pub struct SplitMix64(u64);

impl SplitMix64 {
    /// Starts from a seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub const fn next_bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// The next number from 0 up to but not including 1, from the upper 53 bits.
    pub const fn next_unit(&mut self) -> f64 {
        (self.next_bits() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Results of a sampled model.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample<Q> {
    /// Results as whole numbers in the same order, which compare in one step. They stand as drawn: a question puts in its
    /// place what it asks for, no more.
    keys: Vec<i64>,
    of: PhantomData<Q>,
}

impl<Q: Quantity> Sample<Q> {
    /// The results of these ranks from below and from above, counted from 1.
    pub fn between_ranks(&mut self, rank: u32) -> Option<(Q, Q)> {
        let index = (rank as usize).checked_sub(1)?;
        let above = self.keys.len().checked_sub(rank as usize)?;
        Some((self.at(index)?, self.at(above)?))
    }

    /// The order statistic `⌈N·p⌉`, for p between 0 and 1; the smallest and largest value at the ends.
    pub fn quantile(&mut self, p: f64) -> Q {
        let rank = libm::ceil(self.keys.len() as f64 * p - 1e-9).max(1.0) as usize;
        let index = rank.min(self.keys.len()).saturating_sub(1);
        self.at(index).unwrap_or(Q::si(f64::NAN))
    }

    /// The result that has this many below it.
    fn at(&mut self, index: usize) -> Option<Q> {
        (index < self.keys.len()).then(|| Q::si(unkeyed(*self.keys.select_nth_unstable(index).1)))
    }
}

/// The whole number that stands to others as this number stands to theirs: that of `f64::total_cmp`.
const fn keyed(value: f64) -> i64 {
    let bits = value.to_bits() as i64;
    bits ^ (((bits >> 63) as u64) >> 1) as i64
}

/// The number of a key.
const fn unkeyed(key: i64) -> f64 {
    f64::from_bits((key ^ (((key >> 63) as u64) >> 1) as i64) as u64)
}

/// Relative positions of many parts, each uniform from −1 to 1, drawn in order: a row a sample.
///
/// The same seed gives the same digits everywhere, so that models of as many parts can share one table.
#[derive(Debug, Clone)]
pub struct Positions {
    parts: usize,
    drawn: Vec<f64>,
}

impl Positions {
    /// Draws so many samples of so many parts.
    pub fn draw(parts: usize, samples: usize, seed: u64) -> Self {
        let mut generator = SplitMix64::new(seed);
        let drawn = (0..parts * samples).map(|_| 2.0 * generator.next_unit() - 1.0).collect();
        Self { parts, drawn }
    }

    /// What a model makes of each sample; one part or more.
    /// Source: propagation of distributions, JCGM 101:2008.
    pub fn sample<Q: Quantity>(&self, model: impl Fn(&[f64]) -> Q) -> Sample<Q> {
        let keys = self.drawn.chunks_exact(self.parts.max(1)).map(|at| keyed(model(at).value())).collect();
        Sample { keys, of: PhantomData }
    }
}

/// `√(Σ c_i²)` of contributions `c_i = ∂I/∂x_i·a_i`: the root of the sum of squares of the tolerances.
///
/// Valid for independent parameters and a model that is nearly straight over its tolerances.
pub fn root_sum_square<Q: Quantity>(contributions: &[Q]) -> Q {
    Q::si(contributions.iter().map(|c| c.value() * c.value()).sum::<f64>().sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Amperes, Ratio};

    #[test]
    fn the_triangle_of_two_uniform_parameters() {
        // The sum of two uniform positions has F(q) = 1 − (2 − q)²/8 for q above zero.
        let mut sample = Positions::draw(2, 20_000, 1).sample(|p| Ratio::si(p[0] + p[1]));
        assert!((sample.quantile(0.975).value() - (2.0 - 0.2f64.sqrt())).abs() < 0.02);
    }

    #[test]
    fn squares_add() {
        let contributions = [Amperes::si(3e-3), Amperes::si(-4e-3)];
        assert!((root_sum_square(&contributions).value() - 5e-3).abs() < 1e-17);
    }
}
