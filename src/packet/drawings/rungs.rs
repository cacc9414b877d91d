//! Drawing `rungs`: every state as one run of rungs from the room up to the hottest junction, so that the long one shows;
//! and `fins`, the sink with its fins to scale, the gap beside the best one, and which way the air goes.

use super::pen::{Pen, mm};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Role, Scale, at};
use crate::physics::thermal::sink::Standing;
use crate::quantity::{Quantity, Temperature};
use crate::solve::heat::{FinsWork, Ladder, State};

/// Length of the axis, height of a bar and distance of two, mm.
const AXIS: f64 = 120.0;
const BAR: f64 = 3.4;
const ROW: f64 = 6.5;
/// Greatest width and height of the sink, mm.
const SINK: (f64, f64) = (110.0, 40.0);

/// The states, warmest room; none where no junction is known.
pub(super) fn rungs(bench: &Bench<'_>) -> Option<Drawing> {
    let ladder = bench.solution.heat.as_ref().ok()?;
    let hottest = ladder.states.iter().filter_map(top).reduce(Temperature::max)?;
    let limit = limit(bench);
    let most = limit.map_or(hottest, |limit| limit.max(hottest));
    let span = (most - ladder.room).value().max(5.0);
    let x = |t: Temperature| AXIS * ((t - ladder.room).value() / span).clamp(0.0, 1.0);
    let mut pen = Pen::default();
    for (k, state) in ladder.states.iter().enumerate() {
        let y = -ROW * k as f64;
        pen.text(at(-2.0, y + 0.6), Anchor::End, title(&state.name));
        let mut low = 0.0;
        for (role, t) in steps(ladder, state) {
            let high = x(t);
            if high > low {
                segment(&mut pen, role, (low, y), high - low, BAR);
                low = high;
            }
        }
        if let Some(t) = top(state) {
            pen.text(at(low + 1.5, y + 0.6), Anchor::Start, t.show());
        }
    }
    let low = -ROW * (ladder.states.len() as f64 - 1.0) - 1.5;
    pen.line(Role::Outline, &[at(0.0, BAR + 1.5), at(0.0, low)]);
    pen.text(at(0.0, BAR + 2.5), Anchor::Middle, format!("room {}", ladder.room.show()));
    if let Some(limit) = limit {
        pen.line(Role::Wire, &[at(x(limit), BAR + 1.5), at(x(limit), low)]);
        pen.text(at(x(limit), BAR + 2.5), Anchor::Middle, format!("dice at most {}", limit.show()));
    }
    super::heat::axis(&mut pen, (ladder.room.celsius(), ladder.room.celsius() + span), AXIS, low);
    key(&mut pen, low - 11.0);
    let title = "Rungs of every state, warmest room, without margin".to_owned();
    let description = "A bar for each state, from the room: what the body adds, the sink, its layer, and the dice.";
    Some(pen.finish("rungs", title, description.to_owned(), Scale::Reduced))
}

/// The parts of a bar with where each ends: body, sink, layer, dice.
fn steps(ladder: &Ladder, state: &State) -> Vec<(Role, Temperature)> {
    // A sink outside gives its heat to the room, so the body is no rung of its way.
    let outside = state.sink < state.inside;
    let body = if outside { ladder.room } else { state.inside };
    let mut steps = vec![(Role::Solid, body), (Role::Ink, state.sink), (Role::Outline, state.board)];
    steps.extend(top(state).map(|t| (Role::HeatDots, t)));
    steps
}

/// A part of a bar; dots have no edge of their own.
fn segment(pen: &mut Pen, role: Role, corner: (f64, f64), width: f64, height: f64) {
    let corner = at(corner.0, corner.1);
    pen.rectangle(role, corner, width, height);
    if role == Role::HeatDots {
        pen.rectangle(Role::Outline, corner, width, height);
    }
}

fn key(pen: &mut Pen, y: f64) {
    let rows = [(Role::Solid, "body"), (Role::Ink, "sink"), (Role::Outline, "layer"), (Role::HeatDots, "hottest dice")];
    let mut x = 0.0;
    for (role, word) in rows {
        segment(pen, role, (x, y), 5.0, 2.6);
        pen.text(at(x + 6.5, y + 0.2), Anchor::Start, word);
        x += 28.0;
    }
}

fn top(state: &State) -> Option<Temperature> {
    state.junctions.iter().filter_map(|(_, t)| t.as_ref().ok()).copied().reduce(Temperature::max)
}

/// Lowest limit of the dice.
fn limit(bench: &Bench<'_>) -> Option<Temperature> {
    let dice = bench.lamp.driver.channels.iter().filter_map(|channel| bench.lamp.die(channel));
    dice.filter_map(|die| die.hottest.nominal().ok()).reduce(Temperature::min)
}

/// A state as it is called on paper.
pub(in crate::packet) fn title(name: &str) -> String {
    match name {
        "all" => "all on, capped".to_owned(),
        "uncapped" => "all on, uncapped".to_owned(),
        channel => format!("{channel} alone"),
    }
}

/// The sink seen along its fins; none where they are not described.
pub(super) fn fins(bench: &Bench<'_>) -> Option<Drawing> {
    let ladder = bench.solution.heat.as_ref().ok()?;
    let work = ladder.fins.as_ref()?;
    let sink = &work.sink;
    let scale = (SINK.0 / mm(sink.width)).min(SINK.1 / mm(sink.height)).min(4.0);
    let size = |length| mm(length) * scale;
    let (width, base, tall) = (size(sink.width), size(sink.base), size(sink.height));
    let mut pen = Pen::default();
    pen.rectangle(Role::Solid, at(0.0, 0.0), width, base);
    let pitch = size(sink.thickness) + size(work.gap);
    for k in 0..sink.count {
        pen.rectangle(Role::Solid, at(pitch * f64::from(k), base), size(sink.thickness), tall - base);
    }
    let first = size(sink.thickness);
    pen.across(at(first, tall), at(first + size(work.gap), tall), tall + 5.0, &format!("gap {}", work.gap.show()));
    pen.across(at(0.0, 0.0), at(width, 0.0), -5.0, &sink.width.show());
    pen.upright(at(0.0, 0.0), at(0.0, tall), -6.0, &sink.height.show());
    // The best gap for comparison, between two strokes.
    if let Ok(gap) = &work.best {
        let best = size(*gap);
        let right = width + 14.0;
        pen.rectangle(Role::Hidden, at(right, base), first, tall - base);
        pen.rectangle(Role::Hidden, at(right + first + best, base), first, tall - base);
        let (from, to) = (at(right + first, tall), at(right + first + best, tall));
        pen.across(from, to, tall + 5.0, &format!("best {}", gap.show()));
    }
    pen.text(at(0.0, -12.0), Anchor::Start, air(work));
    let title = format!("The fins, seen along them, {} : 1", crate::figures::trimmed(scale, 2));
    let description = match work.best {
        Ok(_) => "The sink's fins to scale with the gap between them, and beside it the gap that would be best.",
        Err(_) => "The sink's fins to scale with the gap between them.",
    };
    Some(pen.finish("fins", title, description.to_owned(), Scale::Reduced))
}

/// Which way air goes, for who stands before the sink.
fn air(work: &FinsWork) -> String {
    let along = work.sink.length.show();
    match work.standing {
        Standing::Vertical => format!("{along} long, fins run up and down: air enters below and leaves above"),
        Standing::Up => format!("{along} long, fins point up: air falls in from the ends and leaves upwards"),
        Standing::Down => format!("{along} long, fins point down: the warm air lies between them"),
        Standing::Cross => format!("{along} long, fins lie across the way of the air, which cannot rise between them"),
    }
}
