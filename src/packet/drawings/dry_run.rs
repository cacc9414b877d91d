//! Drawing `dry-run`: what the router will do, from above and to scale, to be held against the machine before it cuts.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use super::body::reduction;
use super::openings::free;
use super::pen::{Pen, mm, path_of};
use super::text::{self, LABEL};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, Vertex, at};
use crate::packet::tool_path::{bridges, name, routed};
use crate::physics::mechanics::curve::{self, Segment};
use crate::physics::mechanics::router::{EdgeRun, Move};
use crate::quantity::Metres;

/// Largest size as drawn, mm.
const ROOM: (f64, f64) = (150.0, 120.0);
/// What a small piece is drawn larger by, as the denominator of a reduction.
const LARGER: f64 = 0.5;

/// The drawing; none without a tool path.
pub(super) fn dry_run(bench: &Bench<'_>) -> Option<Drawing> {
    let (net, made) = routed(bench)?;
    let (w, h) = (mm(net.width), mm(net.height));
    let small = w / LARGER <= ROOM.0 && h / LARGER <= ROOM.1;
    let by = if small { LARGER } else { reduction((w, h), ROOM) };
    let mut pen = Pen::default();
    let edges = std::iter::once(&net.plate.outer).chain(&net.plate.holes);
    pen.paths(Role::Solid, edges.map(|edge| path_of(edge, 1.0 / by, at(0.0, 0.0))).collect());
    travel(&mut pen, &made.runs, by);
    if let Some(engraving) = &made.engraving {
        let strokes = engraving.marks.iter().flat_map(|(_, runs)| runs);
        let stroke = |run: &Vec<curve::Point>| Path::line(&run.iter().map(|p| scaled(*p, by)).collect::<Vec<_>>());
        pen.paths(Role::Dimension, strokes.map(stroke).collect());
    }
    let mut legend = Vec::new();
    for (k, run) in made.runs.iter().enumerate() {
        draw(&mut pen, run, by);
        let number = (k + 1).to_string();
        let bridges = bridges(run).map_or_else(String::new, |bridges| format!(", {bridges}"));
        legend.push(format!("{number}  {}{bridges}", name(net, run)));
    }
    // Numbers come last, so that they find room between all the ways.
    for (k, run) in made.runs.iter().enumerate() {
        number_at(&mut pen, run, by, &(k + 1).to_string());
    }
    zero(&mut pen, scaled(made.zero, by));
    write_legend(&mut pen, &legend);
    if made.engraving.is_some() {
        let low = pen.extents().least;
        let words = "Letters and crosses: the marks, engraved before by a program of their own";
        pen.text(at(low.x, low.y - 4.0), Anchor::Start, words);
    }
    let ratio = if by < 1.0 { format!("{} : 1", 1.0 / by) } else { format!("1 : {by}") };
    let title = format!("Dry run, {ratio}");
    let description = format!(
        "The way of the cutter's middle from above at {ratio}: {} edges in the order they are cut, with leads, bridges \
         and the ways in the air, and the zero of the program.",
        made.runs.len()
    );
    Some(pen.finish("dry-run", title, description, Scale::Reduced))
}

/// The lines below the picture, in as many columns as its room takes.
fn write_legend(pen: &mut Pen, lines: &[String]) {
    /// From one line to the next, and between two columns, mm.
    const STEP: (f64, f64) = (4.2, 6.0);
    let low = pen.extents().least;
    let wide = lines.iter().map(|line| text::width(line, LABEL, false)).fold(0.0, f64::max) + STEP.1;
    let columns = (libm::floor((ROOM.0 + STEP.1) / wide) as usize).clamp(1, lines.len().max(1));
    let rows = lines.len().div_ceil(columns);
    for (k, line) in lines.iter().enumerate() {
        let (column, row) = (k / rows, k % rows);
        let place = at(low.x + wide * column as f64, low.y - 5.0 - STEP.0 * row as f64);
        pen.text(place, Anchor::Start, line);
    }
}

/// Ways in the air from each edge to the next, dashed.
fn travel(pen: &mut Pen, runs: &[EdgeRun], by: f64) {
    let begin = |run: &EdgeRun| run.steps.first().map(|step| scaled(step.way.point_at(0.0), by));
    let end = |run: &EdgeRun| run.steps.last().map(|step| scaled(step.way.point_at(1.0), by));
    for (one, next) in runs.iter().zip(runs.iter().skip(1)) {
        if let (Some(from), Some(to)) = (end(one), begin(next)) {
            pen.line(Role::Hidden, &[from, to]);
        }
    }
}

/// The deepest pass: its cut, its leads, its bridges thick, an arrow for its direction.
fn draw(pen: &mut Pen, run: &EdgeRun, by: f64) {
    let first = run.steps.iter().rposition(|step| step.what == Move::Travel && step.rise == Metres::ZERO);
    let pass = run.steps.get(first.unwrap_or(0)..).unwrap_or_default();
    for step in pass {
        let role = match step.what {
            Move::Cut | Move::Lead => Role::Dimension,
            Move::Bridge => Role::Wire,
            Move::Travel | Move::Plunge => continue,
        };
        pen.path(role, path(&step.way, by));
    }
    // A quarter of the way round, where no lead is in the way.
    let cuts: Vec<&Segment> = pass.iter().filter(|s| s.what == Move::Cut).map(|s| &s.way).collect();
    let length: Metres = cuts.iter().map(|way| way.length()).sum();
    let mut left = length / 4.0;
    for way in cuts {
        if way.length() >= left && left > Metres::ZERO {
            let share = left / way.length();
            let (tip, before) = (way.point_at(share), way.point_at((share - 1e-3).max(0.0)));
            let heading = libm::atan2((tip.y - before.y).value(), (tip.x - before.x).value());
            if length.value() * 1e3 / by > 12.0 {
                pen.arrow(scaled(tip, by), heading);
            }
            return;
        }
        left = left - way.length();
    }
}

/// The number beside where the cutter goes down, in the waste, where no text lies yet.
fn number_at(pen: &mut Pen, run: &EdgeRun, by: f64, number: &str) {
    let Some(step) = run.steps.first() else { return };
    let down = scaled(step.way.point_at(0.0), by);
    pen.path(Role::Ink, Path::circle(down, 0.5));
    let width = text::width(number, LABEL, true);
    // Outside the piece the number stands away from it.
    let away = if run.hole.is_some() { FRAC_PI_4 } else { libm::atan2(down.y, down.x) };
    let places = (0..40).map(|k| {
        let (turn, reach) = (f64::from(k) * FRAC_PI_4 + away, 2.4 + f64::from(k / 8));
        at(down.x + reach * libm::cos(turn) - width / 2.0, down.y + reach * libm::sin(turn) - LABEL / 2.0)
    });
    let room = |p: &Point| text::Room { least: at(p.x, p.y - 0.3), most: at(p.x + width, p.y + LABEL) }.grown(0.3);
    if let Some(found) = pen.free_place(places, room) {
        pen.words(found, LABEL, Anchor::Start, 0.0, number, true);
    }
}

/// Where the program's zero lies, with its axes.
fn zero(pen: &mut Pen, place: Point) {
    const AXIS: f64 = 12.0;
    pen.path(Role::Outline, Path::circle(place, 1.2));
    pen.line(Role::Outline, &[place, at(place.x + AXIS, place.y)]);
    pen.line(Role::Outline, &[place, at(place.x, place.y + AXIS)]);
    pen.arrow(at(place.x + AXIS, place.y), 0.0);
    pen.arrow(at(place.x, place.y + AXIS), FRAC_PI_2);
    pen.text(at(place.x + AXIS + 1.0, place.y - 3.6), Anchor::Start, "X");
    pen.text(at(place.x - 3.2, place.y + AXIS), Anchor::Start, "Y");
    let wide = text::width("X0 Y0", LABEL, true);
    free(pen, at(place.x - 2.0 - wide, place.y - 3.6), "X0 Y0");
}

fn path(way: &Segment, by: f64) -> Path {
    let vertex = |point, bulge| Vertex { point, bulge };
    let bulge = if way.is_straight() { 0.0 } else { libm::tan(way.sweep() / 4.0) };
    let ends = [vertex(scaled(way.point_at(0.0), by), bulge), vertex(scaled(way.point_at(1.0), by), 0.0)];
    Path { vertices: ends.to_vec(), closed: false }
}

fn scaled(point: curve::Point, by: f64) -> Point {
    at(mm(point.x) / by, mm(point.y) / by)
}
