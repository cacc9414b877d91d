//! Temperature limits: parts of a lamp by IEC 60598-1, touch by contact time, wires, and the limits we design with.
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

const LAMP: &str = "IEC 60598-1, table 12.1; from memory";
const LAMP_SECOND_HAND: &str = "IEC 60598-1, section 12; second hand";
const OURS: &str = "our margin";
const CELL: &str = "usual of data sheets of such cells; from memory";

/// Every limit known, by item.
pub const LIMITS: [LimitRow; 28] = [
    row("mounting-surface", 90.0, "normally flammable, normal operation", LAMP, true),
    row("mounting-surface-fault", 130.0, "normally flammable, abnormal operation", LAMP_SECOND_HAND, false),
    row("dust-surface", 90.0, "horizontal surface of a lamp for dusty places", LAMP, true),
    row("dust-surface-fault", 115.0, "the same in a fault", LAMP_SECOND_HAND, false),
    row("adjusted-metal", 70.0, "metal touched while adjusting", LAMP_SECOND_HAND, false),
    row("adjusted-other", 85.0, "other material touched while adjusting", LAMP, true),
    row("wood", 90.0, "wood, paper and textile parts", LAMP, true),
    row("wire-pvc", 90.0, "ordinary PVC wiring inside a lamp", LAMP, true),
    row("wire-pvc-heat", 105.0, "heat-resistant PVC", LAMP, true),
    row("wire-silicone", 200.0, "silicone rubber, not under load", LAMP, true),
    row("supply-wires", 70.0, "fixed wiring, ordinary", LAMP, true),
    row("part-abs", 95.0, "ABS part", LAMP, true),
    row("part-acrylic", 90.0, "acrylic part", LAMP, true),
    row("part-polystyrene", 75.0, "polystyrene part", LAMP, true),
    row("part-polypropylene", 100.0, "polypropylene part", LAMP, true),
    row("part-polycarbonate", 130.0, "polycarbonate part", LAMP, true),
    row("part-polyamide", 120.0, "polyamide part", LAMP, true),
    row("cord-pvc", 70.0, "PVC cord, general", "IEC 60227-1; from memory", true),
    row("junction", 105.0, "junction we design to", OURS, false),
    row("junction-absolute", 135.0, "junction never to be passed without a data sheet", OURS, false),
    row("touch-metal", 60.0, "metal that hands meet", OURS, false),
    row("touch-metal-child", 50.0, "metal that children meet", OURS, false),
    row("capacitor", 85.0, "electrolytic capacitor without a data sheet", OURS, false),
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

/// Burn thresholds of ISO 13732-1 for any material, by contact time: 51 °C from a minute, 48 °C from ten minutes,
/// 43 °C from eight hours (from memory); `None` below a minute, where the material decides.
pub fn burn_threshold(contact: Seconds) -> Option<Temperature> {
    let celsius = match contact.value() {
        s if s >= 8.0 * 3600.0 => 43.0,
        s if s >= 600.0 => 48.0,
        s if s >= 60.0 => 51.0,
        _ => return None,
    };
    Some(Temperature::from_celsius(celsius))
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
        assert_eq!(burn_threshold(Seconds::si(30.0)), None);
        assert_eq!(burn_threshold(Seconds::si(3600.0)), Some(Temperature::from_celsius(48.0)));
    }
}
