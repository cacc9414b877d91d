//! Appliance inlets of IEC 60320 and plugs by name to their currents, earth contacts and temperatures of pins.
//! Line and neutral may change places where a plug goes in either way round.

use crate::quantity::{Amperes, Temperature};

/// One inlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InletRow {
    /// Number of the inlet's sheet, `C8`.
    pub name: &'static str,
    /// Rated current.
    pub current: Amperes,
    /// Rated current in the US where it differs (from memory).
    pub current_us: Option<Amperes>,
    /// Whether it carries an earth contact (class I).
    pub earthed: bool,
    /// Whether its connector goes in either way round, so that no pin of it is the line's (from memory; C10, whose sheet
    /// was not at hand, is taken to let it).
    pub turns: bool,
    /// Greatest temperature of the pins.
    pub pins: Temperature,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the row is from memory.
    pub from_memory: bool,
}

const fn inlet(name: &'static str, amperes: f64, earthed: bool, pins: f64) -> InletRow {
    InletRow {
        name,
        current: Amperes::si(amperes),
        current_us: None,
        earthed,
        turns: false,
        pins: Temperature::from_celsius(pins),
        source: "IEC 60320-1, standard sheets",
        from_memory: false,
    }
}

const fn turning(row: InletRow) -> InletRow {
    InletRow { turns: true, ..row }
}

const fn also_us(row: InletRow, amperes: f64) -> InletRow {
    InletRow {
        current_us: Some(Amperes::si(amperes)),
        source: "IEC 60320-1, standard sheets; US current from memory",
        ..row
    }
}

/// Inlets for small appliances.
const INLETS: [InletRow; 8] = [
    turning(inlet("C2", 0.2, false, 70.0)),
    inlet("C6", 2.5, true, 70.0),
    turning(inlet("C8", 2.5, false, 70.0)),
    turning(inlet("C10", 6.0, false, 70.0)),
    also_us(inlet("C14", 10.0, true, 70.0), 15.0),
    inlet("C16", 10.0, true, 120.0),
    inlet("C18", 10.0, false, 70.0),
    inlet("C20", 16.0, true, 70.0),
];

/// The inlet of this name.
pub fn find(name: &str) -> Option<&'static InletRow> {
    INLETS.iter().find(|row| row.name == name)
}

/// One kind of plug.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlugRow {
    /// Name of its sheet.
    pub name: &'static str,
    /// Whether it carries an earth contact.
    pub earthed: bool,
    /// Whether it goes in either way round, so that line and neutral may change places.
    pub reversible: bool,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the row is from memory.
    pub from_memory: bool,
}

const fn plug(name: &'static str, earthed: bool, reversible: bool) -> PlugRow {
    PlugRow { name, earthed, reversible, source: "plug standard of that name; from memory", from_memory: true }
}

/// Plugs of small lamps.
const PLUGS: [PlugRow; 6] = [
    plug("EN 50075", false, true),
    plug("CEE 7/17", false, true),
    plug("CEE 7/7", true, true),
    plug("BS 1363", true, false),
    plug("NEMA 1-15P", false, false),
    plug("NEMA 5-15P", true, false),
];

/// The plug of this name.
pub fn plug_named(name: &str) -> Option<&'static PlugRow> {
    PLUGS.iter().find(|row| row.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plugs_tell_which_way_they_go() {
        // Three pins go in one way only.
        assert!(INLETS.iter().all(|row| !(row.turns && row.earthed)));
        assert!(plug_named("EN 50075").unwrap().reversible && !plug_named("BS 1363").unwrap().reversible);
    }
}
