//! Parts in columns from left to right and the lines between them: terminals in rows, lines through free rows.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::super::text::{LABEL, width};
use super::tracks::{PITCH, crossings, order};
use super::{NAME, stub, tag};
use crate::packet::drawing::{Point, at};
use crate::solve::wires::Wire;

/// Distance of terminals along a part's edge, mm.
const ROW: f64 = 5.0;
/// Room between a part and what lies above it, its name included, mm.
const GAP: f64 = 4.0 + NAME;
/// By how much nearer a part may stand to a passing line than to a part: a line has no name to keep clear of, and its
/// neighbours need no jog, mm.
const UNDER: f64 = 2.6;
/// Room between a passing line and what lies above or below it, mm.
const PASS: f64 = 2.0;
/// Least distance of a line's new row from the rows of other lines in the same channel, mm.
const APART: f64 = 1.2;
/// Step by which a part that would lie on another line's row moves down, mm.
const STEP: f64 = 1.25;

/// One end of a wire at a part.
pub(super) struct Port {
    /// Index of the wire.
    pub(super) wire: usize,
    /// Name of the terminal.
    pub(super) terminal: String,
    /// What comes to it from the cord, beside one of its wires.
    core: Option<String>,
    /// Height, mm.
    pub(super) y: f64,
}

/// Wires of one terminal on one side of a part: they stand together, and are drawn as one terminal.
pub(super) fn terminals(ports: &[Port]) -> impl Iterator<Item = (&[Port], String)> {
    ports.chunk_by(|a, b| a.terminal == b.terminal).filter_map(|group| {
        let name = &group.first()?.terminal;
        let core = group.iter().find_map(|p| p.core.as_ref());
        Some((group, core.map_or_else(|| name.clone(), |core| format!("{name} + {core}"))))
    })
}

/// Sorts by a key, but keeps wires of one terminal together, at the place of the first of them.
fn sort_together<K: PartialOrd + Copy>(ports: &mut [Port], key: impl Fn(&Port) -> K) {
    let by = |a: K, b: K| a.partial_cmp(&b).unwrap_or(Ordering::Equal);
    ports.sort_by(|a, b| by(key(a), key(b)));
    let terminals: Vec<String> = ports.iter().map(|p| p.terminal.clone()).collect();
    ports.sort_by_key(|p| terminals.iter().position(|t| *t == p.terminal));
}

/// A part with its terminals, those towards the back on the left.
pub(super) struct Part {
    pub(super) name: String,
    pub(super) column: usize,
    pub(super) left: Vec<Port>,
    pub(super) right: Vec<Port>,
    pub(super) x: f64,
    pub(super) width: f64,
    pub(super) top: f64,
    pub(super) height: f64,
}

/// Where everything lies, mm.
pub(super) struct Layout {
    pub(super) parts: Vec<Part>,
    /// Corners of each wire's line from left to right, in the order of the wires.
    pub(super) lines: Vec<Vec<Point>>,
}

/// A wire's ends in the order of their columns: part and terminal.
fn ends<'a>(wire: &'a Wire, column: &dyn Fn(&str) -> usize) -> [(&'a str, &'a str); 2] {
    let split = |end: &'a str| end.split_once('.').unwrap_or((end, ""));
    let (from, to) = (split(wire.from.as_str()), split(wire.to.as_str()));
    if column(from.0) <= column(to.0) { [from, to] } else { [to, from] }
}

/// The columns that a wire starts and ends in.
struct Span {
    from: usize,
    to: usize,
}

/// Most terminals with several wires whose wires are tried in both orders.
const TURNED: usize = 5;

/// Lays out all wires between parts in the given columns, with the fewest crossings that the order of the wires of one
/// terminal can give: one that goes further may leave above what it passes, or below.
///
/// `cores`: what comes to a terminal from the cord, by the terminal's name.
pub(super) fn lay_out(wires: &[Wire], columns: &BTreeMap<String, usize>, cores: &BTreeMap<String, String>) -> Layout {
    let first = attempt(wires, columns, cores, &[]);
    let mut shared: Vec<(&str, &str)> = Vec::new();
    for part in &first.parts {
        let several = terminals(&part.right).filter(|(ports, _)| ports.len() > 1);
        shared.extend(several.filter_map(|(ports, _)| Some((part.name.as_str(), ports.first()?.terminal.as_str()))));
    }
    shared.truncate(TURNED);
    let turned = |mask: u32| -> Vec<(&str, &str)> {
        shared.iter().enumerate().filter(|(k, _)| mask >> k & 1 == 1).map(|(_, name)| *name).collect()
    };
    let crossed = |layout: &Layout| crossings(&layout.lines).iter().map(Vec::len).sum::<usize>();
    let mut least = crossed(&first);
    let mut best = None;
    for mask in 1..1_u32 << shared.len() {
        if least == 0 {
            break;
        }
        let layout = attempt(wires, columns, cores, &turned(mask));
        if crossed(&layout) < least {
            least = crossed(&layout);
            best = Some(layout);
        }
    }
    best.unwrap_or(first)
}

/// One layout, with the wires of some terminals (part and terminal) in the contrary order.
fn attempt(
    wires: &[Wire],
    columns: &BTreeMap<String, usize>,
    cores: &BTreeMap<String, String>,
    turned: &[(&str, &str)],
) -> Layout {
    let column = |part: &str| columns.get(part).copied().unwrap_or(0);
    let count = columns.values().max().map_or(0, |last| last + 1);
    let spans: Vec<Span> = wires
        .iter()
        .map(|w| {
            let [from, to] = ends(w, &column);
            Span { from: column(from.0), to: column(to.0) }
        })
        .collect();
    let mut parts = parts(wires, &spans, &column, cores, turned);
    let heights = rows(&mut parts, &spans, count);
    let lines = across(&mut parts, wires, &spans, &heights, count);
    Layout { parts, lines }
}

fn parts(
    wires: &[Wire],
    spans: &[Span],
    column: &dyn Fn(&str) -> usize,
    cores: &BTreeMap<String, String>,
    turned: &[(&str, &str)],
) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    // A core is one conductor, so it stands beside the first wire of its terminal alone.
    let mut cores = cores.clone();
    for (k, wire) in wires.iter().enumerate() {
        for (left, (name, terminal)) in [false, true].into_iter().zip(ends(wire, column)) {
            let place = parts.iter().position(|p| p.name == name).unwrap_or_else(|| {
                let (left, right) = (Vec::new(), Vec::new());
                let column = column(name);
                parts.push(Part { name: name.into(), column, left, right, x: 0.0, width: 0.0, top: 0.0, height: 0.0 });
                parts.len() - 1
            });
            if let Some(part) = parts.get_mut(place) {
                let core = cores.remove(&format!("{name}.{terminal}"));
                let port = Port { wire: k, terminal: terminal.to_owned(), core, y: 0.0 };
                if left { part.left.push(port) } else { part.right.push(port) }
            }
        }
    }
    for part in &mut parts {
        // What goes to the next part leaves above what goes further.
        sort_together(&mut part.right, |p| (spans.get(p.wire).map_or(0, |s| s.to), p.wire));
        for ports in part.right.chunk_by_mut(|a, b| a.terminal == b.terminal) {
            let own = ports.first().map(|p| (part.name.as_str(), p.terminal.as_str()));
            if own.is_some_and(|own| turned.contains(&own)) {
                ports.reverse();
            }
        }
        part.height = ROW * part.left.len().max(part.right.len()) as f64 + 1.0;
        let widest = |ports: &[Port]| terminals(ports).map(|(_, name)| width(&name, LABEL, false)).fold(0.0, f64::max);
        let name = width(&part.name, NAME, true);
        // The edge of the mains zone runs down the middle of the supply: its name stands clear of it.
        let name = if part.name == "supply" { 2.0 * name + 3.0 } else { name + 1.0 };
        part.width = (widest(&part.left) + widest(&part.right) + 6.0).max(name);
    }
    parts
}

/// Something that takes rows of a column: a part, or a wire that passes.
enum Item {
    Part(usize),
    Pass(usize),
}

/// Places parts and passing wires column by column; gives the height of each wire after each column.
fn rows(parts: &mut [Part], spans: &[Span], columns: usize) -> Vec<Vec<f64>> {
    let mut now = vec![0.0; spans.len()];
    let mut heights = Vec::with_capacity(columns);
    for column in 0..columns {
        let before = now.clone();
        let live: Vec<usize> =
            (0..spans.len()).filter(|k| spans.get(*k).is_some_and(|s| s.from < column && column <= s.to)).collect();
        let mut items = items(parts, spans, &before, column);
        items.sort_by(|a, b| b.0.total_cmp(&a.0));
        let (mut free, mut under) = (f64::MAX, 0.0);
        for (wanted, item) in items {
            (free, under) = match item {
                Item::Part(place) => match parts.get_mut(place) {
                    Some(part) => (stand(part, wanted.min(free - GAP + under), &before, &live, &mut now), 0.0),
                    None => (free, under),
                },
                Item::Pass(wire) => {
                    let y = clear(wanted.min(free - PASS), &[(0.0, wire)], &before, &live);
                    now.iter_mut().skip(wire).take(1).for_each(|slot| *slot = y);
                    (y - PASS, UNDER)
                }
            };
        }
        heights.push(now.clone());
    }
    heights
}

/// What stands in a column, with the height it wants: that of the lines that come to it.
fn items(parts: &mut [Part], spans: &[Span], before: &[f64], column: usize) -> Vec<(f64, Item)> {
    let height = |wire: usize| before.get(wire).copied().unwrap_or(0.0);
    let mut items = Vec::new();
    for (k, part) in parts.iter_mut().enumerate().filter(|(_, p)| p.column == column) {
        sort_together(&mut part.left, |p| (-height(p.wire), p.wire));
        let top = part.left.first().map_or(0.0, |p| height(p.wire) + ROW / 2.0 + 0.5);
        items.push((top, Item::Part(k)));
    }
    let pass = spans.iter().enumerate().filter(|(_, s)| s.from < column && column < s.to);
    items.extend(pass.map(|(wire, _)| (height(wire), Item::Pass(wire))));
    items
}

/// Sets a part down at or below a height; gives its lower edge.
fn stand(part: &mut Part, top: f64, before: &[f64], live: &[usize], now: &mut [f64]) -> f64 {
    let offset = |row: usize| -(ROW * (row as f64 + 0.5) + 0.5);
    let incoming: Vec<(f64, usize)> = part.left.iter().enumerate().map(|(row, p)| (offset(row), p.wire)).collect();
    part.top = clear(top, &incoming, before, live);
    for ports in [&mut part.left, &mut part.right] {
        for (row, port) in ports.iter_mut().enumerate() {
            port.y = part.top + offset(row);
            now.iter_mut().skip(port.wire).take(1).for_each(|slot| *slot = port.y);
        }
    }
    part.top - part.height
}

/// The first height from here down at which no line enters on the row where another one leaves: two lines in one
/// channel would lie on each other there.
fn clear(top: f64, incoming: &[(f64, usize)], before: &[f64], live: &[usize]) -> f64 {
    let height = |wire: usize| before.get(wire).copied().unwrap_or(0.0);
    let free = |top: f64| {
        incoming.iter().all(|(offset, wire)| {
            let y = top + offset;
            (y - height(*wire)).abs() < 1e-9
                || live.iter().filter(|other| *other != wire).all(|other| (y - height(*other)).abs() >= APART)
        })
    };
    (0..400).map(|k| top - f64::from(k) * STEP).find(|top| free(*top)).unwrap_or(top)
}

/// Gives columns their places from left to right and joins each wire's rows by one upright piece a channel.
fn across(parts: &mut [Part], wires: &[Wire], spans: &[Span], heights: &[Vec<f64>], columns: usize) -> Vec<Vec<Point>> {
    let height = |column: usize, wire: usize| heights.get(column).and_then(|h| h.get(wire)).copied().unwrap_or(0.0);
    let mut lines: Vec<Vec<Point>> = vec![Vec::new(); wires.len()];
    let mut x = 0.0;
    for column in 0..columns {
        let wide = parts.iter().filter(|p| p.column == column).map(|p| p.width).fold(0.0, f64::max);
        for part in parts.iter_mut().filter(|p| p.column == column) {
            (part.x, part.width) = (x, wide);
        }
        let each = || lines_of(spans, column);
        for (wire, _) in each().filter(|(_, s)| s.from == column) {
            lines.iter_mut().skip(wire).take(1).for_each(|l| l.push(at(x + wide, height(column, wire))));
        }
        let of = |side: fn(&Span, usize) -> bool, text: fn(&Wire) -> String| {
            let labelled = each().filter(|(_, s)| side(s, column)).filter_map(|(k, _)| wires.get(k));
            labelled.map(|w| stub(&text(w))).fold(1.0, f64::max)
        };
        let (near, far) = (of(|s, c| s.from == c, tag), of(|s, c| s.to == c + 1, |w| w.number.clone()));
        let jumps: Vec<(usize, f64, f64)> =
            each().map(|(k, _)| (k, height(column, k), height(column + 1, k))).collect();
        let bent = order(jumps.into_iter().filter(|(_, a, b)| (a - b).abs() >= 1e-9).collect());
        for (track, (wire, from, to)) in bent.iter().enumerate() {
            let upright = x + wide + near + PITCH * (track as f64 + 1.0);
            let corners = [at(upright, *from), at(upright, *to)];
            lines.iter_mut().skip(*wire).take(1).for_each(|l| l.extend(corners));
        }
        let next = x + wide + near + far + PITCH * (bent.len() as f64 + 1.0);
        for (wire, _) in each().filter(|(_, s)| s.to == column + 1) {
            lines.iter_mut().skip(wire).take(1).for_each(|l| l.push(at(next, height(column + 1, wire))));
        }
        x = next;
    }
    lines
}

/// Wires that run between this column and the next.
fn lines_of(spans: &[Span], column: usize) -> impl Iterator<Item = (usize, &Span)> {
    spans.iter().enumerate().filter(move |(_, s)| s.from <= column && column < s.to)
}
