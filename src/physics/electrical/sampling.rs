//! Likely limits by sampling: a seeded generator, order statistics, and Halton points with one parameter integrated.
//! Turns a model of relative positions into mean, deviation and quantiles, the same on every machine.

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

/// Results of a sampled model, with mean and deviation.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample<Q> {
    /// Results as whole numbers in the same order, which compare in one step. They stand as drawn: a question puts in its
    /// place what it asks for, no more.
    keys: Vec<i64>,
    /// Mean.
    pub mean: Q,
    /// Standard deviation with divisor N − 1.
    pub deviation: Q,
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

    /// What a model makes of each sample; two samples or more for a deviation, one part or more.
    /// Source: propagation of distributions, JCGM 101:2008.
    pub fn sample<Q: Quantity>(&self, model: impl Fn(&[f64]) -> Q) -> Sample<Q> {
        let results: Vec<Q> = self.drawn.chunks_exact(self.parts.max(1)).map(model).collect();
        let n = results.len() as f64;
        let mean = results.iter().map(|v| v.value()).sum::<f64>() / n;
        let squares: f64 = results.iter().map(|v| (v.value() - mean) * (v.value() - mean)).sum();
        let keys = results.iter().map(|v| keyed(v.value())).collect();
        Sample { keys, mean: Q::si(mean), deviation: Q::si((squares / (n - 1.0)).sqrt()) }
    }
}

/// Samples a model of `count` relative positions, each uniform from −1 to 1, drawn in order.
pub fn monte_carlo<Q: Quantity>(count: usize, samples: usize, seed: u64, model: impl Fn(&[f64]) -> Q) -> Sample<Q> {
    Positions::draw(count, samples, seed).sample(model)
}

/// The largest rank r at which the results from the r-th smallest to the r-th largest of `samples` hold at least the
/// part `coverage` of all results with the stated confidence; `None` if there are too few samples.
///
/// What lies outside that pair of ranks is a binomial count: `P(Bin(N, 1 − coverage) ≥ 2r) ≥ confidence`, whatever
/// the distribution. Source: Wilks, Annals of Mathematical Statistics 12, 1941.
pub fn tolerance_rank(samples: u32, coverage: f64, confidence: f64) -> Option<u32> {
    let (n, p) = (f64::from(samples), 1.0 - coverage);
    let choose = |k: f64| libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0);
    let part = |k: u32| {
        let k = f64::from(k);
        libm::exp(choose(k) + k * libm::log(p) + (n - k) * libm::log(1.0 - p))
    };
    let mut below = 0.0;
    let mut rank = None;
    for k in 0..samples / 2 {
        if 1.0 - below < confidence {
            break;
        }
        // `below` is the chance of fewer than k results outside.
        rank = (k >= 2).then_some(k / 2);
        below += part(k);
    }
    rank
}

/// The `index`-th point of the Halton sequence in `base`: the digits of the index mirrored at the point.
///
/// Source: Halton, Numerische Mathematik 2, 1960. Indices start at 1.
fn halton(mut index: u32, base: u32) -> f64 {
    let (mut value, mut place) = (0.0, 1.0);
    while index > 0 {
        place /= f64::from(base);
        value += place * f64::from(index % base);
        index /= base;
    }
    value
}

/// Bases of the Halton points, the first primes.
const BASES: [u32; 8] = [2, 3, 5, 7, 11, 13, 17, 19];

/// Quantiles of a model with its dominant parameter integrated exactly and the others placed on Halton points.
///
/// The dominant parameter is uniform over its tolerance. `position_for(q, others)` gives its position, −1 to 1,
/// at which the result is q; the result must rise with it. The distribution is then
/// `F(q) = mean_j clip((position + 1)/2, 0, 1)`, and a quantile is its root, found by halving.
/// With 1024 points the tails are as good as from 100 000 random samples. Up to eight other parameters.
#[derive(Debug, Clone)]
pub struct ConditionedQuantiles {
    points: Vec<Vec<f64>>,
}

impl ConditionedQuantiles {
    /// Prepares `points` Halton points for `others` parameters; `None` above eight or without points.
    pub fn new(others: usize, points: u32) -> Option<Self> {
        let bases = BASES.get(..others)?;
        let place = |index| bases.iter().map(|&b| 2.0 * halton(index, b) - 1.0).collect();
        (points > 0).then(|| Self { points: (1..=points).map(place).collect() })
    }

    /// The value below which the part `p` of the results lies, searched from `low` to `high`.
    pub fn quantile<Q: Quantity>(&self, p: f64, low: Q, high: Q, position_for: impl Fn(Q, &[f64]) -> f64) -> Q {
        let below = |q: f64| {
            let parts = self.points.iter().map(|point| ((position_for(Q::si(q), point) + 1.0) / 2.0).clamp(0.0, 1.0));
            parts.sum::<f64>() / self.points.len() as f64
        };
        let (mut low, mut high) = (low.value(), high.value());
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if below(middle) < p { low = middle } else { high = middle }
        }
        Q::si(0.5 * (low + high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Ratio;

    #[test]
    fn ranks_of_published_tolerance_limits() {
        // Smallest samples whose extremes hold 95 % with 95 %, 90 % with 95 %, and 99 % with 95 %: tables after Wilks.
        for (samples, coverage, least) in [(93, 0.95, 92), (46, 0.90, 45), (473, 0.99, 472)] {
            assert_eq!(tolerance_rank(samples, coverage, 0.95), Some(1), "{samples}");
            assert_eq!(tolerance_rank(least, coverage, 0.95), None, "{least}");
        }
    }

    #[test]
    fn halton_mirrors_the_digits() {
        let rows = [(1, 2, 0.5), (2, 2, 0.25), (3, 2, 0.75), (6, 2, 0.375), (1, 3, 1.0 / 3.0), (5, 3, 7.0 / 9.0)];
        for (index, base, value) in rows {
            assert!((halton(index, base) - value).abs() < 1e-15, "index {index}, base {base}");
        }
    }

    #[test]
    fn one_uniform_parameter_has_straight_quantiles() {
        let quantiles = ConditionedQuantiles::new(0, 1).unwrap();
        for p in [0.1, 0.5, 0.975] {
            let q = quantiles.quantile(p, Ratio::si(-2.0), Ratio::si(2.0), |q: Ratio, _| q.value());
            assert!((q.value() - (2.0 * p - 1.0)).abs() < 1e-14);
        }
        assert!(ConditionedQuantiles::new(9, 16).is_none());
    }

    #[test]
    fn the_triangle_of_two_uniform_parameters() {
        // The sum of two uniform positions has F(q) = 1 − (2 − q)²/8 for q above zero.
        let quantiles = ConditionedQuantiles::new(1, 4096).unwrap();
        let q = quantiles.quantile(0.975, Ratio::si(-2.0), Ratio::si(2.0), |q: Ratio, o| q.value() - o[0]);
        assert!((q.value() - (2.0 - 0.2f64.sqrt())).abs() < 1e-3);
        let mut sample = monte_carlo(2, 20_000, 1, |p| Ratio::si(p[0] + p[1]));
        assert!((sample.quantile(0.975).value() - (2.0 - 0.2f64.sqrt())).abs() < 0.02);
        assert!((sample.deviation.value() - (2.0 / 3.0_f64).sqrt()).abs() < 0.01);
    }
}
