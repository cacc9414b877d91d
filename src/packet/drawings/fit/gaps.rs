//! The gaps that are dimensioned: each part to its nearest wall, and the nearest pair of the two zones.

use crate::packet::bench::Bench;
use crate::physics::mechanics::hollow::{Hollow, Solid, Wall};
use crate::quantity::Metres;
use crate::solve::fit::{Fit, Part, nearest_wall, wall_word};

/// One gap, lettered as in the table.
pub(in crate::packet) struct Gap {
    /// Its letter.
    pub(in crate::packet) letter: String,
    /// From what to what.
    pub(in crate::packet) what: String,
    /// As printed.
    pub(in crate::packet) room: String,
    /// As printed; a dash where nothing is wanted.
    pub(in crate::packet) wanted: String,
    /// Its ends, metres in the lamp's coordinates.
    pub(super) ends: ([f64; 3], [f64; 3]),
    /// It ends at a part, not at a wall.
    pub(super) to_part: bool,
    /// The axis it lies along; none for a gap square to a round wall.
    pub(super) axis: Option<usize>,
    /// How far the ends may be moved along the face they stand on, metres along each axis.
    pub(super) play: [f64; 3],
    /// Square to a wall that no view shows in true length: a figure at the corner that is nearest to it.
    pub(in crate::packet) corner: bool,
}

/// Every gap, in the order of the parts.
pub(in crate::packet) fn gaps(bench: &Bench<'_>, fit: &Fit) -> Vec<Gap> {
    let mut gaps: Vec<Gap> = fit.standing().filter_map(|(part, solid)| to_wall(bench, fit, part, &solid)).collect();
    gaps.extend(between_zones(bench, fit));
    for (k, gap) in gaps.iter_mut().enumerate() {
        gap.letter = letter(k);
    }
    gaps
}

/// a to z, then a2 and on.
pub(in crate::packet::drawings) fn letter(k: usize) -> String {
    let name = char::from(b'a' + u8::try_from(k % 26).unwrap_or(0));
    if k < 26 { name.to_string() } else { format!("{name}{}", k / 26 + 1) }
}

fn to_wall(bench: &Bench<'_>, fit: &Fit, part: &Part, solid: &Solid) -> Option<Gap> {
    let (wall, room) = nearest_wall(fit, part, solid)?;
    let centre = solid.centre.map(Metres::value);
    let half = solid.half.map(Metres::value);
    let face = |axis: usize, way: f64| {
        let mut from = centre;
        from[axis] += way * half[axis];
        let mut to = from;
        to[axis] += way * room.value();
        (from, to)
    };
    // The wall of a ball or a cone is nearer than its edge in any view.
    let slanting = match fit.hollow {
        Hollow::Ball { .. } => true,
        Hollow::Round { back, front, .. } => back != front,
        Hollow::Block { .. } => false,
    };
    let (ends, axis) = match wall {
        Wall::Left => (face(0, -1.0), Some(0)),
        Wall::Right => (face(0, 1.0), Some(0)),
        Wall::Bottom => (face(1, -1.0), Some(1)),
        Wall::Top => (face(1, 1.0), Some(1)),
        Wall::Back => (face(2, -1.0), Some(2)),
        Wall::Front => (face(2, 1.0), Some(2)),
        Wall::Round => (aside(solid, room.value())?, None),
    };
    Some(Gap {
        letter: String::new(),
        what: format!("{} to the wall, {}", part.name, wall_word(wall)),
        room: bench.said(&format!("fit.{}.wall", part.name)),
        wanted: bench.said(&format!("fit.{}.wall-wanted", part.name)),
        ends,
        to_part: false,
        axis,
        play: axis.map_or([0.0; 3], |axis| {
            let mut play = half;
            play[axis] = 0.0;
            play
        }),
        corner: slanting && wall == Wall::Round,
    })
}

/// From the farthest point of the part outwards, square to the axis of the body.
fn aside(solid: &Solid, room: f64) -> Option<([f64; 3], [f64; 3])> {
    let [x, y, z] = solid.centre.map(Metres::value);
    let [hx, hy, _] = solid.half.map(Metres::value);
    let way = |v: f64| if v < 0.0 { -1.0 } else { 1.0 };
    let far = if solid.axis == Some(2) {
        let reach = libm::hypot(x, y);
        let (u, v) = if reach > 0.0 { (x / reach, y / reach) } else { (1.0, 0.0) };
        (x + u * hx, y + v * hx)
    } else {
        (x + way(x) * hx, y + way(y) * hy)
    };
    let reach = libm::hypot(far.0, far.1);
    if reach <= 0.0 {
        return None;
    }
    let k = (reach + room) / reach;
    Some(([far.0, far.1, z], [far.0 * k, far.1 * k, z]))
}

fn between_zones(bench: &Bench<'_>, fit: &Fit) -> Option<Gap> {
    let (live, low, _) = fit.zones.as_ref()?;
    let solid = |name: &str| fit.part(name).and_then(|part| part.solid.as_ref().ok().copied());
    let (a, b) = (solid(live)?, solid(low)?);
    // Nearest points of the two boxes: where they overlap along an axis, the middle of what they share.
    let mut ends = ([0.0; 3], [0.0; 3]);
    for k in 0..3 {
        let (la, ma) = ((a.centre[k] - a.half[k]).value(), (a.centre[k] + a.half[k]).value());
        let (lb, mb) = ((b.centre[k] - b.half[k]).value(), (b.centre[k] + b.half[k]).value());
        let (low, high) = (la.max(lb), ma.min(mb));
        (ends.0[k], ends.1[k]) = if low <= high {
            ((low + high) / 2.0, (low + high) / 2.0)
        } else if la > mb {
            (la, mb)
        } else {
            (ma, lb)
        };
    }
    Some(Gap {
        letter: String::new(),
        what: format!("{live} (live) to {low} (extra-low voltage)"),
        room: bench.shown("fit.zone-gap"),
        wanted: bench.shown("layout.zone-gap"),
        ends,
        to_part: true,
        axis: None,
        play: [0.0; 3],
        corner: false,
    })
}
