//! Fuse-links: preferred ratings, the choice for a running current and an inrush, breaking capacity and marking.
//! IEC 60127; a rating of UL 248-14 means something else and is never mixed in.

use crate::quantity::{AmpereSquareSeconds, Amperes, Volts, Watts};

/// Rated currents of IEC 60127, A.
pub const RATINGS: [f64; 26] = [
    0.032, 0.040, 0.050, 0.063, 0.080, 0.100, 0.125, 0.160, 0.200, 0.250, 0.315, 0.400, 0.500, 0.630, 0.800, 1.0, 1.25,
    1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0,
];

/// Part of the rating used for running current, IEC fuse-links (common practice).
pub const LOADING_IEC: f64 = 0.8;
/// The same for UL fuses (common practice).
pub const LOADING_UL: f64 = 0.75;
/// Part of the melting integral an inrush may take, for about 10⁴ switchings (common practice, from memory).
const INRUSH_SHARE: f64 = 0.30;

/// I = P/(U_min pf): the running current at the lowest supply.
pub fn running_current(power: Watts, lowest_supply: Volts, power_factor: f64) -> Amperes {
    power / (lowest_supply * power_factor)
}

/// The smallest rating that is at least I/k; `None` above 10 A.
pub fn rating_for(running: Amperes, loading: f64) -> Option<Amperes> {
    let need = running.value() / loading;
    RATINGS.iter().find(|rating| **rating >= need * (1.0 - 1e-9)).map(|rating| Amperes::si(*rating))
}

/// Melting integral a fuse-link needs so that the inrush does not age it: I²t/0.3.
pub fn melting_integral_needed(inrush: AmpereSquareSeconds) -> AmpereSquareSeconds {
    inrush / INRUSH_SHARE
}

/// How fast a link melts, by the letter on its cap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Speed {
    /// FF.
    VeryFast,
    /// F.
    Fast,
    /// M.
    Medium,
    /// T, time-lag.
    TimeLag,
    /// TT.
    LongTimeLag,
}

impl Speed {
    /// The letter of IEC 60127.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::VeryFast => "FF",
            Self::Fast => "F",
            Self::Medium => "M",
            Self::TimeLag => "T",
            Self::LongTimeLag => "TT",
        }
    }
}

/// What short-circuit current a link breaks at 250 V alternating, by letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Breaking {
    /// L.
    Low,
    /// E.
    Enhanced,
    /// H.
    High,
}

impl Breaking {
    /// The letter of IEC 60127.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Low => "L",
            Self::Enhanced => "E",
            Self::High => "H",
        }
    }
    /// L the larger of 35 A and 10 I_n; E 150 A; H 1500 A (IEC 60127-2).
    pub fn capacity(self, rating: Amperes) -> Amperes {
        match self {
            Self::Low => Amperes::si(35.0).max(rating * 10.0),
            Self::Enhanced => Amperes::si(150.0),
            Self::High => Amperes::si(1500.0),
        }
    }
}

/// The marking in its order, speed, current, breaking, voltage: `T315mAH250V`.
pub fn marking(rating: Amperes, speed: Speed, breaking: Breaking, voltage: Volts) -> String {
    let i = rating.value();
    // A link below 1 A is marked in whole milliamperes.
    let current = if i < 1.0 - 1e-9 { format!("{}mA", libm::round(i * 1e3)) } else { format!("{}A", trimmed(i)) };
    format!("{}{current}{}{}V", speed.letter(), breaking.letter(), trimmed(voltage.value()))
}

fn trimmed(value: f64) -> String {
    crate::figures::trimmed(value, 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markings_read_like_the_cap() {
        let mark = |i, speed, breaking| marking(Amperes::si(i), speed, breaking, Volts::si(250.0));
        assert_eq!(mark(0.315, Speed::TimeLag, Breaking::High), "T315mAH250V");
        assert_eq!(mark(1.6, Speed::Fast, Breaking::Low), "F1.6AL250V");
        assert_eq!(mark(1.0, Speed::TimeLag, Breaking::Enhanced), "T1AE250V");
    }

    #[test]
    fn low_breaking_grows_with_the_rating() {
        assert_eq!(Breaking::Low.capacity(Amperes::si(0.5)).value(), 35.0);
        assert_eq!(Breaking::Low.capacity(Amperes::si(6.3)).value(), 63.0);
        assert_eq!(Breaking::High.capacity(Amperes::si(0.5)).value(), 1500.0);
    }

    #[test]
    fn above_the_list_there_is_no_rating() {
        assert!(rating_for(Amperes::si(9.0), 0.8).is_none());
    }
}
