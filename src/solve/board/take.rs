//! What each component takes: its package to a block of holes.

use crate::lamp::Lamp;
use crate::lamp::board::{Board, Item};
use crate::lamp::given::Found;
use crate::physics::mechanics::perforated::{Footprint, PITCH, axial_steps, covered, radial_pitch};
use crate::quantity::Metres;
use crate::schema::words::{Package, Word};

use super::Unit;

/// Body and lead of lying components, mm (usual data sheets, from memory).
const fn lying(package: Package) -> Option<(f64, f64, f64)> {
    Some(match package {
        Package::AxialEighth => (3.2, 0.5, 1.8),
        Package::AxialQuarter => (6.3, 0.6, 2.4),
        Package::AxialHalf => (9.0, 0.7, 3.3),
        Package::AxialOne => (12.0, 0.8, 4.5),
        Package::SmallDiode => (4.25, 0.55, 1.9),
        Package::Diode => (5.2, 0.86, 2.7),
        _ => return None,
    })
}

/// Depth of a screw terminal and body of an upright power transistor (usual data sheets, from memory).
const TERMINAL: Metres = Metres::si(10e-3);
const POWER: (Metres, Metres) = (Metres::si(10.2e-3), Metres::si(4.6e-3));

fn mm(value: f64) -> Metres {
    Metres::si(value * 1e-3)
}

/// Every component, in the order of the spec; items of each channel so often.
pub(super) fn units(lamp: &Lamp, board: &Board) -> Found<Vec<Unit>> {
    let channels = lamp.driver.channels.len().max(1);
    let mut units = Vec::new();
    for (n, item) in board.items.iter().enumerate() {
        let times = if item.each_channel.get()? { channels } else { 1 };
        let count = (item.count.get()? as usize).saturating_mul(times).min(2000);
        let footprint = footprint(item)?;
        let written = item.column.is_known() && item.row.is_known();
        for k in 0..count {
            let name = if count == 1 { item.name.clone() } else { format!("{} {}", item.name, k + 1) };
            let stage = item.stage.value.clone().unwrap_or_else(|| "rest".to_owned());
            let (item, written) = (n, written && k == 0);
            let number = units.len() + 1;
            units.push(Unit {
                number,
                name,
                item,
                stage,
                footprint: footprint.clone(),
                at: None,
                turned: false,
                written,
            });
        }
    }
    Ok(units)
}

/// Blocks kept free, from 0.
pub(super) fn keep_outs(board: &Board) -> Found<Vec<(String, [usize; 4])>> {
    let block = |keep: &crate::lamp::board::KeepOut| {
        let [c, r] = [keep.column.get()? as usize - 1, keep.row.get()? as usize - 1];
        Ok((keep.name.clone(), [c, r, keep.columns.get()? as usize, keep.rows.get()? as usize]))
    };
    board.keep_outs.iter().map(block).collect()
}

fn footprint(item: &Item) -> Found<Footprint> {
    let package = item.package.get()?;
    if let Some((body, lead, thick)) = lying(package) {
        let steps = item.steps.get().map_or_else(|_| axial_steps(mm(body), mm(lead)), |steps| steps as usize);
        return Ok(Footprint::row(steps + 1, covered(mm(thick), 1), 2, steps));
    }
    Ok(match package {
        Package::Dip => Footprint::dual(pins(item)?, 4),
        Package::WideDip => Footprint::dual(pins(item)?, 7),
        Package::To92 => Footprint::row(3, 2, 3, 1),
        Package::To220 => Footprint::row(covered(POWER.0, 3), covered(POWER.1, 1), 3, 1),
        Package::Header => Footprint::row(pins(item)?, 1, pins(item)?, 1),
        Package::ScrewTerminal => Footprint::row(2 * pins(item)?, covered(TERMINAL, 1), pins(item)?, 2),
        Package::Radial => {
            let (across, _) = body(item)?;
            let steps = item
                .steps
                .get()
                .map_or_else(|_| (libm::round(radial_pitch(across) / PITCH) as usize).max(1), |steps| steps as usize);
            let wide = covered(across, steps + 1);
            Footprint::row(wide, covered(across, 1), 2, steps)
        }
        Package::Film => {
            let (wide, high) = body(item)?;
            let steps = item.steps.get()? as usize;
            Footprint::row(covered(wide, steps + 1), covered(high, 1), 2, steps)
        }
        _ => {
            let (wide, high) = body(item)?;
            let legs = item.pins.get().map_or(0, |pins| pins as usize);
            let columns = covered(wide, legs);
            Footprint::row(columns, covered(high, 1), legs, 1)
        }
    })
}

fn pins(item: &Item) -> Found<usize> {
    item.pins.get().map(|pins| pins as usize)
}

fn body(item: &Item) -> Found<(Metres, Metres)> {
    match item.body.known()?.as_slice() {
        [diameter] => Ok((*diameter, *diameter)),
        [wide, high, ..] => Ok((*wide, *high)),
        [] => Err(item.body.missing()),
    }
}

/// The package's word, for tables.
pub fn package(item: &Item) -> &'static str {
    item.package.value.map_or("not known", Word::word)
}
