//! Graphical symbols by number to what they mean, names only, no artwork; threads of terminal screws to their torque.
//! Every row says whether it is from memory.

use crate::quantity::{Metres, NewtonMetres};

/// One symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mark {
    /// Number with its standard.
    pub number: &'static str,
    /// What it says, in our words.
    pub meaning: &'static str,
    /// Whether the number is from memory.
    pub from_memory: bool,
    /// Where it stands.
    pub source: &'static str,
}

const fn mark(number: &'static str, meaning: &'static str, from_memory: bool) -> Mark {
    let source = if from_memory { "register of that number; number from memory" } else { "register of that number" };
    Mark { number, meaning, from_memory, source }
}

/// Symbols a lamp or its sheets may carry.
const MARKS: [Mark; 24] = [
    mark("IEC 60417-5007", "on", false),
    mark("IEC 60417-5008", "off", false),
    mark("IEC 60417-5009", "stand-by", true),
    mark("IEC 60417-5010", "on and off by pushing", true),
    mark("IEC 60417-5016", "fuse", true),
    mark("IEC 60417-5017", "earth", false),
    mark("IEC 60417-5018", "functional earth", false),
    mark("IEC 60417-5019", "protective earth", false),
    mark("IEC 60417-5020", "frame or chassis", false),
    mark("IEC 60417-5021", "equipotential bonding", false),
    mark("IEC 60417-5031", "direct current", false),
    mark("IEC 60417-5032", "alternating current", false),
    mark("IEC 60417-5033", "direct and alternating current", false),
    mark("IEC 60417-5036", "dangerous voltage", true),
    mark("IEC 60417-5041", "hot surface", true),
    mark("IEC 60417-5172", "class II", false),
    mark("IEC 60417-5180", "class III", true),
    mark("IEC 60417-5957", "indoors only", true),
    mark("ISO 7000-0434", "caution", false),
    mark("ISO 7000-1641", "read the instructions", false),
    mark("ISO 7010-W001", "general warning", true),
    mark("ISO 7010-W012", "electricity", true),
    mark("ISO 7010-W017", "hot surface", true),
    mark("ISO 7010-W027", "optical radiation", true),
];

/// The mark of this number.
pub fn by_number(number: &str) -> Option<&'static Mark> {
    MARKS.iter().find(|mark| mark.number == number)
}

/// Torque for a terminal screw by greatest thread diameter, mm: headless, with head; N·m.
const TERMINAL_TORQUE: [(f64, f64, f64); 7] = [
    (2.8, 0.2, 0.4),
    (3.0, 0.25, 0.5),
    (3.2, 0.3, 0.6),
    (3.6, 0.4, 0.8),
    (4.1, 0.7, 1.2),
    (4.7, 0.8, 1.8),
    (5.3, 0.8, 2.0),
];

/// Torque of a terminal screw of this thread (IEC 60335-1 table 14, from memory): `headless`, else with a head.
/// `None` above 5.3 mm.
pub fn terminal_torque(thread: Metres, headless: bool) -> Option<NewtonMetres> {
    let row = TERMINAL_TORQUE.iter().find(|(most, ..)| thread.value() <= most * 1e-3 * (1.0 + 1e-9))?;
    Some(NewtonMetres::si(if headless { row.1 } else { row.2 }))
}

#[cfg(test)]
mod tests {
    use super::super::mm;
    use super::*;

    #[test]
    fn every_number_stands_once() {
        assert!(MARKS.windows(2).all(|two| two[0].number < two[1].number));
        assert_eq!(by_number("IEC 60417-5172").map(|mark| mark.meaning), Some("class II"));
        assert_eq!(by_number("IEC 60417-9999"), None);
    }

    #[test]
    fn torque_follows_the_thread() {
        assert_eq!(terminal_torque(mm(3.0), false).map(|t| t.value()), Some(0.5));
        assert_eq!(terminal_torque(mm(3.1), true).map(|t| t.value()), Some(0.3));
        assert_eq!(terminal_torque(mm(6.0), false), None);
    }
}
