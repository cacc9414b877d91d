//! Fuse-links: preferred ratings, the choice for a running current and an inrush, breaking capacity and marking.
//! IEC 60127; a rating of UL 248-14 means something else and is never mixed in.

use crate::quantity::{AmpereSquareSeconds, Amperes, SquareMetres, Volts, Watts};

use super::{Region, current::cord_current, mm2};

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

/// Whether IEC 60127 lists this rated current.
pub fn is_preferred(rating: Amperes) -> bool {
    RATINGS.iter().any(|known| (known - rating.value()).abs() <= 1e-6 * known)
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

/// One gate of a time-current characteristic: at this multiple, pre-arcing between these times, s.
pub type Gate = (f64, Option<f64>, Option<f64>);

/// Gates of a 5 x 20 link: quick-acting sheet 2, or time-lag sheet 3 (sheet 3 from memory); `None` for other speeds.
pub fn gates(speed: Speed, rating: Amperes) -> Option<[Gate; 4]> {
    let small = rating.value() <= 0.1 + 1e-9;
    match speed {
        Speed::Fast if small => Some([
            (2.1, None, Some(1800.0)),
            (2.75, Some(0.01), Some(0.5)),
            (4.0, Some(0.003), Some(0.1)),
            (10.0, None, Some(0.02)),
        ]),
        Speed::Fast => Some([
            (2.1, None, Some(1800.0)),
            (2.75, Some(0.05), Some(2.0)),
            (4.0, Some(0.01), Some(0.3)),
            (10.0, None, Some(0.02)),
        ]),
        Speed::TimeLag if small => Some([
            (2.1, None, Some(120.0)),
            (2.75, Some(0.2), Some(10.0)),
            (4.0, Some(0.04), Some(3.0)),
            (10.0, Some(0.01), Some(0.3)),
        ]),
        Speed::TimeLag => Some([
            (2.1, None, Some(120.0)),
            (2.75, Some(0.6), Some(10.0)),
            (4.0, Some(0.15), Some(3.0)),
            (10.0, Some(0.02), Some(0.3)),
        ]),
        _ => None,
    }
}

/// Whether a fuse protects its cord: the rating is not above what the cord may carry; `None` for a cord below tables.
pub fn protects_cord(region: Region, rating: Amperes, cord: SquareMetres) -> Option<bool> {
    cord_current(region, cord).map(|row| rating <= row.current)
}

/// Fuse of a UK plug, BS 1362: 3 A up to 700 W, else 13 A, with the least cord it protects.
pub fn plug_fuse(power: Watts) -> (Amperes, SquareMetres) {
    if power.value() <= 700.0 { (Amperes::si(3.0), mm2(0.5)) } else { (Amperes::si(13.0), mm2(1.25)) }
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
    fn gates_close_as_the_current_grows() {
        for rating in [0.1, 0.5] {
            for speed in [Speed::Fast, Speed::TimeLag] {
                let gates = gates(speed, Amperes::si(rating)).unwrap();
                assert!(gates.windows(2).all(|two| two[1].0 > two[0].0 && two[1].2 < two[0].2));
            }
        }
        assert_eq!(gates(Speed::Medium, Amperes::si(1.0)), None);
    }

    #[test]
    fn a_fuse_stands_for_its_cord() {
        assert_eq!(protects_cord(Region::Uk, Amperes::si(3.0), mm2(0.5)), Some(true));
        assert_eq!(protects_cord(Region::Uk, Amperes::si(13.0), mm2(0.75)), Some(false));
        assert_eq!(protects_cord(Region::Uk, Amperes::si(3.0), mm2(0.25)), None);
        assert_eq!(plug_fuse(Watts::si(40.0)).0.value(), 3.0);
        assert_eq!(plug_fuse(Watts::si(701.0)).0.value(), 13.0);
    }

    #[test]
    fn a_warm_link_carries_less() {
        assert!((warm_rating(Amperes::si(1.0), 65.0).value() - 0.8).abs() < 1e-12);
        assert_eq!(warm_rating(Amperes::si(1.0), 10.0).value(), 1.0);
        assert!(rating_for(Amperes::si(9.0), 0.8).is_none());
        assert!(is_preferred(Amperes::si(0.315)) && !is_preferred(Amperes::si(0.3)));
    }
}
