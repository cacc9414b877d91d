//! Drawing `diffuser`: the finished sheet 1:1 with its sizes, holes and bars to check the printer; and the two
//! drawings for a machine, the net outline and the cutter's path.

use super::pen::{Pen, path_of};
use super::text::{self, LABEL};
use crate::lamp::diffuser::Diffuser;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::physics::mechanics::chord::flattened;
use crate::physics::mechanics::outline::Outline;
use crate::physics::mechanics::plate::Plate;
use crate::quantity::{Metres, Quantity};
use crate::schema::words::{OutlineKind, Word};
use crate::solve::sheet::{Feature, Net};

/// Length of the bars beside the outline, mm.
pub const BAR: f64 = 100.0;

const CENTRE: Point = at(0.0, 0.0);

/// The diffuser and the piece the bench has of it.
fn piece<'a>(bench: &Bench<'a>) -> Option<(&'a Diffuser, &'a Net)> {
    let diffuser = bench.lamp.diffuser.as_ref()?;
    let solved = bench.solution.sheet.as_ref()?.as_ref().ok()?;
    Some((diffuser, solved.net.as_ref().ok()?))
}

/// The 1:1 drawing; none without a piece.
pub(super) fn diffuser(bench: &Bench<'_>) -> Option<Drawing> {
    let (given, net) = piece(bench)?;
    let mut pen = Pen::default();
    pen.paths(Role::Cut, edges(&net.plate));
    let (right, top) = (mm(net.width) / 2.0, mm(net.height) / 2.0);
    pen.centre(CENTRE, 4.0);
    sizes(&mut pen, given, net);
    let letters = features(&mut pen, given, net);
    bars(&mut pen, -right, -top);
    notes(&mut pen, bench, given, net, letters);
    let title = format!("{}, diffuser, net outline", bench.lamp.name);
    let description = format!(
        "Outline of the finished sheet in true size, {} by {}, with {} holes, its dimensions and two bars of 100 mm.",
        net.width.show(),
        net.height.show(),
        net.plate.holes.len()
    );
    Some(pen.finish("diffuser", title, description, Scale::Full))
}

/// Drawings for a machine: the finished edge, and the path of the cutter's middle. Neither where the edges are unsound.
pub(super) fn machine(bench: &Bench<'_>) -> Vec<Drawing> {
    let sound = bench.solution.sheet.as_ref().and_then(|sheet| sheet.as_ref().ok()?.path());
    let Some((net, tool)) = sound else { return Vec::new() };
    let one = |name: &str, what: &str, plate: &Plate| {
        let mut pen = Pen::default();
        pen.paths(Role::Cut, edges(plate));
        let title = format!("{}, diffuser, {what}", bench.lamp.name);
        let description = format!("{what}, in true size, for a machine; nothing but lines to cut.");
        pen.finish(name, title, description, Scale::Full)
    };
    vec![
        one("diffuser", "net outline, the finished edge", &net.plate),
        one("diffuser-cut", "path of the cutter's middle, kerf applied", &tool.path),
    ]
}

fn edges(plate: &Plate) -> Vec<Path> {
    std::iter::once(&plate.outer).chain(&plate.holes).map(|edge| path_of(edge, 1.0, CENTRE)).collect()
}

fn mm(length: Metres) -> f64 {
    length.value() * 1e3
}

/// Finest chord that stands for an arc where only its far point is sought.
const CHORD: Metres = Metres::si(1e-5);

fn sizes(pen: &mut Pen, given: &Diffuser, net: &Net) {
    let (right, top) = (mm(net.width) / 2.0, mm(net.height) / 2.0);
    let round = matches!(given.outline.value, Some(OutlineKind::Disc | OutlineKind::Ring));
    if let Some(size) = net.diameter.filter(|_| round) {
        // A notch may take the crown away; the dimension stands at the circle it was cut from.
        let half = mm(size) / 2.0;
        pen.across(at(-half, 0.0), at(half, 0.0), -top - 6.0, &format!("Ø {}", size.show()));
        return;
    }
    let points: Vec<Point> = flattened(&net.plate.outer, CHORD).iter().map(|p| at(mm(p.x), mm(p.y))).collect();
    let low = |p: &Point| -p.y;
    let (from, to) = (farthest(&points, |p| -p.x, low), farthest(&points, |p| p.x, low));
    pen.across(from, to, -top - 6.0, &net.width.show());
    let beside = |p: &Point| p.x;
    let (from, to) = (farthest(&points, |p| -p.y, beside), farthest(&points, |p| p.y, beside));
    pen.upright(from, to, right + 7.0, &net.height.show());
}

/// The point farthest one way; of several, the one farthest the other way.
fn farthest(points: &[Point], way: impl Fn(&Point) -> f64, then: impl Fn(&Point) -> f64) -> Point {
    let most = points.iter().map(&way).fold(f64::NEG_INFINITY, f64::max);
    let there = points.iter().filter(|p| way(p) > most - 1e-2);
    there.copied().reduce(|a, b| if then(&b) > then(&a) { b } else { a }).unwrap_or(CENTRE)
}

/// Marks each hole and notch with a letter; gives the lines that say what the letters are.
fn features(pen: &mut Pen, given: &Diffuser, net: &Net) -> Vec<String> {
    let mut lines = Vec::new();
    let mut letters = (b'A'..=b'Z').map(|c| char::from(c).to_string());
    for feature in &net.features {
        let Some(letter) = letters.next() else { break };
        for edge in net.plate.holes.get(feature.edges.clone()).unwrap_or_default() {
            mark(pen, edge, feature, &letter);
        }
        if let Some(group) = given.holes.iter().find(|group| group.name == feature.name)
            && let Ok(circle) = group.circle.nominal()
        {
            pen.path(Role::Axis, Path::circle(CENTRE, mm(circle) / 2.0));
        }
        lines.push(format!("{letter}  {}: {}", feature.name, told(given, feature)));
    }
    for notch in &given.notches {
        let (Some(letter), Ok(width), Ok(depth), Ok(way)) =
            (letters.next(), notch.width.nominal(), notch.depth.nominal(), notch.towards.nominal())
        else {
            break;
        };
        // Outside the sheet, where the edge was before the notch took it away.
        let reach = edge_towards(&net.plate.outer, way.value()) + mm(depth) + 2.5;
        let half = text::width(&letter, LABEL, true) / 2.0;
        let place = at(reach * libm::cos(way.value()) - half, reach * libm::sin(way.value()) - LABEL / 2.0);
        free(pen, place, &letter);
        let corner = notch.corner.nominal().unwrap_or(Metres::ZERO);
        lines.push(format!(
            "{letter}  {}: notch {} wide, {} deep, inside radius {}, towards {}",
            notch.name,
            width.show(),
            depth.show(),
            corner.show(),
            way.show()
        ));
    }
    lines
}

/// Distance of the outer edge from the centre in a direction, mm.
fn edge_towards(outer: &Outline, angle: f64) -> f64 {
    use crate::physics::mechanics::curve::Point as P;
    let far = outer.extents();
    let mut reach = (far.width() + far.height()).value();
    // Steps towards the centre by the distance that is surely free, until the edge is met.
    for _ in 0..200 {
        let gap = outer.distance_to(P::polar(Metres::si(reach), angle)).value();
        if gap < 1e-6 || reach - gap <= 0.0 {
            break;
        }
        reach -= gap;
    }
    reach * 1e3
}

fn mark(pen: &mut Pen, edge: &Outline, feature: &Feature, letter: &str) {
    let (centre, radius) = match edge.as_circle() {
        Some((centre, radius)) => (at(mm(centre.x), mm(centre.y)), mm(radius)),
        None => return,
    };
    pen.centre(centre, radius.min(20.0) + 1.5);
    let beside = if feature.opening { radius * 0.5 } else { radius + 1.2 };
    free(pen, at(centre.x + beside, centre.y + beside), letter);
}

/// Sets a letter at the place, or at the nearest of its turns about it where no text lies yet.
pub(super) fn free(pen: &mut Pen, place: Point, letter: &str) {
    let taken = pen.taken();
    let size = (text::width(letter, LABEL, true), LABEL);
    let tries = (0..40).map(|k| {
        let (turn, reach) = (f64::from(k) * 0.785, 3.0 * f64::from((k + 7) / 8));
        at(place.x + reach * libm::cos(turn), place.y + reach * libm::sin(turn))
    });
    let open = |p: &Point| {
        let room = text::Room { least: at(p.x, p.y - 0.8), most: at(p.x + size.0, p.y + size.1) };
        !taken.iter().any(|other| other.overlaps(&room.grown(0.2)))
    };
    if let Some(found) = tries.into_iter().find(open) {
        pen.words(found, LABEL, Anchor::Start, 0.0, letter, true);
    }
}

/// Diameter and place of a hole or group of holes, in words.
pub(in crate::packet) fn told(given: &Diffuser, feature: &Feature) -> String {
    let diameter = feature.diameter.show();
    if let Some(group) = given.holes.iter().find(|group| group.name == feature.name) {
        let (circle, start) = (group.circle.nominal(), group.start.nominal());
        let on = circle.map_or_else(|_| String::new(), |c| format!(" on a circle of Ø {}", c.show()));
        let first = start.map_or_else(|_| String::new(), |s| format!(", the first at {}", s.show()));
        return format!("{} × Ø {diameter}{on}{first}", feature.edges.len());
    }
    let hole = given.hole.iter().find(|hole| hole.name == feature.name);
    match hole.and_then(|hole| hole.at.value.as_deref()) {
        Some([x, y]) => format!("Ø {diameter} at ({}, {}) from the centre", x.show(), y.show()),
        _ => format!("Ø {diameter}"),
    }
}

/// Two bars of 100 mm with a tick every 10 mm, below and left of the outline.
pub(super) fn bars(pen: &mut Pen, left: f64, bottom: f64) {
    let (x, y) = (left - 8.0, bottom - 14.0);
    for standing in [false, true] {
        let origin = if standing { at(x, bottom.max(-BAR / 2.0) - 0.0) } else { at(left, y) };
        let point = |u: f64, v: f64| {
            if standing { at(origin.x - v, origin.y + u) } else { at(origin.x + u, origin.y + v) }
        };
        pen.line(Role::Dimension, &[point(0.0, 0.0), point(BAR, 0.0)]);
        for tick in 0..=10 {
            let reach = if tick % 5 == 0 { 2.0 } else { 1.0 };
            let u = f64::from(tick) * BAR / 10.0;
            pen.line(Role::Dimension, &[point(u, 0.0), point(u, -reach)]);
        }
        let angle = if standing { 90.0 } else { 0.0 };
        pen.words(point(BAR / 2.0, 0.9), LABEL, Anchor::Middle, angle, "100 mm: measure before cutting", false);
    }
}

fn notes(pen: &mut Pen, bench: &Bench<'_>, given: &Diffuser, net: &Net, letters: Vec<String>) {
    let revision = bench.identity.revision.as_deref().unwrap_or("none: draft");
    let material = given.material.value.map_or("", Word::word);
    let thickness = given.thickness.nominal().map_or_else(|_| "unknown thickness".into(), |t| t.show());
    let mut lines = vec![
        format!("{}, diffuser, revision {revision}", bench.lamp.name),
        format!("{material}, {thickness}, {} off", bench.shown("cut.pieces")),
        "net outline: finished edge".to_owned(),
    ];
    if !net.faults.is_empty() {
        lines.push("Do not cut: its edges do not make one piece, see the cover".to_owned());
    }
    lines.extend(letters);
    let room = pen.extents();
    for (k, line) in lines.iter().enumerate() {
        let y = room.least.y - 5.0 - 4.2 * k as f64;
        pen.words(at(-mm(net.width) / 2.0, y), LABEL, Anchor::Start, 0.0, line, k == 0);
    }
}
