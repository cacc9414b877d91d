//! Parts in the space inside a body, in the lamp's own coordinates: the front of the space is the plane z = 0, its back
//! lies at negative z, and the axis is z. Room to every wall, and the gap between parts with its sign.

use std::f64::consts::PI;

use crate::quantity::Metres;

/// Samples round the end of a lying cylinder in a cone; between two the true edge is farther by at most r/10⁵.
const ROUND_STEPS: usize = 720;

/// A box, or a cylinder along one axis, by the box around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solid {
    /// Its middle.
    pub centre: [Metres; 3],
    /// Half of its size along x, y and z.
    pub half: [Metres; 3],
    /// The axis of a cylinder, 0 to 2; none for a box.
    pub axis: Option<usize>,
}

/// A wall of the space inside, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wall {
    /// At negative x.
    Left,
    /// At positive x.
    Right,
    /// At negative y.
    Bottom,
    /// At positive y.
    Top,
    /// At negative z.
    Back,
    /// At z = 0.
    Front,
    /// The wall round the axis.
    Round,
}

/// The space inside a body, its walls taken off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hollow {
    /// A box by half width, half height and depth.
    Block {
        /// Half of the width, along x.
        across: Metres,
        /// Half of the height, along y.
        up: Metres,
        /// Depth, along z.
        depth: Metres,
    },
    /// A cylinder, or a frustum of a cone, along z.
    Round {
        /// Radius at the back.
        back: Metres,
        /// Radius at the front.
        front: Metres,
        /// Depth, along z.
        depth: Metres,
    },
    /// A ball cut by the plane z = 0.
    Ball {
        /// Radius.
        radius: Metres,
        /// How far its centre lies behind the plane.
        behind: Metres,
    },
}

fn values(triple: [Metres; 3]) -> [f64; 3] {
    triple.map(Metres::value)
}

impl Solid {
    /// The same solid somewhere else.
    pub fn moved(&self, by: [f64; 3]) -> Self {
        let [x, y, z] = self.centre;
        let [dx, dy, dz] = by.map(Metres::si);
        Self { centre: [x + dx, y + dy, z + dz], ..*self }
    }

    /// Larger by this much on each side; a cylinder stays one.
    pub fn grown(&self, by: Metres) -> Self {
        Self { half: self.half.map(|h| h + by), ..*self }
    }

    /// Farthest from the z axis: the rim of an upright cylinder, else a corner of the footprint, which a lying cylinder
    /// has too.
    fn reach(&self) -> f64 {
        let ([x, y, _], [hx, hy, _]) = (values(self.centre), values(self.half));
        match self.axis {
            Some(2) => libm::hypot(x, y) + hx,
            _ => libm::hypot(x.abs() + hx, y.abs() + hy),
        }
    }

    /// Farthest from a point on the z axis. A cylinder: √((a + l)² + (p + r)²), a along its axis, p across it.
    fn far(&self, z: f64) -> f64 {
        let ([x, y, cz], half) = (values(self.centre), values(self.half));
        let from = [x, y, cz - z];
        match self.axis {
            Some(axis) => {
                let across: f64 = (0..3).filter(|k| *k != axis).map(|k| from[k] * from[k]).sum();
                let radius = half[(axis + 1) % 3];
                libm::hypot(from[axis].abs() + half[axis], libm::sqrt(across) + radius)
            }
            None => libm::sqrt((0..3).map(|k| (from[k].abs() + half[k]) * (from[k].abs() + half[k])).sum()),
        }
    }
}

impl Hollow {
    /// Room between a solid and each wall it may meet, negative where it reaches into it. Exact but for a lying
    /// cylinder in a cone, see `ROUND_STEPS`.
    pub fn rooms(&self, solid: &Solid) -> Vec<(Wall, Metres)> {
        let ([x, y, z], [hx, hy, hz]) = (values(solid.centre), values(solid.half));
        let mut rooms = match *self {
            Self::Block { across, up, depth } => {
                let (w, h, d) = (across.value(), up.value(), depth.value());
                vec![
                    (Wall::Left, w + x - hx),
                    (Wall::Right, w - x - hx),
                    (Wall::Bottom, h + y - hy),
                    (Wall::Top, h - y - hy),
                    (Wall::Back, d + z - hz),
                ]
            }
            Self::Round { back, front, depth } => {
                let round = round_room(solid, back.value(), front.value(), depth.value());
                vec![(Wall::Round, round), (Wall::Back, depth.value() + z - hz)]
            }
            Self::Ball { radius, behind } => vec![(Wall::Round, radius.value() - solid.far(-behind.value()))],
        };
        rooms.push((Wall::Front, -z - hz));
        rooms.into_iter().map(|(wall, room)| (wall, Metres::si(room))).collect()
    }

    /// How far a straight way along one axis runs from a place to the wall it meets; zero where the place lies beside the
    /// space. The place may lie in the wall that the way leaves. `way` is 1 or −1. The front is the plane z = 0.
    pub fn way(&self, from: [Metres; 3], axis: usize, way: f64) -> Metres {
        let place = values(from);
        let other = 1 - axis.min(1);
        let ahead = way * place[axis];
        let to_front = -place[2];
        // From the middle of a chord at these distances to its end.
        let half_chord = |radius: f64, a: f64, b: f64| {
            let square = radius * radius - a * a - b * b;
            (square >= 0.0).then(|| libm::sqrt(square))
        };
        Metres::si(match *self {
            Self::Block { across, up, depth } => match (axis, way > 0.0) {
                (0, _) => across.value() - ahead,
                (1, _) => up.value() - ahead,
                (_, true) => to_front,
                (_, false) => depth.value() + place[2],
            },
            Self::Round { back, front, depth } => {
                let (b, f, d) = (back.value(), front.value(), depth.value());
                let slope = if d > 0.0 { (f - b) / d } else { 0.0 };
                let radius = f + slope * place[2];
                if axis < 2 {
                    half_chord(radius, place[other], 0.0).map_or(0.0, |half| half - ahead)
                } else {
                    let end = if way > 0.0 { to_front } else { d + place[2] };
                    // A wall that closes in on the way is met where its radius is that of the place.
                    let aside = libm::hypot(place[0], place[1]);
                    let narrows = slope * way < 0.0;
                    if narrows { end.min((radius - aside) / slope.abs()) } else { end }
                }
            }
            Self::Ball { radius, behind } => {
                let (r, z) = (radius.value(), place[2] + behind.value());
                let along = |a: f64, b: f64, ahead: f64| half_chord(r, a, b).map_or(0.0, |half| half - ahead);
                match (axis, way > 0.0) {
                    (2, true) => to_front.min(along(place[0], place[1], z)),
                    (2, false) => along(place[0], place[1], -z),
                    _ => along(place[other], z, ahead),
                }
            }
        })
    }

    /// Half width, half height and depth of the box around the space.
    pub fn around(&self) -> (Metres, Metres, Metres) {
        match *self {
            Self::Block { across, up, depth } => (across, up, depth),
            Self::Round { back, front, depth } => (back.max(front), back.max(front), depth),
            Self::Ball { radius, behind } => (radius, radius, behind + radius),
        }
    }
}

/// Room to the wall of a frustum, square to it: (R(z) − ρ) cos α, least over the solid.
fn round_room(solid: &Solid, back: f64, front: f64, depth: f64) -> f64 {
    let slope = if depth > 0.0 { (front - back) / depth } else { 0.0 };
    let radius = |z: f64| front + slope * z;
    let square = 1.0 / libm::hypot(1.0, slope);
    let (cz, hz) = (solid.centre[2].value(), solid.half[2].value());
    if let (Some(axis @ (0 | 1)), true) = (solid.axis, slope != 0.0) {
        return lying_room(solid, axis, &radius) * square;
    }
    let reach = solid.reach();
    (radius(cz - hz) - reach).min(radius(cz + hz) - reach) * square
}

/// The edge of a lying cylinder's ends against a radius that changes with z.
fn lying_room(solid: &Solid, axis: usize, radius: &dyn Fn(f64) -> f64) -> f64 {
    let (centre, half) = (values(solid.centre), values(solid.half));
    let other = 1 - axis;
    let along = centre[axis].abs() + half[axis];
    let rim = (0..ROUND_STEPS).map(|step| {
        let turn = 2.0 * PI * step as f64 / ROUND_STEPS as f64;
        let aside = centre[other] + half[other] * libm::cos(turn);
        radius(centre[2] + half[2] * libm::sin(turn)) - libm::hypot(along, aside)
    });
    rim.fold(f64::INFINITY, f64::min)
}

/// Gap between two solids; negative where they run into each other, by the least push along an axis of their boxes.
///
/// Exact for boxes, for cylinders with one axis, and for a box beside a cylinder; of two cylinders across each other the
/// second counts as its box, which is on the careful side.
pub fn gap(one: &Solid, other: &Solid) -> Metres {
    let (c1, h1, c2, h2) = (values(one.centre), values(one.half), values(other.centre), values(other.half));
    let signed = |k: usize| (c1[k] - c2[k]).abs() - h1[k] - h2[k];
    let boxes = (0..3).map(signed).fold(f64::NEG_INFINITY, f64::max);
    let axis = one.axis.or(other.axis);
    let Some(axis) = axis else {
        return Metres::si(if boxes < 0.0 { boxes } else { apart(&[signed(0), signed(1), signed(2)]) });
    };
    let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
    let aside = match (one.axis == Some(axis), other.axis == Some(axis)) {
        (true, true) => libm::hypot(c1[u] - c2[u], c1[v] - c2[v]) - h1[u] - h2[u],
        (true, false) => apart(&[(c1[u] - c2[u]).abs() - h2[u], (c1[v] - c2[v]).abs() - h2[v]]) - h1[u],
        _ => apart(&[(c1[u] - c2[u]).abs() - h1[u], (c1[v] - c2[v]).abs() - h1[v]]) - h2[u],
    };
    let end = signed(axis);
    Metres::si(if aside < 0.0 && end < 0.0 { aside.max(end).max(boxes) } else { apart(&[aside, end]) })
}

/// √Σ max(0, dᵢ)².
fn apart(signed: &[f64]) -> f64 {
    libm::sqrt(signed.iter().map(|d| d.max(0.0) * d.max(0.0)).sum())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    fn solid(centre: [f64; 3], half: [f64; 3], axis: Option<usize>) -> Solid {
        Solid { centre: centre.map(mm), half: half.map(mm), axis }
    }

    fn least(hollow: &Hollow, part: &Solid) -> f64 {
        hollow.rooms(part).iter().map(|(_, room)| room.value() * 1e3).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn a_cylinder_and_a_box_reach_as_far_in_a_ball_as_their_rims_do() {
        // Reference vectors of placement: cylinder l 25, r 12.5 at (5, 0, -10), far 39.13119; box at (0, 0, -20).
        let ball = Hollow::Ball { radius: mm(100.0), behind: mm(0.0) };
        let cylinder = solid([5.0, 0.0, -10.0], [12.5, 12.5, 25.0], Some(2));
        let round = ball.rooms(&cylinder).iter().find(|(wall, _)| *wall == Wall::Round).unwrap().1;
        assert!((100.0 - round.value() * 1e3 - 39.131_19).abs() < 1e-5);
        let block = solid([0.0, 0.0, -20.0], [25.0, 15.0, 8.0], None);
        let round = ball.rooms(&block).iter().find(|(wall, _)| *wall == Wall::Round).unwrap().1;
        assert!((100.0 - round.value() * 1e3 - 40.422_77).abs() < 1e-5);
    }

    #[test]
    fn a_cone_of_equal_ends_is_a_cylinder() {
        let straight = Hollow::Round { back: mm(50.0), front: mm(50.0), depth: mm(80.0) };
        let nearly = Hollow::Round { back: mm(50.0), front: mm(50.000_001), depth: mm(80.0) };
        for axis in [None, Some(0), Some(1), Some(2)] {
            let half = match axis {
                Some(0) => [20.0, 8.0, 8.0],
                Some(1) => [8.0, 20.0, 8.0],
                _ => [8.0, 8.0, 20.0],
            };
            let part = solid([12.0, -7.0, -40.0], half, axis);
            assert!((least(&straight, &part) - least(&nearly, &part)).abs() < 2e-3, "{axis:?}");
        }
    }

    #[test]
    fn the_narrow_end_of_a_cone_decides() {
        let cone = Hollow::Round { back: mm(20.0), front: mm(60.0), depth: mm(80.0) };
        let part = solid([0.0, 0.0, -60.0], [10.0, 10.0, 15.0], Some(2));
        // At z = -75 the radius is 22.5; square to a wall that leans 1 in 2: (22.5 - 10) cos(atan 0.5).
        let round = cone.rooms(&part)[0].1.value() * 1e3;
        assert!((round - 11.180_34).abs() < 1e-5, "{round}");
    }

    #[test]
    fn a_straight_way_ends_at_the_wall_it_meets() {
        let round = Hollow::Round { back: mm(50.0), front: mm(50.0), depth: mm(80.0) };
        let cone = Hollow::Round { back: mm(20.0), front: mm(60.0), depth: mm(80.0) };
        let ball = Hollow::Ball { radius: mm(50.0), behind: mm(30.0) };
        let block = Hollow::Block { across: mm(60.0), up: mm(40.0), depth: mm(80.0) };
        // Chords by Pythagoras: at 30 mm aside of a circle of 50 mm the half chord is 40 mm.
        for (hollow, from, axis, way, expected) in [
            (round, [30.0, -40.0, -40.0], 1, 1.0, 80.0),
            (round, [30.0, 0.0, -80.0], 2, 1.0, 80.0),
            (cone, [0.0, 0.0, -40.0], 0, 1.0, 40.0),
            // The radius of 30 mm is reached at z = -60: 40 mm back from z = -20.
            (cone, [30.0, 0.0, -20.0], 2, -1.0, 40.0),
            (ball, [0.0, 0.0, -70.0], 2, 1.0, 70.0),
            (ball, [30.0, 0.0, -40.0], 2, 1.0, 40.0),
            (ball, [0.0, -40.0, -60.0], 1, 1.0, 80.0),
            // Beside the space there is no way in it.
            (round, [-10.0, 60.0, -40.0], 0, 1.0, 0.0),
            (ball, [40.0, 40.0, -70.0], 2, 1.0, 0.0),
            (block, [10.0, 0.0, -30.0], 0, -1.0, 70.0),
            (block, [10.0, 0.0, -30.0], 2, 1.0, 30.0),
        ] {
            let found = hollow.way(from.map(mm), axis, way).value() * 1e3;
            assert!((found - expected).abs() < 1e-9, "{hollow:?} {from:?}: {found}, by hand {expected}");
        }
    }

    #[test]
    fn gaps_have_a_sign_and_no_order() {
        let a = solid([0.0, 0.0, 0.0], [10.0, 10.0, 10.0], None);
        for (b, wanted) in [
            (solid([25.0, 0.0, 0.0], [10.0, 10.0, 10.0], None), 5.0),
            (solid([25.0, 25.0, 25.0], [10.0, 10.0, 10.0], None), 8.660_254),
            (solid([17.0, 0.0, 0.0], [10.0, 10.0, 10.0], None), -3.0),
            (solid([20.0, 20.0, 0.0], [5.0, 5.0, 30.0], Some(2)), 14.142_136 - 5.0),
        ] {
            assert!((gap(&a, &b).value() * 1e3 - wanted).abs() < 1e-5, "{b:?}");
            assert_eq!(gap(&a, &b), gap(&b, &a));
        }
        let (p, q) = (solid([0.0; 3], [5.0, 5.0, 20.0], Some(2)), solid([8.0, 6.0, 0.0], [5.0, 5.0, 20.0], Some(2)));
        assert!(gap(&p, &q).abs() < mm(1e-9));
    }
}
