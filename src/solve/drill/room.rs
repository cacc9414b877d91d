//! Room around the holes of a template: to the edge of their side, and from one to another.
//! Turns places on a template back into distances along the wall, or through the ball.

use std::f64::consts::PI;

use crate::quantity::Metres;

use super::{Placed, Side, Template, ball};

impl Template {
    /// Room between a hole's edge and the edge of its side, negative where it leaves it.
    pub fn edge_room(&self, hole: &Placed) -> Metres {
        let radius = hole.diameter / 2.0;
        let (x, y) = (hole.x, hole.y);
        match self.side {
            Side::Rectangle(w, h) => (w / 2.0 - x.abs()).min(h / 2.0 - y.abs()) - radius,
            Side::Round(d) => d / 2.0 - Metres::si(libm::hypot(x.value(), y.value())) - radius,
            Side::Strip { length, .. } => y.min(length - y) - radius,
            Side::Sector { cone, .. } => y.min(cone.slant() - y) - radius,
            Side::Ball { radius: ball, depth } => ball::edge_room(ball, depth, y) - radius,
        }
    }

    /// Room between the edges of two holes, negative where they run into each other. On a round wall along the wall, on a
    /// ball straight through it.
    pub fn between(&self, one: &Placed, other: &Placed) -> Metres {
        let radii = (one.diameter + other.diameter) / 2.0;
        let wrapped = |along: Metres, girth: Metres| {
            let rest = along.abs().value().rem_euclid(girth.value());
            Metres::si(rest.min(girth.value() - rest))
        };
        let up = one.y - other.y;
        let aside = match self.side {
            Side::Strip { radius, .. } => wrapped(one.x - other.x, radius * (2.0 * PI)),
            Side::Sector { cone, .. } => {
                let middle = ((one.y + other.y) / 2.0).max(Metres::ZERO).min(cone.slant());
                wrapped(one.x - other.x, cone.back * (2.0 * PI)) * (cone.radius_at(middle) / cone.back)
            }
            Side::Ball { radius, .. } => return ball::apart(radius, one, other) - radii,
            Side::Rectangle(..) | Side::Round(_) => one.x - other.x,
        };
        Metres::si(libm::hypot(aside.value(), up.value())) - radii
    }

    /// Whether it lies on the sink; all others lie on the body.
    pub fn is_sink(&self) -> bool {
        self.name == "sink"
    }
}
