//! Holes of a ball by chords: one from the middle of its back to the circle of the hole's height, one along that circle
//! from the right.

use std::f64::consts::PI;

use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::unroll::{circle_of_latitude, polar_chord, step_chord};
use crate::quantity::{Metres, Radians};
use crate::schema::words::Face;

use super::{Placed, Template};

const POLAR: Formula = Formula { text: "√(D · level)", source: "geometry: chord of a ball" };
const STEP: Formula = Formula { text: "2 ρ sin(towards/2)", source: "geometry: chord of a circle" };
const CIRCLE: Formula = Formula { text: "2 √(level (D − level))", source: "geometry: circle of latitude" };

/// The two chords of a hole, by its direction seen from the front and its height above the middle of the back.
pub(super) fn place(radius: Metres, towards: Radians, level: Metres) -> (Metres, Metres) {
    if level < Metres::ZERO || level > radius * 2.0 {
        // Off the ball: as far over as it is, so that the rule of the side's edge says so.
        return (Metres::ZERO, level.min(radius * 2.0 - level));
    }
    // Dividers step either way round: the shorter one, up to half a turn.
    let turn = (towards.value() + PI).rem_euclid(2.0 * PI) - PI;
    (step_chord(circle_of_latitude(radius, level), Radians::si(turn)), polar_chord(radius, level))
}

/// The same for a place that lies right of and above the middle of a side, seen square to that side from outside.
pub(super) fn from_face(radius: Metres, face: Face, [right, up]: [Metres; 2]) -> (Metres, Metres) {
    let (u, v, r) = (right.value(), up.value(), radius.value());
    let off = libm::hypot(u, v);
    if off > r {
        return (Metres::ZERO, Metres::si(r - off));
    }
    let out = libm::sqrt(r * r - off * off);
    let (x, y, z) = match face {
        Face::Left => (-out, v, u),
        Face::Right => (out, v, -u),
        Face::Bottom => (u, -out, v),
        Face::Top => (-u, out, v),
        Face::Back => (-u, v, -out),
        Face::Front => (u, v, out),
    };
    place(radius, Radians::si(libm::atan2(y, x)), Metres::si((r + z).clamp(0.0, 2.0 * r)))
}

/// Height above the middle of the back that a chord from there reaches.
fn level(radius: Metres, chord: Metres) -> Metres {
    Metres::si(chord.value() * chord.value() / (2.0 * radius.value()))
}

/// Straight way between the middles of two holes: from their chords back to places in space.
pub(super) fn apart(radius: Metres, one: &Placed, other: &Placed) -> Metres {
    let place = |hole: &Placed| {
        let round = circle(radius, hole.y).value();
        let share = if round > 0.0 { (hole.x.value() / (2.0 * round)).clamp(-1.0, 1.0) } else { 0.0 };
        let turn = 2.0 * libm::asin(share);
        [round * libm::cos(turn), round * libm::sin(turn), level(radius, hole.y).value()]
    };
    let (a, b) = (place(one), place(other));
    Metres::si(libm::sqrt(a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum()))
}

/// Radius of the circle that a hole lies on.
pub(super) fn circle(radius: Metres, chord: Metres) -> Metres {
    circle_of_latitude(radius, level(radius, chord))
}

/// Way on the ball from a hole's middle to the edge of the opening; negative where it lies beyond.
pub(super) fn edge_room(radius: Metres, depth: Metres, chord: Metres) -> Metres {
    if chord < Metres::ZERO {
        return chord;
    }
    let arc = |chord: Metres| radius * (2.0 * libm::asin((chord / (radius * 2.0)).min(1.0)));
    arc(polar_chord(radius, depth)) - arc(chord)
}

/// The chords, and the circle of each hole.
pub(super) fn enter(radius: Metres, template: &Template, size: &str, ledger: &mut Ledger) {
    for hole in &template.holes {
        let path = |what: &str| format!("drill.{}.{}.{what}", template.name, hole.name);
        let title = |what: &str| format!("{}: {what}", hole.name);
        let inputs = [("D", size), ("hole", hole.path.as_str())];
        let across = circle(radius, hole.y) * 2.0;
        ledger.computed(path("y"), &title("chord from the middle of the back"), hole.y, POLAR, &inputs);
        ledger.computed(path("circle"), &title("diameter of its circle"), across, CIRCLE, &inputs);
        let circle = path("circle");
        let inputs = [("2 ρ", circle.as_str()), ("hole", hole.path.as_str())];
        ledger.computed(path("x"), &title("chord along the circle from 0°"), hole.x.abs(), STEP, &inputs);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: (Metres, Metres), wanted: (f64, f64)) -> bool {
        (found.0.value() * 1e3 - wanted.0).abs() < 1e-6 && (found.1.value() * 1e3 - wanted.1).abs() < 1e-6
    }

    #[test]
    fn a_place_by_direction_and_by_face_is_one_place() {
        let ball = Metres::si(0.05);
        // On the back, 30 mm to the left of one who looks at it, 0 up: towards the right seen from the front, 10 mm high.
        let found = from_face(ball, Face::Back, [Metres::si(-0.03), Metres::ZERO]);
        assert!(close(found, (0.0, libm::sqrt(1000.0))), "{found:?}");
        let found = place(ball, Radians::ZERO, Metres::si(0.01));
        assert!(close(found, (0.0, libm::sqrt(1000.0))), "{found:?}");
        // On top, half way: a quarter round the equator.
        let found = from_face(ball, Face::Top, [Metres::ZERO, Metres::ZERO]);
        assert!(close(found, (libm::sqrt(5000.0), libm::sqrt(5000.0))), "{found:?}");
        // 270° is 90° the other way.
        let found = place(ball, Radians::si(1.5 * PI), Metres::si(0.05));
        assert!(close(found, (-libm::sqrt(5000.0), libm::sqrt(5000.0))), "{found:?}");
    }

    #[test]
    fn room_to_the_opening_runs_along_the_ball() {
        let ball = Metres::si(0.05);
        // A half ball: the pole is a quarter of the way round from its edge.
        let pole = edge_room(ball, ball, Metres::ZERO);
        assert!((pole.value() - 0.05 * PI / 2.0).abs() < 1e-9);
        assert!(edge_room(ball, ball, Metres::si(0.08)) < Metres::ZERO);
        let off = from_face(ball, Face::Back, [Metres::si(0.06), Metres::ZERO]);
        assert!(edge_room(ball, ball, off.1) < Metres::ZERO);
    }
}
