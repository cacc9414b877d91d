//! The low-voltage fuse: its rating, its Joule integral against inrush, and whether the supply can blow it.
//! Turns operating current, surroundings and surges into the rating to buy.

use crate::quantity::{AmpereSquareSeconds, Amperes};

/// Rated currents of miniature fuses, 0.1 A to 10 A. Source: R10-like steps of IEC 60127-2, from memory.
pub const RATINGS: [Amperes; 21] = [
    Amperes::si(0.1),
    Amperes::si(0.125),
    Amperes::si(0.16),
    Amperes::si(0.2),
    Amperes::si(0.25),
    Amperes::si(0.315),
    Amperes::si(0.4),
    Amperes::si(0.5),
    Amperes::si(0.63),
    Amperes::si(0.8),
    Amperes::si(1.0),
    Amperes::si(1.25),
    Amperes::si(1.6),
    Amperes::si(2.0),
    Amperes::si(2.5),
    Amperes::si(3.15),
    Amperes::si(4.0),
    Amperes::si(5.0),
    Amperes::si(6.3),
    Amperes::si(8.0),
    Amperes::si(10.0),
];

/// `I_n ≥ I/(0.75·k_T)`: least rating for continuous current at an ambient factor k_T.
///
/// Source: the 75 % rule of makers' selection guides; common practice.
pub fn least_fuse_rating(operating: Amperes, ambient_factor: f64) -> Amperes {
    operating / (0.75 * ambient_factor)
}

/// Smallest of [`RATINGS`] that is not below `least`; `None` above 10 A.
pub fn fuse_to_buy(least: Amperes) -> Option<Amperes> {
    RATINGS.into_iter().find(|rating| rating.value() >= least.value() * (1.0 - 1e-12))
}

/// Part of its melting integral that a fuse bears over its life, for a number of surges:
/// 0.48, 0.38, 0.29, 0.22 for 100, 1000, 10 000 and 100 000 surges with 10 s between them.
///
/// Between these the smaller part is taken; `None` above 100 000. Source: a maker's selection guide.
pub fn surge_factor(surges: u32) -> Option<f64> {
    const FACTORS: [(u32, f64); 4] = [(100, 0.48), (1000, 0.38), (10_000, 0.29), (100_000, 0.22)];
    FACTORS.iter().find(|(most, _)| surges <= *most).map(|(_, factor)| *factor)
}

/// `I²t ≥ I²t_surge/F`: melting integral that bears the surges.
pub fn melting_integral_needed(surge: AmpereSquareSeconds, factor: f64) -> AmpereSquareSeconds {
    surge / factor
}

/// Whether a supply that limits at `limit` can blow the fuse: `I_lim ≥ 2.1·I_n`, which opens a time-lag fuse
/// within two minutes.
///
/// Source: IEC 60127-2 for 5 mm × 20 mm fuse-links, from memory.
pub fn can_blow(limit: Amperes, rating: Amperes) -> bool {
    limit.value() >= 2.1 * rating.value()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_surges_leave_a_smaller_part() {
        let rows = [(1, 0.48), (100, 0.48), (101, 0.38), (5000, 0.29), (100_000, 0.22)];
        for (surges, factor) in rows {
            assert_eq!(surge_factor(surges), Some(factor), "{surges} surges");
        }
        assert_eq!(surge_factor(100_001), None);
    }

    #[test]
    fn a_rating_that_fits_exactly_is_taken() {
        assert_eq!(fuse_to_buy(Amperes::si(1.6)), Some(Amperes::si(1.6)));
        assert_eq!(fuse_to_buy(Amperes::si(1.61)), Some(Amperes::si(2.0)));
        assert_eq!(fuse_to_buy(Amperes::si(11.0)), None);
    }
}
