//! Spacings at which small arrays are flattest in their middle: pairs, rings, squares, lines, grids.
//! Zero second derivative at the centre, for dice whose beam is a power of the cosine.

/// Which cosine the receiver adds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Receiver {
    /// A flat sheet: its own cosine counts. The one for lamps.
    Flat,
    /// The published arrays, which leave the receiver's cosine out.
    Facing,
}

impl Receiver {
    /// k of E ∝ 1/(1 + r²)ᵏ with r in distances of the sheet: (m + 3)/2 for a flat sheet, (m + 2)/2 without its cosine.
    fn power(self, exponent: f64) -> f64 {
        match self {
            Self::Flat => (exponent + 3.0) / 2.0,
            Self::Facing => (exponent + 2.0) / 2.0,
        }
    }
}

/// Distance of two dice by that of the sheet: √(4/(2k + 1)), published as √(4/(m + 3)).
///
/// Source: Moreno, Avendano-Alejo, Tzonchev, Appl. Opt. 45 (2006) 2265.
pub fn pair(exponent: f64, receiver: Receiver) -> f64 {
    libm::sqrt(4.0 / (2.0 * receiver.power(exponent) + 1.0))
}

/// Radius of a ring of three or more dice by the distance: √(1/k). Source as for [`pair`].
pub fn ring(exponent: f64, receiver: Receiver) -> f64 {
    libm::sqrt(1.0 / receiver.power(exponent))
}

/// Side of a square of four by the distance: √(2/k). Source as for [`pair`].
pub fn square(exponent: f64, receiver: Receiver) -> f64 {
    libm::sqrt(2.0) * ring(exponent, receiver)
}

/// Spacing of a line of dice by the distance, by bisection; `None` for odd numbers, whose middle die always shows.
pub fn line(dice: u32, exponent: f64, receiver: Receiver) -> Option<f64> {
    let k = receiver.power(exponent);
    let places = places(dice)?;
    root(|spacing| {
        let terms = places.iter().map(|a| {
            let r2 = a * a * spacing * spacing;
            (1.0 - (2.0 * k + 1.0) * r2) / libm::pow(1.0 + r2, k + 2.0)
        });
        terms.sum()
    })
}

/// Spacing of a square grid of dice by the distance; `None` for odd numbers a side.
pub fn grid(dice_a_side: u32, exponent: f64, receiver: Receiver) -> Option<f64> {
    let k = receiver.power(exponent);
    let places = places(dice_a_side)?;
    root(|spacing| {
        let pairs = places.iter().flat_map(|a| places.iter().map(move |b| (a * a + b * b) * spacing * spacing));
        pairs.map(|r2| (1.0 - k * r2) / libm::pow(1.0 + r2, k + 2.0)).sum()
    })
}

/// Flux of a die in the middle of a ring by one of the ring's: N (k s² − 1)/(1 + s²)^(k+2), s = radius by distance.
///
/// Makes the middle flat; below zero where the ring is too narrow for a middle die.
pub fn middle_of_ring(dice: u32, radius_by_distance: f64, exponent: f64) -> f64 {
    let k = Receiver::Flat.power(exponent);
    let s2 = radius_by_distance * radius_by_distance;
    f64::from(dice) * (k * s2 - 1.0) / libm::pow(1.0 + s2, k + 2.0)
}

/// Places of a line of dice in spacings from its middle.
fn places(dice: u32) -> Option<Vec<f64>> {
    let half = (f64::from(dice) - 1.0) / 2.0;
    (dice >= 2 && dice.is_multiple_of(2)).then(|| (0..dice).map(|i| f64::from(i) - half).collect())
}

/// The widest spacing below 3 distances at which the sum turns from below zero to above, going inwards.
fn root(sum: impl Fn(f64) -> f64) -> Option<f64> {
    const STEP: f64 = 0.005;
    let at = |i: i32| f64::from(i) * STEP;
    let i = (1..600).find(|&i| sum(at(i)) > 0.0 && sum(at(i + 1)) <= 0.0)?;
    let (mut low, mut high) = (at(i), at(i + 1));
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if sum(middle) > 0.0 { low = middle } else { high = middle }
    }
    Some((low + high) / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_forms_are_roots_of_the_general_sum() {
        for m in [1.0, 5.0, 30.0] {
            for receiver in [Receiver::Flat, Receiver::Facing] {
                assert!((line(2, m, receiver).unwrap() - pair(m, receiver)).abs() < 1e-12);
                assert!((grid(2, m, receiver).unwrap() - square(m, receiver)).abs() < 1e-12);
            }
        }
        assert_eq!(line(3, 1.0, Receiver::Flat), None);
    }

    #[test]
    fn a_ring_takes_a_middle_die_beyond_its_flat_radius() {
        assert!(middle_of_ring(6, ring(1.0, Receiver::Flat), 1.0).abs() < 1e-12);
        assert!((middle_of_ring(12, 1.0, 1.0) - 0.75).abs() < 1e-12);
    }
}
