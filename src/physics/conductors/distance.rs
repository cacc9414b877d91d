//! Creepage and clearance: the steps of IEC 60598-1 table 11.1 and of IEC 60664-1, and the larger of both.
//! Between rows the program prints the step; the interpolated value is there for comparison.

use super::insulation::Insulation;
use super::mm;
use crate::quantity::{Metres, Volts};

/// A distance with the row it was read from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distance {
    /// Least distance.
    pub distance: Metres,
    /// Voltage of the row (working voltage, or impulse for a clearance of IEC 60664-1).
    pub row: Volts,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the row is from memory.
    pub from_memory: bool,
}

/// Material group by comparative tracking index, IEC 60664-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// CTI from 600.
    One,
    /// CTI 400 to 599.
    Two,
    /// CTI 100 to 399; taken for wood, print and boards nobody knows.
    Three,
}

/// One row of IEC 60598-1 table 11.1 in mm: volts, creepage basic PTI from 600, below 600, reinforced;
/// clearance basic, reinforced.
struct LampRow {
    volts: f64,
    creepage: [Option<f64>; 3],
    clearance: [Option<f64>; 2],
    from_memory: bool,
}

const LAMP_TABLE: [LampRow; 3] = [
    LampRow { volts: 50.0, creepage: [Some(0.6), Some(1.2), None], clearance: [Some(0.2), None], from_memory: true },
    LampRow {
        volts: 150.0,
        creepage: [Some(0.8), Some(1.6), Some(3.2)],
        clearance: [Some(0.8), Some(1.6)],
        from_memory: true,
    },
    LampRow {
        volts: 250.0,
        creepage: [Some(1.5), Some(2.5), Some(5.0)],
        clearance: [Some(1.5), Some(3.0)],
        from_memory: false,
    },
];

fn lamp_distance(working: Volts, pick: impl Fn(&LampRow) -> Option<f64>) -> Option<Distance> {
    let row = LAMP_TABLE.iter().find(|row| working.value() <= row.volts && pick(row).is_some())?;
    Some(Distance {
        distance: mm(pick(row)?),
        row: Volts::si(row.volts),
        source: if row.from_memory {
            "IEC 60598-1:2014, table 11.1; row from memory, agrees with IEC 60664-1"
        } else {
            "IEC 60598-1:2014, table 11.1"
        },
        from_memory: row.from_memory,
    })
}

/// Creepage by IEC 60598-1 table 11.1 (pollution degree 2, impulse category II); `None` above 250 V.
///
/// Reinforced below 50 V has no row of its own and takes the next one. Extra-low insulation counts as basic.
pub fn lamp_creepage(working: Volts, kind: Insulation, group: Group) -> Option<Distance> {
    let column = match (kind, group) {
        (Insulation::Reinforced, _) => 2,
        (_, Group::One) => 0,
        _ => 1,
    };
    lamp_distance(working, |row| row.creepage[column])
}

/// Clearance by IEC 60598-1 table 11.1; `None` above 250 V.
pub fn lamp_clearance(working: Volts, kind: Insulation) -> Option<Distance> {
    let column = usize::from(kind == Insulation::Reinforced);
    lamp_distance(working, |row| row.clearance[column])
}

/// IEC 60664-1 table F.4 in mm: volts; pollution degree 2 groups I, II, III; degree 3 group III.
/// Rows below 40 V are from memory; the others agree in two published copies.
const CREEPAGE: [(f64, [f64; 4]); 18] = [
    (10.0, [0.40, 0.40, 0.40, 1.00]),
    (12.5, [0.42, 0.42, 0.42, 1.05]),
    (16.0, [0.45, 0.45, 0.45, 1.10]),
    (20.0, [0.48, 0.48, 0.48, 1.20]),
    (25.0, [0.50, 0.50, 0.50, 1.25]),
    (32.0, [0.53, 0.53, 0.53, 1.30]),
    (40.0, [0.56, 0.80, 1.10, 1.80]),
    (50.0, [0.60, 0.85, 1.20, 1.90]),
    (63.0, [0.63, 0.90, 1.25, 2.00]),
    (80.0, [0.67, 0.95, 1.30, 2.10]),
    (100.0, [0.71, 1.00, 1.40, 2.20]),
    (125.0, [0.75, 1.05, 1.50, 2.40]),
    (160.0, [0.80, 1.10, 1.60, 2.50]),
    (200.0, [1.00, 1.40, 2.00, 3.20]),
    (250.0, [1.25, 1.80, 2.50, 4.00]),
    (320.0, [1.60, 2.20, 3.20, 5.00]),
    (400.0, [2.00, 2.80, 4.00, 6.30]),
    (500.0, [2.50, 3.60, 5.00, 8.00]),
];

/// How dirty the surface may get.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pollution {
    /// Degree 2: dry dust, now and then dew.
    Two,
    /// Degree 3: conductive dust or damp; group III is used for every material.
    Three,
}

const fn creepage_column(group: Group, pollution: Pollution) -> usize {
    match (pollution, group) {
        (Pollution::Three, _) => 3,
        (_, Group::One) => 0,
        (_, Group::Two) => 1,
        (_, Group::Three) => 2,
    }
}

const fn doubled(kind: Insulation) -> f64 {
    if matches!(kind, Insulation::Reinforced) { 2.0 } else { 1.0 }
}

/// Creepage by IEC 60664-1 table F.4 (F.5 in the edition of 2020), step value; reinforced is twice basic.
/// `None` above 500 V.
pub fn basic_creepage(working: Volts, kind: Insulation, group: Group, pollution: Pollution) -> Option<Distance> {
    let column = creepage_column(group, pollution);
    let (volts, row) = CREEPAGE.iter().find(|(volts, _)| working.value() <= *volts)?;
    Some(Distance {
        distance: mm(row[column] * doubled(kind)),
        row: Volts::si(*volts),
        source: if *volts < 40.0 { "IEC 60664-1, table F.4; row from memory" } else { "IEC 60664-1, table F.4" },
        from_memory: *volts < 40.0,
    })
}

/// The same, by straight lines between rows, which IEC 60664-1 allows; the first row below 10 V.
pub fn interpolated_creepage(working: Volts, kind: Insulation, group: Group, pollution: Pollution) -> Option<Metres> {
    let (u, column) = (working.value(), creepage_column(group, pollution));
    let after = CREEPAGE.iter().position(|(volts, _)| u <= *volts)?;
    let (v1, row1) = CREEPAGE.get(after)?;
    let (v0, row0) = CREEPAGE.get(after.saturating_sub(1))?;
    let share = if v1 > v0 { (u - v0) / (v1 - v0) } else { 1.0 };
    Some(mm((row0[column] + share * (row1[column] - row0[column])) * doubled(kind)))
}

/// Impulse voltages of IEC 60664-1, V, with the clearance of table F.2 case A, mm (from memory).
const CLEARANCE: [(f64, f64); 8] = [
    (330.0, 0.01),
    (500.0, 0.04),
    (800.0, 0.10),
    (1500.0, 0.5),
    (2500.0, 1.5),
    (4000.0, 3.0),
    (6000.0, 5.5),
    (8000.0, 8.0),
];
/// Least clearance for the pollution, mm (from memory).
const LEAST_CLEARANCE: (f64, f64) = (0.2, 0.8);

/// Place in the installation, IEC 60664-1: II is a thing with a plug.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Category {
    /// Behind a limiter.
    One,
    /// Appliances and lamps with a plug.
    Two,
    /// Fixed installation.
    Three,
    /// Origin of the installation.
    Four,
}

/// Rated impulse voltage by line-to-neutral voltage and category (IEC 60664-1, table F.1); `None` above 300 V.
pub fn rated_impulse(line_to_neutral: Volts, category: Category) -> Option<Volts> {
    let row = match line_to_neutral.value() {
        u if u <= 150.0 => [800.0, 1500.0, 2500.0, 4000.0],
        u if u <= 300.0 => [1500.0, 2500.0, 4000.0, 6000.0],
        _ => return None,
    };
    let [one, two, three, four] = row;
    Some(Volts::si(match category {
        Category::One => one,
        Category::Two => two,
        Category::Three => three,
        Category::Four => four,
    }))
}

/// Factors on clearance by altitude above the sea, m (IEC 60664-1, table A.2; from memory); step upwards.
const ALTITUDE: [(f64, f64); 4] = [(2000.0, 1.00), (3000.0, 1.14), (4000.0, 1.29), (5000.0, 1.48)];

/// The factor on clearance at an altitude; `None` above 5000 m.
fn altitude_factor(altitude: Metres) -> Option<f64> {
    ALTITUDE.iter().find(|(metres, _)| altitude.value() <= *metres).map(|(_, factor)| *factor)
}

/// Clearance by IEC 60664-1 table F.2 case A for an impulse voltage; reinforced takes the next step.
pub fn basic_clearance(impulse: Volts, kind: Insulation, pollution: Pollution, altitude: Metres) -> Option<Distance> {
    let step = CLEARANCE.iter().position(|(volts, _)| impulse.value() <= *volts)?;
    let (volts, distance) = CLEARANCE.get(step + usize::from(kind == Insulation::Reinforced))?;
    let floor = if pollution == Pollution::Two { LEAST_CLEARANCE.0 } else { LEAST_CLEARANCE.1 };
    Some(Distance {
        distance: mm(distance.max(floor) * altitude_factor(altitude)?),
        row: Volts::si(*volts),
        source: "IEC 60664-1, table F.2 case A; from memory",
        from_memory: true,
    })
}

/// What a pair of circuits has to keep apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Separation {
    /// Creepage, the larger of the two standards.
    pub creepage: Distance,
    /// Clearance, the larger of the two standards.
    pub clearance: Distance,
}

/// Allowance for assembly on top of the larger distance, straight line, when laying out (our guideline).
pub const ASSEMBLY_ALLOWANCE: Metres = mm(1.0);

impl Separation {
    /// The straight-line distance to lay out: the larger of both and 1 mm (our guideline).
    pub fn layout(&self) -> Metres {
        self.creepage.distance.max(self.clearance.distance) + ASSEMBLY_ALLOWANCE
    }
}

fn larger(one: Option<Distance>, other: Option<Distance>) -> Option<Distance> {
    match (one, other) {
        (Some(a), Some(b)) => Some(if b.distance > a.distance { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// The larger of IEC 60598-1 and IEC 60664-1 for a lamp with a plug (category II, pollution 2, to 2000 m).
///
/// `working` is the rms working voltage and, for mains, the line-to-neutral voltage. `None` above 250 V.
/// Creepage is never below clearance.
pub fn separation(working: Volts, kind: Insulation, group: Group) -> Option<Separation> {
    if working.value() > 250.0 {
        return None;
    }
    let impulse = rated_impulse(working, Category::Two)?;
    let by_basic = basic_clearance(impulse, kind, Pollution::Two, Metres::ZERO);
    let clearance = larger(lamp_clearance(working, kind), by_basic)?;
    let by_table = larger(lamp_creepage(working, kind, group), basic_creepage(working, kind, group, Pollution::Two));
    Some(Separation { creepage: larger(by_table, Some(clearance))?, clearance })
}
