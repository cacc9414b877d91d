//! The tool path of a plate: outlines offset by half a kerf to the waste side, arcs kept as arcs,
//! with what the tool cannot reach and what vanishes on the way.

use std::f64::consts::PI;

use cavalier_contours::polyline::{PlineCreation, PlineSource, PlineSourceMut, PlineVertex, Polyline};

use super::curve::Point;
use super::outline::{Outline, Vertex};
use super::plate::Plate;
use crate::quantity::{Metres, SquareMetres};

/// The offset library's tolerances are absolute and made for millimetres.
const MILLIMETRE: f64 = 1e-3;
/// Pieces shorter than this after an offset are rounding, in mm.
const REPEAT: f64 = 1e-7;

/// In the offset library's terms, millimetres.
pub(super) fn polyline(outline: &Outline) -> Polyline<f64> {
    let mut result = Polyline::with_capacity(outline.vertices.len(), true);
    for vertex in &outline.vertices {
        let (x, y) = vertex.point.xy();
        result.add_vertex(PlineVertex { x: x / MILLIMETRE, y: y / MILLIMETRE, bulge: vertex.bulge });
    }
    result
}

/// Back into metres, counter-clockwise whatever way round the library left it.
pub(super) fn from_polyline(polyline: &Polyline<f64>) -> Outline {
    let mut clean = Polyline::create_from_remove_repeat(polyline, REPEAT);
    if clean.area() < 0.0 {
        clean.invert_direction_mut();
    }
    let vertex = |v: PlineVertex<f64>| Vertex {
        point: Point::from_xy(v.x * MILLIMETRE, v.y * MILLIMETRE),
        bulge: if v.bulge == 0.0 { 0.0 } else { v.bulge },
    };
    Outline::new(clean.iter_vertexes().map(vertex).collect())
}

/// The outlines at `distance` outside (positive) or inside (negative) of a counter-clockwise outline; none when it
/// vanishes, more than one when it falls apart. Corners become arcs outside and stay sharp inside.
pub fn offset(outline: &Outline, distance: Metres) -> Vec<Outline> {
    if distance == Metres::ZERO {
        return vec![outline.clone()];
    }
    if outline.vertices.len() < 2 || !distance.value().is_finite() {
        return Vec::new();
    }
    // The library's positive side is the left, which is inside.
    let paths = polyline(outline).parallel_offset(-distance.value() / MILLIMETRE);
    paths.iter().map(from_polyline).collect()
}

/// Which edge of a plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// The outside.
    Outer,
    /// A hole, by its number from 0.
    Hole(usize),
}

impl std::fmt::Display for Edge {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Outer => f.write_str("the outer edge"),
            Self::Hole(number) => write!(f, "hole {}", number + 1),
        }
    }
}

/// Why a tool path cannot be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum KerfFault {
    /// The path closes on itself: the feature is not wider than the kerf.
    Vanishes(Edge, Metres),
    /// The path falls apart into this many.
    Splits(Edge, usize),
    /// The kerf is negative or not a number.
    Kerf(Metres),
}

impl std::fmt::Display for KerfFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Vanishes(edge, kerf) => {
                write!(f, "{edge} is not wider than the kerf of {kerf}; make it larger or take a thinner tool")
            }
            Self::Splits(edge, count) => {
                write!(f, "the tool path of {edge} falls into {count} pieces; widen its narrow place")
            }
            Self::Kerf(kerf) => write!(f, "a kerf of {kerf} cannot be cut; give zero or more"),
        }
    }
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
/// [`KerfFault`] when an edge vanishes or falls apart.
pub fn tool_path(plate: &Plate, kerf: Metres) -> Result<ToolPath, KerfFault> {
    if !(kerf.value() >= 0.0 && kerf.value().is_finite()) {
        return Err(KerfFault::Kerf(kerf));
    }
    let half = kerf / 2.0;
    let (outer, mut left) = edge_path(&plate.outer, half, Edge::Outer, kerf)?;
    let mut holes = Vec::with_capacity(plate.holes.len());
    for (number, hole) in plate.holes.iter().enumerate() {
        let (path, standing) = edge_path(hole, -half, Edge::Hole(number), kerf)?;
        holes.push(path);
        left = left + standing;
    }
    Ok(ToolPath { path: Plate { outer, holes }, left_standing: left })
}

/// One edge and the area its tool leaves: what there-and-back changes is what the tool's round cannot reach.
fn edge_path(edge: &Outline, by: Metres, which: Edge, kerf: Metres) -> Result<(Outline, SquareMetres), KerfFault> {
    let single = |mut paths: Vec<Outline>| match paths.len() {
        0 => Err(KerfFault::Vanishes(which, kerf)),
        1 => Ok(paths.remove(0)),
        count => Err(KerfFault::Splits(which, count)),
    };
    let path = single(offset(edge, by))?;
    let cut: SquareMetres = offset(&path, -by).iter().map(Outline::area).sum();
    let standing = (cut - edge.area()).abs();
    // Below a millionth of the offset strip it is rounding of the library.
    let rounding = 1e-6 * edge.perimeter().value() * by.abs().value();
    Ok((path, if standing.value() > rounding { standing } else { SquareMetres::ZERO }))
}

/// Area and perimeter of a convex outline grown by r (Steiner): A + P r + π r², P + 2π r.
pub fn grown_convex(area: SquareMetres, perimeter: Metres, r: Metres) -> (SquareMetres, Metres) {
    (area + perimeter * r + r * r * PI, perimeter + r * (2.0 * PI))
}

/// Area of a polygon grown by r, inside corners too: A + P r + r² (Σ₊ φ/2 − Σ₋ tan(|φ|/2)) with φ the turning angles;
/// perimeter P + r (Σ₊ φ − 2 Σ₋ tan(|φ|/2)). Valid while no edge vanishes.
pub fn grown_polygon(polygon: &Outline, r: Metres) -> (SquareMetres, Metres) {
    let mut strip = 0.0;
    for turn in polygon.corners() {
        strip += if turn > 0.0 { turn / 2.0 } else { -libm::tan(-turn / 2.0) };
    }
    let area = polygon.area() + polygon.perimeter() * r + r * r * strip;
    (area, polygon.perimeter() + r * (2.0 * strip))
}

/// Area of a convex polygon shrunk by r: A − P r + r² Σ cot(αᵢ/2), perimeter P − 2 r Σ cot(αᵢ/2), αᵢ inside angles.
/// Valid while no edge vanishes.
pub fn shrunk_polygon(polygon: &Outline, r: Metres) -> (SquareMetres, Metres) {
    // cot(α/2) = tan(φ/2) with φ = π − α.
    let cotangents: f64 = polygon.corners().iter().map(|turn| libm::tan(turn / 2.0)).sum();
    let area = polygon.area() - polygon.perimeter() * r + r * r * cotangents;
    (area, polygon.perimeter() - r * (2.0 * cotangents))
}

/// What a tool of radius r leaves in one inside corner of angle α: r² (cot(α/2) − (π − α)/2).
pub fn corner_left_standing(r: Metres, inside_angle: f64) -> SquareMetres {
    let half = inside_angle / 2.0;
    r * r * (libm::cos(half) / libm::sin(half) - (PI - inside_angle) / 2.0)
}

/// How far the round of a tool of radius r stays from the tip of an inside corner of angle α: r (1/sin(α/2) − 1);
/// (√2 − 1) r in a right angle.
pub fn corner_stand_off(r: Metres, inside_angle: f64) -> Metres {
    r * (1.0 / libm::sin(inside_angle / 2.0) - 1.0)
}

/// One way of cutting, with its usual kerf.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KerfRow {
    /// The tool and sheet.
    pub tool: &'static str,
    /// Usual least kerf.
    pub least: Metres,
    /// Usual greatest kerf.
    pub most: Metres,
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

const fn kerf_row(tool: &'static str, least: f64, most: f64, source: &'static str) -> KerfRow {
    KerfRow { tool, least: Metres::si(least * 1e-3), most: Metres::si(most * 1e-3), source, from_memory: false }
}

const SHOPS: &str = "figures of several workshops; measure a coupon";
const OURS: &str = "our guideline; measure a coupon";

/// Usual kerfs; a measured one, 100 mm less the size of a coupon drawn 100 mm, takes their place.
pub const KERFS: [KerfRow; 8] = [
    kerf_row("laser, cast acrylic 3 mm", 0.15, 0.23, SHOPS),
    kerf_row("laser, cast acrylic 6 mm", 0.18, 0.25, SHOPS),
    kerf_row("laser, cast acrylic 10 mm", 0.25, 0.25, SHOPS),
    kerf_row("laser, birch plywood", 0.15, 0.25, SHOPS),
    kerf_row("router, cutter 3.175 mm", 3.195, 3.275, OURS),
    kerf_row("hand saw", 1.0, 1.0, OURS),
    kerf_row("coping saw", 0.4, 0.4, OURS),
    kerf_row("fret saw", 0.3, 0.3, OURS),
];

/// The kerf that a coupon shows: drawn size less measured size.
pub fn measured_kerf(drawn: Metres, measured: Metres) -> Metres {
    drawn - measured
}
