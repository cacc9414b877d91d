//! Places on curved walls laid on paper: a frustum of a cone unrolled into a sector, exactly; and a ball, which has no
//! flat development, by the chords that a pair of dividers steps off on it.

use std::f64::consts::PI;

use crate::quantity::{Metres, Radians};

/// Steps of Newton's method for where a drill leaves the wall; it stands still after five on any wall a drill fits.
const STEPS: usize = 12;

/// The wall of a frustum of a cone. Places on it: the way along its back edge from 0°, and the way up the slant from
/// that edge.
///
/// With r the radius at the back, R the one in front, d the depth: slant s = √(d² + (R − r)²), sine of the half angle
/// σ = |R − r|/s, slant from the apex to the back edge r/σ, angle of the sector 2πσ. Geometry: a developed cone keeps
/// lengths along its slants and round its edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frustum {
    /// Radius at the back.
    pub back: Metres,
    /// Radius in front; not that of the back.
    pub front: Metres,
    /// Depth along the axis.
    pub depth: Metres,
}

impl Frustum {
    /// Length of the wall from edge to edge.
    pub fn slant(&self) -> Metres {
        Metres::si(libm::hypot(self.depth.value(), (self.front - self.back).value()))
    }

    /// Sine of half the angle at the apex, negative where the body narrows towards its front.
    fn sine(&self) -> f64 {
        (self.front - self.back) / self.slant()
    }

    /// Slant from the apex to the back edge: the radius that the back edge is drawn with.
    pub fn back_radius(&self) -> Metres {
        self.back / self.sine().abs()
    }

    /// Slant from the apex to the front edge: the radius that the front edge is drawn with.
    pub fn front_radius(&self) -> Metres {
        self.front / self.sine().abs()
    }

    /// Angle of the whole sector.
    pub fn sector(&self) -> Radians {
        Radians::si(2.0 * PI * self.sine().abs())
    }

    /// Radius of the body where the slant has this length.
    pub fn radius_at(&self, slant: Metres) -> Metres {
        self.back + slant * self.sine()
    }

    /// Slant of a place at this height along the axis.
    pub fn slant_at(&self, height: Metres) -> Metres {
        self.slant() * (height / self.depth)
    }

    /// Slant of the point of the wall nearest to a place at this distance from the axis and this height.
    pub fn nearest(&self, from_axis: Metres, height: Metres) -> Metres {
        let (sine, cosine) = (self.sine(), self.depth / self.slant());
        (from_axis - self.back) * sine + height * cosine
    }

    /// A place of the wall on the flat sector: right of, and above, the point of the back edge that lies `middle` along
    /// it. The sector is seen from outside, front up.
    pub fn flat(&self, along: Metres, slant: Metres, middle: Metres) -> (Metres, Metres) {
        let back = self.back_radius();
        let way = self.sine().signum();
        let turn = (along - middle) / back;
        let reach = back + slant * way;
        (reach * libm::sin(turn), (reach * libm::cos(turn) - back) * way)
    }

    /// A point of the edge that a drill of this radius leaves, driven square to the wall at a place; `turn` goes round
    /// the drill. The drill's line p + w n meets the cone where ρ(w) = r + z(w) (R − r)/d: Newton's method from w = 0.
    pub fn drilled(&self, (along, slant): (Metres, Metres), drill: Metres, turn: Radians) -> (Metres, Metres) {
        let (sine, cosine) = (self.sine(), self.depth / self.slant());
        let slope = sine / cosine;
        let (a, b) = (drill.value() * libm::cos(turn.value()), drill.value() * libm::sin(turn.value()));
        let base = slant.value();
        let foot = (self.back.value() + base * sine + b * sine, a, (base + b) * cosine);
        let mut out = 0.0;
        for _ in 0..STEPS {
            let (x, z) = (foot.0 + out * cosine, foot.2 - out * sine);
            let rho = libm::hypot(x, foot.1);
            let over = rho - self.back.value() - z * slope;
            out -= over / (x * cosine / rho + slope * sine);
        }
        let (x, z) = (foot.0 + out * cosine, foot.2 - out * sine);
        (along + self.back * libm::atan2(foot.1, x), Metres::si(z / cosine))
    }
}

/// Chord from the middle of the back of a ball to the circle at this height above it: √(2 R h). Geometry.
pub fn polar_chord(radius: Metres, height: Metres) -> Metres {
    Metres::si(libm::sqrt((2.0 * radius.value() * height.value()).max(0.0)))
}

/// Radius of the circle of a ball at this height above the middle of its back: √(h (2 R − h)). Geometry.
pub fn circle_of_latitude(radius: Metres, height: Metres) -> Metres {
    let (r, h) = (radius.value(), height.value());
    Metres::si(libm::sqrt((h * (2.0 * r - h)).max(0.0)))
}

/// Chord between two places of a circle of this radius, this angle apart: 2 ρ sin(θ/2), with the sign of the angle.
/// Valid from −180° to 180°. Geometry.
pub fn step_chord(circle: Metres, angle: Radians) -> Metres {
    circle * (2.0 * libm::sin(angle.value() / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(length: f64) -> Metres {
        Metres::si(length * 1e-3)
    }

    const WIDENS: Frustum = Frustum { back: Metres::si(0.03), front: Metres::si(0.06), depth: Metres::si(0.04) };
    const NARROWS: Frustum = Frustum { back: Metres::si(0.06), front: Metres::si(0.03), depth: Metres::si(0.04) };

    #[test]
    fn the_sector_is_that_of_the_textbooks() {
        // A 3-4-5 cone: slant 50 mm, sine 3/5, apex 50 mm behind the small edge, 216° of a full turn.
        for (cone, back, front) in [(WIDENS, 50.0, 100.0), (NARROWS, 100.0, 50.0)] {
            assert!((cone.slant().value() - 0.05).abs() < 1e-12);
            assert!((cone.sector().value().to_degrees() - 216.0).abs() < 1e-9);
            assert!((cone.back_radius() - mm(back)).abs() < mm(1e-9));
            assert!((cone.front_radius() - mm(front)).abs() < mm(1e-9));
            // Lateral area π (r + R) s against the ring sector's ½ φ (L² − l²).
            let (l, s) = (cone.back_radius().value(), cone.front_radius().value());
            let ring = 0.5 * cone.sector().value() * (s * s - l * l).abs();
            assert!((ring - PI * 0.09 * 0.05).abs() < 1e-12);
        }
    }

    #[test]
    fn short_ways_on_the_wall_are_as_long_on_paper() {
        for cone in [WIDENS, NARROWS] {
            let space = |along: f64, slant: f64| {
                let radius = cone.radius_at(mm(slant)).value();
                let turn = along * 1e-3 / cone.back.value();
                (radius * libm::cos(turn), radius * libm::sin(turn), slant * 1e-3 * 0.8)
            };
            for (along, slant) in [(0.0, 0.0), (40.0, 20.0), (150.0, 45.0), (-80.0, 10.0)] {
                for (da, ds) in [(0.01, 0.0), (0.0, 0.01), (0.006, -0.008)] {
                    let (p, q) = (space(along, slant), space(along + da, slant + ds));
                    let true_way = libm::hypot(libm::hypot(p.0 - q.0, p.1 - q.1), p.2 - q.2);
                    let (x, y) = cone.flat(mm(along), mm(slant), mm(30.0));
                    let (u, v) = cone.flat(mm(along + da), mm(slant + ds), mm(30.0));
                    let paper = libm::hypot((x - u).value(), (y - v).value());
                    assert!((paper - true_way).abs() < 1e-3 * true_way, "{along} {slant}: {paper} for {true_way}");
                }
            }
        }
    }

    #[test]
    fn the_front_is_up_and_zero_degrees_turns_to_the_right() {
        for cone in [WIDENS, NARROWS] {
            assert_eq!(cone.flat(mm(30.0), Metres::ZERO, mm(30.0)), (Metres::ZERO, Metres::ZERO));
            let (x, y) = cone.flat(mm(30.0), mm(20.0), mm(30.0));
            assert!(x.abs() < mm(1e-9) && (y - mm(20.0)).abs() < mm(1e-9));
            assert!(cone.flat(mm(40.0), mm(20.0), mm(30.0)).0 > Metres::ZERO);
        }
    }

    #[test]
    fn every_point_of_a_drilled_edge_lies_on_the_cone_and_on_the_drill() {
        for (cone, sine) in [(WIDENS, 0.6), (NARROWS, -0.6)] {
            let radius = cone.radius_at(mm(25.0)).value();
            for k in 0..24 {
                let turn = Radians::si(f64::from(k) * PI / 12.0);
                let (along, slant) = cone.drilled((mm(0.0), mm(25.0)), mm(6.0), turn);
                let angle = along / cone.back;
                let rho = cone.radius_at(slant).value();
                let (x, y, z) = (rho * libm::cos(angle), rho * libm::sin(angle), slant.value() * 0.8);
                // Distance from the drill's axis through (radius, 0, 0.020) along (0.8, 0, −σ).
                let (dx, dz) = (x - radius, z - 0.020);
                let on = dx * 0.8 - dz * sine;
                let off = libm::sqrt(dx * dx + y * y + dz * dz - on * on);
                assert!((off - 0.006).abs() < 1e-12, "{k}: {off}");
            }
        }
    }

    #[test]
    fn the_nearest_point_is_the_foot_of_the_normal() {
        // 2 mm square inside the wall at slant 25 mm.
        let (rho, z) = (0.045 - 0.002 * 0.8, 0.020 + 0.002 * 0.6);
        assert!((WIDENS.nearest(Metres::si(rho), Metres::si(z)) - mm(25.0)).abs() < mm(1e-9));
        assert!((WIDENS.slant_at(mm(20.0)) - mm(25.0)).abs() < mm(1e-9));
    }

    #[test]
    fn chords_of_a_ball() {
        let ball = mm(50.0);
        // (height, chord from the pole, radius of the circle): the pole, 3-4-5, the equator, the far pole.
        for (height, chord, circle) in
            [(0.0, 0.0, 0.0), (20.0, 44.721_359_55, 40.0), (50.0, 70.710_678_118, 50.0), (100.0, 100.0, 0.0)]
        {
            assert!((polar_chord(ball, mm(height)) - mm(chord)).abs() < mm(1e-6), "{height}");
            assert!((circle_of_latitude(ball, mm(height)) - mm(circle)).abs() < mm(1e-6), "{height}");
        }
        for (degrees, chord) in [(60.0_f64, 40.0), (180.0, 80.0), (-90.0, -56.568_542_495)] {
            let found = step_chord(mm(40.0), Radians::si(degrees.to_radians()));
            assert!((found - mm(chord)).abs() < mm(1e-6), "{degrees}");
        }
    }
}
