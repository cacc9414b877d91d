//! Creepage and clearance: what the mains voltage asks for, and the straight distance to lay out.

use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::ledger::{Formula, Ledger};
use crate::physics::conductors::distance::{
    ASSEMBLY_ALLOWANCE, Distance, Separation, basic_clearance, basic_creepage, lamp_clearance, lamp_creepage,
    rated_impulse, separation,
};
use crate::physics::conductors::insulation::Insulation;
use crate::quantity::{Metres, Volts};

const LAYOUT: Formula = Formula {
    text: "d = max(creepage, clearance) + 1 mm for assembly",
    source: "our margin on the reinforced distance",
};

/// Creepage and clearance of one kind of insulation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Along surfaces.
    pub creepage: Metres,
    /// Through air.
    pub clearance: Metres,
}

/// Distances between mains and everything else, step values, material group III.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// To metal on protective earth, class I.
    pub basic: Pair,
    /// To extra-low voltage, and to anything touchable of class II.
    pub reinforced: Pair,
    /// Straight distance to lay out between mains and extra-low voltage.
    pub layout: Metres,
}

/// None above 250 V, where the tables used here end.
pub(super) fn solve(mains: &Mains, ledger: &mut Ledger) -> Found<Option<Apart>> {
    let working = mains.voltage.high()?;
    let both = pair(working, Insulation::Basic, ledger).zip(pair(working, Insulation::Reinforced, ledger));
    let Some((basic, (reinforced, layout))) = both.map(|(b, r)| (b.0, r)) else { return Ok(None) };
    let title = "allowance for assembly on top of the distance";
    ledger.looked_up("line.allowance", title, ASSEMBLY_ALLOWANCE, "fixed", "our margin");
    let inputs = [("creepage", "line.creepage"), ("clearance", "line.clearance"), ("1 mm", "line.allowance")];
    let layout = ledger.computed(
        "line.layout",
        "straight distance to lay out, mains to extra-low voltage",
        layout,
        LAYOUT,
        &inputs,
    );
    Ok(Some(Apart { basic, reinforced, layout }))
}

/// The pair of one kind of insulation, and its distance to lay out.
fn pair(working: Volts, kind: Insulation, ledger: &mut Ledger) -> Option<(Pair, Metres)> {
    let separation: Separation = separation(working, kind)?;
    let (suffix, words) = match kind {
        Insulation::Reinforced => ("", "reinforced insulation, mains to extra-low voltage"),
        _ => ("-basic", "basic insulation, mains to earthed metal"),
    };
    let mut enter = |what: &str, d: Distance| {
        let row = format!("{words}, row {}, group III, pollution degree 2", d.row);
        ledger.looked_up(format!("line.{what}{suffix}"), &format!("{what} needed, {words}"), d.distance, row, d.source)
    };
    let creepage = enter("creepage", separation.creepage);
    let clearance = enter("clearance", separation.clearance);
    if kind == Insulation::Reinforced {
        both_tables(working, kind, ledger);
    }
    Some((Pair { creepage, clearance }, separation.layout()))
}

/// What each of the two standards says by itself; the larger is what the lamp must keep.
fn both_tables(working: Volts, kind: Insulation, ledger: &mut Ledger) {
    let impulse = rated_impulse(working);
    let rows = [
        ("creepage-lamp", "creepage, lamp standard", lamp_creepage(working, kind)),
        ("creepage-general", "creepage, general standard", basic_creepage(working, kind)),
        ("clearance-lamp", "clearance, lamp standard", lamp_clearance(working, kind)),
        ("clearance-general", "clearance, general standard", impulse.and_then(|i| basic_clearance(i, kind))),
    ];
    for (path, title, found) in rows {
        let Some(found) = found else { continue };
        let row = format!("reinforced insulation, row {}", found.row);
        ledger.looked_up(format!("line.{path}"), title, found.distance, row, found.source);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(metres: Metres) -> f64 {
        metres.value() * 1e3
    }

    #[test]
    fn the_larger_table_is_taken_step_by_step() {
        // Voltage, basic creepage and clearance, reinforced creepage and clearance, mm. IEC 60598-1 table 11.1 and
        // IEC 60664-1 tables F.2 and F.4, the larger of both.
        for (volts, want) in [(120.0, [1.6, 0.8, 3.2, 1.6]), (230.0, [2.5, 1.5, 5.0, 3.0])] {
            let mut ledger = Ledger::default();
            let (basic, _) = pair(Volts::si(volts), Insulation::Basic, &mut ledger).expect("below 250 V");
            let (reinforced, layout) =
                pair(Volts::si(volts), Insulation::Reinforced, &mut ledger).expect("below 250 V");
            let got = [basic.creepage, basic.clearance, reinforced.creepage, reinforced.clearance].map(mm);
            assert!(got.iter().zip(want).all(|(g, w)| (g - w).abs() < 1e-9), "{volts}: {got:?}");
            assert!((mm(layout) - want[2] - 1.0).abs() < 1e-9);
            assert_eq!(ledger.shown("line.creepage-basic").is_some(), ledger.shown("line.clearance").is_some());
        }
        assert_eq!(pair(Volts::si(277.0), Insulation::Basic, &mut Ledger::default()), None);
    }
}
