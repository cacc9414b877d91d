//! Drawings `drill-SIDE`: a template at full size for each side with holes, a round wall unrolled as seen from outside.

use super::openings::free;
use super::outline::bars;
use super::pen::Pen;
use super::text::LABEL;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::quantity::{Metres, Quantity};
use crate::solve::drill::{Placed, Side, Template};

/// Paper above the highest hole of a strip, mm.
const ABOVE: f64 = 20.0;
/// Sides of the polygon that stands for a hole seen on an unrolled wall.
const SIDES: usize = 72;

/// The templates; none without holes.
pub(super) fn all(bench: &Bench<'_>) -> Vec<Drawing> {
    let Ok(templates) = &bench.solution.drill else { return Vec::new() };
    templates.iter().map(|template| drawing(bench, template)).collect()
}

fn mm(length: Metres) -> f64 {
    length.value() * 1e3
}

/// Name of a template's drawing.
pub(in crate::packet) fn name(template: &Template) -> String {
    format!("drill-{}", template.name)
}

/// What a template lies on, in words.
pub(in crate::packet) fn told(template: &Template) -> String {
    match (template.side, template.is_sink()) {
        (_, true) => "Heatsink, from the emitter's side".to_owned(),
        (Side::Strip { .. }, _) => "Round wall, unrolled, printed side out".to_owned(),
        _ => format!("Body, {} side, seen from outside", template.name),
    }
}

fn drawing(bench: &Bench<'_>, template: &Template) -> Drawing {
    let mut pen = Pen::default();
    let (left, bottom) = match template.side {
        Side::Strip { radius, length, from, to } => strip(&mut pen, template, (radius, length), (mm(from), mm(to))),
        Side::Rectangle(w, h) => {
            flat(&mut pen, Path::rectangle(at(-mm(w) / 2.0, -mm(h) / 2.0), mm(w), mm(h)), (mm(w), mm(h)))
        }
        Side::Round(d) => flat(&mut pen, Path::circle(at(0.0, 0.0), mm(d) / 2.0), (mm(d), mm(d))),
    };
    let radius = match template.side {
        Side::Strip { radius, .. } => Some(radius),
        _ => None,
    };
    for hole in &template.holes {
        mark(&mut pen, hole, radius);
    }
    for hole in &template.holes {
        let beside = mm(hole.diameter) / 2.0 + 2.5;
        let text = format!("{}, Ø {}", hole.name, hole.diameter.show());
        free(&mut pen, at(mm(hole.x) + beside, mm(hole.y) + 1.5), &text);
    }
    bars(&mut pen, left, bottom);
    let revision = bench.identity.revision.as_deref().unwrap_or("none: draft");
    let low = pen.extents().least.y - 5.0;
    let title = told(template);
    pen.words(at(left, low), LABEL, Anchor::Start, 0.0, format!("{}, revision {revision}", bench.lamp.name), true);
    pen.text(
        at(left, low - 4.2),
        Anchor::Start,
        format!("{title}. Cut along the outline, lay its datum on the datum."),
    );
    let description =
        format!("{title}, full size: {} holes with their middles crossed, datum and bars.", template.holes.len());
    pen.finish(&name(template), format!("{title}, full size"), description, Scale::Full)
}

/// A side with its middle lines; gives its left, right and lower end.
fn flat(pen: &mut Pen, outline: Path, (w, h): (f64, f64)) -> (f64, f64) {
    pen.path(Role::Outline, outline);
    pen.line(Role::Axis, &[at(-w / 2.0 - 3.0, 0.0), at(w / 2.0 + 3.0, 0.0)]);
    pen.line(Role::Axis, &[at(0.0, -h / 2.0 - 3.0), at(0.0, h / 2.0 + 3.0)]);
    arrow(pen, at(0.0, h / 2.0 + 4.0), "top");
    (-w / 2.0, -h / 2.0)
}

/// Upwards, with a word beside it.
fn arrow(pen: &mut Pen, from: Point, word: &str) {
    let tip = at(from.x, from.y + 7.0);
    pen.line(Role::Dimension, &[from, tip]);
    pen.arrow(tip, std::f64::consts::FRAC_PI_2);
    pen.text(at(tip.x + 1.5, tip.y - 2.5), Anchor::Start, word);
}

/// The strip from the back edge up, with the quarters of the way round.
fn strip(pen: &mut Pen, template: &Template, (radius, length): (Metres, Metres), (from, to): (f64, f64)) -> (f64, f64) {
    let highest = template.holes.iter().map(|h| mm(h.y) + mm(h.diameter) / 2.0).fold(0.0, f64::max);
    let top = (highest + ABOVE).min(mm(length)).max(10.0);
    pen.rectangle(Role::Outline, at(from, 0.0), to - from, top);
    let girth = 2.0 * std::f64::consts::PI * mm(radius);
    let quarters = ["right", "top", "left", "bottom"];
    for n in -8_i32..16 {
        let x = girth * f64::from(n) / 4.0;
        if x < from || x > to {
            continue;
        }
        pen.line(Role::Axis, &[at(x, 0.0), at(x, top + 3.0)]);
        let word = quarters.get(usize::try_from(n.rem_euclid(4)).unwrap_or(0)).copied().unwrap_or_default();
        pen.text(at(x, top + 4.0), Anchor::Middle, format!("{}° {word}", n.rem_euclid(4) * 90));
    }
    arrow(pen, at(from - 4.0, top - 12.0), "");
    pen.words(at(from - 6.0, top / 2.0), LABEL, Anchor::Middle, 90.0, "to the front", false);
    pen.text(at((from + to) / 2.0, -LABEL - 1.5), Anchor::Middle, "datum: back edge of the body");
    (from - 8.0, -5.0)
}

/// A hole with its middle crossed; on an unrolled wall as wide as the drill leaves it there: x = R asin(u/R).
fn mark(pen: &mut Pen, hole: &Placed, radius: Option<Metres>) {
    let centre = at(mm(hole.x), mm(hole.y));
    let r = mm(hole.diameter) / 2.0;
    let path = match radius.map(mm).filter(|wall| *wall > r) {
        Some(wall) => {
            let point = |k: usize| {
                let turn = 2.0 * std::f64::consts::PI * k as f64 / SIDES as f64;
                let along = wall * libm::asin(r * libm::cos(turn) / wall);
                at(centre.x + along, centre.y + r * libm::sin(turn))
            };
            Path::polygon(&(0..SIDES).map(point).collect::<Vec<_>>())
        }
        None => Path::circle(centre, r),
    };
    pen.path(Role::Cut, path);
    pen.centre(centre, r.min(12.0) + 2.0);
}
