//! Perforated board of 2.54 mm: how many holes a board has, and which of them a component takes.

use crate::quantity::Metres;

/// Distance of the holes.
pub const PITCH: Metres = Metres::si(2.54e-3);

/// Boards that shops sell (common practice, no source): width and height in mm.
pub const STANDARD: [(f64, f64); 5] = [(30.0, 70.0), (50.0, 70.0), (70.0, 90.0), (80.0, 120.0), (100.0, 160.0)];

/// Holes along a side: ⌊(W − 2 e)/2.54 mm⌋ + 1, e from the edge to the first hole.
pub fn holes_along(side: Metres, edge: Metres) -> usize {
    let room = (side - edge * 2.0) / PITCH;
    if room < -1e-9 { 0 } else { libm::floor(room + 1e-9) as usize + 1 }
}

/// Steps between the legs of a lying component: ⌈need/2.54 mm⌉, need = L + 2 max(d, 0.8 mm) + 2 (R + d/2), R the bend:
/// d below 0.8 mm, 1.5 d to 1.2 mm, else 2 d (form of IPC-A-610, from memory).
pub fn axial_steps(body: Metres, lead: Metres) -> usize {
    let d = lead.value() * 1e3;
    let bend = if d < 0.8 {
        d
    } else if d <= 1.2 {
        1.5 * d
    } else {
        2.0 * d
    };
    let need = body.value() * 1e3 + 2.0 * d.max(0.8) + 2.0 * (bend + d / 2.0);
    libm::ceil(need / 2.54 - 1e-9) as usize
}

/// Distance of the legs of an upright round capacitor or coil by its diameter (usual data sheets, from memory).
pub fn radial_pitch(diameter: Metres) -> Metres {
    let mm = diameter.value() * 1e3;
    let rows = [(5.0, 2.0), (6.3, 2.5), (8.0, 3.5), (12.5, 5.0)];
    let found = rows.iter().find(|(largest, _)| mm <= largest + 1e-9);
    Metres::si(found.map_or(7.5, |(_, pitch)| *pitch) * 1e-3)
}

/// Holes whose middle a length covers at most: ⌊L/2.54 mm⌋ + 1, at least so many as its legs span.
pub fn covered(length: Metres, legs: usize) -> usize {
    (libm::floor(length / PITCH + 1e-9) as usize + 1).max(legs)
}

/// A block of holes with the holes of its legs, from its lower left hole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Footprint {
    /// Columns taken.
    pub columns: usize,
    /// Rows taken.
    pub rows: usize,
    /// Holes with a leg, column and row from 0.
    pub legs: Vec<(usize, usize)>,
}

impl Footprint {
    /// A row of legs along the columns, in the middle row of a block.
    pub fn row(columns: usize, rows: usize, legs: usize, step: usize) -> Self {
        let long = if legs == 0 { 0 } else { (legs - 1) * step };
        let start = columns.saturating_sub(long + 1) / 2;
        let middle = rows.saturating_sub(1) / 2;
        Self { columns, rows, legs: (0..legs).map(|k| (start + k * step, middle)).collect() }
    }

    /// Two rows of legs, `apart` rows from first to last.
    pub fn dual(pins: usize, apart: usize) -> Self {
        let columns = pins.div_ceil(2);
        let legs = (0..columns).map(|k| (k, 0)).chain((0..pins - columns).rev().map(|k| (k, apart - 1)));
        Self { columns, rows: apart, legs: legs.collect() }
    }

    /// Holes taken.
    pub fn holes(&self) -> usize {
        self.columns * self.rows
    }

    /// A quarter turn anti-clockwise.
    pub fn turned(&self) -> Self {
        let legs = self.legs.iter().map(|(c, r)| (self.rows - 1 - r, *c)).collect();
        Self { columns: self.rows, rows: self.columns, legs }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn boards_have_the_holes_of_the_shop() {
        for (w, h, columns, rows) in [(50.0, 70.0, 19, 27), (80.0, 120.0, 31, 47), (100.0, 160.0, 39, 62)] {
            assert_eq!(holes_along(mm(w), mm(1.27)), columns);
            assert_eq!(holes_along(mm(h), mm(1.27)), rows);
        }
        assert_eq!(holes_along(mm(2.0), mm(1.27)), 0);
    }

    #[test]
    fn lying_parts_take_the_usual_steps() {
        for (body, lead, steps) in [
            (3.2, 0.5, 3),
            (6.3, 0.6, 4),
            (6.8, 0.6, 5),
            (9.0, 0.7, 5),
            (12.0, 0.8, 7),
            (4.25, 0.55, 3),
            (5.2, 0.86, 5),
        ] {
            assert_eq!(axial_steps(mm(body), mm(lead)), steps, "{body} {lead}");
        }
    }

    #[test]
    fn dual_in_line_goes_round() {
        let eight = Footprint::dual(8, 4);
        assert_eq!((eight.columns, eight.rows, eight.holes()), (4, 4, 16));
        assert_eq!(eight.legs, [(0, 0), (1, 0), (2, 0), (3, 0), (3, 3), (2, 3), (1, 3), (0, 3)]);
        let turned = eight.turned();
        assert_eq!((turned.columns, turned.rows), (4, 4));
        assert_eq!(turned.legs[0], (3, 0));
        assert_eq!(Footprint::dual(28, 7).holes(), 98);
        let mut back = eight.clone();
        for _ in 0..4 {
            back = back.turned();
        }
        assert_eq!(back, eight);
    }

    #[test]
    fn legs_stand_in_the_middle_of_their_block() {
        let drum = Footprint::row(4, 4, 2, 2);
        assert_eq!(drum.legs, [(0, 1), (2, 1)]);
        assert!(drum.legs.iter().all(|(c, r)| *c < drum.columns && *r < drum.rows));
        assert_eq!(covered(mm(10.0), 3), 4);
        assert_eq!(covered(mm(2.0), 5), 5);
    }
}
