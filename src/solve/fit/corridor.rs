//! Rooms that must stay free: the cord behind its hole, a hand before a terminal, the air before an antenna.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::physics::conductors::hang::{EntryRoom, entry_room};
use crate::physics::mechanics::hollow::{Hollow, Solid, Wall, gap};
use crate::quantity::Metres;
use crate::schema::words::Face;
use crate::solve::line::Line;

use super::Part;

/// The cord from its hole inwards.
#[derive(Debug, Clone)]
pub struct Corridor {
    /// Free way straight in, to the first part or the wall opposite.
    pub free: Metres,
    /// The part that ends it; none where a wall does.
    pub stopped_by: Option<String>,
    /// What the cord needs.
    pub wanted: EntryRoom,
    /// The axis it runs along, and which way.
    pub inwards: (usize, f64),
}

/// The way behind the hole; none without a cord.
pub(super) fn behind(
    lamp: &Lamp,
    line: &Line,
    (hollow, inner_face): (&Hollow, &Found<Metres>),
    entry: [Metres; 3],
    parts: &[Part],
) -> Option<Found<Corridor>> {
    let cord = lamp.mains.as_ref()?.cord.as_ref()?;
    let figures = line.cord.as_ref()?;
    let wanted = || {
        let thickness = figures.outer.as_ref()?.thickness;
        let straight = cord.depth.nominal()?;
        Ok((thickness, entry_room(thickness, straight, figures.bend.clone()?), inner_face.clone()?))
    };
    Some(wanted().map(|(thickness, wanted, face)| {
        let inwards = inwards(hollow, entry);
        let (free, stopped_by) = free((hollow, face), entry, inwards, thickness, parts);
        Corridor { free, stopped_by, wanted, inwards }
    }))
}

/// The room of the cord behind its hole, straight piece and bend, for a search to keep free.
pub(super) fn way_in(
    lamp: &Lamp,
    line: Option<&Line>,
    space: (&Hollow, &Found<Metres>),
    entry: [Metres; 3],
) -> Option<Solid> {
    let Some(Ok(corridor)) = behind(lamp, line?, space, entry, &[]) else { return None };
    let (axis, way) = corridor.inwards;
    let long = corridor.wanted.depth.min(corridor.free);
    let mut half = [line?.cord.as_ref()?.outer.as_ref().ok()?.thickness / 2.0; 3];
    half[axis] = long / 2.0;
    let mut centre = entry;
    centre[axis] = centre[axis] + long / 2.0 * way;
    Some(Solid { centre, half, axis: None })
}

/// Away from the wall that the hole is nearest to; from a round wall along the larger of x and y.
fn inwards(hollow: &Hollow, entry: [Metres; 3]) -> (usize, f64) {
    match nearest(hollow, entry) {
        Some(Wall::Left) => (0, 1.0),
        Some(Wall::Right) => (0, -1.0),
        Some(Wall::Bottom) => (1, 1.0),
        Some(Wall::Top) => (1, -1.0),
        Some(Wall::Front) => (2, -1.0),
        Some(Wall::Back) | None => (2, 1.0),
        Some(Wall::Round) => {
            let [x, y, _] = entry.map(Metres::value);
            if x.abs() > y.abs() { (0, -x.signum()) } else { (1, -y.signum()) }
        }
    }
}

/// The wall that a place lies nearest to.
pub(super) fn nearest(hollow: &Hollow, place: [Metres; 3]) -> Option<Wall> {
    let point = Solid { centre: place, half: [Metres::ZERO; 3], axis: None };
    let rooms = hollow.rooms(&point).into_iter();
    rooms.min_by(|a, b| a.1.value().total_cmp(&b.1.value())).map(|(wall, _)| wall)
}

/// The wall that a hole is in, and how far its middle is from it: zero from its inner to its outer face.
pub(super) fn off_wall(hollow: &Hollow, place: [Metres; 3], thick: Metres) -> Option<(Wall, Metres)> {
    let point = Solid { centre: place, half: [Metres::ZERO; 3], axis: None };
    let off = |room: Metres| if room > Metres::ZERO { room } else { (-room - thick).max(Metres::ZERO) };
    // Outside of a box a place lies beyond one wall and perhaps before another: the worse one tells.
    let rooms = hollow.rooms(&point);
    let beyond = rooms.iter().map(|(_, room)| (-*room - thick).max(Metres::ZERO)).fold(Metres::ZERO, Metres::max);
    let (wall, room) = rooms.into_iter().min_by(|a, b| a.1.value().total_cmp(&b.1.value()))?;
    Some((wall, off(room).max(beyond)))
}

/// How far a cord may run straight: to the face of the first part in its way, else to the wall or sheet opposite.
fn free(
    (hollow, inner_face): (&Hollow, Metres),
    entry: [Metres; 3],
    (axis, way): (usize, f64),
    thickness: Metres,
    parts: &[Part],
) -> (Metres, Option<String>) {
    let to_wall = hollow.way(entry, axis, way);
    let end = if axis == 2 && way > 0.0 { to_wall.min(inner_face - entry[2]) } else { to_wall };
    let in_the_way = parts.iter().filter_map(|part| {
        let solid = part.solid.as_ref().ok()?;
        let beside = (0..3).filter(|k| *k != axis);
        let meets = |k: usize| (solid.centre[k] - entry[k]).abs() < solid.half[k] + thickness / 2.0;
        let near = (solid.centre[axis] - entry[axis]) * way - solid.half[axis];
        let far = near + solid.half[axis] * 2.0;
        (beside.into_iter().all(meets) && far > Metres::ZERO).then(|| (near.max(Metres::ZERO), part.name.clone()))
    });
    let first = in_the_way.min_by(|a, b| a.0.value().total_cmp(&b.0.value()));
    match first {
        Some((near, name)) if near < end => (near, Some(name)),
        _ => (end, None),
    }
}

/// The box before one side of a part, this deep.
pub fn keep_out(solid: &Solid, side: Face, deep: Metres) -> Solid {
    let (axis, way) = looks(side);
    let (mut centre, mut half) = (solid.centre, solid.half);
    centre[axis] = centre[axis] + (solid.half[axis] + deep / 2.0) * way;
    half[axis] = deep / 2.0;
    Solid { centre, half, axis: None }
}

/// Axis and direction of a side.
fn looks(side: Face) -> (usize, f64) {
    match side {
        Face::Left => (0, -1.0),
        Face::Right => (0, 1.0),
        Face::Bottom => (1, -1.0),
        Face::Top => (1, 1.0),
        Face::Back => (2, -1.0),
        Face::Front => (2, 1.0),
    }
}

/// Room before a side of a part as far as the wall it looks at; towards the front as far as the sheet's inner face.
/// The corners of the side tell, for the space has no dents.
pub(super) fn wall_room(hollow: &Hollow, inner_face: Metres, solid: &Solid, side: Face) -> Metres {
    let (axis, way) = looks(side);
    let mut corners: Vec<[Metres; 3]> = vec![solid.centre];
    for k in (0..3).filter(|k| *k != axis) {
        corners = corners
            .iter()
            .flat_map(|corner| {
                [-1.0, 1.0].map(|sign| {
                    let mut moved = *corner;
                    moved[k] = moved[k] + solid.half[k] * sign;
                    moved
                })
            })
            .collect();
    }
    let room = |corner: &[Metres; 3]| {
        let mut from = *corner;
        from[axis] = from[axis] + solid.half[axis] * way;
        let to_wall = hollow.way(from, axis, way);
        if axis == 2 && way > 0.0 { to_wall.min(inner_face - from[2]) } else { to_wall }
    };
    corners.iter().map(room).fold(Metres::si(f64::INFINITY), Metres::min).max(Metres::ZERO)
}

/// Room before a side of a part: to the first of these parts, at most `wanted`.
pub(super) fn service_room(
    solid: &Solid,
    side: Face,
    wanted: Metres,
    others: &[(&str, Solid)],
) -> (Metres, Option<String>) {
    let before = keep_out(solid, side, wanted);
    let (axis, _) = looks(side);
    let meeting = others.iter().filter(|(_, other)| gap(&before, other) < Metres::ZERO);
    let rooms = meeting.map(|(name, other)| {
        let apart = (other.centre[axis] - solid.centre[axis]).abs() - other.half[axis] - solid.half[axis];
        (apart.max(Metres::ZERO), (*name).to_owned())
    });
    let first = rooms.min_by(|a, b| a.0.value().total_cmp(&b.0.value()));
    first.map_or((wanted, None), |(room, name)| (room, Some(name)))
}
