//! Which column of the wiring diagram each part stands in: along one direction of the lamp where the layout gives
//! places, else in the order of the circuit.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::layout::lay_out;
use super::tracks::crossings;
use crate::quantity::Metres;
use crate::solve::fit::Fit;
use crate::solve::wires::{Wire, WireZone};

/// A direction of the lamp, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::packet) struct Along {
    axis: usize,
    back: bool,
    /// Where the left of the paper is.
    pub(in crate::packet) from: &'static str,
    /// Where its right is.
    pub(in crate::packet) to: &'static str,
}

/// Tried in this order; z counts out through the diffuser, y up, x to the right.
const DIRECTIONS: [Along; 5] = [
    Along { axis: 2, back: false, from: "back", to: "front" },
    Along { axis: 1, back: false, from: "bottom", to: "top" },
    Along { axis: 1, back: true, from: "top", to: "bottom" },
    Along { axis: 0, back: false, from: "left", to: "right" },
    Along { axis: 0, back: true, from: "right", to: "left" },
];

/// Columns of the parts.
pub(in crate::packet) struct Order {
    /// Column of each part, from 0 at the left.
    pub(super) columns: BTreeMap<String, usize>,
    /// The direction from left to right; none where it is the order of the circuit.
    pub(in crate::packet) along: Option<Along>,
    /// Parts that a direction places, in the order of the wires.
    pub(in crate::packet) placed: Vec<String>,
}

/// How far along the circuit a part lies; what is no part of it is a metal part.
fn rank(part: &str) -> usize {
    match part {
        "entry" | "battery" => 0,
        "switch" => 2,
        "supply" => 3,
        "controller" => 4,
        "shutoff" => 5,
        "driver" => 6,
        "emitter" => 7,
        _ => 1,
    }
}

/// The part of an end.
fn part(end: &str) -> &str {
    end.split_once('.').map_or(end, |(part, _)| part)
}

/// From where to where a part reaches along each direction; a battery stands as the supply does, a shut-off on the
/// driver, dice on the front of the sink.
fn extent(fit: &Fit, name: &str) -> Option<[(Metres, Metres); 3]> {
    let of = |name: &str| {
        let solid = fit.part(name)?.solid.as_ref().ok()?;
        let mut pairs = solid.centre.into_iter().zip(solid.half).map(|(c, h)| (c - h, c + h));
        Some([pairs.next()?, pairs.next()?, pairs.next()?])
    };
    match name {
        "entry" => fit.entry.map(|at| at.map(|v| (v, v))),
        "battery" => of("battery").or_else(|| of("supply")),
        "shutoff" => of("shutoff").or_else(|| of("driver")),
        "emitter" => of("emitter").or_else(|| of("sink").map(|[x, y, (_, front)]| [x, y, (front, front)])),
        _ => of(name),
    }
}

/// The order with the fewest crossings; among equals the one in which most pairs of parts lie wholly one behind the
/// other along it.
pub(super) fn order(wires: &[Wire], fit: Option<&Fit>) -> Order {
    let mut names: Vec<&str> = Vec::new();
    for end in wires.iter().flat_map(|w| [&w.from, &w.to]) {
        if !names.contains(&part(end)) {
            names.push(part(end));
        }
    }
    let circuit = || Order { columns: columns(&names, wires, &|_, _| false), along: None, placed: Vec::new() };
    let Some(fit) = fit else { return circuit() };
    let extents: Vec<(&str, [(Metres, Metres); 3])> =
        names.iter().filter_map(|name| Some((*name, extent(fit, name)?))).collect();
    let tried = DIRECTIONS.iter().filter_map(|along| {
        let reach = |name: &str| extents.iter().find(|(n, _)| *n == name).and_then(|(_, e)| e.get(along.axis));
        let before = |a: &str, b: &str| match (reach(a), reach(b)) {
            (Some(a), Some(b)) => {
                if along.back {
                    b.1 <= a.0 && b.0 < a.1
                } else {
                    a.1 <= b.0 && a.0 < b.1
                }
            }
            _ => false,
        };
        let columns = columns(&names, wires, &before);
        let pairs = names.iter().flat_map(|a| names.iter().map(move |b| (a, b))).filter(|(a, b)| before(a, b)).count();
        let crossed = crossings(&lay_out(wires, &columns, &BTreeMap::new()).lines).iter().map(Vec::len).sum::<usize>();
        (pairs > 0 && apart(&columns, wires)).then_some((crossed, Reverse(pairs), columns, *along))
    });
    match tried.min_by_key(|(crossed, pairs, ..)| (*crossed, *pairs)) {
        Some((.., columns, along)) => {
            let placed = extents.iter().map(|(name, _)| (*name).to_owned()).collect();
            Order { columns, along: Some(along), placed }
        }
        None => circuit(),
    }
}

/// Columns from left to right: of the parts that nothing must stand before, those that come first in the circuit.
/// Parts with a wire between them never share a column.
fn columns(names: &[&str], wires: &[Wire], before: &dyn Fn(&str, &str) -> bool) -> BTreeMap<String, usize> {
    let wired = |a: &str, b: &str| {
        let ends = |w: &Wire| (part(&w.from) == a && part(&w.to) == b) || (part(&w.from) == b && part(&w.to) == a);
        wires.iter().any(ends)
    };
    let mut left: Vec<&str> = names.to_vec();
    let mut columns = BTreeMap::new();
    for column in 0..names.len() {
        let ready: Vec<&str> = left.iter().copied().filter(|b| left.iter().all(|a| !before(a, b))).collect();
        let Some(first) = ready.iter().map(|name| rank(name)).min() else { break };
        let mut taken: Vec<&str> = Vec::new();
        for name in ready.into_iter().filter(|name| rank(name) == first) {
            if taken.iter().all(|other| !wired(name, other)) {
                taken.push(name);
            }
        }
        left.retain(|name| !taken.contains(name));
        columns.extend(taken.into_iter().map(|name| (name.to_owned(), column)));
    }
    columns
}

/// Whether mains stays at the left of the supply and everything else at its right, so that one edge holds the zone.
fn apart(columns: &BTreeMap<String, usize>, wires: &[Wire]) -> bool {
    let of = |end: &str| columns.get(part(end)).copied().unwrap_or(0);
    let (mains, low): (Vec<&Wire>, Vec<&Wire>) = wires.iter().partition(|w| w.zone == WireZone::Mains);
    let most = mains.iter().map(|w| of(&w.from).max(of(&w.to))).max();
    let least = low.iter().map(|w| of(&w.from).min(of(&w.to))).min();
    most.zip(least).is_none_or(|(most, least)| most <= least)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_behind_stands_at_the_left_and_the_circuit_orders_the_rest() {
        let names = ["supply", "driver", "controller", "emitter"];
        let list = |pairs: &[(&str, &str)]| {
            let columns = columns(&names, &[], &|a, b| pairs.contains(&(a, b)));
            names.map(|name| columns.get(name).copied().unwrap_or(99))
        };
        for (pairs, expected) in [
            (&[][..], [0, 2, 1, 3]),
            (&[("driver", "controller")], [0, 1, 2, 3]),
            (&[("emitter", "supply"), ("emitter", "driver")], [2, 3, 0, 1]),
        ] {
            assert_eq!(list(pairs), expected, "{pairs:?}");
        }
    }
}
