//! Holes of the body and the sink on templates at full size: each flat side by itself, a round wall unrolled.

use std::f64::consts::PI;

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::body::Drilled;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::hollow::{Hollow, Wall};
use crate::quantity::Metres;
use crate::schema::words::{Face, Word};

use super::fit::{Fit, outside, wall_word};

/// Paper left beside the outermost holes of a strip.
const BESIDE: Metres = Metres::si(20e-3);

const GIRTH: Formula = Formula { text: "π D", source: "geometry" };
const ARC: Formula = Formula { text: "π D · towards/360°", source: "geometry" };
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
}

/// One hole on its template.
#[derive(Debug, Clone)]
pub struct Placed {
    /// Its name.
    pub name: String,
    /// Place in the spec.
    pub span: Span,
    /// To the right: from the middle of a flat side, along the strip from 0°.
    pub x: Metres,
    /// Upwards: from the middle of a flat side, from the back edge of the body.
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
    let (outer, before) = outside(lamp)?;
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
        let Hollow::Round { back, .. } = outer else { return Err(hole.at.missing()) };
        let angle = hole.towards.nominal()?.value();
        return Ok(("round".to_owned(), placed(*back * angle, hole.level.nominal()?)));
    }
    let name = hole.face.get()?.word().to_owned();
    match hole.at.known()?.as_slice() {
        [x, y, ..] => Ok((name, placed(*x, *y))),
        _ => Err(hole.at.missing()),
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
            (outer.around().0 * angle, z - before + depth)
        }
    };
    let path = "mains.entry.hole".to_owned();
    (wall_word(wall).to_owned(), Placed { name: "cord".to_owned(), span, x: right, y: up, diameter, path })
}

fn side(outer: &Hollow, name: &str) -> Side {
    let (across, up, depth) = outer.around();
    let (w, h) = (across * 2.0, up * 2.0);
    match (outer, name) {
        (Hollow::Round { back, .. }, "round") => {
            Side::Strip { radius: *back, length: depth, from: Metres::ZERO, to: *back * (2.0 * PI) }
        }
        (Hollow::Round { back, .. }, "back") => Side::Round(*back * 2.0),
        (Hollow::Round { front, .. }, _) => Side::Round(*front * 2.0),
        (Hollow::Ball { radius, .. }, _) => Side::Round(*radius * 2.0),
        (_, "left" | "right") => Side::Rectangle(depth, h),
        (_, "bottom" | "top") => Side::Rectangle(w, depth),
        _ => Side::Rectangle(w, h),
    }
}

/// A strip reaches 20 mm beyond its outermost holes: it is cut in the widest gap between two of them.
fn cut_strip(template: &mut Template) {
    let Side::Strip { radius, length, .. } = template.side else { return };
    let girth = radius * (2.0 * PI);
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
    let edge = |hole: Option<&Placed>, way: f64| hole.map_or(Metres::ZERO, |h| h.x + (h.diameter / 2.0 + BESIDE) * way);
    let (from, to) = (edge(template.holes.first(), -1.0), edge(template.holes.last(), 1.0));
    let back = if from >= girth { girth } else { Metres::ZERO };
    for hole in &mut template.holes {
        hole.x = hole.x - back;
    }
    template.side = Side::Strip { radius, length, from: from - back, to: (to - back).min(from - back + girth) };
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
        let strip = match template.side {
            Side::Strip { radius, .. } => {
                let girth = radius * (2.0 * PI);
                ledger.computed("drill.girth", "way round the body, outside", girth, GIRTH, &[("D", size)]);
                true
            }
            _ => false,
        };
        for hole in &template.holes {
            let path = |axis: &str| format!("drill.{}.{}.{axis}", template.name, hole.name);
            let (across, up) = if strip {
                (format!("{}: along the strip from 0°", hole.name), format!("{}: from the back edge", hole.name))
            } else {
                (format!("{}: right of the middle", hole.name), format!("{}: above the middle", hole.name))
            };
            let formula = if strip { ARC } else { AS_WRITTEN };
            ledger.computed(path("x"), &across, hole.x, formula, &[("D", size), ("hole", &hole.path)]);
            ledger.computed(path("y"), &up, hole.y, AS_WRITTEN, &[("hole", &hole.path)]);
        }
    }
}

impl Template {
    /// Room between a hole's edge and the edge of its side, negative where it leaves it.
    pub fn edge_room(&self, hole: &Placed) -> Metres {
        let radius = hole.diameter / 2.0;
        let (x, y) = (hole.x, hole.y);
        match self.side {
            Side::Rectangle(w, h) => (w / 2.0 - x.abs()).min(h / 2.0 - y.abs()) - radius,
            Side::Round(d) => d / 2.0 - Metres::si(libm::hypot(x.value(), y.value())) - radius,
            Side::Strip { length, .. } => y.min(length - y) - radius,
        }
    }
    /// Whether the face named is one of the body.
    pub fn is_sink(&self) -> bool {
        self.name == "sink"
    }
}

/// The face's word where it is one.
pub fn face(name: &str) -> Option<Face> {
    Face::from_word(name)
}
