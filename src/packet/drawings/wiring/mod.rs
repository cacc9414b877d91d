//! Drawing `wiring`: every conductor from terminal to terminal, parts in columns along one direction of the lamp.

mod layout;
mod order;
mod tracks;

use super::pen::Pen;
use super::text::{LABEL, width};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, Vertex, at};
use crate::schema::words::{Colour, Word};
use crate::solve::wires::{Wire, WireZone, terminals};

use layout::{Layout, Part};
pub(in crate::packet) use order::Order;

/// Radius of the bow with which one wire hops over another, mm.
const HOP: f64 = 0.9;
/// Height of a part's name, mm.
const NAME: f64 = 2.3;
/// Width of the hatched band around the mains zone, mm.
const BAND: f64 = 2.5;
/// Base line of a wire's number above its line, so that no tail of a letter touches it, mm.
const ABOVE: f64 = 1.15;
/// Radius of a terminal's dot, mm.
const DOT: f64 = 0.7;
/// Width of the bar that joins the dots of one terminal, mm.
const BAR: f64 = 0.8;

/// The diagram; none without wires.
pub(super) fn diagram(bench: &Bench<'_>) -> Option<Drawing> {
    let wires = &bench.solution.wires;
    if wires.is_empty() {
        return None;
    }
    let order = ordered(bench);
    let held = terminals(bench.lamp, wires).into_iter();
    let cores = held.filter_map(|t| Some((t.name, format!("{} {}", bench.term("cord"), t.core?)))).collect();
    let layout = layout::lay_out(wires, &order.columns, &cores);
    let mut pen = Pen::default();
    zone(&mut pen, &layout, wires, bench.term("mains"));
    for part in &layout.parts {
        draw_part(&mut pen, part);
    }
    let crossings = tracks::crossings(&layout.lines);
    for (wire, (line, hops)) in wires.iter().zip(layout.lines.iter().zip(&crossings)) {
        pen.path(Role::Wire, bowed(line, hops));
        labels(&mut pen, wire, line);
    }
    let count = crossings.iter().map(Vec::len).sum::<usize>();
    let title = match order.along {
        Some(along) => {
            format!("Wiring, {} of the lamp on the left, {} on the right; distances not to scale", along.from, along.to)
        }
        None => "Wiring, in the order of the circuit; no places".to_owned(),
    };
    let description = format!(
        "{} conductors between {} parts, numbered at both ends, {count} crossings drawn as bows; the mains zone has a \
         hatched edge.",
        wires.len(),
        layout.parts.len()
    );
    Some(pen.finish("wiring-diagram", title, description, Scale::Reduced))
}

/// The columns of this lamp's parts.
pub(in crate::packet) fn ordered(bench: &Bench<'_>) -> Order {
    let fit = bench.solution.fit.as_ref().and_then(|fit| fit.as_ref().ok());
    order::order(&bench.solution.wires, fit)
}

/// `M1 BN`: number and colour code, at the end nearer to the back.
pub(in crate::packet) fn tag(wire: &Wire) -> String {
    let code = Colour::CHOICES.iter().find(|c| c.word == wire.colour.word()).map_or("", |c| c.doc);
    format!("{} {code}", wire.number)
}

/// A hatched band around the parts that mains reaches: as far as the middle of the supply.
fn zone(pen: &mut Pen, layout: &Layout, wires: &[Wire], mains: &str) {
    let live = |part: &&Part| {
        let ports = part.left.iter().chain(&part.right);
        ports.filter_map(|p| wires.get(p.wire)).any(|w| w.zone == WireZone::Mains)
    };
    let parts: Vec<&Part> = layout.parts.iter().filter(live).collect();
    if parts.is_empty() {
        return;
    }
    let end = |p: &&Part| if p.name == "supply" { p.x + p.width / 2.0 } else { p.x + p.width + 1.0 };
    let most = parts.iter().map(end).fold(f64::MIN, f64::max);
    let least = parts.iter().map(|p| p.x).fold(f64::MAX, f64::min) - 2.0;
    let live = layout.lines.iter().zip(wires).filter(|(_, w)| w.zone == WireZone::Mains);
    let heights: Vec<f64> = live.flat_map(|(line, _)| line.iter().map(|p| p.y)).collect();
    let tops = parts.iter().map(|p| p.top + NAME + 3.0).chain(heights.iter().map(|y| y + 2.0));
    let lows = parts.iter().map(|p| p.top - p.height - 2.0).chain(heights.iter().map(|y| y - 2.0));
    let (top, low) = (tops.fold(f64::MIN, f64::max), lows.fold(f64::MAX, f64::min));
    let inner = Path::rectangle(at(least, low), most - least, top - low);
    let outer = Path::rectangle(at(least - BAND, low - BAND), most - least + 2.0 * BAND, top - low + 2.0 * BAND);
    pen.paths(Role::MainsHatch, vec![outer, inner]);
    pen.words(at(least, top + BAND + 1.2), LABEL, Anchor::Start, 0.0, format!("{mains} zone"), true);
}

fn draw_part(pen: &mut Pen, part: &Part) {
    let corner = at(part.x, part.top - part.height);
    pen.rectangle(Role::Blank, corner, part.width, part.height);
    pen.rectangle(Role::Outline, corner, part.width, part.height);
    let name = width(&part.name, NAME, true) + 1.0;
    pen.rectangle(Role::Blank, at(part.x - 0.5, part.top + 0.3), name, NAME + 1.6);
    pen.words(at(part.x, part.top + 1.2), NAME, Anchor::Start, 0.0, part.name.as_str(), true);
    for (ports, x, anchor, inset) in
        [(&part.left, part.x, Anchor::Start, 1.5), (&part.right, part.x + part.width, Anchor::End, -1.5)]
    {
        for (wires, name) in layout::terminals(ports) {
            for port in wires {
                pen.path(Role::Ink, Path::circle(at(x, port.y), DOT));
            }
            let (Some(first), Some(last)) = (wires.first(), wires.last()) else { continue };
            if wires.len() > 1 {
                let bar = at(x - BAR / 2.0, last.y);
                pen.path(Role::Ink, Path::rectangle(bar, BAR, first.y - last.y));
            }
            pen.text(at(x + inset, (first.y + last.y - LABEL) / 2.0), anchor, name);
        }
    }
}

fn labels(pen: &mut Pen, wire: &Wire, line: &[Point]) {
    if let (Some(first), Some(last)) = (line.first(), line.last()) {
        pen.text(at(first.x + 1.2, first.y + ABOVE), Anchor::Start, tag(wire));
        pen.text(at(last.x - 1.2, last.y + ABOVE), Anchor::End, wire.number.as_str());
    }
}

/// The line with a bow wherever it crosses another; every line runs from left to right.
fn bowed(line: &[Point], hops: &[(usize, f64)]) -> Path {
    let straight = |point| Vertex { point, bulge: 0.0 };
    let mut vertices = Vec::new();
    for (k, point) in line.iter().enumerate() {
        vertices.push(straight(*point));
        for (_, x) in hops.iter().filter(|(piece, _)| *piece == k) {
            vertices.push(Vertex { point: at(x - HOP, point.y), bulge: -1.0 });
            vertices.push(straight(at(x + HOP, point.y)));
        }
    }
    Path { vertices, closed: false }
}

/// Room that a wire's number takes beside a terminal, mm.
pub(super) fn stub(text: &str) -> f64 {
    width(text, LABEL, false) + 2.4
}
