//! Drawings `ladder`, temperatures of each part with margin and limit, and `warm-up`, the predicted curve of the soak.

use super::pen::Pen;
use super::points::title;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Point, Role, Scale, at};
use crate::quantity::{Quantity, Temperature};
use crate::solve::heat::{Ladder, Soak};

/// Length of the axis and height of a row, mm.
const AXIS: f64 = 110.0;
const ROW: f64 = 8.0;
/// Size of the curve's field, mm.
const FIELD: (f64, f64) = (150.0, 42.0);

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
    let title = "All on and uncapped, warmest room".to_owned();
    let description = "Bars from the temperature of the room: black as calculated, grey with margin, stroke the limit.";
    Some(pen.finish("ladder", title, description.to_owned(), Scale::Reduced))
}

fn rungs(bench: &Bench<'_>, ladder: &Ladder) -> Vec<Rung> {
    let judged = &ladder.judged;
    let state = ladder.states.last();
    let supply = state.and_then(|s| s.supply).zip(judged.supply);
    let mut rows = vec![("wall".to_owned(), "wall", ladder.wall, judged.wall)];
    let front = state.and_then(|s| s.front).zip(judged.front);
    rows.extend(front.map(|(t, hat)| ("front".to_owned(), "front", t, hat)));
    rows.push(("inside".to_owned(), "air inside", ladder.inside, judged.inside));
    rows.extend(supply.map(|(t, hat)| ("supply".to_owned(), title(bench, "supply"), t, hat)));
    rows.push(("sink".to_owned(), "sink", ladder.sink, judged.sink));
    let mut all: Vec<Rung> =
        rows.into_iter().map(|(p, what, t, hat)| rung(bench, ladder, &p, what.into(), t, hat)).collect();
    for ((name, t), (_, hat)) in ladder.junctions.iter().zip(&judged.junctions) {
        if let (Ok(t), Ok(hat)) = (t, hat) {
            all.push(rung(bench, ladder, &format!("junction.{name}"), format!("junction {name}"), *t, *hat));
        }
    }
    all
}

fn rung(
    bench: &Bench<'_>,
    ladder: &Ladder,
    path: &str,
    what: String,
    calculated: Temperature,
    judged: Temperature,
) -> Rung {
    let path = format!("heat.judged.{path}");
    let margins = bench.report.margins();
    let held = margins.iter().find(|(_, _, m)| m.path.as_deref() == Some(path.as_str()));
    // The margin is a share of the limit's own rise, so the limit's place follows from it.
    let place = |margin: f64| ladder.room.celsius() + (judged - ladder.room).value() / (1.0 - margin).max(0.01);
    Rung { what, calculated, judged, limit: held.map(|(_, _, m)| (place(m.margin), m.limit.clone())) }
}

/// The curve of the soak.
pub(super) fn warm_up(bench: &Bench<'_>) -> Option<Drawing> {
    let ladder = bench.solution.heat.as_ref().ok()?;
    let soak = ladder.soak.as_ref().ok()?;
    let room = ladder.room.celsius();
    let top = soak.rows.iter().flatten().map(|t| t.celsius()).fold(room + 5.0, f64::max);
    let top = room + libm::ceil((top - room) / 10.0) * 10.0;
    let mut pen = Pen::default();
    grid(&mut pen, soak, room, top);
    let place = |n: usize, t: Temperature| -> Point {
        let time = soak.times.get(n).map_or(0.0, |time| *time / soak.needed);
        at(FIELD.0 * time, FIELD.1 * (t.celsius() - room) / (top - room))
    };
    let mut ends: Vec<(f64, &str)> = Vec::new();
    for (k, point) in soak.points.iter().enumerate() {
        let run: Vec<Point> =
            soak.rows.iter().enumerate().filter_map(|(n, row)| Some(place(n, *row.get(k)?))).collect();
        ends.extend(run.last().map(|p| (p.y, title(bench, point))));
        pen.line(Role::Wire, &run);
    }
    // Names stand at the end of their curves, pushed apart where curves meet.
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut floor = f64::NEG_INFINITY;
    for (y, name) in ends {
        let y = (y - 1.0).max(floor);
        floor = y + 3.6;
        pen.text(at(FIELD.0 + 2.0, y), Anchor::Start, name);
    }
    let description = "Temperature of each point over the hours of the soak, in the warmest room.".to_owned();
    Some(pen.finish("warm-up", "Predicted warm-up".to_owned(), description, Scale::Reduced))
}

fn grid(pen: &mut Pen, soak: &Soak, room: f64, top: f64) {
    pen.rectangle(Role::Outline, at(0.0, 0.0), FIELD.0, FIELD.1);
    let steps = ((top - room) / 10.0) as usize;
    for k in 0..=steps {
        let y = FIELD.1 * k as f64 / steps.max(1) as f64;
        if k > 0 && k < steps {
            pen.line(Role::Dimension, &[at(0.0, y), at(FIELD.0, y)]);
        }
        let t = Temperature::from_celsius(room + 10.0 * k as f64);
        pen.text(at(-1.5, y - 1.0), Anchor::End, t.show());
    }
    for k in 0..=4 {
        let share = f64::from(k) / 4.0;
        if k > 0 && k < 4 {
            pen.line(Role::Dimension, &[at(FIELD.0 * share, 0.0), at(FIELD.0 * share, FIELD.1)]);
        }
        pen.text(at(FIELD.0 * share, -4.5), Anchor::Middle, (soak.needed * share).show());
    }
}
