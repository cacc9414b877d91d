//! Drawing `chromaticity`: the CIE 1976 diagram with the channels, what they can mix, the targets, and where each
//! target stands as the lamp is switched on cold.

use super::callouts::{self, Callout, Column};
use super::pen::Pen;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::physics::light::chromaticity::{Chromaticity, Uniform};
use crate::physics::light::gamut::{Gamut, spectral_locus};
use crate::physics::light::temperature::black_body;
use crate::quantity::Kelvin;
use crate::solve::light::targets::Target;

/// Millimetres of paper for one unit of u' and v'.
const UNIT: f64 = 170.0;

fn place(point: Uniform) -> Point {
    at(point.u * UNIT, point.v * UNIT)
}

fn spot(at: Chromaticity) -> Point {
    place(at.uniform())
}

/// The diagram; none where no channel's colour is known.
pub(super) fn chromaticity(bench: &Bench<'_>) -> Option<Drawing> {
    let look = &bench.solution.look;
    let known: Vec<_> = look.channels.iter().filter_map(|(_, c)| c.as_ref().ok()).collect();
    if known.is_empty() {
        return None;
    }
    let mut pen = Pen::default();
    grid(&mut pen);
    let locus: Vec<Point> = spectral_locus().into_iter().map(spot).collect();
    pen.path(Role::Outline, Path::polygon(&locus));
    let whites = (20..=100).filter_map(|hundreds| black_body(Kelvin::si(f64::from(hundreds) * 100.0)));
    let whites: Vec<Point> = whites.map(spot).collect();
    pen.line(Role::Axis, &whites);
    let own: Vec<Chromaticity> = known.iter().map(|c| c.at).collect();
    let hull: Vec<Point> = Gamut::of(&own).corners().iter().map(|p| place(*p)).collect();
    pen.path(Role::Hidden, Path::polygon(&hull));
    let mut labels = Vec::new();
    for channel in &known {
        pen.path(Role::Ink, Path::circle(spot(channel.at), 0.9));
        labels.push(Callout { target: spot(channel.at), text: format!("channel {}", channel.name) });
    }
    for target in &look.targets {
        labels.extend(aimed(&mut pen, target));
    }
    callouts::column(&mut pen, Column::Right, 0.66 * UNIT, labels);
    let names: Vec<&str> = look.targets.iter().map(|t| t.name.as_str()).collect();
    let description = format!(
        "CIE 1976 diagram: spectral locus, black-body line, the hull of {} channels, and the targets {}.",
        known.len(),
        if names.is_empty() { "none".to_owned() } else { names.join(", ") }
    );
    Some(pen.finish("chromaticity", "Colours that the channels can mix".to_owned(), description, Scale::Reduced))
}

/// A target as a cross, the nearest mix as a ring, and an arrow to it from where the lamp starts cold.
fn aimed(pen: &mut Pen, target: &Target) -> Option<Callout> {
    let wanted = spot(*target.wanted.as_ref().ok()?);
    for (dx, dy) in [(1.3, 1.3), (1.3, -1.3)] {
        pen.line(Role::Wire, &[at(wanted.x - dx, wanted.y - dy), at(wanted.x + dx, wanted.y + dy)]);
    }
    if let Ok(blend) = &target.mix {
        let near = spot(blend.reach.nearest);
        pen.path(Role::Outline, Path::circle(near, 1.6));
        let start = spot(blend.start);
        let (dx, dy) = (near.x - start.x, near.y - start.y);
        if libm::hypot(dx, dy) > 2.5 {
            pen.line(Role::Dimension, &[start, near]);
            pen.arrow(near, libm::atan2(dy, dx));
        }
    }
    Some(Callout { target: wanted, text: target.name.clone() })
}

/// Lines and figures of the axes.
fn grid(pen: &mut Pen) {
    for tenth in 0..=6 {
        let v = f64::from(tenth) / 10.0;
        pen.line(Role::Dimension, &[at(v * UNIT, 0.0), at(v * UNIT, -1.5)]);
        pen.text(at(v * UNIT, -5.0), Anchor::Middle, format!("{v:.1}"));
        pen.line(Role::Dimension, &[at(0.0, v * UNIT), at(-1.5, v * UNIT)]);
        if tenth > 0 {
            pen.text(at(-2.5, v * UNIT - 0.9), Anchor::End, format!("{v:.1}"));
        }
    }
    pen.line(Role::Dimension, &[at(0.0, 0.61 * UNIT), at(0.0, 0.0), at(0.64 * UNIT, 0.0)]);
    pen.text(at(0.64 * UNIT, -5.0), Anchor::Middle, "u'");
    pen.text(at(-2.5, 0.625 * UNIT), Anchor::End, "v'");
}
