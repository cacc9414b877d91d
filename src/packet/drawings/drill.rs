//! Drawings `drill-SIDE`: a template at full size for each side with holes, a round wall unrolled as seen from outside.

use super::bars::bars;
use super::drill_round::{Flat, ball, sector};
use super::openings::free_of;
use super::pen::{Pen, mm};
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

/// Name of a template's drawing.
pub(in crate::packet) fn name(template: &Template) -> String {
    format!("drill-{}", template.name)
}

/// What a template lies on, in words.
pub(in crate::packet) fn told(template: &Template) -> String {
    match (template.side, template.is_sink()) {
        (_, true) => "Heatsink, from the emitter's side".to_owned(),
        (Side::Strip { .. }, _) => "Round wall, unrolled, printed side out".to_owned(),
        (Side::Sector { .. }, _) => "Cone's wall, unrolled, printed side out".to_owned(),
        (Side::Ball { .. }, _) => "Ball, its back seen from behind; chords for dividers".to_owned(),
        _ => format!("Body, {} side, seen from outside", template.name),
    }
}

fn drawing(bench: &Bench<'_>, template: &Template) -> Drawing {
    let mut pen = Pen::default();
    let (left, bottom) = match template.side {
        Side::Strip { radius, length, from, to } => strip(&mut pen, template, (radius, length), (mm(from), mm(to))),
        Side::Rectangle(w, h) => {
            let outline = Path::rectangle(at(-mm(w) / 2.0, -mm(h) / 2.0), mm(w), mm(h));
            flat(&mut pen, outline, (mm(w), mm(h)), &template.name)
        }
        Side::Round(d) => flat(&mut pen, Path::circle(at(0.0, 0.0), mm(d) / 2.0), (mm(d), mm(d)), &template.name),
        Side::Sector { cone, from, to } => sector(&mut pen, template, Flat::new(cone, from, to)),
        Side::Ball { radius, .. } => ball(&mut pen, bench, template, radius),
    };
    holes(&mut pen, bench, template);
    let revision = bench.identity.revision.as_deref().unwrap_or("none: draft");
    let low = pen.extents().least.y - 5.0;
    let title = told(template);
    pen.words(at(left, low), LABEL, Anchor::Start, 0.0, format!("{}, revision {revision}", bench.lamp.name), true);
    let lines = match template.side {
        Side::Ball { .. } => vec![
            format!("{title}."),
            "A ball has no flat development: do not wrap this sheet, set dividers to its lines.".to_owned(),
        ],
        _ => vec![format!("{title}. Cut along the outline, lay its datum on the datum.")],
    };
    for (k, line) in lines.into_iter().enumerate() {
        pen.text(at(left, low - 4.2 * (k + 1) as f64), Anchor::Start, line);
    }
    bars(&mut pen, left, bottom);
    let description =
        format!("{title}, full size: {} holes with their middles crossed, datum and bars.", template.holes.len());
    pen.finish(&name(template), title, description, Scale::Full)
}

/// A hole's name on paper: the cord's in the region's word.
pub(in crate::packet) fn said(bench: &Bench<'_>, hole: &Placed) -> String {
    let cord = bench.lamp.mains.as_ref().and_then(|m| m.entry.as_ref());
    let of_cord = cord.is_some_and(|entry| entry.hole.path == hole.path);
    if of_cord { bench.term("cord").to_owned() } else { hole.name.clone() }
}

/// Every hole of a template that lies on the work, with its name.
fn holes(pen: &mut Pen, bench: &Bench<'_>, template: &Template) {
    let on = |hole: &Placed| match template.side {
        Side::Sector { cone, from, to } => Flat::new(cone, from, to).on(hole.x, hole.y),
        _ => at(mm(hole.x), mm(hole.y)),
    };
    let edge = |hole: &Placed| match template.side {
        Side::Sector { cone, from, to } => Some(Flat::new(cone, from, to).edge(hole)),
        Side::Strip { radius, .. } => Some(unrolled(hole, mm(radius))),
        Side::Ball { .. } => None,
        _ => Some(Path::circle(on(hole), mm(hole.diameter) / 2.0)),
    };
    for (hole, path) in template.holes.iter().filter_map(|hole| edge(hole).map(|path| (hole, path))) {
        pen.path(Role::Cut, path);
        pen.centre(on(hole), (mm(hole.diameter) / 2.0).min(12.0) + 2.0);
    }
    // Names come last, so that they find room between all the holes. A ball's chords have theirs.
    for hole in template.holes.iter().filter(|hole| edge(hole).is_some()) {
        let (place, r) = (on(hole), mm(hole.diameter) / 2.0);
        let text = format!("{}, Ø {}", said(bench, hole), hole.diameter.show());
        // The slanting edges of a sector may be near beside the hole, never above it.
        let (wide, high) = (super::text::width(&text, LABEL, true), LABEL);
        let above = at(place.x - r, place.y + r + 3.0);
        let beside = [at(place.x + r + 2.5, place.y + 1.5), at(place.x - r - 2.5 - wide, place.y + 1.5)];
        let below = at(place.x - r, place.y - r - 3.0 - high);
        match template.side {
            Side::Sector { .. } => free_of(pen, &[above, below, beside[0], beside[1]], &text),
            _ => free_of(pen, &[beside[0], beside[1], above, below], &text),
        }
    }
}

/// A side with its middle lines and what lies up and towards the front on it; gives its left and lower end.
fn flat(pen: &mut Pen, outline: Path, (w, h): (f64, f64), side: &str) -> (f64, f64) {
    pen.path(Role::Outline, outline);
    pen.line(Role::Axis, &[at(-w / 2.0 - 3.0, 0.0), at(w / 2.0 + 3.0, 0.0)]);
    pen.line(Role::Axis, &[at(0.0, -h / 2.0 - 3.0), at(0.0, h / 2.0 + 3.0)]);
    // Up on the paper is the lamp's front on the two sides that lie level.
    let up = if matches!(side, "top" | "bottom") { "front" } else { "top" };
    arrow(pen, at(0.0, h / 2.0 + 4.0), up);
    let edge = match side {
        "left" => Some((w / 2.0 + 4.5, -90.0)),
        "right" => Some((-w / 2.0 - 4.5, 90.0)),
        _ => None,
    };
    if let Some((x, angle)) = edge {
        pen.words(at(x, 0.0), LABEL, Anchor::Middle, angle, "front edge", true);
    }
    (-w / 2.0 - if side == "right" { 7.0 } else { 0.0 }, -h / 2.0)
}

/// Upwards, with a word beside it.
pub(super) fn arrow(pen: &mut Pen, from: Point, word: &str) {
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
    pen.text(at(from, -LABEL - 1.5), Anchor::Start, "datum: back edge of the body");
    (from - 8.0, -5.0)
}

/// A hole on an unrolled wall, as wide as the drill leaves it there: x = R asin(u/R).
fn unrolled(hole: &Placed, wall: f64) -> Path {
    let (centre, r) = (at(mm(hole.x), mm(hole.y)), mm(hole.diameter) / 2.0);
    if wall <= r {
        return Path::circle(centre, r);
    }
    let point = |k: usize| {
        let turn = 2.0 * std::f64::consts::PI * k as f64 / SIDES as f64;
        let along = wall * libm::asin(r * libm::cos(turn) / wall);
        at(centre.x + along, centre.y + r * libm::sin(turn))
    };
    Path::polygon(&(0..SIDES).map(point).collect::<Vec<_>>())
}
