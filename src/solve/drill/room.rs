//! Room around the holes of a template: to the edge of their side, and from one to another.
//! Turns places on a template back into distances along the wall, or through the ball.

use std::f64::consts::PI;

use crate::lamp::Lamp;
use crate::ledger::{Formula, Ledger};
use crate::quantity::Metres;

use super::{Placed, Side, Template, ball};

const TO_EDGE: Formula =
    Formula { text: "from its edge to that of its side; on a ball along the wall", source: "geometry" };
const BETWEEN: Formula =
    Formula { text: "distance of the middles less both radii; on a ball straight through", source: "geometry" };

/// Least wall left beside a hole (our margin).
pub const LEFT: Metres = Metres::si(2e-3);

/// Room beside each hole: to the edge of its side, and to its neighbours.
pub(super) fn enter(lamp: &Lamp, template: &Template, ledger: &mut Ledger) {
    let size = lamp.sink.as_ref().filter(|_| template.is_sink()).map_or(&lamp.enclosure.size, |sink| &sink.size);
    for hole in &template.holes {
        let path = format!("drill.{}.{}.room", template.name, hole.name);
        let title = format!("{}: wall left to the edge of its side", hole.name);
        let from = [("hole", hole.path.as_str()), ("size", size.path.as_str())];
        ledger.computed(path, &title, template.edge_room(hole), TO_EDGE, &from);
    }
    for (one, other, room) in template.pairs() {
        let path = template.pair_path(one, other);
        let title = format!("wall left between {} and {}", one.name, other.name);
        let from = [("hole", one.path.as_str()), ("other", other.path.as_str())];
        ledger.computed(path, &title, room, BETWEEN, &from);
    }
}

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
    fn between(&self, one: &Placed, other: &Placed) -> Metres {
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

    /// Pairs of holes that tell, with the room between them: each hole with the one nearest to it, and all that are too
    /// close. Of pairs farther apart neither tells anything that these do not.
    pub fn pairs(&self) -> Vec<(&Placed, &Placed, Metres)> {
        let holes = self.holes.iter().enumerate();
        let all: Vec<(usize, usize, Metres)> = holes
            .flat_map(|(k, one)| {
                let others = self.holes.iter().enumerate().skip(k + 1);
                others.map(move |(n, other)| (k, n, self.between(one, other)))
            })
            .collect();
        let nearest = |hole: usize| {
            let own = all.iter().filter(move |(k, n, _)| *k == hole || *n == hole);
            own.map(|(.., room)| *room).reduce(Metres::min)
        };
        let least: Vec<Option<Metres>> = (0..self.holes.len()).map(nearest).collect();
        let is_least = |hole: usize, room: Metres| least.get(hole).is_some_and(|least| *least == Some(room));
        let tell = all.into_iter().filter(|(k, n, room)| *room < LEFT || is_least(*k, *room) || is_least(*n, *room));
        tell.filter_map(|(k, n, room)| Some((self.holes.get(k)?, self.holes.get(n)?, room))).collect()
    }

    /// Ledger path of the room between two holes.
    pub fn pair_path(&self, one: &Placed, other: &Placed) -> String {
        format!("drill.{}.{}.to-{}", self.name, one.name, other.name)
    }

    /// Whether it lies on the sink; all others lie on the body.
    pub fn is_sink(&self) -> bool {
        self.name == "sink"
    }
}
