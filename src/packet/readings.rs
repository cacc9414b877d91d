//! What is read on a finished lamp, with the figure each reading is held against: on paper and in as-built files.

use serde::Serialize;

use super::bench::Bench;
use crate::schema::words::{Class, Instrument};
use crate::solve::label::class;

/// One reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reading {
    /// What is read, as printed.
    pub what: String,
    /// The figure it is held against, by its path in the ledger.
    pub path: String,
    /// Unit of the write-in box.
    pub unit: &'static str,
    /// Whether the figure is the most it may be, and not what it should be.
    pub most: bool,
    /// The instrument it takes and the owner has not, in words.
    pub borrow: Option<&'static str>,
    /// Where an as-built file says it: `measured.wall`, `measured.red.current`.
    pub key: String,
}

/// The readings of this lamp in the order they are taken; what has no figure has no reading.
pub fn readings(bench: &Bench<'_>) -> Vec<Reading> {
    let mut rows = Vec::new();
    let mut add = |what: String, path: &str, unit: &'static str, most: bool, key: &str| {
        if bench.solution.ledger.get(path).is_some() {
            let needs = instrument(key, unit);
            let borrow = (!bench.owns(needs)).then(|| bench.instrument(needs));
            rows.push(Reading { what, path: path.into(), unit, most, borrow, key: format!("measured.{key}") });
        }
    };
    if class(bench.lamp) == Some(Class::I) {
        add("earth pin to each touchable metal part".into(), "line.earth-most", "Ω", true, "earth");
    }
    let feed = if bench.lamp.supply.battery.is_some() { "battery" } else { "supply" };
    add(format!("{feed}'s output under load"), "supply.output", "V", false, "supply");
    add(format!("current from the {feed} at rest"), "feed.idle", "mA", false, "idle");
    for channel in &bench.lamp.driver.channels {
        let name = &channel.name;
        let (current, string) = (format!("drive.{name}.current"), format!("drive.{name}.string"));
        add(format!("{name}: string current at full"), &current, "mA", false, &format!("{name}.current"));
        add(format!("{name}: string voltage at full"), &string, "V", false, &format!("{name}.voltage"));
    }
    if bench.solution.line.is_some() {
        add("power from the mains, all at full".into(), "feed.mains", "W", false, "mains");
    }
    add("wall, after the soak, warmest room".into(), "heat.wall", "°C", true, "wall");
    add("sink, after the soak, warmest room".into(), "heat.sink", "°C", true, "sink");
    rows
}

/// What a reading is taken with.
fn instrument(key: &str, unit: &str) -> Instrument {
    match (key, unit) {
        ("earth", _) => Instrument::EarthTester,
        (_, "W") => Instrument::PowerMeter,
        (_, "°C") => Instrument::Thermometer,
        _ => Instrument::Meter,
    }
}
