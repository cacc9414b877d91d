//! Openings in the body: which probe of IEC 60529 enters, how far a finger reaches, and our rule over mains.
//! An opening is a circle, a square or a slot by its smallest size.

use super::mm;
use crate::quantity::{Metres, Newtons};

/// One probe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probe {
    /// First digit of the IP code that keeps this probe out.
    pub digit: u8,
    /// What it is.
    pub name: &'static str,
    /// Its diameter.
    pub diameter: Metres,
    /// The force behind it (from memory).
    pub force: Newtons,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the row is from memory.
    pub from_memory: bool,
}

const fn probe(digit: u8, name: &'static str, diameter: f64, force: f64) -> Probe {
    let source = "IEC 60529, tables 1 and 7; force from memory";
    Probe { digit, name, diameter: mm(diameter), force: Newtons::si(force), source, from_memory: false }
}

/// Probes of IEC 60529 from coarse to fine; the jointed finger, 12 mm by 80 mm, belongs to the second.
pub const PROBES: [Probe; 4] = [
    probe(1, "sphere of 50 mm", 50.0, 50.0),
    probe(2, "sphere of 12.5 mm", 12.5, 30.0),
    probe(3, "rod of 2.5 mm", 2.5, 3.0),
    probe(4, "wire of 1.0 mm", 1.0, 1.0),
];
/// Diameter of the jointed test finger, IEC 60529.
pub const FINGER: Metres = mm(12.0);
/// Length of the jointed test finger, IEC 60529.
pub const FINGER_LENGTH: Metres = mm(80.0);

/// First digit of the IP code that openings of this smallest size still reach: 0 to 4. Dust (5, 6) needs a test.
pub fn first_digit(smallest_size: Metres) -> u8 {
    PROBES.iter().rev().find(|probe| smallest_size < probe.diameter).map_or(0, |probe| probe.digit)
}

/// Shape of an opening, for reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Opening {
    /// Long and narrow, by its width.
    Slot,
    /// Square, by its side.
    Square,
    /// Round, by its diameter.
    Round,
}

/// Reach of a finger, mm, by greatest opening, mm: slot, square, round. ISO 13857 table 4, from memory.
const REACH: [(f64, [f64; 3]); 5] = [
    (4.0, [2.0, 2.0, 2.0]),
    (6.0, [10.0, 5.0, 5.0]),
    (8.0, [20.0, 15.0, 5.0]),
    (10.0, [80.0, 25.0, 20.0]),
    (12.0, [100.0, 80.0, 80.0]),
];

/// Least distance behind an opening of size e so that a finger does not reach (ISO 13857 table 4, from memory).
/// `None` above 12 mm: a hand may follow.
pub fn finger_reach(opening: Opening, size: Metres) -> Option<Metres> {
    let column = match opening {
        Opening::Slot => 0,
        Opening::Square => 1,
        Opening::Round => 2,
    };
    let (_, row) = REACH.iter().find(|(most, _)| size.value() <= *most * 1e-3 * (1.0 + 1e-9))?;
    Some(mm(row[column]))
}

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
/// from above), below 12 mm only with the nearest live part beyond the length of the finger, above refused.
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

/// Second digit of the IP code, in words of our own.
pub const WATER: [(u8, &str); 9] = [
    (0, "none"),
    (1, "upright drips"),
    (2, "drips up to 15° from upright"),
    (3, "spray up to 60° from upright"),
    (4, "splashes from all sides"),
    (5, "a jet"),
    (6, "a strong jet"),
    (7, "a short dip"),
    (8, "a long dip"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_smaller_opening_keeps_out_more() {
        // Size in mm -> first digit; an opening as large as the probe lets it in.
        for (size, digit) in
            [(60.0, 0), (50.0, 0), (49.0, 1), (12.5, 1), (12.0, 2), (2.5, 2), (2.4, 3), (1.0, 3), (0.9, 4)]
        {
            assert_eq!(first_digit(mm(size)), digit, "{size}");
        }
    }

    #[test]
    fn reach_grows_with_the_opening() {
        assert_eq!(finger_reach(Opening::Slot, mm(8.0)), Some(mm(20.0)));
        assert_eq!(finger_reach(Opening::Round, mm(8.0)), Some(mm(5.0)));
        assert_eq!(finger_reach(Opening::Round, mm(13.0)), None);
        for opening in [Opening::Slot, Opening::Square, Opening::Round] {
            let reach: Vec<_> = [3.0, 5.0, 7.0, 9.0, 11.0].map(|e| finger_reach(opening, mm(e)).unwrap()).into();
            assert!(reach.windows(2).all(|two| two[0] <= two[1]));
        }
    }

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
