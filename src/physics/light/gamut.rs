//! What a set of channels can mix: the hull of their points in u'v', the nearest point of it, dominant wavelength.
//! Straight lines of the x, y plane stay straight in u'v', so a hull is a hull in both.

use super::chromaticity::{Chromaticity, EQUAL_ENERGY, Tristimulus, Uniform};
use super::data::observer::{FIRST, OBSERVER, STEP};
use super::spectrum::GREATEST_EFFICACY;
use crate::quantity::{LumensPerWatt, Metres};

/// Points within this cross product of an edge count as inside.
const ON_THE_EDGE: f64 = -1e-12;

/// The colours that channels can mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Gamut {
    hull: Vec<Uniform>,
}

/// Where a wanted colour stands to a gamut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// The channels can mix it.
    pub inside: bool,
    /// The nearest colour that they can mix; the wanted one if inside.
    pub nearest: Chromaticity,
    /// Distance from the wanted to the nearest in u'v'; from the edge of the gamut if inside.
    pub distance: f64,
}

fn cross(o: Uniform, a: Uniform, b: Uniform) -> f64 {
    (a.u - o.u) * (b.v - o.v) - (a.v - o.v) * (b.u - o.u)
}

/// One side of a hull: points in order, those that do not turn left taken back.
fn side(points: impl Iterator<Item = Uniform>) -> Vec<Uniform> {
    let mut side: Vec<Uniform> = Vec::new();
    for point in points {
        while let [.., a, b] = side.as_slice() {
            if cross(*a, *b, point) > 1e-15 {
                break;
            }
            side.pop();
        }
        side.push(point);
    }
    side.pop();
    side
}

impl Gamut {
    /// Convex hull of the channels' points (monotone chain), counterclockwise, points on an edge left out.
    pub fn of(channels: &[Chromaticity]) -> Self {
        let mut points: Vec<Uniform> = channels.iter().map(Chromaticity::uniform).collect();
        points.sort_by(|a, b| a.u.total_cmp(&b.u).then(a.v.total_cmp(&b.v)));
        points.dedup_by(|a, b| a.distance(*b) < 1e-12);
        if points.len() < 3 {
            return Self { hull: points };
        }
        let mut hull = side(points.iter().copied());
        hull.extend(side(points.iter().rev().copied()));
        Self { hull }
    }

    /// Corners, counterclockwise; two for a segment, one for a point.
    pub fn corners(&self) -> &[Uniform] {
        &self.hull
    }

    fn edges(&self) -> impl Iterator<Item = (Uniform, Uniform)> + '_ {
        self.hull.iter().copied().zip(self.hull.iter().copied().cycle().skip(1))
    }

    /// Whether a colour can be mixed, and the nearest that can.
    ///
    /// `None` without channels. Two channels make a segment, which no colour is inside of.
    pub fn reach(&self, wanted: Chromaticity) -> Option<Reach> {
        let point = wanted.uniform();
        let inside = self.hull.len() >= 3 && self.edges().all(|(a, b)| cross(a, b, point) >= ON_THE_EDGE);
        let mut best: Option<(f64, Uniform)> = None;
        for (a, b) in self.edges() {
            let foot = foot(a, b, point);
            let distance = foot.distance(point);
            if best.is_none_or(|(least, _)| distance < least) {
                best = Some((distance, foot));
            }
        }
        let (distance, nearest) = best?;
        Some(Reach { inside, nearest: if inside { wanted } else { nearest.chromaticity() }, distance })
    }
}

/// The point of the segment that is nearest to `p`.
fn foot(a: Uniform, b: Uniform, p: Uniform) -> Uniform {
    let (du, dv) = (b.u - a.u, b.v - a.v);
    let length = du * du + dv * dv;
    if length <= 0.0 {
        return a;
    }
    let t = (((p.u - a.u) * du + (p.v - a.v) * dv) / length).clamp(0.0, 1.0);
    Uniform { u: a.u + t * du, v: a.v + t * dv }
}

/// Dominant wavelength and purity; for purples the complementary wavelength, marked so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dominant {
    /// Where the ray from equal energy through the colour meets the locus.
    pub wavelength: Metres,
    /// The ray was turned round: no single wavelength has this hue.
    pub complementary: bool,
    /// Distance of the colour by that of the locus.
    pub purity: f64,
}

/// The spectral locus between two rows of the observer's table, to 700 nm, where it ends.
fn locus() -> impl Iterator<Item = (f64, Chromaticity, Chromaticity)> {
    let points = OBSERVER.iter().take(65).filter_map(|[x, y, z]| Tristimulus::new(*x, *y, *z).chromaticity());
    let next = points.clone().skip(1);
    points.zip(next).enumerate().map(|(i, (a, b))| (FIRST + STEP * i as f64, a, b))
}

/// Points of the spectral locus from 380 nm to 700 nm by 5 nm, for a drawing.
pub fn spectral_locus() -> Vec<Chromaticity> {
    let mut points: Vec<Chromaticity> = locus().map(|(_, a, _)| a).collect();
    points.extend(locus().last().map(|(_, _, b)| b));
    points
}

/// Between the points of the 5 nm table the locus bows outside its chords, by less than this in u'v'.
const BOW: f64 = 1e-3;

/// Whether a point lies within the spectral locus and the line of purples: a light can have it.
pub fn is_a_light(at: Chromaticity) -> bool {
    let plain = at.x >= 0.0 && at.y > 0.0 && at.x + at.y <= 1.0 + 1e-3;
    let points: Vec<Chromaticity> = spectral_locus();
    plain && Gamut::of(&points).reach(at).is_some_and(|reach| reach.inside || reach.distance <= BOW)
}

/// Rounding at the joint of two chords, as a part of one: a ray through it meets one of them at least.
const JOINT: f64 = 1e-9;

/// Dominant wavelength, counted from equal energy (CIE 15); linear along chords of the 5 nm table, good to 0.6 nm.
/// `None` for equal energy itself.
pub fn dominant(at: Chromaticity) -> Option<Dominant> {
    let (dx, dy) = (at.x - EQUAL_ENERGY.x, at.y - EQUAL_ENERGY.y);
    if libm::hypot(dx, dy) < 1e-9 {
        return None;
    }
    let along = |dx: f64, dy: f64, complementary: bool| {
        let (s, nm) = locus().find_map(|(first, a, b)| {
            let (s, t) = meeting((dx, dy), a, b)?;
            (s > 0.0 && (-JOINT..=1.0 + JOINT).contains(&t)).then_some((s, first + STEP * t))
        })?;
        Some(Dominant { wavelength: Metres::si(nm * 1e-9), complementary, purity: 1.0 / s })
    };
    along(dx, dy, false).or_else(|| along(-dx, -dy, true))
}

/// E + s·d = a + t·(b − a): the parameters along ray and chord.
fn meeting(d: (f64, f64), a: Chromaticity, b: Chromaticity) -> Option<(f64, f64)> {
    let (ex, ey) = (b.x - a.x, b.y - a.y);
    let (px, py) = (a.x - EQUAL_ENERGY.x, a.y - EQUAL_ENERGY.y);
    let determinant = d.0 * ey - d.1 * ex;
    (determinant.abs() > 1e-15).then(|| ((px * ey - py * ex) / determinant, (px * d.1 - py * d.0) / determinant))
}

/// Greatest luminous efficacy of any radiation of this chromaticity: the best three lines of the observer's table.
///
/// A linear programme over 81 lines with three equations has its optimum at three of them; allow 0.5 % for the grid.
/// `None` for a point that no light has.
pub fn greatest_efficacy(at: Chromaticity) -> Option<LumensPerWatt> {
    let rows: Vec<[f64; 3]> =
        OBSERVER.iter().map(|[x, y, z]| [x - at.x * (x + y + z), y - at.y * (x + y + z), *y]).collect();
    // Lines of one chromaticity, as at the red end, say nothing together: their minors are rounding.
    let size = |r: &[f64; 3]| r[0].abs() + r[1].abs();
    let mut best: Option<f64> = None;
    for (i, a) in rows.iter().enumerate() {
        for (j, b) in rows.iter().enumerate().skip(i + 1) {
            let ab = a[0] * b[1] - a[1] * b[0];
            for c in rows.iter().skip(j + 1) {
                let (bc, ca) = (b[0] * c[1] - b[1] * c[0], c[0] * a[1] - c[1] * a[0]);
                let sum = ab + bc + ca;
                let sizes = size(a) * size(b) + size(b) * size(c) + size(c) * size(a);
                // The shares are bc, ca, ab by their sum; a mixture needs all of one sign.
                if sum.abs() < 1e-12 * sizes || bc / sum < -1e-12 || ca / sum < -1e-12 || ab / sum < -1e-12 {
                    continue;
                }
                let found = (bc * a[2] + ca * b[2] + ab * c[2]) / sum;
                best = Some(best.map_or(found, |b: f64| b.max(found)));
            }
        }
    }
    best.map(|y| GREATEST_EFFICACY * y)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_channel_inside_the_others_is_no_corner() {
        let at = |x, y| Chromaticity { x, y };
        let rgbw = Gamut::of(&[at(0.7, 0.298), at(0.143, 0.694), at(0.149, 0.028), at(0.46, 0.41)]);
        assert_eq!(rgbw.corners().len(), 3);
        assert!(rgbw.reach(at(0.46, 0.41)).unwrap().inside);
        assert!(Gamut::of(&[]).reach(at(0.3, 0.3)).is_none());
    }

    #[test]
    fn two_whites_reach_their_segment() {
        let at = |x, y| Chromaticity { x, y };
        let pair = Gamut::of(&[at(0.46, 0.41), at(0.32, 0.33)]);
        let reach = pair.reach(at(0.39, 0.38)).unwrap();
        assert!(!reach.inside && reach.distance > 0.0 && reach.distance < 0.02);
        assert!(pair.reach(reach.nearest).unwrap().distance < 1e-12);
    }

    #[test]
    fn purples_have_a_complement() {
        let purple = dominant(Chromaticity { x: 0.35, y: 0.15 }).unwrap();
        assert!(purple.complementary && purple.wavelength.value() > 500e-9);
        assert_eq!(dominant(EQUAL_ENERGY), None);
        assert!(is_a_light(EQUAL_ENERGY) && !is_a_light(Chromaticity { x: 0.05, y: 0.1 }));
        for (x, y) in [(0.75, 0.75), (0.7, 0.45), (0.05, 0.05)] {
            assert!(!is_a_light(Chromaticity { x, y }), "{x} {y}");
        }
        // Narrow lines between the points of the table are lights.
        for nm in 420..=690 {
            let line = super::super::spectrum::Spectrum::die(Metres::si(f64::from(nm) * 1e-9), Metres::si(12e-9));
            assert!(is_a_light(line.tristimulus().chromaticity().unwrap()), "{nm}");
        }
    }
}
