//! Cores and sizes of a cord to what may hang on it, what its anchorage must stand, and the room that its bend needs.
//! The limits count all conductors unless the caller leaves the earth out.

use super::super::GRAVITY;
use super::{mm, mm2};
use crate::quantity::{Kilograms, Metres, NewtonMetres, Newtons, SquareMetres};

/// Greatest stress of copper under a hanging lamp, N/mm² (IEC 60598-1, 4.14; from memory, fits a published table).
const HANGING_STRESS: f64 = 15.0;
/// Greatest mass on a cord in any case, kg (IEC 60598-1, 4.14; from memory).
const HANGING_CAP: f64 = 5.0;

/// m ≤ min(5 kg, 15 N/mm² · n A/g) with all n conductors counted (IEC 60598-1, 4.14; rule from memory).
///
/// Leave the protective earth out of `conductors` for a careful print: it should hang slack (our guideline).
pub fn mass_on_cord(conductors: usize, area: SquareMetres) -> Kilograms {
    let by_stress = HANGING_STRESS * conductors as f64 * area.value() * 1e6 / GRAVITY;
    Kilograms::si(by_stress.min(HANGING_CAP))
}

/// Pull and torque a cord anchorage has to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnchorageRow {
    /// Largest total of conductor areas, n A.
    pub total_area: SquareMetres,
    /// Pull, 25 times for a second.
    pub pull: Newtons,
    /// Torque, for a minute.
    pub torque: NewtonMetres,
    /// Where it stands.
    pub source: &'static str,
    /// Whether the row is from memory.
    pub from_memory: bool,
}

const fn anchorage_row(total: f64, pull: f64, torque: f64, from_memory: bool) -> AnchorageRow {
    AnchorageRow {
        total_area: mm2(total),
        pull: Newtons::si(pull),
        torque: NewtonMetres::si(torque),
        source: if from_memory {
            "IEC 60598-1, table 5.2; row from memory"
        } else {
            "IEC 60598-1, 5.2.10 and table 5.2"
        },
        from_memory,
    }
}

/// IEC 60598-1, table 5.2.
const ANCHORAGE: [AnchorageRow; 4] = [
    anchorage_row(1.5, 60.0, 0.15, false),
    anchorage_row(3.0, 60.0, 0.25, true),
    anchorage_row(5.0, 80.0, 0.35, true),
    anchorage_row(8.0, 120.0, 0.35, true),
];

/// The row for a cord of `conductors` times `area`; `None` above 8 mm² in total.
pub fn anchorage(conductors: usize, area: SquareMetres) -> Option<&'static AnchorageRow> {
    let total = area.value() * conductors as f64;
    ANCHORAGE.iter().find(|row| total <= row.total_area.value() * (1.0 + 1e-9))
}

/// The radius to design with: five diameters (our guideline).
pub fn design_bend_radius(diameter: Metres) -> Metres {
    diameter * 5.0
}

/// Room a cord needs behind the wall it enters, when it runs straight for `straight` and then bends by 90°.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EntryRoom {
    /// s + k D + D, from the wall to the outside of the bend.
    pub depth: Metres,
    /// k D + D, sideways to the outside of the cord that lies along the wall.
    pub side: Metres,
}

/// Room for the first bend at inner radius `radius`.
pub fn entry_room(diameter: Metres, straight: Metres, radius: Metres) -> EntryRoom {
    EntryRoom { depth: straight + radius + diameter, side: radius + diameter }
}

/// Least radius of the edge of a wire hole in rigid material (IEC 60598-1, 5.3.2).
pub const HOLE_EDGE_RADIUS: Metres = mm(0.5);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn anchorage_rows_include_their_limit() {
        // n, mm² -> pull N, torque N·m.
        for (n, area, pull, torque) in
            [(2, 0.75, 60.0, 0.15), (3, 0.75, 60.0, 0.25), (3, 1.0, 60.0, 0.25), (3, 1.5, 80.0, 0.35)]
        {
            let row = anchorage(n, mm2(area)).unwrap();
            assert_eq!((row.pull.value(), row.torque.value()), (pull, torque), "{n} x {area}");
        }
        assert_eq!(anchorage(3, mm2(4.0)), None);
    }

    #[test]
    fn a_first_bend_needs_its_room() {
        // OD 6.3, s 15, k 5: 52.8 and 37.8 mm; OD 7.6, s 20: 65.6 and 45.6 mm.
        for (od, s, depth, side) in [(6.3, 15.0, 52.8, 37.8), (7.6, 20.0, 65.6, 45.6)] {
            let room = entry_room(mm(od), mm(s), design_bend_radius(mm(od)));
            assert!((room.depth - mm(depth)).abs() < mm(1e-9) && (room.side - mm(side)).abs() < mm(1e-9));
        }
    }
}
