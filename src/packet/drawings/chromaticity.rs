//! Drawing `chromaticity`: the CIE 1976 diagram with the channels, what they can mix, the targets, and where each
//! target stands as the lamp is switched on cold.

use super::callouts::{self, Callout, Column};
use super::pen::Pen;
use super::text::{LABEL, Room, width};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::physics::light::chromaticity::{Chromaticity, Uniform};
use crate::physics::light::gamut::{Gamut, spectral_locus};
use crate::physics::light::temperature::black_body;
use crate::quantity::{Kelvin, Lumens};
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
    // A channel that gives no light mixes nothing.
    let own: Vec<Chromaticity> = known.iter().filter(|c| c.hot.y > Lumens::ZERO).map(|c| c.at).collect();
    let hull: Vec<Point> = Gamut::of(&own).corners().iter().map(|p| place(*p)).collect();
    if !hull.is_empty() {
        pen.path(Role::Hidden, Path::polygon(&hull));
    }
    wavelengths(&mut pen);
    let mut labels = Vec::new();
    for channel in &known {
        pen.path(Role::Ink, Path::circle(spot(channel.at), 0.9));
        labels.push(Callout { target: spot(channel.at), text: format!("channel {}", channel.name) });
    }
    // Whites crowd on a few millimetres: they stand in a part drawn larger.
    let (whites, others): (Vec<&Target>, Vec<&Target>) = look.targets.iter().partition(|t| t.is_white && t.mix.is_ok());
    let larger = Larger::around(&whites);
    let plain = if larger.is_some() { others } else { look.targets.iter().collect() };
    for target in plain {
        labels.extend(aimed(&mut pen, target, &spot));
    }
    if let Some(larger) = &larger {
        larger.draw(&mut pen, &whites);
    }
    // A leader from beside the larger part would run through it: what stands there is named where it stands.
    let low =
        |label: &Callout| larger.is_some() && label.target.y < CORNER.y + PART.1 + 3.0 && label.target.x < CORNER.x;
    let (near, far): (Vec<Callout>, Vec<Callout>) = labels.into_iter().partition(low);
    for label in near {
        pen.text(at(label.target.x + 2.0, label.target.y - LABEL / 2.0), Anchor::Start, label.text);
    }
    callouts::column(&mut pen, Column::Right, 0.68 * UNIT, far);
    // Last, since a figure that would lie on a line or a name is left to its mark.
    kelvins(&mut pen, &spot, &|at| larger.as_ref().is_none_or(|part| !part.holds(at.uniform())));
    let names: Vec<&str> = look.targets.iter().map(|t| t.name.as_str()).collect();
    let description = format!(
        "CIE 1976 diagram: spectral locus with wavelengths, black-body line with temperatures, the hull of {} channels, \
         and the targets {}.",
        own.len(),
        if names.is_empty() { "none".to_owned() } else { names.join(", ") }
    );
    Some(pen.finish("chromaticity", "Colours that the channels can mix".to_owned(), description, Scale::Reduced))
}

/// Radius of the ring about a mix, mm.
const RING: f64 = 1.4;

/// A target as a cross, the nearest mix as a ring, and an arrow to its edge from where the lamp starts cold.
fn aimed(pen: &mut Pen, target: &Target, spot: &dyn Fn(Chromaticity) -> Point) -> Option<Callout> {
    let wanted = spot(*target.wanted.as_ref().ok()?);
    for (dx, dy) in [(1.0, 1.0), (1.0, -1.0)] {
        pen.line(Role::Wire, &[at(wanted.x - dx, wanted.y - dy), at(wanted.x + dx, wanted.y + dy)]);
    }
    if let Ok(blend) = &target.mix {
        let near = spot(blend.reach.nearest);
        pen.path(Role::Outline, Path::circle(near, RING));
        let start = spot(blend.start);
        let (dx, dy) = (near.x - start.x, near.y - start.y);
        let length = libm::hypot(dx, dy);
        if length > RING + 1.0 {
            let tip = at(near.x - dx / length * RING, near.y - dy / length * RING);
            pen.line(Role::Dimension, &[start, tip]);
            pen.arrow(tip, libm::atan2(dy, dx));
        }
    }
    Some(Callout { target: wanted, text: target.name.clone() })
}

/// A part of the diagram drawn larger, in the corner that the line of purples leaves free.
struct Larger {
    least: Uniform,
    most: Uniform,
    scale: f64,
}

/// Lower left corner and size of that part, mm.
const CORNER: Point = Point { x: 66.0, y: 2.0 };
const PART: (f64, f64) = (44.0, 29.0);
/// Room about the marks in it, mm: to the right, below and above; to the left stand the names.
const AROUND: (f64, f64, f64) = (4.0, 5.0, 3.0);
/// Most that it is drawn larger: beyond, a step of the codes would look like a mistake.
const LARGEST: f64 = 8.0 * UNIT;

impl Larger {
    /// Around wanted colour, mix and cold start of the whites; none where they are so far apart that nothing is gained.
    fn around(whites: &[&Target]) -> Option<Self> {
        let points = whites.iter().filter_map(|t| {
            let blend = t.mix.as_ref().ok()?;
            let wanted = t.wanted.as_ref().ok()?;
            Some([wanted.uniform(), blend.reach.nearest.uniform(), blend.start.uniform()])
        });
        let mut points = points.flatten();
        let first = points.next()?;
        let (least, most) = points.fold((first, first), |(a, b), p| {
            (Uniform { u: a.u.min(p.u), v: a.v.min(p.v) }, Uniform { u: b.u.max(p.u), v: b.v.max(p.v) })
        });
        let names = whites.iter().map(|t| width(&t.name, LABEL, false)).fold(0.0, f64::max) + RING + 1.5;
        let (right, below, above) = AROUND;
        let free = |whole: f64, span: f64| if span > 0.0 { (whole / span).max(0.0) } else { f64::INFINITY };
        let scale = free(PART.0 - names - right, most.u - least.u).min(free(PART.1 - below - above, most.v - least.v));
        let scale = scale.min(LARGEST);
        // What is left over goes to both sides.
        let spare = (PART.0 - names - right - (most.u - least.u) * scale) / 2.0;
        let over = (PART.1 - below - above - (most.v - least.v) * scale) / 2.0;
        let corner = Uniform { u: least.u - (names + spare) / scale, v: least.v - (below + over) / scale };
        let opposite = Uniform { u: corner.u + PART.0 / scale, v: corner.v + PART.1 / scale };
        (scale > 1.3 * UNIT).then_some(Self { least: corner, most: opposite, scale })
    }

    fn holds(&self, point: Uniform) -> bool {
        (self.least.u..=self.most.u).contains(&point.u) && (self.least.v..=self.most.v).contains(&point.v)
    }

    fn place(&self, point: Uniform) -> Point {
        at(CORNER.x + (point.u - self.least.u) * self.scale, CORNER.y + (point.v - self.least.v) * self.scale)
    }

    fn draw(&self, pen: &mut Pen, whites: &[&Target]) {
        let (low, high) = (place(self.least), place(self.most));
        pen.rectangle(Role::Dimension, low, high.x - low.x, high.y - low.y);
        let (low, high) = (self.place(self.least), self.place(self.most));
        pen.rectangle(Role::Dimension, low, high.x - low.x, high.y - low.y);
        let inside = |p: &Point| p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y;
        let line = (200..=1000).filter_map(|tens| black_body(Kelvin::si(f64::from(tens) * 10.0)));
        let line: Vec<Point> = line.map(|at| self.place(at.uniform())).filter(inside).collect();
        if line.len() > 1 {
            pen.line(Role::Axis, &line);
        }
        let spot = |at: Chromaticity| self.place(at.uniform());
        let mut marks: Vec<Callout> = whites.iter().filter_map(|target| aimed(pen, target, &spot)).collect();
        // Names stand above their marks or to the left, where neither the line of black bodies nor an arrow from a warmer
        // start runs, or below to the right of those under the line; from the top down.
        marks.sort_by(|a, b| b.target.y.total_cmp(&a.target.y));
        for mark in marks {
            let (p, long) = (mark.target, width(&mark.text, LABEL, false));
            let places = [
                at(p.x - long / 2.0, p.y + RING + 0.8),
                at(p.x - RING - 0.8 - long, p.y + 0.2),
                at(p.x + RING + 0.8, p.y - LABEL - 0.2),
                at(p.x - long / 2.0, p.y - RING - 0.8 - LABEL),
                at(p.x - RING - 0.8 - long, p.y + RING),
                at(p.x - RING - 0.8 - long, p.y + 2.0 * LABEL),
                at(p.x + RING + 0.8, p.y + RING),
            ];
            // On a line a name can still be read, on another name it cannot.
            let apart = |base: &Point| !pen.taken().iter().any(|other| other.overlaps(&room(*base, long)));
            let base = places.into_iter().find(|base| free(pen, *base, long));
            let base = base.or_else(|| places.into_iter().find(apart)).unwrap_or(places[0]);
            pen.text(base, Anchor::Start, mark.text);
        }
        kelvins(pen, &spot, &|at| self.holds(at.uniform()));
        pen.text(at((low.x + high.x) / 2.0, high.y + 0.8), Anchor::Middle, "whites, drawn larger");
    }
}

/// Wavelengths along the spectral locus, nm, and temperatures along the black-body line, K.
const WAVELENGTHS: [f64; 10] = [450.0, 470.0, 480.0, 490.0, 500.0, 520.0, 560.0, 580.0, 600.0, 620.0];
const TEMPERATURES: [f64; 4] = [2000.0, 2700.0, 4000.0, 10_000.0];
/// What the marks on the locus are set away from: equal energy, well inside.
const INSIDE: Uniform = Uniform { u: 0.2105, v: 0.4737 };

fn wavelengths(pen: &mut Pen) {
    let locus = spectral_locus();
    let at_index = |index: usize| locus.get(index).map(|c| spot(*c));
    for nm in WAVELENGTHS {
        let index = libm::round((nm - 380.0) / 5.0) as usize;
        let Some(here) = at_index(index) else { continue };
        let (Some(before), Some(after)) = (at_index(index - 1), at_index(index + 1)) else { continue };
        // Square to the line, away from its inside.
        let (tx, ty) = (after.x - before.x, after.y - before.y);
        let length = libm::hypot(tx, ty).max(1e-9);
        let away = place(INSIDE);
        let turned = (here.x - away.x) * ty - (here.y - away.y) * tx;
        let side = if turned > 0.0 { 1.0 } else { -1.0 };
        let (nx, ny) = (side * ty / length, -side * tx / length);
        pen.line(Role::Dimension, &[here, at(here.x + 1.2 * nx, here.y + 1.2 * ny)]);
        let anchor = match nx {
            nx if nx < -0.4 => Anchor::End,
            nx if nx > 0.4 => Anchor::Start,
            _ => Anchor::Middle,
        };
        let base = here.y + 1.8 * ny - LABEL / 2.0 * (1.0 - ny.max(0.0)) - LABEL / 2.0 * (-ny).max(0.0);
        pen.text(at(here.x + 1.8 * nx, base), anchor, format!("{nm:.0}"));
    }
}

/// Marks on the black-body line as `place` draws it, where `shown` lets them be.
fn kelvins(pen: &mut Pen, place: &dyn Fn(Chromaticity) -> Point, shown: &dyn Fn(Chromaticity) -> bool) {
    for kelvin in TEMPERATURES {
        let (Some(here), Some(next)) = (black_body(Kelvin::si(kelvin)), black_body(Kelvin::si(kelvin * 1.02))) else {
            continue;
        };
        if !shown(here) {
            continue;
        }
        let (a, b) = (place(here), place(next));
        let length = libm::hypot(b.x - a.x, b.y - a.y).max(1e-9);
        let (nx, ny) = ((b.y - a.y) / length, -(b.x - a.x) / length);
        // Below the line; above it stand the names of the targets.
        let (nx, ny) = if ny > 0.0 { (-nx, -ny) } else { (nx, ny) };
        pen.line(Role::Dimension, &[at(a.x - nx, a.y - ny), at(a.x + nx, a.y + ny)]);
        let text = format!("{kelvin:.0} K");
        let long = width(&text, LABEL, false);
        let right = |far: f64| at(a.x + far * nx + 0.3, a.y + far * ny - LABEL);
        let places = [
            right(1.8),
            right(3.4),
            at(a.x + 1.8 * nx - long, a.y + 1.8 * ny - LABEL),
            at(a.x - 2.0 * nx - long, a.y - 2.0 * ny),
        ];
        // A figure that would lie on a name or a line is left to its mark.
        if let Some(base) = places.into_iter().find(|base| free(pen, *base, long)) {
            pen.text(base, Anchor::Start, text);
        }
    }
}

/// The room of a text of this length, and a little about it.
fn room(base: Point, long: f64) -> Room {
    Room { least: base, most: at(base.x + long, base.y + LABEL) }.grown(0.35)
}

/// Whether a text of this length may stand here: on no other text and no line.
fn free(pen: &Pen, base: Point, long: f64) -> bool {
    let room = room(base, long);
    !pen.taken().iter().any(|other| other.overlaps(&room)) && !pen.crossed(&room)
}

/// Lines and figures of the axes.
fn grid(pen: &mut Pen) {
    for tenth in 0..=6 {
        let v = f64::from(tenth) / 10.0;
        pen.line(Role::Dimension, &[at(v * UNIT, LOW), at(v * UNIT, LOW - 1.5)]);
        pen.text(at(v * UNIT, LOW - 5.0), Anchor::Middle, format!("{v:.1}"));
        pen.line(Role::Dimension, &[at(LEFT, v * UNIT), at(LEFT - 1.5, v * UNIT)]);
        pen.text(at(LEFT - 2.5, v * UNIT - 0.9), Anchor::End, format!("{v:.1}"));
    }
    pen.line(Role::Dimension, &[at(LEFT, 0.61 * UNIT), at(LEFT, LOW), at(0.64 * UNIT, LOW)]);
    pen.text(at(0.64 * UNIT, LOW - 5.0), Anchor::Middle, "u'");
    pen.text(at(LEFT - 2.5, 0.625 * UNIT), Anchor::End, "v'");
}

/// Where the axes stand, mm: off the locus, whose wavelengths need the room beside it.
const LEFT: f64 = -9.0;
const LOW: f64 = -2.0;
