//! Appliance inlets of IEC 60320 and plugs, with what class, current and temperature each one suits.
//! The connector that fits an inlet has the odd number before it.

use super::Region;
use super::insulation::Class;
use crate::quantity::{Amperes, Temperature};

/// One inlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InletRow {
    /// Number of the inlet's sheet, `C8`.
    pub name: &'static str,
    /// Number of the connector that fits.
    pub connector: &'static str,
    /// Rated current.
    pub current: Amperes,
    /// Rated current in the US where it differs (from memory).
    pub current_us: Option<Amperes>,
    /// Whether it carries an earth contact (class I).
    pub earthed: bool,
    /// Greatest temperature of the pins.
    pub pins: Temperature,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the row is from memory.
    pub from_memory: bool,
}

const fn inlet(name: &'static str, connector: &'static str, amperes: f64, earthed: bool, pins: f64) -> InletRow {
    InletRow {
        name,
        connector,
        current: Amperes::si(amperes),
        current_us: None,
        earthed,
        pins: Temperature::from_celsius(pins),
        source: "IEC 60320-1, standard sheets",
        from_memory: false,
    }
}

const fn also_us(row: InletRow, amperes: f64) -> InletRow {
    InletRow {
        current_us: Some(Amperes::si(amperes)),
        source: "IEC 60320-1, standard sheets; US current from memory",
        ..row
    }
}

/// Inlets for small appliances.
pub const INLETS: [InletRow; 8] = [
    inlet("C2", "C1", 0.2, false, 70.0),
    inlet("C6", "C5", 2.5, true, 70.0),
    inlet("C8", "C7", 2.5, false, 70.0),
    inlet("C10", "C9", 6.0, false, 70.0),
    also_us(inlet("C14", "C13", 10.0, true, 70.0), 15.0),
    inlet("C16", "C15", 10.0, true, 120.0),
    inlet("C18", "C17", 10.0, false, 70.0),
    inlet("C20", "C19", 16.0, true, 70.0),
];

/// The inlet of this name.
pub fn find(name: &str) -> Option<&'static InletRow> {
    INLETS.iter().find(|row| row.name == name)
}

/// Why an inlet does not suit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Misfit {
    /// Class I needs an earth contact.
    NoEarth,
    /// Class II or III and an earth contact that leads nowhere: allowed, but asks for a reason.
    EarthUnused,
    /// The lamp draws more than the inlet's rating.
    Current(Amperes),
    /// The pins get warmer than the inlet allows.
    Temperature(Temperature),
}

/// Everything that speaks against an inlet for a lamp of this class, current and pin temperature.
pub fn misfits(inlet: &InletRow, region: Region, class: Class, current: Amperes, pins: Temperature) -> Vec<Misfit> {
    let rated = match region {
        Region::Us => inlet.current_us.unwrap_or(inlet.current),
        Region::Eu | Region::Uk => inlet.current,
    };
    let mut found = Vec::new();
    match (class, inlet.earthed) {
        (Class::One, false) => found.push(Misfit::NoEarth),
        (Class::Two | Class::Three, true) => found.push(Misfit::EarthUnused),
        _ => {}
    }
    if current > rated {
        found.push(Misfit::Current(rated));
    }
    if pins > inlet.pins {
        found.push(Misfit::Temperature(inlet.pins));
    }
    found
}

/// One kind of plug.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlugRow {
    /// Name of its sheet.
    pub name: &'static str,
    /// Where it is used.
    pub region: Region,
    /// Rated current.
    pub current: Amperes,
    /// Whether it carries an earth contact.
    pub earthed: bool,
    /// Whether it goes in either way round, so that line and neutral may change places.
    pub reversible: bool,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the row is from memory.
    pub from_memory: bool,
}

const fn plug(name: &'static str, region: Region, amperes: f64, earthed: bool, reversible: bool) -> PlugRow {
    let source = "plug standard of that name; from memory";
    PlugRow { name, region, current: Amperes::si(amperes), earthed, reversible, source, from_memory: true }
}

/// Plugs of small lamps.
pub const PLUGS: [PlugRow; 6] = [
    plug("EN 50075", Region::Eu, 2.5, false, true),
    plug("CEE 7/17", Region::Eu, 16.0, false, true),
    plug("CEE 7/7", Region::Eu, 16.0, true, true),
    plug("BS 1363", Region::Uk, 13.0, true, false),
    plug("NEMA 1-15P", Region::Us, 15.0, false, false),
    plug("NEMA 5-15P", Region::Us, 15.0, true, false),
];

/// The plug of this name.
pub fn plug_named(name: &str) -> Option<&'static PlugRow> {
    PLUGS.iter().find(|row| row.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WARM: Temperature = Temperature::from_celsius(50.0);

    fn judged(name: &str, class: Class, amperes: f64, pins: Temperature) -> Vec<Misfit> {
        misfits(find(name).unwrap(), Region::Eu, class, Amperes::si(amperes), pins)
    }

    #[test]
    fn class_and_inlet_belong_together() {
        assert_eq!(judged("C8", Class::Two, 0.1, WARM), []);
        assert_eq!(judged("C8", Class::One, 0.1, WARM), [Misfit::NoEarth]);
        assert_eq!(judged("C14", Class::Two, 0.1, WARM), [Misfit::EarthUnused]);
        assert_eq!(judged("C14", Class::One, 0.1, WARM), []);
    }

    #[test]
    fn current_and_heat_are_told_apart() {
        let found = judged("C8", Class::Two, 3.0, Temperature::from_celsius(75.0));
        assert_eq!(found, [Misfit::Current(Amperes::si(2.5)), Misfit::Temperature(Temperature::from_celsius(70.0))]);
    }

    #[test]
    fn the_american_rating_is_used_in_america_only() {
        let c14 = find("C14").unwrap();
        let at = |region| misfits(c14, region, Class::One, Amperes::si(12.0), WARM).len();
        assert_eq!((at(Region::Us), at(Region::Eu)), (0, 1));
    }

    #[test]
    fn connectors_carry_the_odd_number_before() {
        for row in INLETS {
            let number = |name: &str| name.trim_start_matches('C').parse::<i32>().unwrap();
            assert_eq!(number(row.connector) + 1, number(row.name));
        }
        assert!(plug_named("EN 50075").unwrap().reversible && !plug_named("BS 1363").unwrap().reversible);
    }
}
