//! Drawing `evenness`: the lit sheet as a halftone, all channels on and each alone; the darker the place, the more ink.
//! Steps of light are separated by contour lines, so that a photocopy still shows them.

use super::pen::{Pen, mm};
use super::text::{LABEL, Room, width};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::physics::mechanics::curve;
use crate::quantity::{Metres, Quantity};
use crate::solve::light::even::{Evenness, Lit};
use crate::solve::light::visible::{Shape, Visible};

/// Greatest width and height of a map, mm; of each where there are more than four.
const FRAME: (f64, f64) = (78.0, 52.0);
const SMALL: (f64, f64) = (50.0, 40.0);
/// Dots of the halftone along the longer side, the fewest along the shorter, and their least distance on paper, mm.
const DOTS: (f64, f64, f64) = (40.0, 7.0, 0.8);
/// Shares of the brightest place at which a contour runs.
const CONTOURS: [f64; 3] = [0.9, 0.7, 0.5];

/// The maps; none where the places of the dice are not known.
pub(super) fn evenness(bench: &Bench<'_>) -> Option<Drawing> {
    let even = bench.solution.look.even.as_ref().ok()?;
    let mut pen = Pen::default();
    let mut maps: Vec<&Lit> = vec![&even.all];
    if even.channels.len() > 1 {
        maps.extend(&even.channels);
    }
    let (frame, columns) = if maps.len() > 4 { (SMALL, 3) } else { (FRAME, 2) };
    let (scale, strip) = scale(&even.visible, frame, columns);
    let columns = if strip { 1 } else { columns };
    let height = mm(even.visible.height) * scale;
    for (i, lit) in maps.into_iter().enumerate() {
        let (column, row) = (i % columns, i / columns);
        let middle = at(column as f64 * (frame.0 + 6.0), -(row as f64) * (height + 14.0));
        map(&mut pen, bench, even, lit, middle, scale);
    }
    let (wide, high) = (even.visible.width.show(), even.visible.height.show());
    let title =
        format!("How even the sheet is lit; more ink is less light. Seen from outside, {wide} wide, {high} high");
    let description = format!(
        "Maps of the lit sheet, {wide} wide and {high} high, seen from outside: all channels on and each alone; more ink is \
         less light."
    );
    Some(pen.finish("evenness", title, description, Scale::Reduced))
}

/// Paper millimetres by real ones, and whether it is a long strip, which takes the whole width.
fn scale(visible: &Visible, frame: (f64, f64), columns: usize) -> (f64, bool) {
    let (w, h) = (mm(visible.width), mm(visible.height));
    let strip = w > 4.0 * h;
    let width = if strip { columns as f64 * frame.0 } else { frame.0 };
    ((width / w).min(frame.1 / h), strip)
}

fn map(pen: &mut Pen, bench: &Bench<'_>, even: &Evenness, lit: &Lit, middle: Point, scale: f64) {
    let v = &even.visible;
    let (w, h) = (mm(v.width) * scale, mm(v.height) * scale);
    let paper = |x: Metres, y: Metres| at(middle.x + mm(x - v.middle.x) * scale, middle.y + mm(y - v.middle.y) * scale);
    let (across, up) = halftone(w, h);
    // A strip has cells that are not quite square: the dot takes its share of the smaller side.
    let pitch = (w / across as f64).min(h / up as f64);
    let mut dots = Vec::new();
    for r in 0..up {
        for c in 0..across {
            let (x, y) = ((c as f64 + 0.5) / across as f64, (r as f64 + 0.5) / up as f64);
            let real = (v.middle.x + v.width * (x - 0.5), v.middle.y + v.height * (y - 0.5));
            if !v.holds(real.0, real.1) {
                continue;
            }
            let light = value(lit, x, y) / lit.measures.most.value();
            let side = pitch * libm::sqrt((1.0 - light).clamp(0.0, 1.0));
            if side > 0.12 * pitch {
                let corner = paper(real.0, real.1);
                dots.push(Path::rectangle(at(corner.x - side / 2.0, corner.y - side / 2.0), side, side));
            }
        }
    }
    pen.paths(Role::Ink, dots);
    let mut labels: Vec<(Room, String)> = Vec::new();
    for share in CONTOURS {
        let runs = contour(lit, v, share * lit.measures.most.value());
        let ends: Vec<(Point, Point)> = runs.into_iter().map(|(a, b)| (paper(a.0, a.1), paper(b.0, b.1))).collect();
        if ends.is_empty() {
            continue;
        }
        pen.paths(Role::Dimension, ends.iter().map(|(a, b)| Path::line(&[*a, *b])).collect());
        let real = |p: Point| {
            (
                v.middle.x + Metres::si((p.x - middle.x) / scale * 1e-3),
                v.middle.y + Metres::si((p.y - middle.y) / scale * 1e-3),
            )
        };
        let fits = |room: &Room| {
            let corners = [room.least, room.most, at(room.least.x, room.most.y), at(room.most.x, room.least.y)];
            corners.into_iter().map(real).all(|(x, y)| v.holds(x, y))
                && !labels.iter().any(|(other, _)| other.overlaps(room))
        };
        if let Some(room) = place_for(&ends, &figure(share), fits) {
            labels.push((room, figure(share)));
        }
    }
    // Over all lines, so that none runs through a figure.
    for (room, text) in labels {
        pen.path(Role::Blank, Path::rectangle(room.least, room.most.x - room.least.x, room.most.y - room.least.y));
        pen.text(at((room.least.x + room.most.x) / 2.0, room.least.y + 0.5), Anchor::Middle, text);
    }
    edge(pen, v, middle, (w, h), scale);
    let who = if lit.name == "all" { "all channels".to_owned() } else { lit.name.clone() };
    let least = bench.said(&format!("light.even.{}.least-by-most", lit.name));
    let words = format!("{who}: darkest {least} of brightest");
    pen.text(at(middle.x, middle.y - h / 2.0 - 5.0), Anchor::Middle, words);
}

/// Dots across and up for a map of this size on paper.
fn halftone(w: f64, h: f64) -> (usize, usize) {
    let pitch = (w.max(h) / DOTS.0).min(w.min(h) / DOTS.1).max(DOTS.2);
    let count = |side: f64| libm::round(side / pitch).max(1.0) as usize;
    (count(w), count(h))
}

/// A contour's figure in per cent.
fn figure(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}

/// Room for a figure on a line: as high up as it fits, to the right of what is equally high.
fn place_for(ends: &[(Point, Point)], text: &str, fits: impl Fn(&Room) -> bool) -> Option<Room> {
    let (wide, high) = (width(text, LABEL, false) / 2.0 + 0.4, LABEL / 2.0 + 0.5);
    let around = |(a, b): &(Point, Point)| {
        let (x, y) = ((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
        Room { least: at(x - wide, y - high), most: at(x + wide, y + high) }
    };
    let mut rooms: Vec<Room> = ends.iter().map(around).collect();
    rooms.sort_by(|a, b| b.least.y.total_cmp(&a.least.y).then(b.least.x.total_cmp(&a.least.x)));
    rooms.into_iter().find(fits)
}

/// The edge of the sheet.
fn edge(pen: &mut Pen, visible: &Visible, middle: Point, (w, h): (f64, f64), scale: f64) {
    match visible.shape() {
        Shape::Disc(inner) => {
            pen.path(Role::Outline, Path::circle(middle, w / 2.0));
            if *inner > Metres::ZERO {
                pen.path(Role::Outline, Path::circle(middle, inner.value() * 500.0 * scale));
            }
        }
        Shape::Rectangle(_) => {
            pen.path(Role::Outline, Path::rectangle(at(middle.x - w / 2.0, middle.y - h / 2.0), w, h))
        }
        Shape::Free(runs) => {
            for run in runs {
                let place = |p: &curve::Point| {
                    let (x, y) = (mm(p.x - visible.middle.x), mm(p.y - visible.middle.y));
                    at(middle.x + x * scale, middle.y + y * scale)
                };
                pen.path(Role::Outline, Path::polygon(&run.iter().map(place).collect::<Vec<_>>()));
            }
        }
    }
}

/// Light at a place from 0 to 1 across and up.
fn value(lit: &Lit, x: f64, y: f64) -> f64 {
    let grid = &lit.map.grid;
    let cell = |t: f64, n: usize| ((t * n as f64) as usize).min(n.saturating_sub(1));
    lit.map.at(cell(x, grid.columns), cell(y, grid.rows)).value()
}

type Place = (Metres, Metres);

/// Pieces of the line where the light passes a level, cell by cell (marching squares).
fn contour(lit: &Lit, visible: &Visible, level: f64) -> Vec<(Place, Place)> {
    let grid = &lit.map.grid;
    let stride = (grid.columns.max(grid.rows) / 80).max(1);
    let mut runs = Vec::new();
    let rows: Vec<usize> = (0..grid.rows).step_by(stride).collect();
    let columns: Vec<usize> = (0..grid.columns).step_by(stride).collect();
    for r in rows.windows(2) {
        for c in columns.windows(2) {
            let (&[c0, c1], &[r0, r1]) = (c, r) else { continue };
            let corners = [(c0, r0), (c1, r0), (c1, r1), (c0, r1)];
            let seen = corners.iter().all(|&(c, r)| visible.holds(grid.x(c), grid.y(r)));
            if seen {
                runs.extend(crossing(lit, corners, level));
            }
        }
    }
    runs
}

/// Where the level enters and leaves a cell.
fn crossing(lit: &Lit, corners: [(usize, usize); 4], level: f64) -> Option<(Place, Place)> {
    let grid = &lit.map.grid;
    let next = corners.iter().cycle().skip(1);
    let cut = corners.iter().zip(next).filter_map(|(&(c, r), &(d, s))| {
        let (a, b) = (lit.map.at(c, r).value() - level, lit.map.at(d, s).value() - level);
        let t = a / (a - b);
        (a * b < 0.0).then(|| {
            let between = |from: Metres, to: Metres| from + (to - from) * t;
            (between(grid.x(c), grid.x(d)), between(grid.y(r), grid.y(s)))
        })
    });
    let mut cut = cut.take(2);
    Some((cut.next()?, cut.next()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strip_has_rows_enough_to_show_grey() {
        assert_eq!(halftone(78.0, 52.0), (40, 27));
        let (across, up) = halftone(156.0, 6.3);
        assert!(up >= 7 && across >= 100, "{across} x {up}");
    }
}
