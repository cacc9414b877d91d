//! The tool path of a plate: outlines offset by half a kerf to the waste side, arcs kept as arcs,
//! with what the tool cannot reach and what vanishes on the way.

use super::curve::Segment;
use super::offset::offset;
use super::outline::Outline;
use super::plate::{Edge, Plate};
use crate::quantity::{Metres, SquareMetres};

/// Why a tool path cannot be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum KerfFault {
    /// The path closes on itself: the feature is not wider than the kerf.
    Vanishes(Edge),
    /// The path falls apart into this many.
    Splits(Edge, usize),
    /// The cutter passes over a part of the edge that it does not enter, this deep: a slit narrower than the kerf.
    Missed(Edge, Metres),
    /// The kerf is negative or not a number.
    Kerf,
}

/// A tool path.
#[derive(Debug, Clone, PartialEq)]
pub struct ToolPath {
    /// The path of the tool's middle: outer outline and holes, all counter-clockwise.
    pub path: Plate,
    /// Waste that stays standing in inside corners and narrow places that the tool cannot enter.
    pub left_standing: SquareMetres,
}

/// Path = edge offset by k/2 to the waste side: the outside outwards, holes inwards. A part cut on its drawn line
/// comes out smaller by k in each dimension, its holes larger by k.
///
/// # Errors
/// [`KerfFault`] when an edge vanishes, falls apart, or has a part that the cutter passes over.
pub fn tool_path(plate: &Plate, kerf: Metres) -> Result<ToolPath, KerfFault> {
    if !(kerf.value() >= 0.0 && kerf.value().is_finite()) {
        return Err(KerfFault::Kerf);
    }
    let half = kerf / 2.0;
    let (outer, mut left) = edge_path(&plate.outer, half, Edge::Outer)?;
    let mut holes = Vec::with_capacity(plate.holes.len());
    for (number, hole) in plate.holes.iter().enumerate() {
        let (path, standing) = edge_path(hole, -half, Edge::Hole(number))?;
        holes.push(path);
        left = left + standing;
    }
    Ok(ToolPath { path: Plate { outer, holes }, left_standing: left })
}

/// One edge and the area its tool leaves: what there-and-back changes is what the tool's round cannot reach.
fn edge_path(edge: &Outline, by: Metres, which: Edge) -> Result<(Outline, SquareMetres), KerfFault> {
    let single = |mut paths: Vec<Outline>| match paths.len() {
        0 => Err(KerfFault::Vanishes(which)),
        1 => Ok(paths.remove(0)),
        count => Err(KerfFault::Splits(which, count)),
    };
    let path = single(offset(edge, by))?;
    let back = offset(&path, -by);
    let deep = missed(edge, &back, by);
    // What the tool's round leaves at the middle of an edge's piece is less in any corner that it goes into.
    if deep > by.abs() / 2.0 + NEAR {
        return Err(KerfFault::Missed(which, deep));
    }
    let cut: SquareMetres = back.iter().map(Outline::area).sum();
    let standing = (cut - edge.area()).abs();
    // Below a millionth of the offset strip it is rounding of the library.
    let rounding = 1e-6 * edge.perimeter().value() * by.abs().value();
    Ok((path, if standing.value() > rounding { standing } else { SquareMetres::ZERO }))
}

/// Rounding of an offset there and back.
const NEAR: Metres = Metres::si(1e-7);

/// How far the outline brought back by an offset stays from this edge at the worst, at the middle of each of its pieces;
/// arcs too tight for the offset are left out, for they stand in a corner. `by` is the way of the offset, outwards
/// positive.
fn missed(edge: &Outline, back: &[Outline], by: Metres) -> Metres {
    let tight = |s: &Segment| s.bulge * by.value() < 0.0 && s.radius().is_some_and(|r| r < by.abs());
    let pieces = edge.segments().into_iter().filter(|s| s.length() > Metres::ZERO && !tight(s));
    let away =
        |s: Segment| back.iter().map(|b| b.distance_to(s.point_at(0.5))).fold(Metres::si(f64::INFINITY), Metres::min);
    pieces.map(away).fold(Metres::ZERO, Metres::max)
}

/// Width of the narrowest place of an outline where it is less than `wanted`: twice the largest offset inwards that
/// neither parts the outline nor loses a piece of its edge; none where it is as wide everywhere. To a micrometre.
pub fn neck(outline: &Outline, wanted: Metres) -> Option<Metres> {
    let holds = |half: Metres| match offset(outline, -half).as_slice() {
        [inner] => missed(outline, &offset(inner, half), -half) <= half / 2.0 + NEAR,
        _ => false,
    };
    let mut most = wanted / 2.0;
    if holds(most - NEAR) {
        return None;
    }
    let mut least = Metres::ZERO;
    while most - least > Metres::si(5e-7) {
        let middle = (least + most) / 2.0;
        if holds(middle) { least = middle } else { most = middle }
    }
    Some(least * 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;
    use crate::physics::mechanics::curve::Point;
    use crate::physics::mechanics::shapes::rounded_rectangle;

    fn run(points: &[(f64, f64)]) -> Outline {
        Outline::polygon(&points.iter().map(|(x, y)| Point { x: mm(*x), y: mm(*y) }).collect::<Vec<_>>())
    }

    /// A plate of 100 mm with a slit 20 mm deep and this wide in its upper edge.
    fn slit(wide: f64) -> Outline {
        let (l, r) = (-wide / 2.0, wide / 2.0);
        run(&[(-50., 0.), (50., 0.), (50., 50.), (r, 50.), (r, 30.), (l, 30.), (l, 50.), (-50., 50.)])
    }

    #[test]
    fn a_slit_narrower_than_the_cutter_is_a_fault_and_a_wider_one_is_not() {
        let made = tool_path(&Plate::solid(slit(3.0)), mm(3.175));
        assert!(matches!(made, Err(KerfFault::Missed(Edge::Outer, deep)) if deep > mm(9.0)), "{made:?}");
        assert!(tool_path(&Plate::solid(slit(3.3)), mm(3.175)).is_ok());
        assert!(tool_path(&Plate::solid(slit(3.0)), mm(0.2)).is_ok(), "a beam goes in");
    }

    #[test]
    fn corners_that_the_round_does_not_fill_are_no_fault() {
        let step = run(&[(0., 0.), (60., 0.), (60., 20.), (30., 20.), (30., 50.), (0., 50.)]);
        let made = tool_path(&Plate::solid(step), mm(6.0)).unwrap();
        // r² (1 − π/4) in one right angle.
        let left = 9e-6 * (1.0 - std::f64::consts::PI / 4.0);
        assert!((made.left_standing.value() - left).abs() < 1e-10);
    }

    #[test]
    fn necks_are_as_wide_as_they_are() {
        let bone = |wide: f64| {
            let h = wide / 2.0;
            run(&[
                (-40., -20.),
                (-10., -20.),
                (-10., -h),
                (10., -h),
                (10., -20.),
                (40., -20.),
                (40., 20.),
                (10., 20.),
                (10., h),
                (-10., h),
                (-10., 20.),
                (-40., 20.),
            ])
        };
        for wide in [1.0, 2.5] {
            let found = neck(&bone(wide), mm(3.0)).unwrap();
            assert!((found - mm(wide)).abs() < mm(5e-3), "{wide}: {found}");
        }
        assert_eq!(neck(&bone(3.2), mm(3.0)), None);
        assert_eq!(neck(&rounded_rectangle(mm(60.0), mm(40.0), Metres::ZERO).unwrap(), mm(3.0)), None);
        assert_eq!(neck(&rounded_rectangle(mm(60.0), mm(40.0), mm(0.5)).unwrap(), mm(3.0)), None);
        let strip = neck(&rounded_rectangle(mm(60.0), mm(2.0), Metres::ZERO).unwrap(), mm(3.0)).unwrap();
        assert!((strip - mm(2.0)).abs() < mm(5e-3), "{strip}");
    }
}
