//! Holes of the body and the sink on templates at full size: each flat side by itself, a round wall unrolled, a ball,
//! which cannot be, by the chords that dividers step off on it.

mod ball;
mod room;

pub use room::LEFT;

use std::f64::consts::PI;

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::body::Drilled;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::hollow::{Hollow, Wall};
use crate::physics::mechanics::unroll::Frustum;
use crate::quantity::{Metres, Quantity, Radians};
use crate::schema::words::{Face, Word};

use super::fit::{Fit, outside, wall_word};

/// Paper left beside the outermost holes of a strip.
const BESIDE: Metres = Metres::si(20e-3);

const GIRTH: Formula = Formula { text: "π D", source: "geometry" };
const ARC: Formula = Formula { text: "π D · towards/360°", source: "geometry" };
const QUARTER: Formula = Formula { text: "along − n·π D/4, n the nearest", source: "geometry" };
const SLANT: Formula = Formula { text: "√(d² + (R − r)²)", source: "geometry: developed cone" };
const RADIUS: Formula = Formula { text: "r s/|R − r|, R s/|R − r|", source: "geometry: developed cone" };
const SECTOR: Formula = Formula { text: "360° |R − r|/s", source: "geometry: developed cone" };
const UP_SLANT: Formula = Formula { text: "level · s/d", source: "geometry: developed cone" };
const AS_WRITTEN: Formula = Formula { text: "as written, or from the place of the cord's hole", source: "geometry" };

/// One template.
#[derive(Debug, Clone)]
pub struct Template {
    /// Name, also of its drawing: `back`, `round`, `sink`.
    pub name: String,
    /// What it lies on.
    pub side: Side,
    /// Its holes.
    pub holes: Vec<Placed>,
}

/// What a template lies on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Side {
    /// A flat rectangle by width and height.
    Rectangle(Metres, Metres),
    /// A flat round by its diameter.
    Round(Metres),
    /// A strip round a cylinder: radius, length along the axis, and where the strip begins and ends, from 0°.
    Strip {
        /// Outside radius of the body.
        radius: Metres,
        /// Length of the body.
        length: Metres,
        /// Where the strip begins.
        from: Metres,
        /// Where it ends.
        to: Metres,
    },
    /// A sector round a cone: places are along its back edge from 0°, and up the slant.
    Sector {
        /// The outside of the body.
        cone: Frustum,
        /// Where the piece begins, along the back edge.
        from: Metres,
        /// Where it ends.
        to: Metres,
    },
    /// A ball, which has no flat development: places are chords, from 0° along the circle of the hole's height, and from
    /// the middle of the back.
    Ball {
        /// Outside radius.
        radius: Metres,
        /// From the middle of the back to the plane of the opening.
        depth: Metres,
    },
}

/// One hole on its template.
#[derive(Debug, Clone)]
pub struct Placed {
    /// Its name.
    pub name: String,
    /// Place in the spec.
    pub span: Span,
    /// To the right: from the middle of a flat side, along the strip or back edge from 0°; of a ball the chord from 0°.
    pub x: Metres,
    /// Upwards: from the middle of a flat side, from the back edge of the body along its wall; of a ball the chord from
    /// the middle of its back.
    pub y: Metres,
    /// Diameter.
    pub diameter: Metres,
    /// Ledger path of the diameter.
    pub path: String,
}

/// Every template; ledger entries under `drill.`.
pub fn solve(lamp: &Lamp, fit: Option<&Fit>, ledger: &mut Ledger) -> Found<Vec<Template>> {
    let sink = lamp.sink.as_ref().is_some_and(|sink| !sink.holes.is_empty());
    let cord = cord(lamp, fit)?;
    if lamp.enclosure.holes.is_empty() && cord.is_none() && !sink {
        return Ok(Vec::new());
    }
    let (outer, before) = outside(&lamp.enclosure)?;
    let mut all: Vec<(String, Placed)> = Vec::new();
    for hole in &lamp.enclosure.holes {
        all.push(of_body(hole, &outer)?);
    }
    all.extend(cord.map(|cord| on_wall(cord, &outer, before)));
    let mut templates: Vec<Template> = Vec::new();
    for (name, hole) in all {
        match templates.iter_mut().find(|template| template.name == name) {
            Some(template) => template.holes.push(hole),
            None => templates.push(Template { side: side(&outer, &name), name, holes: vec![hole] }),
        }
    }
    templates.iter_mut().for_each(cut_strip);
    templates.extend(of_sink(lamp)?);
    enter(lamp, &templates, ledger);
    Ok(templates)
}

/// The cord's hole, where the layout says where it is.
type Cord = ([Metres; 3], Wall, Metres, Span);

fn cord(lamp: &Lamp, fit: Option<&Fit>) -> Found<Option<Cord>> {
    let entry = lamp.mains.as_ref().and_then(|mains| mains.entry.as_ref());
    let (Some(entry), Some(fit)) = (entry, fit) else { return Ok(None) };
    let Some((at, wall)) = fit.entry.zip(fit.entry_wall()) else { return Ok(None) };
    Ok(Some((at, wall, entry.hole.nominal()?, entry.hole.span)))
}

fn of_body(hole: &Drilled, outer: &Hollow) -> Found<(String, Placed)> {
    let diameter = hole.diameter.nominal()?;
    let placed = |x: Metres, y: Metres| Placed {
        name: hole.name.clone(),
        span: hole.span,
        x,
        y,
        diameter,
        path: hole.diameter.path.clone(),
    };
    if hole.towards.is_known() || hole.towards.unknown {
        let angle = hole.towards.nominal()?;
        let level = hole.level.nominal()?;
        let (x, y) = match outer {
            Hollow::Block { .. } => return Err(hole.at.missing()),
            Hollow::Ball { radius, .. } => ball::place(*radius, angle, level),
            Hollow::Round { back, .. } => (*back * angle.value(), frustum(outer).map_or(level, |c| c.slant_at(level))),
        };
        return Ok((round(outer).to_owned(), placed(x, y)));
    }
    let face = hole.face.get()?;
    let [x, y] = match hole.at.known()?.as_slice() {
        [x, y, ..] => [*x, *y],
        _ => return Err(hole.at.missing()),
    };
    match outer {
        Hollow::Ball { radius, .. } => {
            let (x, y) = ball::from_face(*radius, face, [x, y]);
            Ok((round(outer).to_owned(), placed(x, y)))
        }
        // A round body is flat at its ends alone.
        Hollow::Round { .. } if !matches!(face, Face::Back | Face::Front) => Err(hole.towards.missing()),
        _ => Ok((face.word().to_owned(), placed(x, y))),
    }
}

/// Name of the template of a wall that is not flat.
fn round(outer: &Hollow) -> &'static str {
    if matches!(outer, Hollow::Ball { .. }) { "ball" } else { "round" }
}

/// The outside of a body that widens or narrows.
fn frustum(outer: &Hollow) -> Option<Frustum> {
    match *outer {
        Hollow::Round { back, front, depth } if back != front => Some(Frustum { back, front, depth }),
        _ => None,
    }
}

/// A place in space on the template of its wall, as seen from outside.
fn on_wall((at, wall, diameter, span): Cord, outer: &Hollow, before: Metres) -> (String, Placed) {
    let [x, y, z] = at;
    let depth = outer.around().2;
    let middle = before - depth / 2.0;
    let (right, up) = match wall {
        Wall::Left => (z - middle, y),
        Wall::Right => (middle - z, y),
        Wall::Bottom => (x, z - middle),
        Wall::Top => (-x, z - middle),
        Wall::Back => (-x, y),
        Wall::Front => (x, y),
        Wall::Round => {
            let angle = libm::atan2(y.value(), x.value());
            let angle = if angle < 0.0 { angle + 2.0 * PI } else { angle };
            let (height, from_axis) = (z - before + depth, Metres::si(libm::hypot(x.value(), y.value())));
            match *outer {
                Hollow::Ball { radius, .. } => {
                    let out = height - radius;
                    let lift = out / Metres::si(libm::hypot(out.value(), from_axis.value()));
                    ball::place(radius, Radians::si(angle), radius + radius * lift)
                }
                _ => match frustum(outer) {
                    Some(cone) => (cone.back * angle, cone.nearest(from_axis, height)),
                    None => (outer.around().0 * angle, height),
                },
            }
        }
    };
    let path = "mains.entry.hole".to_owned();
    let name = if wall == Wall::Round { round(outer) } else { wall_word(wall) }.to_owned();
    (name, Placed { name: "cord".to_owned(), span, x: right, y: up, diameter, path })
}

fn side(outer: &Hollow, name: &str) -> Side {
    let (across, up, depth) = outer.around();
    let (w, h) = (across * 2.0, up * 2.0);
    if let Some(cone) = frustum(outer).filter(|_| name == "round") {
        return Side::Sector { cone, from: Metres::ZERO, to: cone.back * (2.0 * PI) };
    }
    match (outer, name) {
        (Hollow::Round { back, .. }, "round") => {
            Side::Strip { radius: *back, length: depth, from: Metres::ZERO, to: *back * (2.0 * PI) }
        }
        (Hollow::Round { back, .. }, "back") => Side::Round(*back * 2.0),
        (Hollow::Round { front, .. }, _) => Side::Round(*front * 2.0),
        (Hollow::Ball { radius, .. }, _) => Side::Ball { radius: *radius, depth },
        (_, "left" | "right") => Side::Rectangle(depth, h),
        (_, "bottom" | "top") => Side::Rectangle(w, depth),
        _ => Side::Rectangle(w, h),
    }
}

/// A strip reaches 20 mm beyond its outermost holes: it is cut in the widest gap between two of them.
fn cut_strip(template: &mut Template) {
    let girth = match template.side {
        Side::Strip { radius, .. } => radius,
        Side::Sector { cone, .. } => cone.back,
        _ => return,
    } * (2.0 * PI);
    for hole in &mut template.holes {
        hole.x = Metres::si(hole.x.value().rem_euclid(girth.value()));
    }
    template.holes.sort_by(|a, b| a.x.value().total_cmp(&b.x.value()));
    let places: Vec<f64> = template.holes.iter().map(|hole| hole.x.value()).collect();
    let next = places.iter().skip(1).copied().chain(places.first().map(|x| x + girth.value()));
    let gaps = places.iter().zip(next).map(|(x, next)| next - x);
    let widest = gaps.enumerate().max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(k, _)| k);
    // Holes up to the widest gap go once round, so that those after it come first.
    for hole in template.holes.iter_mut().take(widest + 1) {
        hole.x = hole.x + girth;
    }
    template.holes.rotate_left((widest + 1) % places.len().max(1));
    let side = template.side;
    let edge = |hole: &Placed, way: f64| hole.x + along_edge(&side, hole.y, hole.diameter / 2.0 + BESIDE) * way;
    // On a cone a small hole may lie between wider ones: each is looked at.
    let from = template.holes.iter().map(|hole| edge(hole, -1.0)).reduce(Metres::min).unwrap_or(Metres::ZERO);
    let to = template.holes.iter().map(|hole| edge(hole, 1.0)).reduce(Metres::max).unwrap_or(Metres::ZERO);
    let back = if from >= girth { girth } else { Metres::ZERO };
    for hole in &mut template.holes {
        hole.x = hole.x - back;
    }
    let ends = (from - back, (to - back).min(from - back + girth));
    if let Side::Strip { from, to, .. } | Side::Sector { from, to, .. } = &mut template.side {
        (*from, *to) = ends;
    }
}

/// A way round the wall at this height, as long as it is along the back edge.
fn along_edge(side: &Side, up: Metres, way: Metres) -> Metres {
    match side {
        Side::Sector { cone, .. } => {
            let radius = cone.radius_at(up.max(Metres::ZERO).min(cone.slant()));
            way * (cone.back / radius)
        }
        _ => way,
    }
}

fn of_sink(lamp: &Lamp) -> Found<Option<Template>> {
    let Some(sink) = lamp.sink.as_ref().filter(|sink| !sink.holes.is_empty()) else { return Ok(None) };
    let (width, height) = match sink.size.known()?.as_slice() {
        [w, h, ..] => (*w, *h),
        _ => return Err(sink.size.missing()),
    };
    let mut holes = Vec::new();
    for hole in &sink.holes {
        let (x, y) = match hole.at.known()?.as_slice() {
            [x, y, ..] => (*x, *y),
            _ => return Err(hole.at.missing()),
        };
        let (name, path) = (hole.name.clone(), hole.diameter.path.clone());
        holes.push(Placed { name, span: hole.span, x, y, diameter: hole.diameter.nominal()?, path });
    }
    Ok(Some(Template { name: "sink".to_owned(), side: Side::Rectangle(width, height), holes }))
}

fn enter(lamp: &Lamp, templates: &[Template], ledger: &mut Ledger) {
    let size = lamp.enclosure.size.path.as_str();
    for template in templates {
        room::enter(lamp, template, ledger);
        match template.side {
            Side::Strip { radius, .. } => enter_girth(radius, size, ledger),
            Side::Sector { cone, .. } => enter_cone(&cone, size, ledger),
            Side::Ball { radius, .. } => {
                ball::enter(radius, template, size, ledger);
                continue;
            }
            _ => {}
        }
        let (along, up, across, rise) = match template.side {
            Side::Strip { .. } => ("along the strip from 0°", "from the back edge", ARC, AS_WRITTEN),
            Side::Sector { .. } => ("along the back edge from 0°", "up the wall from the back edge", ARC, UP_SLANT),
            _ => ("right of the middle", "above the middle", AS_WRITTEN, AS_WRITTEN),
        };
        for hole in &template.holes {
            let path = |axis: &str| format!("drill.{}.{}.{axis}", template.name, hole.name);
            let title = |what: &str| format!("{}: {what}", hole.name);
            // The drawing may begin before 0° and run past it: the table counts from 0° once round.
            let round = match template.side {
                Side::Strip { radius, .. } => Some(radius),
                Side::Sector { cone, .. } => Some(cone.back),
                _ => None,
            };
            let x = round.map_or(hole.x, |radius| Metres::si(hole.x.value().rem_euclid(radius.value() * 2.0 * PI)));
            ledger.computed(path("x"), &title(along), x, across, &[("D", size), ("hole", &hole.path)]);
            if let Side::Strip { radius, .. } = template.side {
                let quarter = radius * (PI / 2.0);
                let nearest = libm::round(hole.x / quarter);
                let off = hole.x - quarter * nearest;
                let degrees = (nearest as i64).rem_euclid(4) * 90;
                let text = if off.abs() < Metres::si(5e-6) {
                    format!("on {degrees}°")
                } else {
                    let way = if off < Metres::ZERO { "before" } else { "past" };
                    format!("{} {way} {degrees}°", off.abs().show())
                };
                let from = [("along", path("x")), ("girth", "drill.girth".to_owned())];
                let from = from.each_ref().map(|(what, of)| (*what, of.as_str()));
                ledger.computed_text(path("quarter"), &title("from the nearest quarter line"), text, QUARTER, &from);
            }
            let slant = ("s", "drill.slant");
            match template.side {
                Side::Sector { .. } => {
                    ledger.computed(path("y"), &title(up), hole.y, rise, &[slant, ("d", size), ("hole", &hole.path)])
                }
                _ => ledger.computed(path("y"), &title(up), hole.y, rise, &[("hole", &hole.path)]),
            };
        }
    }
}

fn enter_girth(radius: Metres, size: &str, ledger: &mut Ledger) {
    ledger.computed("drill.girth", "way round the body, outside", radius * (2.0 * PI), GIRTH, &[("D", size)]);
}

fn enter_cone(cone: &Frustum, size: &str, ledger: &mut Ledger) {
    let girth = cone.back * (2.0 * PI);
    ledger.computed("drill.girth", "way round the back edge, outside", girth, GIRTH, &[("D", size)]);
    ledger.computed("drill.slant", "slant of the wall", cone.slant(), SLANT, &[("d, R, r", size)]);
    ledger.computed("drill.sector", "angle of the whole sector", cone.sector(), SECTOR, &[("s", "drill.slant")]);
    for (path, title, radius) in [
        ("drill.sector-back", "radius of the back edge on the sector", cone.back_radius()),
        ("drill.sector-front", "radius of the front edge on the sector", cone.front_radius()),
    ] {
        ledger.computed(path, title, radius, RADIUS, &[("r, R", size), ("s", "drill.slant")]);
    }
}

impl Placed {
    /// Radius of the circle that a hole of a ball of this radius lies on.
    pub fn circle(&self, radius: Metres) -> Metres {
        ball::circle(radius, self.y)
    }
}

/// The side of the body that a template of this name lies on; none of a round wall, a ball and the sink.
pub fn face(name: &str) -> Option<Face> {
    Face::from_word(name)
}
