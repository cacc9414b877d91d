//! Classes of protection against electric shock, and the values insulation and earth are tested with.
//! The electric strength values are for a laboratory; a home builder is told not to apply them.

use crate::quantity::{Amperes, Metres, Ohms, OhmsPerMetre, Temperature, Volts, Watts};

use super::wire::resistance_at;

/// Protection class of the lamp, IEC 61140 and IEC 60598-1 section 2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Basic insulation and every touchable conductive part bonded to earth.
    One,
    /// Double or reinforced insulation, no earth.
    Two,
    /// Fed with safety extra-low voltage only.
    Three,
}

/// What an insulation does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Insulation {
    /// The first layer over live parts.
    Basic,
    /// Double insulation, or a single one as good.
    Reinforced,
}

impl Class {
    /// Number of the class mark in IEC 60417 (that of class III from memory); class I has the mark of protective earth
    /// at its terminal instead.
    pub const fn mark(self) -> u32 {
        match self {
            Self::One => 5019,
            Self::Two => 5172,
            Self::Three => 5180,
        }
    }
}

/// One insulation resistance test, a minute long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResistanceTest {
    /// Direct test voltage.
    pub voltage: Volts,
    /// Least resistance.
    pub least: Ohms,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the resistance is from memory.
    pub from_memory: bool,
}

/// Insulation resistance, IEC 60598-1, 10.2.1 and table 10.1.
pub fn resistance_test(kind: Insulation) -> ResistanceTest {
    let test = |megohms: f64, from_memory| ResistanceTest {
        voltage: Volts::si(500.0),
        least: Ohms::si(megohms * 1e6),
        source: if from_memory {
            "IEC 60598-1, table 10.1; resistance from memory"
        } else {
            "IEC 60598-1, 10.2.1 and table 10.1"
        },
        from_memory,
    };
    match kind {
        Insulation::Basic => test(2.0, false),
        Insulation::Reinforced => test(4.0, true),
    }
}

/// One electric strength test: alternating voltage for a minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrengthTest {
    /// Alternating test voltage, rms.
    pub alternating: Volts,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the formula is from memory.
    pub from_memory: bool,
}

/// Electric strength by working voltage U (IEC 60598-1, 10.2.2): basic 2U + 1000 V; reinforced 4U + 2000 V (from
/// memory). Editions to about 2003 add 750 V; laboratory value only.
pub fn strength_test(kind: Insulation, working: Volts) -> StrengthTest {
    let u = working.value();
    let (volts, from_memory) = match kind {
        Insulation::Basic => (2.0 * u + 1000.0, false),
        Insulation::Reinforced => (4.0 * u + 2000.0, true),
    };
    StrengthTest {
        alternating: Volts::si(volts),
        source: if from_memory { "IEC 60598-1, 10.2.2; from memory" } else { "IEC 60598-1, 10.2.2" },
        from_memory,
    }
}

/// Greatest resistance from the earth terminal to a metal part that can be touched (IEC 60598-1, 7.2.3).
pub const EARTH_LIMIT: Ohms = Ohms::si(0.5);
/// Least current of the earth test, from at most 12 V without load, for at least a minute (IEC 60598-1, 7.2.3).
pub const EARTH_TEST_CURRENT: Amperes = Amperes::si(10.0);
/// Contacts of plug, terminal and bonding screw together, least and greatest (our guideline).
pub const EARTH_CONTACTS: (Ohms, Ohms) = (Ohms::si(0.02), Ohms::si(0.05));

/// What the earth test should read: R'(PE) L and the contacts; least and greatest.
pub fn expected_earth_resistance(per_length: OhmsPerMetre, length: Metres, temperature: Temperature) -> (Ohms, Ohms) {
    let cord = resistance_at(per_length, temperature) * length;
    (cord + EARTH_CONTACTS.0, cord + EARTH_CONTACTS.1)
}

/// Whether the class III route is worth proposing: a bought extra-low supply up to about 60 W (our guideline).
pub fn suggest_class_three(class: Class, power: Watts) -> bool {
    class != Class::Three && power.value() <= 60.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_lamps_are_shown_the_third_class() {
        assert!(suggest_class_three(Class::Two, Watts::si(60.0)));
        assert!(!suggest_class_three(Class::Two, Watts::si(61.0)));
        assert!(!suggest_class_three(Class::Three, Watts::si(6.0)));
    }

    #[test]
    fn an_earth_reading_is_cord_and_contacts() {
        // 2 m of 0.75 mm² class 5 at 20 °C: 0.052 ohm and the contacts.
        let (least, most) =
            expected_earth_resistance(OhmsPerMetre::si(0.026), Metres::si(2.0), Temperature::from_celsius(20.0));
        assert!((least.value() - 0.072).abs() < 1e-12 && (most.value() - 0.102).abs() < 1e-12);
        assert!(most < EARTH_LIMIT);
    }

    #[test]
    fn better_insulation_is_tested_harder() {
        let u = Volts::si(230.0);
        assert!(strength_test(Insulation::Reinforced, u).alternating > strength_test(Insulation::Basic, u).alternating);
        assert!(resistance_test(Insulation::Reinforced).least > resistance_test(Insulation::Basic).least);
        assert_eq!(resistance_test(Insulation::Basic).voltage.value(), 500.0);
    }
}
