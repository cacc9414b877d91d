//! Temperature limits: the surface under a lamp by IEC 60598-1, touch by contact time, and the limits we design with.
//! Tests refer to 25 °C around the lamp, or to the marked t_a; touch limits do not shift with it.

use crate::quantity::{Seconds, Temperature};

/// One limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitRow {
    /// What is limited, a word for a rule.
    pub item: &'static str,
    /// Greatest temperature.
    pub limit: Temperature,
    /// What it holds for.
    pub note: &'static str,
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

const fn row(
    item: &'static str,
    celsius: f64,
    note: &'static str,
    source: &'static str,
    from_memory: bool,
) -> LimitRow {
    LimitRow { item, limit: Temperature::from_celsius(celsius), note, source, from_memory }
}

const OURS: &str = "our margin";
const CELL: &str = "usual of data sheets of such cells; from memory";

/// Limits that a lamp is judged by where its spec writes none, by item.
const LIMITS: [LimitRow; 7] = [
    row("mounting-surface", 90.0, "normally flammable, normal operation", "IEC 60598-1, table 12.1; from memory", true),
    row("junction", 105.0, "junction we design to", OURS, false),
    row("supply-case", 70.0, "case of a bought supply without a data sheet", OURS, false),
    row("battery-iron-phosphate", 60.0, "cell in use; charging ends at 45 °C", CELL, true),
    row("battery-lithium-ion", 60.0, "cell in use; charging ends at 45 °C", CELL, true),
    row("battery-lead-acid", 50.0, "battery in use; charging ends at 40 °C", CELL, true),
    row("battery-nickel-hydride", 50.0, "cell in use; charging ends at 45 °C", CELL, true),
];

/// The limit of this item.
pub fn find(item: &str) -> Option<&'static LimitRow> {
    LIMITS.iter().find(|row| row.item == item)
}

/// What a hand meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touched {
    /// Bare metal.
    Metal,
    /// Glass, glazed ceramic, stone.
    Glass,
    /// Plastic and rubber.
    Plastic,
    /// Wood.
    Wood,
}

/// Touch by contact time, °C: metal, glass, plastic, wood. IEC 62368-1, class TS1; an analogy, not a rule for lamps.
/// Plastic from 1 to 10 s was seen, the others are from memory.
const TOUCH: [(f64, [f64; 4]); 4] = [
    (1.0, [70.0, 85.0, 94.0, 140.0]),
    (10.0, [60.0, 71.0, 77.0, 107.0]),
    (60.0, [51.0, 56.0, 60.0, 60.0]),
    (f64::INFINITY, [48.0, 48.0, 48.0, 48.0]),
];

/// Greatest temperature of a surface touched for this long (IEC 62368-1, table 38, class TS1; mostly from memory).
pub fn touch_limit(touched: Touched, contact: Seconds) -> LimitRow {
    let column = match touched {
        Touched::Metal => 0,
        Touched::Glass => 1,
        Touched::Plastic => 2,
        Touched::Wood => 3,
    };
    let found = TOUCH.iter().find(|(most, _)| contact.value() <= *most).map_or(48.0, |(_, row)| row[column]);
    row("touch", found, "touched for the stated time", "IEC 62368-1, table 38 (TS1), by analogy; from memory", true)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flags_and_sources_agree() {
        for row in LIMITS {
            assert_eq!(row.from_memory, row.source.contains("from memory"), "{}", row.item);
            assert_eq!(find(row.item), Some(&row));
        }
    }

    #[test]
    fn longer_touch_bears_less() {
        for touched in [Touched::Metal, Touched::Glass, Touched::Plastic, Touched::Wood] {
            let limits = [0.5, 5.0, 30.0, 600.0].map(|s| touch_limit(touched, Seconds::si(s)).limit);
            assert!(limits.windows(2).all(|two| two[1] <= two[0]));
        }
        assert_eq!(touch_limit(Touched::Metal, Seconds::si(10.0)).limit, Temperature::from_celsius(60.0));
    }
}
