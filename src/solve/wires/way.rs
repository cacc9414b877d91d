//! Ways of wires between parts whose places the author gives: along the walls, one direction after the other.

use crate::lamp::Lamp;
use crate::ledger::{Formula, Ledger};
use crate::quantity::Metres;

use super::WireZone;
use super::route::Route;

pub(super) const WAY: Formula = Formula {
    text: "|Δx| + |Δy| + |Δz|",
    source: "common practice, no source: wires lie along walls and are tied there",
};

/// Added to a mains wire cut to its way: for both ends and one bend.
pub(super) const ENDS: Metres = Metres::si(0.030);

/// Enters the places, one length a direction, under `place.NAME.`.
pub(super) fn enter(lamp: &Lamp, ledger: &mut Ledger) {
    for place in &lamp.wiring.places {
        let axes = ["x", "y", "z"].into_iter().zip(place.at.value.iter().flatten());
        for (axis, length) in axes {
            let title = format!("place of {}, {axis}", place.name);
            ledger.looked_up(format!("place.{}.{axis}", place.name), &title, *length, "as written", "the spec");
        }
    }
    if !lamp.wiring.places.is_empty() {
        let title = "for both ends and a bend of a mains wire cut to its way";
        ledger.looked_up("wire.ends", title, ENDS, "fixed", "our margin");
    }
}

/// The way between two placed parts; none where one of them has no place.
pub(super) fn between(lamp: &Lamp, route: &Route) -> Option<Metres> {
    let at = |end: &str| {
        let part = end.split_once('.').map_or(end, |(part, _)| part);
        lamp.wiring.places.iter().find(|p| p.name == part)?.at.value.clone()
    };
    let (from, to) = (at(&route.from)?, at(&route.to)?);
    let axis = |of: &[Metres], k: usize| of.get(k).copied().unwrap_or(Metres::ZERO);
    Some((0..3).map(|k| (axis(&from, k) - axis(&to, k)).abs()).sum())
}

/// The longest line or neutral at the entry: what the inner earth must outlast.
pub(super) fn longest_live(lamp: &Lamp, routes: &[Route], standard: Metres) -> Metres {
    let live = routes.iter().filter(|r| r.zone == WireZone::Mains && r.from.starts_with("entry.") && !r.is_earth());
    let length = |route: &Route| {
        let written = lamp.wiring.runs.iter().find(|run| run.name == route.name);
        let written = written.and_then(|run| run.length.nominal().ok());
        written.or_else(|| between(lamp, route).map(|way| way + ENDS)).unwrap_or(standard)
    };
    live.map(length).fold(standard_if_none(lamp, standard), Metres::max)
}

/// Without places the usual length stands for every mains wire.
fn standard_if_none(lamp: &Lamp, standard: Metres) -> Metres {
    if lamp.wiring.places.is_empty() { standard } else { Metres::ZERO }
}
