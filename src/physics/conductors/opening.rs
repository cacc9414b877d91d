//! Openings over mains: smallest size and distance of live parts to whether the opening is free, covered or refused.
//! An opening is a circle, a square or a slot by its smallest size.

use super::mm;
use crate::quantity::Metres;

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

/// Our rule for an opening by its smallest size over a mains zone: to 2.5 mm free (1.0 mm where things can fall in
/// from above), to 12 mm only with the nearest live part beyond the length of the finger, above refused.
pub fn over_mains(smallest_size: Metres, from_above: bool, nearest_live: Metres) -> Verdict {
    let free = if from_above { mm(1.0) } else { mm(2.5) };
    if smallest_size <= free {
        Verdict::Free
    } else if smallest_size > FINGER {
        Verdict::Refused
    } else if !from_above && nearest_live > FINGER_LENGTH {
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
        assert_eq!(over_mains(mm(2.5), false, mm(5.0)), Verdict::Free);
        assert_eq!(over_mains(mm(2.5), true, far), Verdict::NeedsBaffle);
        assert_eq!(over_mains(mm(6.0), false, mm(40.0)), Verdict::NeedsBaffle);
        assert_eq!(over_mains(mm(6.0), false, far), Verdict::Free);
        assert_eq!(over_mains(mm(12.5), false, far), Verdict::Refused);
    }
}
