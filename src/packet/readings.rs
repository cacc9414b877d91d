//! What is read on a finished lamp, with the figure each reading is held against: on paper and in as-built files.

use serde::Serialize;

use super::bench::Bench;
use crate::figures::{between, engineering};
use crate::ledger::Ledger;
use crate::schema::words::{Class, Instrument};
use crate::solve::label::class;

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reading {
    /// What is read, as printed.
    pub what: String,
    /// The figure it is held against, by its path in the ledger.
    pub path: String,
    /// Unit of the write-in box.
    pub unit: &'static str,
    /// Lowest value that is as it should be, SI; none where only the most counts.
    pub low: Option<f64>,
    /// Highest value that is as it should be, SI.
    pub high: Option<f64>,
    /// Both as printed.
    pub expect: String,
    /// The instrument it takes and the owner has not, in words.
    pub borrow: Option<String>,
    /// Where an as-built file says it: `measured.wall`, `measured.red.current`.
    pub key: String,
}

/// A figure without a band of its own may be off by this share (our margin).
const OFF: f64 = 0.10;

/// How a figure is held against a reading.
#[derive(Clone, Copy)]
enum Held<'a> {
    /// It is the most the reading may be; another figure says what to expect.
    Most(Option<&'a str>),
    /// The reading lies in its band, or within [`OFF`] of it.
    Band,
    /// It is what to expect, less [`OFF`]; another figure is the most, or where that is not known its band counts.
    UpTo(&'a str),
}

/// The readings of this lamp in the order they are taken; what has no figure has no reading.
pub fn readings(bench: &Bench<'_>) -> Vec<Reading> {
    let mut rows = Vec::new();
    let mut add = |what: String, path: &str, unit: &'static str, held: Held<'_>, key: &str| {
        let needs = instrument(key, unit);
        let borrow = (!bench.owns(needs)).then(|| bench.instrument(needs));
        let found = reading(&bench.solution.ledger, what, path, unit, held, key);
        rows.extend(found.map(|row| Reading { borrow, ..row }));
    };
    if class(bench.lamp) == Some(Class::I) {
        let what = format!("{} to touchable metal, the highest", bench.term("earth pin"));
        add(what, "line.earth-most", "Ω", Held::Most(Some("line.earth-expected")), "earth");
    }
    let feed = if bench.battery() { "battery" } else { "supply" };
    add(format!("{feed}'s output under load"), "supply.output", "V", Held::Band, "supply");
    add(format!("current from the {feed} at rest"), "feed.idle", "mA", Held::Band, "idle");
    for channel in &bench.lamp.driver.channels {
        let name = &channel.name;
        let (current, string) = (format!("drive.{name}.current"), format!("drive.{name}.string"));
        add(format!("{name}: string current at full"), &current, "mA", Held::Band, &format!("{name}.current"));
        add(format!("{name}: string voltage at full"), &string, "V", Held::Band, &format!("{name}.voltage"));
    }
    if bench.mains() {
        add(
            format!("power {}, all at full", bench.term("from mains")),
            "feed.mains",
            "W",
            Held::UpTo("line.power"),
            "mains",
        );
    }
    // With the margin of their place, as on the safety sheet: two limits for one wall would be one too many.
    add("wall, after the soak, warmest room".into(), "heat.judged.wall", "°C", Held::Most(None), "wall");
    add("sink, after the soak, warmest room".into(), "heat.judged.sink", "°C", Held::Most(None), "sink");
    rows
}

/// The same on paper: the highest of several parts is found by writing each of them down.
pub fn on_paper(bench: &Bench<'_>) -> Vec<Reading> {
    let parts = bench.touchable();
    let pin = bench.term("earth pin");
    let each = |row: Reading| -> Vec<Reading> {
        match row.path == "line.earth-most" && !parts.is_empty() {
            true => parts.iter().map(|part| Reading { what: format!("{pin} to {part}"), ..row.clone() }).collect(),
            false => vec![row],
        }
    };
    readings(bench).into_iter().flat_map(each).collect()
}

fn reading(
    ledger: &Ledger,
    what: String,
    path: &str,
    unit: &'static str,
    held: Held<'_>,
    key: &str,
) -> Option<Reading> {
    let entry = ledger.get(path)?;
    let figure = ledger.band(path).unwrap_or_default();
    let most = match held {
        Held::UpTo(path) => ledger.get(path).and_then(|most| Some((most.value?, most.shown.as_str()))),
        Held::Most(_) | Held::Band => None,
    };
    let (low, high, expect) = match (held, entry.band, entry.value, most) {
        (Held::UpTo(_), _, Some(value), Some((high, shown))) => {
            let low = value - value.abs() * OFF;
            (Some(low), Some(high), between(&engineering(low, entry.unit), shown))
        }
        (Held::Most(expected), band, value, _) => {
            let before = expected.and_then(|path| ledger.band(path)).map_or_else(String::new, |b| format!("{b}, "));
            (None, band.map(|b| b.1).or(value), format!("{before}at most {figure}"))
        }
        (_, Some((low, high)), ..) => (Some(low), Some(high), figure),
        (_, None, Some(value), _) => {
            let off = value.abs() * OFF;
            (Some(value - off), Some(value + off), format!("{figure} ± {} %", OFF * 100.0))
        }
        (_, None, None, _) => (None, None, figure),
    };
    Some(Reading { what, path: path.into(), unit, low, high, expect, borrow: None, key: format!("measured.{key}") })
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
