//! What holds a cord and hangs on it: mass on the conductors, pull and torque of the anchorage, bend radius.
//! The limits count all conductors unless the caller leaves the earth out.

use super::{mm, mm2};
use crate::quantity::{Kilograms, Metres, NewtonMetres, Newtons, SquareMetres};

/// Standard acceleration of fall, m/s².
pub const GRAVITY: f64 = 9.80665;
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

/// The test load for a hook or fixing: four times the mass for an hour (IEC 60598-1, 4.14; from memory).
pub fn suspension_test_load(mass: Kilograms) -> Kilograms {
    mass * 4.0
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
pub const ANCHORAGE: [AnchorageRow; 4] = [
    anchorage_row(1.5, 60.0, 0.15, false),
    anchorage_row(3.0, 60.0, 0.25, true),
    anchorage_row(5.0, 80.0, 0.35, true),
    anchorage_row(8.0, 120.0, 0.35, true),
];

/// How far a mark on the cord, 20 mm from the anchorage, may move in the test.
pub const ANCHORAGE_SHIFT: Metres = mm(2.0);
/// How often the pull is applied, a second each time.
pub const ANCHORAGE_PULLS: usize = 25;

/// The row for a cord of `conductors` times `area`; `None` above 8 mm² in total.
pub fn anchorage(conductors: usize, area: SquareMetres) -> Option<&'static AnchorageRow> {
    let total = area.value() * conductors as f64;
    ANCHORAGE.iter().find(|row| total <= row.total_area.value() * (1.0 + 1e-9))
}

/// How a cord is used where it bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bend {
    /// Laid once.
    Fixed,
    /// Moved now and then, and where it enters a portable lamp.
    Moving,
    /// Led over a roller.
    Guided,
}

/// Least inner radius in diameters, by greatest diameter in mm: DIN VDE 0298-3 (HD 516); copy seen was garbled.
const BEND_FACTORS: [(f64, [f64; 3]); 4] =
    [(8.0, [3.0, 3.0, 5.0]), (12.0, [3.0, 4.0, 5.0]), (20.0, [4.0, 5.0, 5.0]), (f64::INFINITY, [4.0, 5.0, 6.0])];

/// Least inner bend radius by DIN VDE 0298-3; for a flat cord `diameter` is the small axis.
pub fn least_bend_radius(diameter: Metres, bend: Bend) -> Metres {
    let column = match bend {
        Bend::Fixed => 0,
        Bend::Moving => 1,
        Bend::Guided => 2,
    };
    let row = BEND_FACTORS.iter().find(|(most, _)| diameter.value() <= *most * 1e-3 * (1.0 + 1e-9));
    let factor = row.and_then(|(_, factors)| factors.get(column)).copied().unwrap_or(6.0);
    diameter * factor
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

/// Whether a round clamp takes a cord from its least to its greatest size.
pub fn clamp_holds(clamp: (Metres, Metres), cord: (Metres, Metres)) -> bool {
    clamp.0 <= cord.0 && cord.1 <= clamp.1
}

/// Smallest and largest bore of a grommet or hole for a cord: greatest size to greatest size + 1 mm (our guideline).
pub fn grommet_bore(greatest: Metres) -> (Metres, Metres) {
    (greatest, greatest + mm(1.0))
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

    #[test]
    fn thicker_cords_bend_less() {
        assert!((least_bend_radius(mm(8.0), Bend::Moving).value() - 0.024).abs() < 1e-12);
        assert!((least_bend_radius(mm(8.1), Bend::Moving).value() - 0.0324).abs() < 1e-12);
        assert!((least_bend_radius(mm(25.0), Bend::Guided).value() - 0.150).abs() < 1e-12);
    }

    #[test]
    fn a_clamp_must_take_the_whole_range() {
        let cord = (mm(4.9), mm(6.3));
        assert!(clamp_holds((mm(4.0), mm(8.0)), cord));
        assert!(!clamp_holds((mm(7.0), mm(10.0)), cord));
    }
}
