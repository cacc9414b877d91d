//! What stands behind the emitter in the section: the parts where the layout has them; without one supply, controller,
//! cord entry and clamp, their places for show.

use super::callouts::Callout;
use super::pen::mm;
use super::section::Section;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Role, at};
use crate::packet::plain::plain;
use crate::physics::mechanics::hollow::{Solid, Wall};
use crate::quantity::Metres;
use crate::schema::words::{Side, Word, Zone};
use crate::solve::fit::{Fit, Part};

/// Room left between a box and the wall, mm of the lamp.
const GAP: f64 = 3.0;

/// Draws them; gives whether they stand where the layout has them.
pub(super) fn boxes(s: &mut Section, bench: &Bench<'_>) -> bool {
    let fit = bench.solution.fit.as_ref().and_then(|fit| fit.as_ref().ok());
    // One part without a place, or a cord that comes in nowhere, makes the picture one for show.
    let whole = |fit: &&Fit| fit.parts.iter().all(|part| part.solid.is_ok()) && (!bench.mains() || fit.entry.is_some());
    if let Some(fit) = fit.filter(whole) {
        placed(s, bench, fit);
        return true;
    }
    for_show(s, bench);
    false
}

/// Every part where it stands, seen from the left; sink and emitter are drawn already.
fn placed(s: &mut Section, bench: &Bench<'_>, fit: &Fit) {
    let back = s.shell.depth - mm(fit.outer.1);
    let gap = bench.lamp.layout.as_ref().and_then(|l| l.zone_gap.nominal().ok()).map_or(Metres::ZERO, |gap| gap / 2.0);
    // A lamp without mains has nothing live in it, whatever a part could carry.
    let live = |part: &Part| part.zone == Some(Zone::Mains) && bench.mains();
    let standing: Vec<(&Part, Solid)> = fit.standing().filter(|(part, _)| part.name != "sink").collect();
    let span = |solid: &Solid| {
        let ([_, y, z], [_, high, deep]) = (solid.centre.map(mm), solid.half.map(mm));
        ((back + z - deep, back + z + deep), (y - high, y + high))
    };
    for (part, solid) in standing.iter().filter(|(part, _)| live(part)) {
        let (x, y) = span(&if part.closed { *solid } else { solid.grown(gap) });
        let (wall, inside) = (s.shell.wall, s.shell.height / 2.0 - s.shell.wall);
        let within = (x.0.max(wall), x.1.min(s.shell.depth - wall));
        s.block(Role::MainsHatch, within, (y.0.max(-inside), y.1.min(inside)));
    }
    for (part, solid) in &standing {
        let (x, y) = span(solid);
        container(s, x, y);
        let target = at((x.0 + (x.1 - x.0) * 0.3) / s.by, (y.0 + (y.1 - y.0) * 0.6) / s.by);
        let battery = part.name == "supply" && bench.battery();
        let name = if battery { "battery" } else { part.name.as_str() };
        let text = if live(part) { format!("{name}, live") } else { name.to_owned() };
        s.left.push(Callout { target, text });
        if part.name == "supply" {
            s.measure(bench, "supply", ((x.0 + x.1) / 2.0, y.1), false);
        }
    }
    match fit.entry.zip(fit.entry_wall()) {
        Some(([_, y, _], Wall::Back)) => entry(s, bench, mm(y)),
        Some(([_, y, z], _)) => {
            let place = at((back + mm(z)) / s.by, mm(y) / s.by);
            s.pen.centre(place, 2.0);
            s.left.push(Callout { target: place, text: format!("hole for the {}", bench.term("cord")) });
        }
        None => {}
    }
}

/// Supply, controller and clamp behind one another.
fn for_show(s: &mut Section, bench: &Bench<'_>) {
    let supply = &bench.lamp.supply;
    let inside = supply.place.value != Some(Side::Outside);
    let low = -s.shell.height / 2.0 + s.shell.wall + GAP;
    let placed = supply.size.value.as_ref().filter(|_| inside).map(|size| stand(s, size));
    let entry_y = match placed {
        Some((_, high)) => low + high / 2.0,
        None => low + s.shell.height * 0.2,
    };
    if let Some((along, high)) = placed {
        let start = s.shell.wall + GAP + 4.0;
        container(s, (start, start + along), (low, low + high));
        let target = at((start + along * 0.8) / s.by, (low + high * 0.3) / s.by);
        let text = if bench.battery() { "battery" } else { "supply" };
        s.left.push(Callout { target, text: text.to_owned() });
        // A long supply lies beside sink and board: its mark and the mains keep behind them.
        let behind = (s.free - GAP - start).max(0.0);
        s.measure(bench, "supply", (start + (along * 0.6).min(behind * 0.5), low + high), false);
        if bench.mains() {
            let zone = (s.shell.wall, start + (along * 0.5).min(behind));
            s.block(Role::MainsHatch, zone, (low - GAP * 0.5, low + high + GAP * 0.5));
            let target = at((start + along * 0.2) / s.by, (low + high * 0.9) / s.by);
            s.left.push(Callout { target, text: format!("{} zone", bench.term("mains")) });
        }
    }
    if let Some(size) = bench.lamp.controller.as_ref().and_then(|c| c.size.value.as_ref()) {
        let (along, high) = stand(s, size);
        let top = s.shell.height / 2.0 - s.shell.wall - GAP;
        let start = s.shell.wall + GAP;
        container(s, (start, start + along), (top - high, top));
        let target = at((start + along * 0.5) / s.by, (top - high * 0.5) / s.by);
        s.left.push(Callout { target, text: "controller".to_owned() });
    }
    entry(s, bench, entry_y);
}

/// Length along the axis and height of a box: its longest side along the axis where the free room takes it.
fn stand(s: &Section, size: &[Metres]) -> (f64, f64) {
    let mut sides: Vec<f64> = size.iter().map(|side| mm(*side)).collect();
    sides.sort_by(f64::total_cmp);
    let room = s.free - s.shell.wall - 2.0 * GAP - 4.0;
    let (least, middle, most) = match sides.as_slice() {
        [a, b, c] => (*a, *b, *c),
        [a, b] => (*a, *a, *b),
        _ => (10.0, 10.0, 10.0),
    };
    let along = if most <= room { most } else { least.min(s.shell.depth - 2.0 * s.shell.wall - 2.0 * GAP) };
    (along, middle.min(s.shell.height / 2.0 - s.shell.wall - GAP))
}

/// A box: whole where it stands free behind the sink, dashed where it lies beside the plane of the section.
fn container(s: &mut Section, x: (f64, f64), y: (f64, f64)) {
    let role = if x.1 + GAP <= s.free { Role::Outline } else { Role::Hidden };
    s.block(role, x, y);
}

fn entry(s: &mut Section, bench: &Bench<'_>, y: f64) {
    let outside = -12.0;
    let inner = s.shell.wall + GAP + 4.0;
    let Some(mains) = &bench.lamp.mains else {
        s.pen.line(Role::Wire, &[at(outside, y / s.by), at(inner / s.by, y / s.by)]);
        s.left.push(Callout { target: at(outside * 0.6, y / s.by), text: "extra-low voltage lead".to_owned() });
        return;
    };
    let half = mains.entry.as_ref().and_then(|e| e.hole.nominal().ok()).map_or(3.0, |hole| mm(hole) / 2.0);
    s.block(Role::Blank, (0.0, s.shell.wall), (y - half, y + half));
    s.pen.line(Role::Wire, &[at(outside, y / s.by), at(inner / s.by, y / s.by)]);
    let words = match &mains.inlet {
        Some(inlet) => format!("inlet {}", inlet.kind.value.map_or("", |kind| plain(kind.word()))),
        None => bench.term("cord").to_owned(),
    };
    s.left.push(Callout { target: at(outside * 0.6, y / s.by), text: words });
    if let Some(held) = mains.entry.as_ref().and_then(|entry| entry.anchorage.value) {
        let x = (s.shell.wall + 1.0, s.shell.wall + GAP + 2.0);
        for (low, high) in [(y + half * 0.6, y + half * 0.6 + 4.0), (y - half * 0.6 - 4.0, y - half * 0.6)] {
            s.block(Role::Solid, x, (low, high));
        }
        let target = at((x.0 + x.1) / 2.0 / s.by, (y - half * 0.6 - 2.0) / s.by);
        s.left.push(Callout { target, text: format!("anchorage: {}", held.word()) });
    }
}
