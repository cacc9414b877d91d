//! Preferred values of IEC 60063, E3 to E192: the series, rounding onto them, pairs of parts and gain networks.
//! Turns a wished value into one that can be bought, exact to the last digit.

use crate::quantity::{Ohms, Quantity};

/// A series of preferred values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Series {
    /// 3 values a decade.
    E3,
    /// 6 values a decade.
    E6,
    /// 12 values a decade.
    E12,
    /// 24 values a decade.
    E24,
    /// 48 values a decade.
    E48,
    /// 96 values a decade.
    E96,
    /// 192 values a decade.
    E192,
}

/// Two values whose ratio is this close to 1 are the same value.
const SAME: f64 = 1e-12;

impl Series {
    /// All series, coarsest first.
    pub const ALL: [Self; 7] = [Self::E3, Self::E6, Self::E12, Self::E24, Self::E48, Self::E96, Self::E192];

    /// Values a decade.
    pub const fn count(self) -> u32 {
        match self {
            Self::E3 => 3,
            Self::E6 => 6,
            Self::E12 => 12,
            Self::E24 => 24,
            Self::E48 => 48,
            Self::E96 => 96,
            Self::E192 => 192,
        }
    }

    /// The name, as `E24`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::E3 => "E3",
            Self::E6 => "E6",
            Self::E12 => "E12",
            Self::E24 => "E24",
            Self::E48 => "E48",
            Self::E96 => "E96",
            Self::E192 => "E192",
        }
    }

    /// Decimals of a mantissa between 1 and 10: one up to E24, two above.
    const fn places(self) -> i32 {
        if self.count() <= 24 { 1 } else { 2 }
    }

    /// The integer mantissas of one decade: 10 to 91 up to E24, 100 to 988 above.
    ///
    /// `10^(i/n)` rounded, but for eight values of E24 (27 to 47 one higher, 82 one lower) and one of E192 (920).
    /// E3, E6 and E12 are every eighth, fourth and second value of E24. Source: IEC 60063, compared with two
    /// public tables; the standard's own text was not seen.
    pub fn mantissas(self) -> Vec<u32> {
        (0..self.count()).map(|i| self.mantissa(i)).collect()
    }

    fn mantissa(self, index: u32) -> u32 {
        let (steps, index) = if self.count() <= 24 { (24, index * (24 / self.count())) } else { (self.count(), index) };
        let scale = if self.places() == 1 { 10.0 } else { 100.0 };
        let exact = libm::round(scale * libm::pow(10.0, f64::from(index) / f64::from(steps))) as u32;
        match (self.places(), steps, index) {
            (1, _, 10..=16) => exact + 1,
            (1, _, 22) => exact - 1,
            (_, 192, 185) => 920,
            _ => exact,
        }
    }

    /// All values from `lowest` to `highest` in rising order; empty if the bounds are not positive and finite.
    pub fn between<Q: Quantity>(self, lowest: Q, highest: Q) -> Vec<Q> {
        let bounds = (lowest.value(), highest.value());
        let usable = bounds.0 > 0.0 && bounds.1 < f64::INFINITY && bounds.0 <= bounds.1;
        if !usable {
            return Vec::new();
        }
        let mantissas = self.mantissas();
        let decades = decade(bounds.0) - 1..=decade(bounds.1) + 1;
        decades
            .flat_map(|d| mantissas.iter().map(move |&m| exact(m, d - self.places())))
            .filter(|v| *v >= bounds.0 * (1.0 - SAME) && *v <= bounds.1 * (1.0 + SAME))
            .map(Q::si)
            .collect()
    }

    /// The largest value not above `wished`; a member of the series returns itself. `None` unless positive, finite.
    pub fn at_most<Q: Quantity>(self, wished: Q) -> Option<Q> {
        self.around(wished)?.0
    }

    /// The smallest value not below `wished`.
    pub fn at_least<Q: Quantity>(self, wished: Q) -> Option<Q> {
        self.around(wished)?.1
    }

    /// The value nearest by ratio, the smaller `|ln(v/wished)|`; the lower of two equally near.
    pub fn nearest<Q: Quantity>(self, wished: Q) -> Option<Q> {
        let (down, up) = self.around(wished)?;
        let (down, up) = (down?, up?);
        let distance = |v: Q| libm::log(v.value() / wished.value()).abs();
        Some(if distance(up) < distance(down) - SAME { up } else { down })
    }

    /// Whether `value` is a member.
    pub fn contains<Q: Quantity>(self, value: Q) -> bool {
        self.nearest(value).is_some_and(|v| (v.value() / value.value() - 1.0).abs() <= SAME)
    }

    fn around<Q: Quantity>(self, wished: Q) -> Option<(Option<Q>, Option<Q>)> {
        let x = wished.value();
        if !(x > 1e-30 && x < 1e30) {
            return None;
        }
        let values = self.between(Q::si(x / 10.0), Q::si(x * 10.0));
        let down = values.iter().rev().find(|v| v.value() <= x * (1.0 + SAME)).copied();
        let up = values.iter().find(|v| v.value() >= x * (1.0 - SAME)).copied();
        Some((down, up))
    }

    /// Largest error of the nearest value as a ratio, `√(largest step) − 1`.
    pub fn worst_error(self) -> f64 {
        let mut mantissas = self.mantissas();
        mantissas.extend(mantissas.first().map(|m| m * 10));
        let steps = mantissas.iter().zip(mantissas.iter().skip(1));
        let largest = steps.map(|(a, b)| f64::from(*b) / f64::from(*a)).fold(1.0, f64::max);
        largest.sqrt() - 1.0
    }
}

/// Mantissa times a power of ten with one rounding, so that 5.1 kΩ is 5100 and not 5099.999.
fn exact(mantissa: u32, exponent: i32) -> f64 {
    // A product of tens is exact up to 10^22.
    let power = (0..exponent.abs()).fold(1.0, |product, _| product * 10.0);
    if exponent >= 0 { f64::from(mantissa) * power } else { f64::from(mantissa) / power }
}

fn decade(value: f64) -> i32 {
    libm::floor(libm::log10(value)) as i32
}

/// How two resistors are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joined {
    /// a + b.
    InSeries,
    /// a·b/(a + b).
    InParallel,
}

/// Two resistors that together make a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResistorPair {
    /// The larger.
    pub larger: Ohms,
    /// The smaller.
    pub smaller: Ohms,
    /// What they make.
    pub made: Ohms,
    /// made/wished − 1.
    pub error: f64,
}

/// The pair of `series` values that comes nearest to `wished` by ratio, each within four decades of it.
///
/// For each value the exact partner is rounded down and up. Between equal errors the pair with the smaller ratio
/// wins, since it shares the heat more evenly. `None` unless `wished` is positive and finite.
pub fn resistor_pair(series: Series, wished: Ohms, joined: Joined) -> Option<ResistorPair> {
    let mut best: Option<ResistorPair> = None;
    for first in series.between(wished * 1e-4, wished * 1e4) {
        let partner = match joined {
            Joined::InSeries => wished - first,
            Joined::InParallel => Ohms::si(1.0 / (1.0 / wished.value() - 1.0 / first.value())),
        };
        for second in [series.at_most(partner), series.at_least(partner)].into_iter().flatten() {
            if second < wished * 1e-4 || second > wished * 1e4 {
                continue;
            }
            let pair = pair_of(first, second, wished, joined);
            if best.is_none_or(|b| better(&pair, &b)) {
                best = Some(pair);
            }
        }
    }
    best
}

fn pair_of(first: Ohms, second: Ohms, wished: Ohms, joined: Joined) -> ResistorPair {
    let (larger, smaller) = (first.max(second), first.min(second));
    let made = match joined {
        Joined::InSeries => larger + smaller,
        Joined::InParallel => larger * (smaller / (larger + smaller)),
    };
    ResistorPair { larger, smaller, made, error: made / wished - 1.0 }
}

fn better(new: &ResistorPair, old: &ResistorPair) -> bool {
    let distance = |p: &ResistorPair| libm::log1p(p.error).abs();
    let gain = distance(old) - distance(new);
    gain > SAME || (gain.abs() <= SAME && new.larger / new.smaller < old.larger / old.smaller * (1.0 - SAME))
}

/// Feedback and ground resistor of a non-inverting amplifier.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GainNetwork {
    /// Rf: output to inverting input.
    pub feedback: Ohms,
    /// Rg: inverting input to 0 V.
    pub ground: Ohms,
    /// `1 + Rf/Rg`.
    pub gain: f64,
}

/// The network of `series` values nearest to `gain` by ratio, both resistors from 1 kΩ to 100 kΩ.
///
/// Between equal errors the sum nearest to 22 kΩ wins: small enough for the input's bias current, large enough
/// for the output (common practice, no source). `None` for a gain not above 1 or out of reach.
pub fn gain_network(series: Series, gain: f64) -> Option<GainNetwork> {
    let (least, most) = (Ohms::si(1e3), Ohms::si(1e5));
    let mut best: Option<GainNetwork> = None;
    for ground in series.between(least, most) {
        let wished = ground * (gain - 1.0);
        for feedback in [series.at_most(wished), series.at_least(wished)].into_iter().flatten() {
            if feedback < least * (1.0 - SAME) || feedback > most * (1.0 + SAME) {
                continue;
            }
            let network = GainNetwork { feedback, ground, gain: 1.0 + feedback / ground };
            if best.is_none_or(|b| nearer(&network, &b, gain)) {
                best = Some(network);
            }
        }
    }
    best
}

fn nearer(new: &GainNetwork, old: &GainNetwork, gain: f64) -> bool {
    let distance = |n: &GainNetwork| libm::log(n.gain / gain).abs();
    let size = |n: &GainNetwork| libm::log((n.feedback + n.ground) / Ohms::si(22e3)).abs();
    let won = distance(old) - distance(new);
    won > SAME || (won.abs() <= SAME && size(new) < size(old) - SAME)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Farads;

    #[test]
    fn members_are_exact_in_every_decade() {
        for (wished, expected) in [(5.1e3, 5100.0), (0.47, 0.47), (4.7e6, 4_700_000.0), (0.0091, 0.0091)] {
            assert_eq!(Series::E24.nearest(Ohms::si(wished)), Some(Ohms::si(expected)));
        }
        for (wished, expected) in [(220e-9, 220e-9), (3.3e-12, 3.3e-12), (4.7e-6, 4.7e-6)] {
            assert_eq!(Series::E6.nearest(Farads::si(wished)), Some(Farads::si(expected)));
        }
    }

    #[test]
    fn every_member_returns_itself() {
        for series in Series::ALL {
            for value in series.between(Ohms::si(1e-2), Ohms::si(1e7)) {
                assert_eq!(series.at_most(value), Some(value));
                assert_eq!(series.at_least(value), Some(value));
                assert!(series.contains(value));
            }
            assert!(!series.contains(Ohms::si(1050.5)));
        }
    }

    #[test]
    fn no_value_for_nothing() {
        for wished in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Series::E24.nearest(Ohms::si(wished)), None);
            assert_eq!(resistor_pair(Series::E24, Ohms::si(wished), Joined::InSeries), None);
        }
        assert_eq!(gain_network(Series::E24, 1.0), None);
        assert_eq!(gain_network(Series::E24, 0.5), None);
        assert_eq!(gain_network(Series::E24, 1e9), None);
    }
}
