//! What stands behind the emitter in the section: supply, controller, cord entry and clamp; places for show.

use super::body::mm;
use super::callouts::Callout;
use super::section::Section;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Role, at};
use crate::quantity::Metres;
use crate::schema::words::{Side, Word};

/// Room left between a box and the wall, mm of the lamp.
const GAP: f64 = 3.0;

/// Draws them, and says that their places are not to scale.
pub(super) fn boxes(s: &mut Section, bench: &Bench<'_>) {
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
        let text = if supply.battery.is_some() { "battery" } else { "supply" };
        s.left.push(Callout { target, text: text.to_owned() });
        s.measure(bench, "supply", (start + along * 0.6, low + high), false);
        if bench.lamp.mains.is_some() {
            let zone = (s.shell.wall, start + along * 0.5);
            s.block(Role::MainsHatch, zone, (low - GAP * 0.5, low + high + GAP * 0.5));
            let target = at((start + along * 0.2) / s.by, (low + high * 0.9) / s.by);
            s.left.push(Callout { target, text: "mains zone".to_owned() });
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
        Some(inlet) => format!("inlet {}", inlet.kind.value.map_or("", Word::word)),
        None => "mains cord".to_owned(),
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
