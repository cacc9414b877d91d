//! Outlines in the terms of the offset library and back, what lies at a distance from one, and what lies inside it.
//! Arcs stay arcs on both ways.

use cavalier_contours::core::math::Vector2;
use cavalier_contours::polyline::{PlineCreation, PlineSource, PlineSourceMut, PlineVertex, Polyline};

use super::curve::Point;
use super::outline::{Outline, Vertex};
use crate::quantity::Metres;

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

/// Whether a point lies inside a counter-clockwise outline.
pub fn holds(outline: &Outline, point: Point) -> bool {
    let (x, y) = point.xy();
    polyline(outline).winding_number(Vector2::new(x / MILLIMETRE, y / MILLIMETRE)) != 0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;
    use crate::physics::mechanics::shapes::disc;

    #[test]
    fn a_point_lies_inside_or_out() {
        let plate = disc(mm(100.0)).unwrap();
        assert!(holds(&plate, Point { x: mm(49.9), y: Metres::ZERO }));
        assert!(!holds(&plate, Point { x: mm(50.1), y: Metres::ZERO }));
    }
}
