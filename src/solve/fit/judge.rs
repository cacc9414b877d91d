//! One part at one place against walls, other parts and the other zone: what it lacks, and where it would not.

use crate::lamp::given::Found;
use crate::physics::mechanics::hollow::{Hollow, Solid, Wall, gap};
use crate::quantity::Metres;
use crate::schema::words::{Face, Zone};

use super::{Advice, Against, Kept, Lack, Part};

/// Step and reach of the search for a move along one axis.
const STEP: f64 = 0.5e-3;
const REACH: usize = 600;
/// Step and reach of the search along two axes at once.
const COARSE: f64 = 2e-3;
const COARSE_REACH: i32 = 40;
/// Less than this is rounding.
const NOTHING: f64 = 1e-9;

/// What a part needs around it.
pub(super) struct Need<'a> {
    /// The space inside the body.
    pub(super) hollow: &'a Hollow,
    /// Room to walls.
    pub(super) wall: Metres,
    /// Wall it is fixed to.
    pub(super) fixed: Option<Face>,
    /// What it carries, and whether it is closed.
    pub(super) zone: (Option<Zone>, bool),
    /// Room between the zones.
    pub(super) between: Metres,
    /// Sheet and light.
    pub(super) kept: Vec<(Against, Solid)>,
    /// Room to every other part beyond that between the zones: none is asked of the author.
    pub(super) beside: Metres,
    /// Every other part that has a place.
    pub(super) others: Vec<(&'a str, Solid, Option<Zone>, bool)>,
}

impl<'a> Need<'a> {
    /// What this part needs, beside parts that stand already.
    pub(super) fn of(
        part: &Part,
        (hollow, kept): (&'a Hollow, &Kept),
        between: Metres,
        standing: &'a [Part],
    ) -> Option<Self> {
        let placed = standing.iter().filter(|other| other.name != part.name);
        let others = placed
            .filter_map(|o| o.solid.as_ref().ok().map(|solid| (o.name.as_str(), *solid, o.zone, o.closed)))
            .collect();
        let wall = part.wall_wanted.clone().ok()?;
        let solid = |of: &Option<Found<Solid>>| of.as_ref().and_then(|solid| solid.as_ref().ok().copied());
        let bodies = [(Against::Sheet, solid(&kept.sheet)), (Against::Light, solid(&kept.light))];
        let kept = bodies.into_iter().filter_map(|(against, solid)| Some((against, solid?))).collect();
        let zone = (part.zone, part.closed);
        Some(Self { hollow, wall, fixed: part.fixed, zone, between, kept, beside: Metres::ZERO, others })
    }

    /// What is lacking with the part here.
    pub(super) fn lacks(&self, solid: &Solid) -> Vec<Lack> {
        let walls = self.hollow.rooms(solid).into_iter().map(|(wall, room)| {
            let wanted = if self.held_by(wall) { Metres::ZERO } else { self.wall };
            Lack { against: Against::Wall(wall), room, wanted, along: wall_axis(self.hollow, wall) }
        });
        let parts = self.others.iter().map(|(name, other, zone, closed)| {
            // What is not known to carry the same may carry the other.
            let apart = (zone.is_none() || *zone != self.zone.0) && !*closed && !self.zone.1;
            let wanted = if apart { self.between.max(self.beside) } else { self.beside };
            let name = (*name).to_owned();
            let against = if apart { Against::Zone(name) } else { Against::Part(name) };
            Lack { against, room: gap(solid, other), wanted, along: nearest_axis(solid, other) }
        });
        let kept = self.kept.iter().map(|(against, body)| {
            let room = gap(solid, body);
            Lack { against: against.clone(), room, wanted: Metres::ZERO, along: nearest_axis(solid, body) }
        });
        walls.chain(parts).chain(kept).filter(|lack| lack.room.value() < lack.wanted.value() - NOTHING).collect()
    }

    fn fits(&self, solid: &Solid) -> bool {
        self.lacks(solid).is_empty()
    }

    fn held_by(&self, wall: Wall) -> bool {
        matches!(
            (self.fixed, wall),
            (Some(Face::Left), Wall::Left | Wall::Round)
                | (Some(Face::Right), Wall::Right | Wall::Round)
                | (Some(Face::Bottom), Wall::Bottom | Wall::Round)
                | (Some(Face::Top), Wall::Top | Wall::Round)
                | (Some(Face::Back), Wall::Back)
                | (Some(Face::Front), Wall::Front)
        )
    }

    /// The shortest move along one axis after which nothing is lacking, or along two.
    pub(super) fn advice(&self, solid: &Solid) -> Option<Advice> {
        let along = |axis: usize, by: f64| {
            let mut step = [0.0; 3];
            step[axis] = by;
            step
        };
        let straight = (1..=REACH).flat_map(|n| {
            let far = n as f64 * STEP;
            (0..3).flat_map(move |axis| [along(axis, far), along(axis, -far)])
        });
        let mut moves = straight;
        let found = moves.find(|by| self.fits(&solid.moved(*by))).or_else(|| self.slanting(solid));
        found.map(|by| Advice::By(by.map(Metres::si)))
    }

    fn slanting(&self, solid: &Solid) -> Option<[f64; 3]> {
        let range = || -COARSE_REACH..=COARSE_REACH;
        let mut moves: Vec<[f64; 3]> = Vec::new();
        for (u, v) in [(0, 1), (0, 2), (1, 2)] {
            for (a, b) in range().flat_map(|a| range().map(move |b| (a, b))) {
                let mut by = [0.0; 3];
                by[u] = f64::from(a) * COARSE;
                by[v] = f64::from(b) * COARSE;
                moves.push(by);
            }
        }
        let length = |by: &[f64; 3]| by.iter().map(|d| d.abs()).sum::<f64>();
        moves.sort_by(|a, b| length(a).total_cmp(&length(b)));
        moves.into_iter().find(|by| self.fits(&solid.moved(*by)))
    }
}

fn wall_axis(hollow: &Hollow, wall: Wall) -> &'static str {
    match wall {
        Wall::Round if matches!(hollow, Hollow::Ball { .. }) => "x, y and z",
        Wall::Left | Wall::Right => "x",
        Wall::Bottom | Wall::Top => "y",
        Wall::Back | Wall::Front => "z",
        Wall::Round => "x and y",
    }
}

/// The axis along which two parts are farthest apart, or least deep in each other.
fn nearest_axis(one: &Solid, other: &Solid) -> &'static str {
    let signed = |k: usize| (one.centre[k] - other.centre[k]).abs() - one.half[k] - other.half[k];
    let mut axes = [(0, "x"), (1, "y"), (2, "z")];
    axes.sort_by(|a, b| signed(b.0).value().total_cmp(&signed(a.0).value()));
    axes[0].1
}
