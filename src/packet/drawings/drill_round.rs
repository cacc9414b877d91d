//! Drill templates of walls that curve two ways: a cone's wall as a sector at full size, and for a ball, which has no
//! flat development, its circles of latitude and the chords to set dividers to, at full size.

use super::drill::{arrow, said};
use super::openings::{free, free_of};
use super::pen::{Pen, mm};
use super::text::LABEL;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Path, Point, Role, Vertex, at};
use crate::physics::mechanics::unroll::Frustum;
use crate::quantity::{Metres, Radians};
use crate::solve::drill::{Placed, Template};

/// Paper above the highest hole, mm.
const ABOVE: f64 = 20.0;
/// Sides of the polygon that stands for a hole on an unrolled wall.
const SIDES: usize = 72;
/// Between two chords drawn as lines, mm.
const ROW: f64 = 7.0;

/// A cone's wall on paper: where a place along the back edge and up the slant lies.
#[derive(Clone, Copy)]
pub(super) struct Flat {
    cone: Frustum,
    from: Metres,
    to: Metres,
}

impl Flat {
    pub(super) fn new(cone: Frustum, from: Metres, to: Metres) -> Self {
        Self { cone, from, to }
    }

    /// On paper, mm.
    pub(super) fn on(&self, along: Metres, up: Metres) -> Point {
        let (x, y) = self.cone.flat(along, up, (self.from + self.to) / 2.0);
        at(mm(x), mm(y))
    }

    /// The edge that a drill square to the wall leaves.
    pub(super) fn edge(&self, hole: &Placed) -> Path {
        let point = |k: usize| {
            let turn = Radians::si(2.0 * std::f64::consts::PI * k as f64 / SIDES as f64);
            let (along, up) = self.cone.drilled((hole.x, hole.y), hole.diameter / 2.0, turn);
            self.on(along, up)
        };
        Path::polygon(&(0..SIDES).map(point).collect::<Vec<_>>())
    }

    /// The piece of the sector up to this slant: its edges are arcs about the apex.
    fn outline(&self, top: Metres) -> Path {
        let middle = (self.from + self.to) / 2.0;
        let quarter = (self.to - self.from) / self.cone.back_radius() / 8.0;
        let bulge = libm::tan(quarter) * if self.cone.front > self.cone.back { -1.0 } else { 1.0 };
        let vertex = |along: Metres, up: Metres, bulge: f64| Vertex { point: self.on(along, up), bulge };
        let low = Metres::ZERO;
        let vertices = vec![
            vertex(self.from, low, bulge),
            vertex(middle, low, bulge),
            vertex(self.to, low, 0.0),
            vertex(self.to, top, -bulge),
            vertex(middle, top, -bulge),
            vertex(self.from, top, 0.0),
        ];
        Path { vertices, closed: true }
    }
}

/// The sector with the quarters of the way round; gives its left and lower end.
pub(super) fn sector(pen: &mut Pen, template: &Template, flat: Flat) -> (f64, f64) {
    let highest = template.holes.iter().map(|h| h.y + h.diameter / 2.0).fold(Metres::ZERO, Metres::max);
    let top = (highest + Metres::si(ABOVE * 1e-3)).min(flat.cone.slant()).max(Metres::si(10e-3));
    pen.path(Role::Outline, flat.outline(top));
    let edge = pen.extents();
    let girth = flat.cone.back * (2.0 * std::f64::consts::PI);
    let quarters = ["right", "top", "left", "bottom"];
    for n in -8_i32..16 {
        let along = girth * (f64::from(n) / 4.0);
        if along < flat.from || along > flat.to {
            continue;
        }
        let over = |by: f64| flat.on(along, top + Metres::si(by * 1e-3));
        pen.line(Role::Axis, &[flat.on(along, Metres::ZERO), over(3.0)]);
        let turn = n.rem_euclid(4);
        let word = quarters.get(usize::try_from(turn).unwrap_or(0)).copied().unwrap_or_default();
        pen.text(over(4.0), Anchor::Middle, format!("{}° {word}", turn * 90));
    }
    let middle = (edge.least.y + edge.most.y) / 2.0;
    arrow(pen, at(edge.least.x - 4.0, edge.most.y - 12.0), "");
    pen.words(at(edge.least.x - 6.0, middle), LABEL, Anchor::Middle, 90.0, "to the front", false);
    let low = edge.least.y - LABEL - 1.5;
    // At the left end, so that it stays whole where the sheet is tiled.
    pen.text(at(edge.least.x, low), Anchor::Start, "datum, the curved edge: back edge of the body");
    (edge.least.x - 8.0, edge.least.y - 5.0)
}

/// The circles of a ball's holes seen from behind, and every chord as a line; gives their left and lower end.
pub(super) fn ball(pen: &mut Pen, bench: &Bench<'_>, template: &Template, radius: Metres) -> (f64, f64) {
    let circle = |hole: &Placed| mm(hole.circle(radius));
    let widest = template.holes.iter().map(&circle).fold(10.0, f64::max);
    pen.line(Role::Axis, &[at(-widest - 3.0, 0.0), at(widest + 3.0, 0.0)]);
    pen.line(Role::Axis, &[at(0.0, -widest - 3.0), at(0.0, widest + 3.0)]);
    pen.centre(at(0.0, 0.0), 3.0);
    arrow(pen, at(0.0, widest + 4.0), "top");
    pen.text(at(-widest - 1.0, 1.2), Anchor::End, "0°");
    let mut drawn: Vec<f64> = Vec::new();
    for hole in &template.holes {
        let reach = circle(hole);
        if !drawn.iter().any(|other| (other - reach).abs() < 1e-6) {
            pen.path(Role::Outline, Path::circle(at(0.0, 0.0), reach));
            drawn.push(reach);
        }
        let place = on_circle(hole, reach);
        if mm(hole.x).abs() > 1e-6 {
            pen.line(Role::Hidden, &[at(-reach, 0.0), place]);
        }
        pen.centre(place, 3.5);
    }
    free(pen, at(1.5, 1.5), "middle");
    for hole in &template.holes {
        let place = on_circle(hole, circle(hole));
        let text = format!("{}, Ø {}", said(bench, hole), bench.said(&hole.path));
        let (right, left) = (place.x + 4.0, place.x - 4.0 - super::text::width(&text, LABEL, true));
        let (up, down) = (place.y + 1.5, place.y - 1.5 - LABEL);
        free_of(pen, &[at(right, up), at(left, up), at(right, down), at(left, down)], &text);
    }
    let mut y = -widest - 12.0;
    for hole in &template.holes {
        for (axis, length, from) in
            [("y", mm(hole.y), "from the middle of the back"), ("x", mm(hole.x).abs(), "along its circle from 0°")]
        {
            if length <= 0.0 {
                continue;
            }
            pen.line(Role::Dimension, &[at(-widest, y), at(length - widest, y)]);
            for end in [0.0, length] {
                pen.line(Role::Dimension, &[at(end - widest, y - 1.5), at(end - widest, y + 1.5)]);
            }
            let shown = bench.shown(&format!("drill.{}.{}.{axis}", template.name, hole.name));
            pen.text(at(-widest, y + 1.8), Anchor::Start, format!("{}: {shown} {from}", said(bench, hole)));
            y -= ROW;
        }
    }
    (-widest, y)
}

/// Seen from behind the right of the lamp lies on the left of the paper.
fn on_circle(hole: &Placed, reach: f64) -> Point {
    let half = if reach > 0.0 { (mm(hole.x) / (2.0 * reach)).clamp(-1.0, 1.0) } else { 0.0 };
    let turn = 2.0 * libm::asin(half);
    at(-reach * libm::cos(turn), reach * libm::sin(turn))
}
