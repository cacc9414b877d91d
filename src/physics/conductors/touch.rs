//! What may be touched: the voltage of bare parts, and openings over mains as free, to be covered or refused.
//! An opening is a circle, a square or a slot by its smallest size.

use super::mm;
use crate::quantity::{Metres, Volts};

/// Greatest ripple-free direct voltage of bare parts of an ordinary lamp that may be touched (IEC 60598-1, 8.2.3). The
/// open-circuit maximum of the supply decides, never the voltage of the string.
pub const TOUCHABLE: Volts = Volts::si(60.0);
/// The same of a lamp for damp places (IEC 60598-1, 8.2.3).
pub const TOUCHABLE_DAMP: Volts = Volts::si(30.0);

/// Diameter of the jointed test finger, IEC 60529.
const FINGER: Metres = mm(12.0);
/// Length of the jointed test finger, IEC 60529.
pub const FINGER_LENGTH: Metres = mm(80.0);

/// What an opening over a mains zone is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing enters that matters.
    Free,
    /// A rod enters: no live part within reach, or a baffle.
    NeedsBaffle,
    /// The finger enters.
    Refused,
}

/// Our rule for an opening by its smallest size over a mains zone: to 2.5 mm free, to 12 mm only with the nearest live part beyond the length of the finger, above refused.
pub fn over_mains(smallest_size: Metres, nearest_live: Metres) -> Verdict {
    if smallest_size <= mm(2.5) {
        Verdict::Free
    } else if smallest_size > FINGER {
        Verdict::Refused
    } else if nearest_live > FINGER_LENGTH {
        Verdict::Free
    } else {
        Verdict::NeedsBaffle
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mains_is_out_of_reach_or_covered() {
        let far = mm(90.0);
        assert_eq!(over_mains(mm(2.5), mm(5.0)), Verdict::Free);
        assert_eq!(over_mains(mm(6.0), mm(40.0)), Verdict::NeedsBaffle);
        assert_eq!(over_mains(mm(6.0), far), Verdict::Free);
        assert_eq!(over_mains(mm(12.5), far), Verdict::Refused);
    }
}
