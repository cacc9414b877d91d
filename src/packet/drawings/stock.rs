//! Drawing `stock`: the batch on one sheet of stock, to scale; pieces of this batch solid, free places dashed.

use super::body::reduction;
use super::pen::{Pen, extent, mm, path_of};
use super::text::{LABEL, Room, width};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, Shape, at};
use crate::physics::mechanics::outline::Outline;
use crate::quantity::{Metres, Quantity};
use crate::solve::sheet::{Nest, Net};

/// Largest size of the sheet as drawn, mm.
const ROOM: (f64, f64) = (140.0, 110.0);

/// The layout; none without stock or where no piece fits.
pub(super) fn stock(bench: &Bench<'_>) -> Option<Drawing> {
    let solved = bench.solution.sheet.as_ref()?.as_ref().ok()?;
    let net = solved.net.as_ref().ok().filter(|net| net.faults.is_empty())?;
    let nest = solved.nest.as_ref()?.as_ref().ok()?;
    if nest.layout.places.is_empty() {
        return None;
    }
    let (w, h) = (mm(nest.stock.width), mm(nest.stock.height));
    let by = reduction((w, h), ROOM);
    let (w, h) = (w / by, h / by);
    let mut pen = Pen::default();
    pen.rectangle(Role::Outline, at(0.0, 0.0), w, h);
    let m = mm(nest.stock.margin) / by;
    if m > 0.6 {
        pen.rectangle(Role::Hidden, at(m, m), w - 2.0 * m, h - 2.0 * m);
    }
    pieces(&mut pen, net, nest, by);
    pen.across(at(0.0, 0.0), at(w, 0.0), -6.0, &size(nest.stock.width));
    pen.upright(at(w, 0.0), at(w, h), w + 6.0, &size(nest.stock.height));
    let here = nest.layout.places.len().min(nest.pieces as usize);
    let title = format!("Sheet of stock, 1 : {by}");
    let description = format!(
        "One sheet of {} by {} at 1 to {by} with {} places in {}; {here} of them are pieces of this batch.",
        nest.stock.width.show(),
        nest.stock.height.show(),
        nest.layout.places.len(),
        nest.layout.rows.words()
    );
    Some(pen.finish("stock", title, description, Scale::Reduced))
}

fn pieces(pen: &mut Pen, net: &Net, nest: &Nest, by: f64) {
    let bounds = net.plate.outer.extents();
    let middle = at(mm(bounds.least.x + bounds.most.x) / 2.0, mm(bounds.least.y + bounds.most.y) / 2.0);
    for (number, place) in nest.layout.places.iter().enumerate() {
        let wanted = number < nest.pieces as usize;
        let turn = if place.turned { std::f64::consts::FRAC_PI_2 } else { 0.0 };
        // Turned about the origin, the middle of the box goes with it; a disc turns about its own centre.
        let off = match (nest.round, place.turned) {
            (true, _) => at(0.0, 0.0),
            (false, false) => middle,
            (false, true) => at(-middle.y, middle.x),
        };
        let centre = at(mm(place.centre.x) / by, mm(place.centre.y) / by);
        let origin = at(centre.x - off.x / by, centre.y - off.y / by);
        // A dashed hole of a millimetre or two on paper is a stray hook.
        let seen = |hole: &&Outline| wanted || mm(hole.extents().width().min(hole.extents().height())) / by >= 6.0;
        let edges = std::iter::once(&net.plate.outer).chain(net.plate.holes.iter().filter(seen));
        let paths: Vec<Path> = edges.map(|edge| path_of(&edge.turned(turn), 1.0 / by, origin)).collect();
        // Boxes of the holes: what is cut out bears no number.
        let holes = net.plate.holes.iter().map(|edge| path_of(&edge.turned(turn), 1.0 / by, origin));
        let inside: Vec<Room> =
            holes.filter_map(|path| extent(&Shape::Paths { role: Role::Cut, paths: vec![path] })).collect();
        pen.paths(if wanted { Role::Outline } else { Role::Hidden }, paths);
        let text = (number + 1).to_string();
        let room = mm(bounds.width().min(bounds.height())) / by;
        if wanted && width(&text, LABEL, false) + 1.0 < room && LABEL + 1.0 < room {
            // In the middle, or beside what is cut out there.
            let (half, step) = (width(&text, LABEL, false) / 2.0, mm(bounds.width().min(bounds.height())) / by / 8.0);
            let places = (0..=3).flat_map(|ring| {
                let reach = step * f64::from(ring);
                [(0.0, reach), (reach, 0.0), (0.0, -reach), (-reach, 0.0)].map(|(x, y)| at(centre.x + x, centre.y + y))
            });
            let room =
                |p: &Point| Room { least: at(p.x - half, p.y - LABEL / 2.0), most: at(p.x + half, p.y + LABEL / 2.0) };
            let in_hole = |p: &Point| inside.iter().any(|hole| hole.overlaps(&room(p)));
            let found = places.into_iter().find(|p| !pen.crossed(&room(p).grown(0.3)) && !in_hole(p)).unwrap_or(centre);
            pen.text(at(found.x, found.y - LABEL / 2.0), Anchor::Middle, text);
        }
    }
}

/// A size of the sheet in millimetres, however long it is: as on the tape it is measured with.
fn size(length: Metres) -> String {
    format!("{} mm", crate::figures::trimmed(mm(length), 2))
}
