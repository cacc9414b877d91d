//! Drawings `ladder`, temperatures of each part with margin and limit, and `warm-up`, the predicted curve of the soak.

use super::pen::Pen;
use super::points::title;
use super::text::{LABEL, width};
use crate::figures::trimmed;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Point, Role, Scale, at};
use crate::quantity::{Quantity, Temperature};
use crate::solve::heat::{Curve, Ladder, Soak};

/// Length of the axis and height of a row, mm.
const AXIS: f64 = 110.0;
const ROW: f64 = 8.0;
/// Size of the curve's field, mm.
const FIELD: (f64, f64) = (150.0, 80.0);
/// Distances that marks of an axis of temperature may have, K, and of one of time, s.
const KELVINS: [f64; 6] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
const MINUTES: [f64; 7] = [300.0, 600.0, 900.0, 1200.0, 1800.0, 3600.0, 7200.0];

/// A part on the ladder.
struct Rung {
    what: String,
    calculated: Temperature,
    judged: Temperature,
    limit: Option<(f64, String)>,
}

/// The ladder, all on and uncapped, in the warmest room.
pub(super) fn ladder(bench: &Bench<'_>) -> Option<Drawing> {
    let ladder = bench.solution.heat.as_ref().ok()?;
    let rungs = rungs(bench, ladder);
    let room = ladder.room.celsius();
    let limits = rungs.iter().filter_map(|r| r.limit.as_ref().map(|l| l.0));
    let top = rungs.iter().map(|r| r.judged.celsius()).chain(limits).fold(room + 20.0, f64::max).min(220.0);
    let x = |t: f64| AXIS * ((t - room) / (top - room)).clamp(0.0, 1.0);
    let mut pen = Pen::default();
    for (k, rung) in rungs.iter().enumerate() {
        let y = -ROW * k as f64;
        pen.text(at(-2.0, y + 0.8), Anchor::End, rung.what.clone());
        pen.rectangle(Role::Solid, at(0.0, y), x(rung.judged.celsius()).max(0.3), 3.4);
        pen.rectangle(Role::Ink, at(0.0, y), x(rung.calculated.celsius()).max(0.2), 3.4);
        let mut words = format!("{}, {} with margin", rung.calculated.show(), rung.judged.show());
        if let Some((limit, shown)) = &rung.limit {
            pen.line(Role::Wire, &[at(x(*limit), y - 1.2), at(x(*limit), y + 4.6)]);
            words = format!("{words}; limit {shown}");
        }
        pen.text(at(AXIS + 3.0, y + 0.8), Anchor::Start, words);
    }
    let low = -ROW * rungs.len() as f64 + ROW - 3.0;
    pen.line(Role::Outline, &[at(0.0, 5.5), at(0.0, low)]);
    pen.text(at(0.0, 6.5), Anchor::Middle, format!("room {}", ladder.room.show()));
    axis(&mut pen, (room, top), AXIS, low);
    let words = [(Role::Ink, "as calculated"), (Role::Solid, "with the margin of its place")];
    let mut from = 0.0;
    for (role, word) in words {
        pen.rectangle(role, at(from, low - 10.5), 5.0, 2.6);
        pen.text(at(from + 6.5, low - 10.3), Anchor::Start, word);
        from += 13.0 + width(word, LABEL, false);
    }
    pen.line(Role::Wire, &[at(from + 1.0, low - 11.3), at(from + 1.0, low - 7.1)]);
    pen.text(at(from + 3.0, low - 10.3), Anchor::Start, "limit");
    let title = "All on and uncapped, warmest room".to_owned();
    let description = "Bars from the temperature of the room: black as calculated, grey with margin, stroke the limit.";
    Some(pen.finish("ladder", title, description.to_owned(), Scale::Reduced))
}

/// An axis of temperature along the foot of bars that begin at the room, with round marks, °C.
pub(super) fn axis(pen: &mut Pen, (room, top): (f64, f64), length: f64, low: f64) {
    pen.line(Role::Dimension, &[at(0.0, low), at(length, low)]);
    let step = round_step(top - room, 7.0, &KELVINS);
    let mut mark = libm::ceil(room / step) * step;
    while mark <= top + 1e-9 {
        let x = length * (mark - room) / (top - room);
        pen.line(Role::Dimension, &[at(x, low), at(x, low - 1.2)]);
        pen.text(at(x, low - 4.4), Anchor::Middle, trimmed(mark, 0));
        mark += step;
    }
    pen.text(at(length + 3.0, low - 4.4), Anchor::Start, "°C");
}

/// The least of these steps that divides a span into no more than so many.
fn round_step(span: f64, most: f64, steps: &[f64]) -> f64 {
    let last = steps.last().copied().unwrap_or(span);
    steps.iter().copied().find(|step| span / step <= most).unwrap_or_else(|| last * libm::ceil(span / last / most))
}

fn rungs(bench: &Bench<'_>, ladder: &Ladder) -> Vec<Rung> {
    let judged = &ladder.judged;
    let state = ladder.states.last();
    let supply = state.and_then(|s| s.supply).zip(judged.supply.as_ref().and_then(|hat| hat.as_ref().ok().copied()));
    let mut rows = vec![("wall".to_owned(), "wall", ladder.wall, judged.wall)];
    let front = state.and_then(|s| s.front).zip(judged.front);
    rows.extend(front.map(|(t, hat)| ("front".to_owned(), "front", t, hat)));
    rows.push(("inside".to_owned(), "air inside", ladder.inside, judged.inside));
    rows.extend(supply.map(|(t, hat)| ("supply".to_owned(), title(bench, "supply"), t, hat)));
    rows.push(("sink".to_owned(), "sink", ladder.sink, judged.sink));
    let mut all: Vec<Rung> = rows.into_iter().map(|(p, what, t, hat)| rung(bench, &p, what.into(), t, hat)).collect();
    for ((name, t), (_, hat)) in ladder.junctions.iter().zip(&judged.junctions) {
        if let (Ok(t), Ok(hat)) = (t, hat) {
            all.push(rung(bench, &format!("junction.{name}"), format!("junction {name}"), *t, *hat));
        }
    }
    all
}

fn rung(bench: &Bench<'_>, path: &str, what: String, calculated: Temperature, judged: Temperature) -> Rung {
    let limit = held(bench, path);
    Rung { what, calculated, judged, limit }
}

/// Most that a point of the soak may be, corrected: °C and as printed.
pub(in crate::packet) fn most(bench: &Bench<'_>, point: &str) -> Option<(f64, String)> {
    let held = held(bench, point);
    // A sink that holds no plastic is bounded by its dice, which no thermometer reaches.
    let dice = (point == "sink").then(|| bench.solution.ledger.get("heat.soak.sink-most")).flatten();
    let dice = dice.and_then(|entry| Some((entry.value? - 273.15, entry.shown.clone())));
    [held, dice].into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0))
}

/// The same from the rules that judge it, the lowest of them.
fn held(bench: &Bench<'_>, point: &str) -> Option<(f64, String)> {
    let path = format!("heat.judged.{point}");
    let margins = bench.report.margins();
    let own = margins.iter().filter(|(_, _, m)| m.path.as_deref() == Some(path.as_str()));
    let limits = own.filter_map(|(_, _, m)| Some((m.limit.strip_suffix(" °C")?.parse().ok()?, m.limit.clone())));
    limits.min_by(|a: &(f64, String), b| a.0.total_cmp(&b.0))
}

/// The curve of the soak, with the limits of what is followed.
pub(super) fn warm_up(bench: &Bench<'_>) -> Option<Drawing> {
    let ladder = bench.solution.heat.as_ref().ok()?;
    let soak = ladder.soak.as_ref().ok()?;
    let curve = soak.followed()?;
    let room = ladder.room.celsius();
    let limits = limits(bench, curve);
    let highest = curve.rows.iter().flatten().map(|t| t.celsius()).chain(limits.iter().map(|(t, _)| *t));
    let highest = highest.fold(room + 5.0, f64::max);
    let step = round_step(highest - room, 8.0, &KELVINS);
    let (low, top) = (libm::floor(room / step) * step, libm::ceil(highest / step) * step);
    let mut pen = Pen::default();
    grid(&mut pen, soak, (low, top, step));
    let height = |t: f64| FIELD.1 * (t - low) / (top - low);
    let place = |n: usize, t: Temperature| -> Point {
        let time = curve.times.get(n).map_or(0.0, |time| *time / soak.needed);
        at(FIELD.0 * time, height(t.celsius()))
    };
    let mut ends: Vec<(f64, String)> = Vec::new();
    for (k, point) in curve.points.iter().enumerate() {
        let run: Vec<Point> =
            curve.rows.iter().enumerate().filter_map(|(n, row)| Some(place(n, *row.get(k)?))).collect();
        ends.extend(run.last().map(|p| (p.y, title(bench, point).to_owned())));
        pen.line(Role::Wire, &run);
    }
    for (t, words) in limits {
        pen.line(Role::Hidden, &[at(0.0, height(t)), at(FIELD.0, height(t))]);
        ends.push((height(t), words));
    }
    // Names stand at the end of their lines, pushed apart where lines meet.
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut floor = f64::NEG_INFINITY;
    for (y, name) in ends {
        let text = (y - 1.0).max(floor);
        floor = text + 3.6;
        pen.line(Role::Dimension, &[at(FIELD.0, y), at(FIELD.0 + 3.0, text + 1.0)]);
        pen.text(at(FIELD.0 + 4.0, text), Anchor::Start, name);
    }
    let description = "Temperature of each point over the hours of the soak, in the warmest room, with the limits as \
                       dashed lines."
        .to_owned();
    Some(pen.finish("warm-up", "Predicted warm-up, warmest room".to_owned(), description, Scale::Reduced))
}

/// Limits of the points followed, lowest first; those that are one figure share a line.
fn limits(bench: &Bench<'_>, curve: &Curve) -> Vec<(f64, String)> {
    let mut lines: Vec<(f64, String, Vec<&str>)> = Vec::new();
    for point in &curve.points {
        let Some((t, shown)) = most(bench, point) else { continue };
        match lines.iter_mut().find(|(_, other, _)| *other == shown) {
            Some((_, _, names)) => names.push(title(bench, point)),
            None => lines.push((t, shown, vec![title(bench, point)])),
        }
    }
    lines.sort_by(|a, b| a.0.total_cmp(&b.0));
    lines.into_iter().map(|(t, shown, names)| (t, format!("limit {shown}: {}", names.join(", ")))).collect()
}

fn grid(pen: &mut Pen, soak: &Soak, (low, top, step): (f64, f64, f64)) {
    pen.rectangle(Role::Outline, at(0.0, 0.0), FIELD.0, FIELD.1);
    let mut mark = low;
    while mark <= top + 1e-9 {
        let y = FIELD.1 * (mark - low) / (top - low);
        pen.line(Role::Dimension, &[at(0.0, y), at(FIELD.0, y)]);
        pen.text(at(-1.5, y - 1.0), Anchor::End, format!("{} °C", trimmed(mark, 0)));
        mark += step;
    }
    let every = round_step(soak.needed.value(), 8.0, &MINUTES);
    let hours = every >= 3600.0;
    let mut time = 0.0;
    while time <= soak.needed.value() + 1e-6 {
        let x = FIELD.0 * time / soak.needed.value();
        pen.line(Role::Dimension, &[at(x, 0.0), at(x, FIELD.1)]);
        pen.text(at(x, -4.5), Anchor::Middle, trimmed(time / if hours { 3600.0 } else { 60.0 }, 0));
        time += every;
    }
    pen.text(
        at(FIELD.0, -9.0),
        Anchor::End,
        if hours { "hours from switching on" } else { "minutes from switching on" },
    );
}
