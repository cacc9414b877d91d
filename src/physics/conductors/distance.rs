//! Creepage and clearance: the steps of IEC 60598-1 table 11.1 and of IEC 60664-1, and the larger of both.
//! For material group III (wood, print, boards nobody knows), pollution degree 2, impulse category II, to 2000 m.

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

/// One row of IEC 60598-1 table 11.1 in mm: volts; creepage basic (PTI below 600), reinforced; clearance basic,
/// reinforced.
struct LampRow {
    volts: f64,
    creepage: [Option<f64>; 2],
    clearance: [Option<f64>; 2],
    from_memory: bool,
}

const LAMP_TABLE: [LampRow; 3] = [
    LampRow { volts: 50.0, creepage: [Some(1.2), None], clearance: [Some(0.2), None], from_memory: true },
    LampRow { volts: 150.0, creepage: [Some(1.6), Some(3.2)], clearance: [Some(0.8), Some(1.6)], from_memory: true },
    LampRow { volts: 250.0, creepage: [Some(2.5), Some(5.0)], clearance: [Some(1.5), Some(3.0)], from_memory: false },
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
/// Reinforced below 50 V has no row of its own and takes the next one.
pub fn lamp_creepage(working: Volts, kind: Insulation) -> Option<Distance> {
    let column = usize::from(kind == Insulation::Reinforced);
    lamp_distance(working, |row| row.creepage[column])
}

/// Clearance by IEC 60598-1 table 11.1; `None` above 250 V.
pub fn lamp_clearance(working: Volts, kind: Insulation) -> Option<Distance> {
    let column = usize::from(kind == Insulation::Reinforced);
    lamp_distance(working, |row| row.clearance[column])
}

/// IEC 60664-1 table F.4, volts and mm: pollution degree 2, material group III.
/// Rows below 40 V are from memory; the others agree in two published copies.
const CREEPAGE: [(f64, f64); 18] = [
    (10.0, 0.40),
    (12.5, 0.42),
    (16.0, 0.45),
    (20.0, 0.48),
    (25.0, 0.50),
    (32.0, 0.53),
    (40.0, 1.10),
    (50.0, 1.20),
    (63.0, 1.25),
    (80.0, 1.30),
    (100.0, 1.40),
    (125.0, 1.50),
    (160.0, 1.60),
    (200.0, 2.00),
    (250.0, 2.50),
    (320.0, 3.20),
    (400.0, 4.00),
    (500.0, 5.00),
];

const fn doubled(kind: Insulation) -> f64 {
    if matches!(kind, Insulation::Reinforced) { 2.0 } else { 1.0 }
}

/// Creepage by IEC 60664-1 table F.4 (F.5 in the edition of 2020), step value; reinforced is twice basic.
/// `None` above 500 V.
pub fn basic_creepage(working: Volts, kind: Insulation) -> Option<Distance> {
    let (volts, row) = CREEPAGE.iter().find(|(volts, _)| working.value() <= *volts)?;
    Some(Distance {
        distance: mm(row * doubled(kind)),
        row: Volts::si(*volts),
        source: if *volts < 40.0 { "IEC 60664-1, table F.4; row from memory" } else { "IEC 60664-1, table F.4" },
        from_memory: *volts < 40.0,
    })
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
/// Least clearance at pollution degree 2, mm (from memory).
const LEAST_CLEARANCE: f64 = 0.2;

/// Rated impulse voltage by line-to-neutral voltage, category II: a thing with a plug (IEC 60664-1, table F.1); `None`
/// above 300 V.
pub fn rated_impulse(line_to_neutral: Volts) -> Option<Volts> {
    match line_to_neutral.value() {
        u if u <= 150.0 => Some(Volts::si(1500.0)),
        u if u <= 300.0 => Some(Volts::si(2500.0)),
        _ => None,
    }
}

/// Clearance by IEC 60664-1 table F.2 case A for an impulse voltage; reinforced takes the next step.
pub fn basic_clearance(impulse: Volts, kind: Insulation) -> Option<Distance> {
    let step = CLEARANCE.iter().position(|(volts, _)| impulse.value() <= *volts)?;
    let (volts, distance) = CLEARANCE.get(step + usize::from(kind == Insulation::Reinforced))?;
    Some(Distance {
        distance: mm(distance.max(LEAST_CLEARANCE)),
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

/// The larger of IEC 60598-1 and IEC 60664-1 for a lamp with a plug.
///
/// `working` is the rms working voltage and, for mains, the line-to-neutral voltage. `None` above 250 V.
/// Creepage is never below clearance.
pub fn separation(working: Volts, kind: Insulation) -> Option<Separation> {
    if working.value() > 250.0 {
        return None;
    }
    let impulse = rated_impulse(working)?;
    let by_basic = basic_clearance(impulse, kind);
    let clearance = larger(lamp_clearance(working, kind), by_basic)?;
    let by_table = larger(lamp_creepage(working, kind), basic_creepage(working, kind));
    Some(Separation { creepage: larger(by_table, Some(clearance))?, clearance })
}
