//! Preferred values of IEC 60063, E3 to E192: the series, rounding onto them, and gain networks.
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

/// One decade of E24: `10^(i/24)` rounded, but for eight values (27 to 47 one higher, 82 one lower).
/// Source: IEC 60063, compared with two public tables; the standard's own text was not seen.
const E24: [u32; 24] = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];

/// One decade of E192: `10^(i/192)` rounded, but for 920. Source: as E24.
#[rustfmt::skip]
const E192: [u32; 192] = [
    100, 101, 102, 104, 105, 106, 107, 109, 110, 111, 113, 114, 115, 117, 118, 120,
    121, 123, 124, 126, 127, 129, 130, 132, 133, 135, 137, 138, 140, 142, 143, 145,
    147, 149, 150, 152, 154, 156, 158, 160, 162, 164, 165, 167, 169, 172, 174, 176,
    178, 180, 182, 184, 187, 189, 191, 193, 196, 198, 200, 203, 205, 208, 210, 213,
    215, 218, 221, 223, 226, 229, 232, 234, 237, 240, 243, 246, 249, 252, 255, 258,
    261, 264, 267, 271, 274, 277, 280, 284, 287, 291, 294, 298, 301, 305, 309, 312,
    316, 320, 324, 328, 332, 336, 340, 344, 348, 352, 357, 361, 365, 370, 374, 379,
    383, 388, 392, 397, 402, 407, 412, 417, 422, 427, 432, 437, 442, 448, 453, 459,
    464, 470, 475, 481, 487, 493, 499, 505, 511, 517, 523, 530, 536, 542, 549, 556,
    562, 569, 576, 583, 590, 597, 604, 612, 619, 626, 634, 642, 649, 657, 665, 673,
    681, 690, 698, 706, 715, 723, 732, 741, 750, 759, 768, 777, 787, 796, 806, 816,
    825, 835, 845, 856, 866, 876, 887, 898, 909, 920, 931, 942, 953, 965, 976, 988,
];

/// Two values whose ratio is this close to 1 are the same value.
const SAME: f64 = 1e-12;

impl Series {
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

    /// E3, E6 and E12 are every eighth, fourth and second value of E24, E48 and E96 of E192.
    fn mantissa(self, index: usize) -> u32 {
        let table: &[u32] = if self.count() <= 24 { &E24 } else { &E192 };
        let step = table.len() / self.count() as usize;
        table.get(index * step).copied().unwrap_or(0)
    }

    /// The value this many steps above 1 times the power of ten of `decade`.
    fn member(self, decade: i32, step: usize) -> f64 {
        let count = self.count() as usize;
        exact(self.mantissa(step % count), decade + (step / count) as i32 - self.places())
    }

    /// Steps from `decade` to the first value not below `wished`, which lies in the decade after it or on its edge.
    fn first_not_below(self, decade: i32, wished: f64) -> usize {
        // Members lie within a step or so of even steps of the logarithm.
        let even = (libm::log10(wished) - f64::from(decade)) * f64::from(self.count());
        let mut step = even.max(0.0) as usize;
        while step > 0 && self.member(decade, step - 1) >= wished {
            step -= 1;
        }
        while self.member(decade, step) < wished {
            step += 1;
        }
        step
    }

    /// All values from `lowest` to `highest` in rising order; empty if the bounds are not positive and finite.
    pub fn between<Q: Quantity>(self, lowest: Q, highest: Q) -> Vec<Q> {
        let bounds = (lowest.value(), highest.value());
        let usable = bounds.0 > 0.0 && bounds.1 < f64::INFINITY && bounds.0 <= bounds.1;
        if !usable {
            return Vec::new();
        }
        let (start, end) = (bounds.0 * (1.0 - SAME), bounds.1 * (1.0 + SAME));
        let lowest = decade(bounds.0) - 1;
        let from = self.first_not_below(lowest, start);
        (from..).map(|step| self.member(lowest, step)).take_while(|v| *v <= end).map(Q::si).collect()
    }

    /// The largest value not above `wished`; a member of the series returns itself. `None` unless positive, finite.
    pub fn at_most<Q: Quantity>(self, wished: Q) -> Option<Q> {
        Some(self.around(wished)?.0)
    }

    /// The smallest value not below `wished`.
    pub fn at_least<Q: Quantity>(self, wished: Q) -> Option<Q> {
        Some(self.around(wished)?.1)
    }

    /// The value nearest by ratio, the smaller `|ln(v/wished)|`; the lower of two equally near.
    pub fn nearest<Q: Quantity>(self, wished: Q) -> Option<Q> {
        let (down, up) = self.around(wished)?;
        let distance = |v: Q| libm::log(v.value() / wished.value()).abs();
        Some(if distance(up) < distance(down) - SAME { up } else { down })
    }

    /// The values on both sides of `wished`.
    fn around<Q: Quantity>(self, wished: Q) -> Option<(Q, Q)> {
        let x = wished.value();
        if !(x > 1e-30 && x < 1e30) {
            return None;
        }
        let lowest = decade(x) - 1;
        let up = self.first_not_below(lowest, x * (1.0 - SAME));
        let above = self.member(lowest, up);
        // A member is its own neighbour on both sides.
        let below = if above <= x * (1.0 + SAME) { above } else { self.member(lowest, up.saturating_sub(1)) };
        Some((Q::si(below), Q::si(above)))
    }
}

/// Powers of ten as products of tens, exact up to 10^22, to the last that is a number.
static TENS: [f64; 309] = {
    let mut tens = [1.0; 309];
    let mut at = 1;
    while at < tens.len() {
        tens[at] = tens[at - 1] * 10.0;
        at += 1;
    }
    tens
};

/// Mantissa times a power of ten with one rounding, so that 5.1 kΩ is 5100 and not 5099.999.
fn exact(mantissa: u32, exponent: i32) -> f64 {
    let power = TENS.get(exponent.unsigned_abs() as usize).copied().unwrap_or(f64::INFINITY);
    if exponent >= 0 { f64::from(mantissa) * power } else { f64::from(mantissa) / power }
}

fn decade(value: f64) -> i32 {
    libm::floor(libm::log10(value)) as i32
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
    let distance = |n: &GainNetwork| libm::log(n.gain / gain).abs();
    let size = |n: &GainNetwork| libm::log((n.feedback + n.ground) / Ohms::si(22e3)).abs();
    let mut best: Option<(f64, GainNetwork)> = None;
    for ground in series.between(least, most) {
        let Some((down, up)) = series.around(ground * (gain - 1.0)) else { continue };
        for feedback in [down, up] {
            if feedback < least * (1.0 - SAME) || feedback > most * (1.0 + SAME) {
                continue;
            }
            let network = GainNetwork { feedback, ground, gain: 1.0 + feedback / ground };
            let away = distance(&network);
            let better = best.is_none_or(|(least, old)| {
                let won = least - away;
                won > SAME || (won.abs() <= SAME && size(&network) < size(&old) - SAME)
            });
            if better {
                best = Some((away, network));
            }
        }
    }
    best.map(|(_, network)| network)
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
    fn the_tables_are_rounded_powers_but_for_nine_values() {
        for (table, scale) in [(&E24[..], 10.0), (&E192[..], 100.0)] {
            let power = |i: usize| libm::round(scale * libm::pow(10.0, i as f64 / table.len() as f64)) as u32;
            let off: Vec<usize> = (0..table.len()).filter(|&i| table[i] != power(i)).collect();
            let expected: &[usize] = if scale < 50.0 { &[10, 11, 12, 13, 14, 15, 16, 22] } else { &[185] };
            assert_eq!(off, expected);
        }
    }

    #[test]
    fn every_member_returns_itself() {
        for series in [Series::E3, Series::E6, Series::E12, Series::E24, Series::E48, Series::E96, Series::E192] {
            for value in series.between(Ohms::si(1e-2), Ohms::si(1e7)) {
                assert_eq!(series.at_most(value), Some(value));
                assert_eq!(series.at_least(value), Some(value));
            }
        }
    }

    #[test]
    fn no_value_for_nothing() {
        for wished in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Series::E24.nearest(Ohms::si(wished)), None);
        }
        assert_eq!(gain_network(Series::E24, 1.0), None);
        assert_eq!(gain_network(Series::E24, 0.5), None);
        assert_eq!(gain_network(Series::E24, 1e9), None);
    }
}
