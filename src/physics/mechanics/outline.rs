//! Closed outlines of lines and arcs, counter-clockwise: exact area, perimeter, centroid and extents.
//! Lengths are metres; arcs stay arcs from the drawing to the cut file.

use serde::Serialize;

use super::curve::{Point, Segment};
use crate::quantity::{Metres, SquareMetres};

/// One vertex; `bulge` shapes the piece that leaves it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Vertex {
    /// Where it is.
    pub point: Point,
    /// tan(sweep/4) of the piece to the next vertex: positive counter-clockwise, 0 straight, 1 half a circle.
    pub bulge: f64,
}

/// A closed run of lines and arcs; the last vertex joins the first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outline {
    /// The vertices in order.
    pub vertices: Vec<Vertex>,
}

/// An upright box around an outline.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Extents {
    /// Lower left.
    pub least: Point,
    /// Upper right.
    pub most: Point,
}

impl Extents {
    /// Width.
    pub fn width(&self) -> Metres {
        self.most.x - self.least.x
    }
    /// Height.
    pub fn height(&self) -> Metres {
        self.most.y - self.least.y
    }
}

/// Two headings that differ by less than this are one: the pieces meet without a corner.
const TANGENT: f64 = 1e-6;

impl Outline {
    /// From vertices in order.
    pub fn new(vertices: Vec<Vertex>) -> Self {
        Self { vertices }
    }

    /// A closed run of straight lines.
    pub fn polygon(points: &[Point]) -> Self {
        Self { vertices: points.iter().map(|&point| Vertex { point, bulge: 0.0 }).collect() }
    }

    /// The pieces in order.
    pub fn segments(&self) -> Vec<Segment> {
        let next = self.vertices.iter().cycle().skip(1);
        self.vertices.iter().zip(next).map(|(a, b)| Segment::new(a.point, b.point, a.bulge)).collect()
    }

    /// Area: half the sum of x₁y₂ − x₂y₁ and the bows of the arcs; negative when clockwise. Exact.
    pub(super) fn signed_area(&self) -> SquareMetres {
        let sum = |s: &Segment| (s.from.0 * s.to.1 - s.to.0 * s.from.1) / 2.0 + s.bow();
        SquareMetres::si(self.segments().iter().map(sum).sum())
    }

    /// Area without its sign.
    pub fn area(&self) -> SquareMetres {
        self.signed_area().abs()
    }

    /// Length of the edge. Exact.
    pub fn perimeter(&self) -> Metres {
        self.segments().iter().map(Segment::length).sum()
    }

    /// Centre of area, exact; the origin for an outline without area.
    pub fn centroid(&self) -> Point {
        let area = self.signed_area().value();
        if area == 0.0 {
            return Point::ORIGIN;
        }
        let (mut mx, mut my) = (0.0, 0.0);
        for s in self.segments() {
            let cross = s.from.0 * s.to.1 - s.to.0 * s.from.1;
            let (bow_x, bow_y) = s.bow_moment();
            mx += (s.from.0 + s.to.0) * cross / 6.0 + bow_x;
            my += (s.from.1 + s.to.1) * cross / 6.0 + bow_y;
        }
        Point::from_xy(mx / area, my / area)
    }

    /// The upright box around it, with the crowns of arcs.
    pub fn extents(&self) -> Extents {
        let mut points: Vec<(f64, f64)> = self.vertices.iter().map(|v| v.point.xy()).collect();
        for s in self.segments().iter().filter(|s| !s.is_straight()) {
            let ((cx, cy), r) = (s.centre(), s.radius().map_or(0.0, Metres::value));
            let crowns = [(cx + r, cy), (cx - r, cy), (cx, cy + r), (cx, cy - r)];
            points.extend(crowns.into_iter().filter(|&p| {
                let (x, y) = s.nearest_to(p);
                libm::hypot(x - p.0, y - p.1) < 1e-9 * r
            }));
        }
        let fold =
            |pick: fn(&(f64, f64)) -> f64, join: fn(f64, f64) -> f64, start| points.iter().map(pick).fold(start, join);
        Extents {
            least: Point::from_xy(fold(|p| p.0, f64::min, f64::INFINITY), fold(|p| p.1, f64::min, f64::INFINITY)),
            most: Point::from_xy(fold(|p| p.0, f64::max, -f64::INFINITY), fold(|p| p.1, f64::max, -f64::INFINITY)),
        }
    }

    /// Turned about the origin, radians counter-clockwise.
    pub fn turned(&self, angle: f64) -> Self {
        self.mapped(|point| point.turned(angle))
    }

    /// Shifted.
    pub fn shifted(&self, by: Point) -> Self {
        self.mapped(|point| point.shifted(by))
    }

    fn mapped(&self, change: impl Fn(Point) -> Point) -> Self {
        Self { vertices: self.vertices.iter().map(|v| Vertex { point: change(v.point), bulge: v.bulge }).collect() }
    }

    /// Turning angle at each corner, radians, positive to the left; pieces that meet smoothly give none.
    pub fn corners(&self) -> Vec<f64> {
        let segments: Vec<Segment> = self.segments().into_iter().filter(|s| s.chord() > 0.0).collect();
        let next = segments.iter().cycle().skip(1);
        let turns = segments.iter().zip(next).map(|(a, b)| wrapped(b.headings().0 - a.headings().1));
        turns.filter(|turn| turn.abs() > TANGENT).collect()
    }

    /// The centre and radius of a full circle of arcs; `None` for any other shape.
    pub fn as_circle(&self) -> Option<(Point, Metres)> {
        let segments = self.segments();
        let first = segments.first().filter(|s| !s.is_straight())?;
        let (centre, radius) = (first.centre(), first.radius()?);
        let near = |s: &Segment| {
            let (x, y) = s.centre();
            let off = libm::hypot(x - centre.0, y - centre.1);
            let same = |r: Metres| (r - radius).abs() < radius * 1e-9;
            off < 1e-9 * radius.value() && s.radius().is_some_and(same)
        };
        let whole = segments.iter().all(near) && self.corners().is_empty();
        whole.then(|| (Point::from_xy(centre.0, centre.1), radius))
    }

    /// Distance from a point to the edge.
    pub fn distance_to(&self, point: Point) -> Metres {
        let distances = self.segments().into_iter().map(|s| s.distance_to(point));
        distances.fold(Metres::si(f64::INFINITY), Metres::min)
    }

    /// Least distance between two edges that do not cross.
    pub fn distance_between(&self, other: &Self) -> Metres {
        let (mine, theirs) = (self.segments(), other.segments());
        let pairs = mine.iter().flat_map(|a| theirs.iter().map(move |b| a.distance_between(b)));
        pairs.fold(Metres::si(f64::INFINITY), Metres::min)
    }
}

/// An angle brought to (−π, π].
fn wrapped(angle: f64) -> f64 {
    use std::f64::consts::PI;
    let mut turn = angle;
    while turn > PI {
        turn -= 2.0 * PI;
    }
    while turn <= -PI {
        turn += 2.0 * PI;
    }
    turn
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn bullet() -> Outline {
        // A square of side 2 with a half circle of radius 1 on its right.
        let at = |x, y, bulge| Vertex { point: Point::from_xy(x, y), bulge };
        Outline::new(vec![at(-2.0, -1.0, 0.0), at(0.0, -1.0, 1.0), at(0.0, 1.0, 0.0), at(-2.0, 1.0, 0.0)])
    }

    #[test]
    fn area_perimeter_and_centroid_are_exact() {
        let shape = bullet();
        assert!((shape.area().value() - (4.0 + PI / 2.0)).abs() < 1e-14);
        assert!((shape.perimeter().value() - (6.0 + PI)).abs() < 1e-14);
        let expected = (-4.0 + 2.0 / 3.0) / (4.0 + PI / 2.0);
        let centroid = shape.centroid();
        assert!((centroid.x.value() - expected).abs() < 1e-14 && centroid.y.value().abs() < 1e-15);
    }

    #[test]
    fn extents_include_the_crown() {
        let extents = bullet().extents();
        assert!((extents.width().value() - 3.0).abs() < 1e-14 && (extents.height().value() - 2.0).abs() < 1e-14);
    }

    #[test]
    fn turning_keeps_the_measures() {
        let (shape, turned) = (bullet(), bullet().turned(0.7).shifted(Point::from_xy(3.0, -2.0)));
        assert!((shape.area().value() - turned.area().value()).abs() < 1e-13);
        assert!((shape.perimeter().value() - turned.perimeter().value()).abs() < 1e-13);
    }

    #[test]
    fn corners_are_counted_without_the_smooth_joints() {
        let corners = bullet().corners();
        assert_eq!(corners.len(), 2);
        assert!(corners.iter().all(|turn| (turn - PI / 2.0).abs() < 1e-12));
        assert_eq!(bullet().as_circle(), None);
    }
}
