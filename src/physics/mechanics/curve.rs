//! Points, and the lines and arcs between the vertices of an outline: length, area, distance.
//! An arc is its chord and its bulge, tan(sweep/4), positive counter-clockwise.

use std::f64::consts::PI;

use serde::Serialize;

use crate::quantity::Metres;

/// A point in the plane of the sheet, x to the right, y up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// To the right.
    pub x: Metres,
    /// Up.
    pub y: Metres,
}

impl Point {
    /// The origin.
    pub const ORIGIN: Self = Self { x: Metres::ZERO, y: Metres::ZERO };

    /// From polar coordinates; `angle` in radians from the x axis, counter-clockwise.
    pub fn polar(radius: Metres, angle: f64) -> Self {
        Self { x: radius * libm::cos(angle), y: radius * libm::sin(angle) }
    }
    /// Distance to another point.
    pub fn distance(self, other: Self) -> Metres {
        Metres::si(libm::hypot(self.x.value() - other.x.value(), self.y.value() - other.y.value()))
    }
    /// Shifted.
    pub fn shifted(self, by: Self) -> Self {
        Self { x: self.x + by.x, y: self.y + by.y }
    }
    /// Turned about the origin, radians, counter-clockwise.
    pub fn turned(self, angle: f64) -> Self {
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        Self { x: self.x * cos - self.y * sin, y: self.x * sin + self.y * cos }
    }
    pub(super) fn xy(self) -> (f64, f64) {
        (self.x.value(), self.y.value())
    }
    pub(super) fn from_xy(x: f64, y: f64) -> Self {
        Self { x: Metres::si(x), y: Metres::si(y) }
    }
}

/// A straight or round piece between two vertices. Numbers inside are metres and radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    pub(super) from: (f64, f64),
    pub(super) to: (f64, f64),
    pub(super) bulge: f64,
}

/// A bulge below this is a straight line: 1e-9 of a chord is below an atom on any sheet.
const STRAIGHT: f64 = 1e-9;

impl Segment {
    /// The piece from one point to another.
    pub fn new(from: Point, to: Point, bulge: f64) -> Self {
        Self { from: from.xy(), to: to.xy(), bulge }
    }

    /// Whether it is a line.
    pub fn is_straight(&self) -> bool {
        self.bulge.abs() < STRAIGHT
    }

    /// Sweep, 4 atan(bulge), radians, positive counter-clockwise.
    pub fn sweep(&self) -> f64 {
        4.0 * libm::atan(self.bulge)
    }

    /// Radius of the arc, c (1 + b²)/(4 |b|); `None` for a line.
    pub fn radius(&self) -> Option<Metres> {
        (!self.is_straight()).then(|| Metres::si(self.raw_radius()))
    }

    pub(super) fn chord(&self) -> f64 {
        libm::hypot(self.to.0 - self.from.0, self.to.1 - self.from.1)
    }

    fn raw_radius(&self) -> f64 {
        self.chord() * (1.0 + self.bulge * self.bulge) / (4.0 * self.bulge.abs())
    }

    /// Centre of the arc: from the middle of the chord, c (1 − b²)/(4 b) to the left.
    pub(super) fn centre(&self) -> (f64, f64) {
        let (dx, dy) = (self.to.0 - self.from.0, self.to.1 - self.from.1);
        let k = (1.0 - self.bulge * self.bulge) / (4.0 * self.bulge);
        ((self.from.0 + self.to.0) / 2.0 - k * dy, (self.from.1 + self.to.1) / 2.0 + k * dx)
    }

    /// Length: c, or c (1 + b²) atan|b|/|b|.
    pub fn length(&self) -> Metres {
        let (c, b) = (self.chord(), self.bulge.abs());
        Metres::si(if self.is_straight() { c } else { c * (1.0 + b * b) * libm::atan(b) / b })
    }

    /// Area between the arc and its chord, r²(θ − sin θ)/2 with the sign of the bulge; m².
    pub(super) fn bow(&self) -> f64 {
        if self.is_straight() {
            return 0.0;
        }
        let (r, sweep) = (self.raw_radius(), self.sweep());
        r * r * (sweep - libm::sin(sweep)) / 2.0
    }

    /// First moments of the bow about the axes: its area times its centroid, which lies 4 r sin³(θ/2)/(3(θ − sin θ))
    /// from the centre; m³.
    pub(super) fn bow_moment(&self) -> (f64, f64) {
        if self.is_straight() {
            return (0.0, 0.0);
        }
        let (r, half, (cx, cy)) = (self.raw_radius(), self.sweep().abs() / 2.0, self.centre());
        let sin = libm::sin(half);
        // Area times distance, without dividing by an area that may be small.
        let reach = 2.0 * r * r * r * sin * sin * sin / 3.0;
        let (ux, uy) = self.outward();
        let sign = self.bulge.signum();
        (self.bow() * cx + sign * reach * ux, self.bow() * cy + sign * reach * uy)
    }

    /// Unit vector from the centre to the middle of the arc.
    fn outward(&self) -> (f64, f64) {
        let (dx, dy, c) = (self.to.0 - self.from.0, self.to.1 - self.from.1, self.chord());
        let sign = self.bulge.signum();
        (sign * dy / c, -sign * dx / c)
    }

    /// The point at a share 0 to 1 of the length.
    pub fn point_at(&self, share: f64) -> Point {
        if self.is_straight() {
            let blend = |a, b| a + share * (b - a);
            return Point::from_xy(blend(self.from.0, self.to.0), blend(self.from.1, self.to.1));
        }
        let (cx, cy) = self.centre();
        let turn = self.sweep() * share;
        let (x, y) = (self.from.0 - cx, self.from.1 - cy);
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        Point::from_xy(cx + x * cos - y * sin, cy + x * sin + y * cos)
    }

    /// The same piece the other way.
    pub fn reversed(&self) -> Self {
        Self { from: self.to, to: self.from, bulge: -self.bulge }
    }

    /// The part between two shares of the length.
    pub fn part(&self, from: f64, to: f64) -> Self {
        let bulge = if self.is_straight() { 0.0 } else { libm::tan(self.sweep() * (to - from) / 4.0) };
        Self { from: self.point_at(from).xy(), to: self.point_at(to).xy(), bulge }
    }

    /// Centre of the arc; `None` for a line.
    pub fn arc_centre(&self) -> Option<Point> {
        (!self.is_straight()).then(|| {
            let (x, y) = self.centre();
            Point::from_xy(x, y)
        })
    }

    /// Direction of travel at the start and at the end, radians.
    pub(super) fn headings(&self) -> (f64, f64) {
        let along = libm::atan2(self.to.1 - self.from.1, self.to.0 - self.from.0);
        let half = if self.is_straight() { 0.0 } else { self.sweep() / 2.0 };
        (along - half, along + half)
    }

    /// Whether the direction from the centre to `p` lies inside the sweep.
    fn faces(&self, p: (f64, f64)) -> bool {
        let (cx, cy) = self.centre();
        let start = libm::atan2(self.from.1 - cy, self.from.0 - cx);
        let mut turn = libm::atan2(p.1 - cy, p.0 - cx) - start;
        let sweep = self.sweep();
        if sweep < 0.0 {
            turn = -turn;
        }
        while turn < -1e-12 {
            turn += 2.0 * PI;
        }
        turn <= sweep.abs() + 1e-12
    }

    pub(super) fn nearest_to(&self, p: (f64, f64)) -> (f64, f64) {
        if self.is_straight() {
            let (dx, dy) = (self.to.0 - self.from.0, self.to.1 - self.from.1);
            let square = dx * dx + dy * dy;
            let along = ((p.0 - self.from.0) * dx + (p.1 - self.from.1) * dy) / square;
            let share = if square > 0.0 { along.clamp(0.0, 1.0) } else { 0.0 };
            return (self.from.0 + share * dx, self.from.1 + share * dy);
        }
        let ((cx, cy), r) = (self.centre(), self.raw_radius());
        let away = libm::hypot(p.0 - cx, p.1 - cy);
        if away > 0.0 && self.faces(p) {
            return (cx + r * (p.0 - cx) / away, cy + r * (p.1 - cy) / away);
        }
        if gap(p, self.from) <= gap(p, self.to) { self.from } else { self.to }
    }

    /// Distance from a point.
    pub fn distance_to(&self, point: Point) -> Metres {
        Metres::si(gap(self.nearest_to(point.xy()), point.xy()))
    }

    /// Least distance of two pieces that do not cross: exact, since it is reached at an end of one of them or, with
    /// an arc, on the perpendicular through its centre.
    pub fn distance_between(&self, other: &Self) -> Metres {
        let mut tries = vec![self.from, self.to];
        tries.extend([other.from, other.to].map(|p| self.nearest_to(p)));
        for (one, two) in [(self, other), (other, self)] {
            if !two.is_straight() {
                let from_centre = one.nearest_to(two.centre());
                tries.push(from_centre);
                tries.push(self.nearest_to(two.nearest_to(from_centre)));
            }
        }
        let least = tries.iter().map(|p| {
            let on_self = self.nearest_to(*p);
            gap(on_self, other.nearest_to(on_self))
        });
        Metres::si(least.fold(f64::INFINITY, f64::min))
    }
}

fn gap(a: (f64, f64), b: (f64, f64)) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(from: (f64, f64), to: (f64, f64), bulge: f64) -> Segment {
        Segment { from, to, bulge }
    }

    #[test]
    fn half_a_circle_measures_like_one() {
        let half = segment((1.0, 0.0), (-1.0, 0.0), 1.0);
        assert!((half.length().value() - PI).abs() < 1e-14 && (half.bow() - PI / 2.0).abs() < 1e-14);
        // The centroid of a half disc lies 4/(3π) from its centre.
        assert!((half.bow_moment().1 / half.bow() - 4.0 / (3.0 * PI)).abs() < 1e-14);
        let top = half.point_at(0.5).xy();
        assert!(top.0.abs() < 1e-15 && (top.1 - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_clockwise_arc_bows_the_other_way() {
        let half = segment((1.0, 0.0), (-1.0, 0.0), -1.0);
        assert!((half.bow() + PI / 2.0).abs() < 1e-14);
        assert!((half.point_at(0.5).xy().1 + 1.0).abs() < 1e-15);
        // Area and distance below the axis are both negative, so the moment is positive.
        assert!((half.bow_moment().1 - 2.0 / 3.0).abs() < 1e-14, "{:?}", half.bow_moment());
    }

    #[test]
    fn distances_reach_the_nearest_point() {
        let quarter = segment((1.0, 0.0), (0.0, 1.0), libm::tan(PI / 8.0));
        let at = |x, y| quarter.distance_to(Point::from_xy(x, y)).value();
        assert!((at(2.0, 2.0) - (libm::sqrt(8.0) - 1.0)).abs() < 1e-14);
        assert!((at(1.0, -1.0) - 1.0).abs() < 1e-14);
        assert!((at(-0.5, 0.0) - libm::hypot(0.5, 1.0)).abs() < 1e-14);
        let wall = segment((3.0, -5.0), (3.0, 5.0), 0.0);
        assert!((quarter.distance_between(&wall).value() - 2.0).abs() < 1e-14);
        let slope = segment((4.0, 0.0), (0.0, 4.0), 0.0);
        assert!((quarter.distance_between(&slope).value() - (libm::sqrt(8.0) - 1.0)).abs() < 1e-14);
    }

    #[test]
    fn two_arcs_are_nearest_between_their_centres() {
        let right = segment((0.0, -1.0), (0.0, 1.0), 1.0);
        let left = segment((5.0, 1.0), (5.0, -1.0), 1.0);
        assert!((right.distance_between(&left).value() - 3.0).abs() < 1e-14);
        assert!((left.distance_between(&right).value() - 3.0).abs() < 1e-14);
    }
}
