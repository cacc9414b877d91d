//! The walls of a body as a solid: their volume and where its middle lies on the axis.

use std::f64::consts::PI;

use super::hollow::Hollow;
use crate::quantity::{CubicMetres, Metres};

/// Walls of a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shell {
    /// Volume of the walls.
    pub volume: CubicMetres,
    /// Middle of the walls on the axis, z.
    pub centre: Metres,
}

/// The opening in the wall in front.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Its smallest width, or its diameter.
    pub smallest: Metres,
    /// A circle; else of the body's own shape, the same lip all round.
    pub round: bool,
}

/// Volume and first moment about the front plane, z out of it: V and V z̄.
///
/// Frustum: V = π h/3 (a² + a b + b²), its middle h (a² + 2 a b + 3 b²)/(4 (a² + a b + b²)) from the end a. Ball up to a
/// plane t from its centre: π (R² t − t³/3 + 2 R³/3), moment π (R² t²/2 − t⁴/4 − R⁴/4).
fn moments(space: &Hollow) -> (f64, f64) {
    match *space {
        Hollow::Block { across, up, depth } => {
            let volume = 4.0 * across.value() * up.value() * depth.value();
            (volume, -volume * depth.value() / 2.0)
        }
        Hollow::Round { back, front, depth } => {
            let (a, b, h) = (back.value(), front.value(), depth.value());
            let squares = a * a + a * b + b * b;
            let volume = PI * h / 3.0 * squares;
            let from_back = if squares > 0.0 { h * (a * a + 2.0 * a * b + 3.0 * b * b) / (4.0 * squares) } else { 0.0 };
            (volume, volume * (from_back - h))
        }
        Hollow::Ball { radius, behind } => {
            let (r, t) = (radius.value(), behind.value());
            let volume = PI * (r * r * t - t * t * t / 3.0 + 2.0 * r * r * r / 3.0);
            let moment = PI * (r * r * t * t / 2.0 - t * t * t * t / 4.0 - r * r * r * r / 4.0);
            (volume, moment - t * volume)
        }
    }
}

/// The walls between an outside, whose front plane lies `before` the origin, and an inside whose front plane holds it; the
/// opening is taken out of the wall in front.
pub fn shell(outer: &Hollow, before: Metres, inner: &Hollow, opening: Option<Opening>) -> Shell {
    let ((v, m), (vi, mi)) = (moments(outer), moments(inner));
    let m = m + v * before.value();
    let open = opening.map_or(0.0, |opening| open_area(outer, opening)) * before.value();
    let volume = v - vi - open;
    let moment = m - mi - open * before.value() / 2.0;
    Shell { volume: CubicMetres::si(volume), centre: Metres::si(if volume > 0.0 { moment / volume } else { 0.0 }) }
}

fn open_area(outer: &Hollow, opening: Opening) -> f64 {
    let round = opening.round;
    let opening = opening.smallest.value();
    match *outer {
        Hollow::Block { .. } if round => PI / 4.0 * opening * opening,
        Hollow::Block { across, up, .. } => {
            let (w, h) = (2.0 * across.value(), 2.0 * up.value());
            let lip = (w.min(h) - opening) / 2.0;
            (w - 2.0 * lip) * (h - 2.0 * lip)
        }
        _ => PI / 4.0 * opening * opening,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn shells_have_the_volume_of_the_closed_forms() {
        let cm3 = |shell: Shell| shell.volume.value() * 1e6;
        // The cup of the printed vectors: R 60, H 50, w 2.4, 69349.48 mm³, open in front.
        let cup = Hollow::Round { back: mm(60.0), front: mm(60.0), depth: mm(50.0) };
        let inside = Hollow::Round { back: mm(57.6), front: mm(57.6), depth: mm(47.6) };
        assert!((cm3(shell(&cup, mm(0.0), &inside, None)) - 69.349_48).abs() < 1e-5);
        // A box 100 x 80 x 40, w 2, open: 42752 mm³.
        let block = Hollow::Block { across: mm(50.0), up: mm(40.0), depth: mm(40.0) };
        let inside = Hollow::Block { across: mm(48.0), up: mm(38.0), depth: mm(38.0) };
        assert!((cm3(shell(&block, mm(0.0), &inside, None)) - 42.752).abs() < 1e-9);
        // The same with a front wall whose opening leaves no lip but the side walls.
        let inside = Hollow::Block { across: mm(48.0), up: mm(38.0), depth: mm(36.0) };
        let opening = |smallest, round| Some(Opening { smallest: mm(smallest), round });
        assert!((cm3(shell(&block, mm(2.0), &inside, opening(76.0, false))) - 42.752).abs() < 1e-9);
        // Closed it has 100 · 80 · 40 − 96 · 76 · 36 = 57344 mm³; a round opening of 60 mm takes π 30² · 2 of it.
        let round = 57.344 - PI * 0.9 * 2.0;
        assert!((cm3(shell(&block, mm(2.0), &inside, opening(60.0, true))) - round).abs() < 1e-9);
    }

    #[test]
    fn a_whole_ball_and_a_half_have_their_textbook_middles() {
        let ball = Hollow::Ball { radius: mm(50.0), behind: mm(50.0) };
        let (volume, moment) = moments(&ball);
        assert!((volume - 4.0 / 3.0 * PI * 1.25e-4).abs() < 1e-12 && (moment / volume + 0.05).abs() < 1e-12);
        let half = Hollow::Ball { radius: mm(50.0), behind: mm(0.0) };
        let (volume, moment) = moments(&half);
        assert!((moment / volume + 3.0 / 8.0 * 0.05).abs() < 1e-12);
    }

    #[test]
    fn a_cone_has_its_middle_a_quarter_up() {
        let cone = Hollow::Round { back: mm(0.0), front: mm(30.0), depth: mm(80.0) };
        let (volume, moment) = moments(&cone);
        assert!((moment / volume + 0.02).abs() < 1e-12);
    }
}
