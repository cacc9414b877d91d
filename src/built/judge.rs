//! Each reading of an as-built file against the lamp as it was fitted: within, outside, too near for the meter, or open.

use serde::Serialize;

use crate::Compiled;
use crate::figures::engineering;
use crate::language::document::Spread;
use crate::packet::readings::Reading;
use crate::schema::tables::BUILT;

use super::AsBuilt;

/// What became of one reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Outside what the lamp may show.
    Outside,
    /// So near its limit that the meter cannot tell.
    Unsure,
    /// Nobody wrote it, or something it needs.
    Open,
    /// As it should be.
    Within,
}

/// One line of the judgement.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// What was read, or which stage.
    pub what: String,
    /// Where the file says it.
    pub key: String,
    /// What it should be.
    pub expect: String,
    /// What it is; empty where it is open.
    pub measured: String,
    /// What became of it.
    pub verdict: Verdict,
    /// Why it is open, or by how much it is off.
    pub note: String,
}

/// A reading further than this share from the middle of its batch stands out (our margin).
const OFF: f64 = 0.10;

/// Every reading and stage, in the order of the bench.
pub fn rows(built: &AsBuilt, lamp: &Compiled) -> Vec<Row> {
    let mut rows: Vec<Row> = lamp.readings().iter().map(|reading| row(reading, built, lamp)).collect();
    let stages = BUILT.block("stages").map_or(&[][..], |b| b.properties);
    rows.extend(stages.iter().map(|stage| {
        let key = format!("stages.{}", stage.name);
        let said = built.words.get(&key).cloned();
        Row {
            what: stage.doc.to_owned(),
            expect: "who and when".to_owned(),
            verdict: if said.is_some() { Verdict::Within } else { Verdict::Open },
            note: if said.is_some() { String::new() } else { format!("`{key}` is not written") },
            measured: said.unwrap_or_default(),
            key,
        }
    }));
    rows
}

fn row(reading: &Reading, built: &AsBuilt, lamp: &Compiled) -> Row {
    let ledger = &lamp.solution.ledger;
    let mut row = Row {
        what: reading.what.clone(),
        key: reading.key.clone(),
        expect: reading.expect.clone(),
        measured: String::new(),
        verdict: Verdict::Open,
        note: String::new(),
    };
    let Some(entry) = ledger.get(&reading.path) else {
        row.note = "nothing of this lamp is known to hold it against".to_owned();
        return row;
    };
    let Some(found) = built.measured.get(&reading.key) else {
        row.note = format!("`{}` is not written", reading.key);
        return row;
    };
    row.measured = shown(*found, entry.unit);
    let found = if entry.unit == "°C" {
        let Some(there) = in_warmest_room(*found, built, lamp) else {
            row.note = "`unit.room` is not written, and a temperature without its room says nothing".to_owned();
            return row;
        };
        if there != *found {
            row.note = format!("{} in the warmest room", engineering(there.nominal, entry.unit));
        }
        there
    } else {
        *found
    };
    // A word has nothing to be held against: the line stays open.
    let Some(high) = reading.high else { return row };
    row.verdict = judged(found, reading.low.unwrap_or(f64::NEG_INFINITY), high);
    if row.verdict == Verdict::Unsure {
        row.note = "the meter cannot tell on which side of the limit it is".to_owned();
    }
    row
}

/// What a temperature read in this room would be in the warmest: the rise above the room stays (common practice). Of a
/// room that is an interval, its cold end makes the rise largest.
fn in_warmest_room(found: Spread, built: &AsBuilt, lamp: &Compiled) -> Option<Spread> {
    let (warmest, room) = (lamp.lamp.identity.room.value.as_ref()?.high.value(), built.room?);
    let warmer = |room: f64| warmest - room;
    Some(Spread {
        low: found.low + warmer(room.high),
        nominal: found.nominal + warmer(room.nominal),
        high: found.high + warmer(room.low),
        ..found
    })
}

fn judged(found: Spread, low: f64, high: f64) -> Verdict {
    if found.low >= low && found.high <= high {
        Verdict::Within
    } else if found.high < low || found.low > high || found.low == found.high {
        Verdict::Outside
    } else {
        Verdict::Unsure
    }
}

fn shown(found: Spread, unit: &str) -> String {
    if found.low == found.high {
        engineering(found.nominal, unit)
    } else {
        format!("{} to {}", engineering(found.low, unit), engineering(found.high, unit))
    }
}

/// A reading that stands out among lamps of one batch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outlier {
    /// Where the files say it.
    pub key: String,
    /// The lamp.
    pub number: u32,
    /// How far from the middle of the batch, as a share of it.
    pub off: f64,
}

/// Fewest lamps of which one can stand out (our limit).
const FEWEST: usize = 3;

/// Readings that are more than a tenth from the median of their batch; temperatures count from the room.
pub fn outliers(batch: &[AsBuilt]) -> Vec<Outlier> {
    let mut keys: Vec<&String> = batch.iter().flat_map(|b| b.measured.keys()).collect();
    keys.sort();
    keys.dedup();
    let mut found = Vec::new();
    for key in keys {
        let values: Vec<(u32, f64)> = batch.iter().filter_map(|b| Some((b.number, rise(b, key)?))).collect();
        let mut sorted: Vec<f64> = values.iter().map(|v| v.1).collect();
        sorted.sort_by(f64::total_cmp);
        let middle = median(&sorted);
        if values.len() < FEWEST || middle == 0.0 {
            continue;
        }
        let off = |value: f64| (value - middle) / middle.abs();
        let far = values.iter().filter(|(_, value)| off(*value).abs() > OFF);
        found.extend(far.map(|(number, value)| Outlier { key: key.clone(), number: *number, off: off(*value) }));
    }
    found
}

/// The middle of sorted figures; half way between the two middle ones of an even number.
fn median(sorted: &[f64]) -> f64 {
    let at = |index: usize| sorted.get(index).copied().unwrap_or_default();
    let half = sorted.len() / 2;
    if sorted.len().is_multiple_of(2) { (at(half.saturating_sub(1)) + at(half)) / 2.0 } else { at(half) }
}

/// A figure that lamps of one batch can be compared by: of a temperature, its rise above the room.
fn rise(built: &AsBuilt, key: &str) -> Option<f64> {
    let value = built.measured.get(key)?.nominal;
    let warm = ["measured.wall", "measured.sink"].contains(&key);
    if warm { Some(value - built.room?.nominal) } else { Some(value) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_is_the_middle_one_or_half_way_between_two() {
        for (sorted, middle) in [(&[1.0, 2.0, 9.0][..], 2.0), (&[1.0, 2.0, 4.0, 9.0], 3.0), (&[5.0], 5.0), (&[], 0.0)] {
            assert_eq!(median(sorted), middle, "{sorted:?}");
        }
    }
}
