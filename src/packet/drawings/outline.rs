//! Drawing `diffuser`: the finished sheet 1:1 with its sizes, holes and bars to check the printer; and the two
//! drawings for a machine, the net outline and the cutter's path.

use super::bars::bars;
use super::body::net;
use super::openings;
use super::pen::{Pen, mm, path_of};
use super::text::LABEL;
use crate::lamp::diffuser::Diffuser;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::physics::mechanics::chord::flattened;
use crate::physics::mechanics::plate::Plate;
use crate::quantity::{Metres, Quantity};
use crate::schema::words::{Cutter, OutlineKind, Word};
use crate::solve::sheet::Net;

const CENTRE: Point = at(0.0, 0.0);

/// The 1:1 drawing; none without a piece.
pub(super) fn diffuser(bench: &Bench<'_>) -> Option<Drawing> {
    let (given, net) = bench.lamp.diffuser.as_ref().zip(net(bench))?;
    let mut pen = Pen::default();
    pen.paths(Role::Cut, edges(&net.plate));
    let engraved = marks(bench);
    if !engraved.is_empty() {
        pen.paths(Role::Engrave, engraved);
    }
    let least = net.plate.outer.extents().least;
    pen.centre(CENTRE, 4.0);
    sizes(&mut pen, given, net);
    let letters = openings::lettered(&mut pen, given, net);
    corners(&mut pen, given);
    notes(&mut pen, bench, given, net, letters);
    bars(&mut pen, mm(least.x), mm(least.y));
    let title = format!("{}, diffuser, net outline", bench.lamp.name);
    let description = format!(
        "Outline of the finished sheet in true size, {} by {}, with {} holes, its dimensions and two bars of 100 mm.",
        net.width.show(),
        net.height.show(),
        net.plate.holes.len()
    );
    Some(pen.finish("diffuser", title, description, Scale::Full))
}

/// Drawings for a machine: the finished edge, and the path of the cutter's middle. Neither where the edges are unsound,
/// nor where sheet and cutter must not meet or one of them is not known.
pub(super) fn machine(bench: &Bench<'_>) -> Vec<Drawing> {
    let sound = bench.solution.sheet.as_ref().and_then(|sheet| sheet.as_ref().ok()?.path());
    let Some((net, tool)) = sound else { return Vec::new() };
    if forbidden(bench) || bench.cut_unknown().is_some() {
        return Vec::new();
    }
    let engraved = marks(bench);
    let one = |name: &str, what: &str, plate: &Plate| {
        let mut pen = Pen::default();
        if !engraved.is_empty() {
            pen.paths(Role::Engrave, engraved.clone());
        }
        pen.paths(Role::Cut, edges(plate));
        let title = format!("{}, diffuser, {what}", bench.lamp.name);
        let description = format!("{what}, in true size, for a machine; nothing but lines to cut and to engrave.");
        pen.finish(name, title, description, Scale::Full)
    };
    let net = one("diffuser", "net outline, the finished edge", &net.plate);
    // A glazier cuts to the finished edge by his own means.
    if bench.lamp.diffuser.as_ref().and_then(|d| d.cut.method.value) == Some(Cutter::Glazier) {
        return vec![net];
    }
    vec![net, one("diffuser-cut", "path of the cutter's middle, kerf applied", &tool.path)]
}

/// Whether this sheet must not meet this cutter.
fn forbidden(bench: &Bench<'_>) -> bool {
    let given = bench.lamp.diffuser.as_ref();
    let both = given.and_then(|d| d.material.value.zip(d.cut.method.value));
    both.is_some_and(|(material, method)| crate::solve::sheet::hazard(material, method).is_some())
}

/// Strokes to engrave.
fn marks(bench: &Bench<'_>) -> Vec<Path> {
    let solved = bench.solution.sheet.as_ref().and_then(|sheet| sheet.as_ref().ok());
    let found = solved.map_or(&[][..], |sheet| &sheet.marks).iter().filter_map(|mark| mark.as_ref().ok());
    let line = |run: &Vec<crate::physics::mechanics::curve::Point>| {
        Path::line(&run.iter().map(|p| at(mm(p.x), mm(p.y))).collect::<Vec<_>>())
    };
    found.flat_map(|mark| mark.runs.iter().map(line)).collect()
}

/// Holes first and the outer edge last, as they are to be cut: a machine takes the paths in their order.
fn edges(plate: &Plate) -> Vec<Path> {
    plate.holes.iter().chain(std::iter::once(&plate.outer)).map(|edge| path_of(edge, 1.0, CENTRE)).collect()
}

/// Finest chord that stands for an arc where only its far point is sought.
const CHORD: Metres = Metres::si(1e-5);

fn sizes(pen: &mut Pen, given: &Diffuser, net: &Net) {
    let extents = net.plate.outer.extents();
    let (right, bottom) = (mm(extents.most.x), mm(extents.least.y));
    let round = matches!(given.outline.value, Some(OutlineKind::Disc | OutlineKind::Ring));
    if let Some(size) = net.diameter.filter(|_| round) {
        // A notch may take the crown away; the dimension stands at the circle it was cut from.
        let half = mm(size) / 2.0;
        pen.across(at(-half, 0.0), at(half, 0.0), bottom - 6.0, &format!("Ø {}", size.show()));
        return;
    }
    let points: Vec<Point> = flattened(&net.plate.outer, CHORD).iter().map(|p| at(mm(p.x), mm(p.y))).collect();
    let low = |p: &Point| -p.y;
    let (from, to) = (farthest(&points, |p| -p.x, low), farthest(&points, |p| p.x, low));
    pen.across(from, to, bottom - 6.0, &net.width.show());
    let beside = |p: &Point| p.x;
    let (from, to) = (farthest(&points, |p| -p.y, beside), farthest(&points, |p| p.y, beside));
    pen.upright(from, to, right + 7.0, &net.height.show());
}

/// Numbers of a path's corners, as the table has them, beside each corner away from the middle.
fn corners(pen: &mut Pen, given: &Diffuser) {
    if given.outline.value != Some(OutlineKind::Path) {
        return;
    }
    for (k, corner) in given.points.value.as_deref().unwrap_or_default().iter().enumerate() {
        let [x, y, ..] = corner.as_slice() else { continue };
        let (x, y) = (mm(*x), mm(*y));
        let away = if x == 0.0 && y == 0.0 { -2.356 } else { libm::atan2(y, x) };
        let text = (k + 1).to_string();
        let half = super::text::width(&text, LABEL, true) / 2.0;
        let place = at(x + 3.0 * libm::cos(away) - half, y + 3.0 * libm::sin(away) - LABEL / 2.0);
        openings::free(pen, place, &text);
    }
}

/// The point farthest one way; of several, the one farthest the other way.
fn farthest(points: &[Point], way: impl Fn(&Point) -> f64, then: impl Fn(&Point) -> f64) -> Point {
    let most = points.iter().map(&way).fold(f64::NEG_INFINITY, f64::max);
    let there = points.iter().filter(|p| way(p) > most - 1e-2);
    there.copied().reduce(|a, b| if then(&b) > then(&a) { b } else { a }).unwrap_or(CENTRE)
}

fn notes(pen: &mut Pen, bench: &Bench<'_>, given: &Diffuser, net: &Net, letters: Vec<String>) {
    let revision = bench.identity.revision.as_deref().unwrap_or("none: draft");
    let material = given.material.value.map_or("material not known", Word::word);
    let thickness = given.thickness.nominal().map_or_else(|_| "unknown thickness".into(), |t| t.show());
    let pieces = bench.known("cut.pieces").map_or("pieces not known".to_owned(), |pieces| format!("{pieces} off"));
    let mut lines = vec![
        format!("{}, diffuser, revision {revision}", bench.lamp.name),
        format!("{material}, {thickness}, {pieces}"),
        "net outline: finished edge".to_owned(),
    ];
    if !net.faults.is_empty() {
        lines.push("Do not cut: its edges do not make one piece, see the cover".to_owned());
    }
    lines.extend(letters);
    let room = pen.extents();
    for (k, line) in lines.iter().enumerate() {
        let y = room.least.y - 5.0 - 4.2 * k as f64;
        pen.words(at(mm(net.plate.outer.extents().least.x), y), LABEL, Anchor::Start, 0.0, line, k == 0);
    }
}
