//! Reads the stored vectors of light: JSON files beside tables of the CIE, and the channels that many of them mix.
//! What each file holds and how it was made stands in tests/reference/light/ORIGIN.md.

#![allow(clippy::unwrap_used, clippy::disallowed_methods, reason = "helpers of tests, outside of a test function")]

use lampwright::physics::light::chromaticity::Chromaticity;
use lampwright::physics::light::mixing::Channel;
use lampwright::physics::light::spectrum::Spectrum;
use lampwright::physics::light::temperature::white;
use lampwright::quantity::{Kelvin, Metres, Watts};
use serde_json::Value;

/// A file of vectors, parsed.
pub(crate) fn vectors(name: &str) -> Value {
    let path = crate::support::root().join("tests/reference/light").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    serde_json::from_str(&text).unwrap()
}

/// The rows of a list; an empty one is a fault of the test.
pub(crate) fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    let rows = value[key].as_array().unwrap_or_else(|| panic!("no list {key}"));
    assert!(!rows.is_empty(), "{key} is empty");
    rows
}

/// A number of a row.
pub(crate) fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} of {row} is no number"))
}

/// A pair of numbers as x, y.
pub(crate) fn point(row: &Value, key: &str) -> Chromaticity {
    Chromaticity { x: row[key][0].as_f64().unwrap(), y: row[key][1].as_f64().unwrap() }
}

/// A list of numbers.
pub(crate) fn numbers(row: &Value, key: &str) -> Vec<f64> {
    list(row, key).iter().map(|v| v.as_f64().unwrap()).collect()
}

/// Nanometres.
pub(crate) const fn nm(value: f64) -> Metres {
    Metres::si(value * 1e-9)
}

/// Fails unless within an absolute distance.
#[track_caller]
pub(crate) fn near(found: f64, expected: f64, distance: f64, what: &str) {
    assert!((found - expected).abs() <= distance, "{what}: found {found}, expected {expected}");
}

/// The test channels: spectrum, radiant watts at full, electrical watts at full.
pub(crate) fn spectrum_of(key: char) -> (Spectrum, f64, f64) {
    let die = |peak, width| Spectrum::die(nm(peak), nm(width));
    let phosphor = |kelvin| Spectrum::phosphor_white(white(Kelvin::si(kelvin), 0.0), nm(450.0)).unwrap();
    match key {
        'R' => (die(632.0, 18.0), 0.5, 1.1),
        'G' => (die(520.0, 33.0), 0.35, 1.6),
        'B' => (die(455.0, 20.0), 0.8, 1.55),
        'A' => (die(592.0, 16.0), 0.15, 1.05),
        'W' => (phosphor(2700.0), 0.45, 1.05),
        'C' => (phosphor(6500.0), 0.5, 1.05),
        other => panic!("no channel {other}"),
    }
}

/// The channels named by the letters of a row, at full.
pub(crate) fn channels(row: &Value) -> Vec<Channel> {
    let one = |key| {
        let (spectrum, radiant, electrical) = spectrum_of(key);
        Channel { light: spectrum.tristimulus().times(radiant), power: Watts::si(electrical), most: 1.0, fixed: false }
    };
    row["channels"].as_str().unwrap().chars().map(one).collect()
}
