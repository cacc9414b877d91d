//! Ways of wires between parts whose places the layout gives or finds: along the walls, one direction after the other.

use crate::lamp::wiring::Run;
use crate::ledger::{Formula, Ledger};
use crate::quantity::{Metres, Ratio};
use crate::solve::fit::Fit;

use super::WireZone;
use super::route::Route;

pub(super) const WAY: Formula = Formula {
    text: "1.2 · (|Δx| + |Δy| + |Δz|), middle to middle",
    source: "our margin: wires lie along walls and go round what stands between",
};

/// Share by which a dressed wire is longer than the three directions.
const ROUND: Ratio = Ratio::si(1.2);
/// Added to a mains wire cut to its way: for both ends and one bend.
pub(super) const ENDS: Metres = Metres::si(0.030);

/// Up to the next 5 mm, as a rule is read when wire is cut.
pub(super) fn cut(length: Metres) -> Metres {
    Metres::si(libm::ceil(length.value() / 5e-3 - 1e-6) * 5e-3)
}

/// Where a part of the wiring stands, with the ledger path that says so.
///
/// A battery stands as the supply does, dice stand on the front of the sink.
fn place(fit: &Fit, end: &str) -> Option<([Metres; 3], String)> {
    let name = end.split_once('.').map_or(end, |(part, _)| part);
    let at = |name: &str| fit.point(name).map(|point| (point, format!("fit.{name}.at")));
    match name {
        "entry" => fit.entry.map(|point| (point, "layout.entry.at".to_owned())),
        "battery" => at("battery").or_else(|| at("supply")),
        "shutoff" => at("shutoff").or_else(|| at("driver")),
        "emitter" => at("emitter").or_else(|| {
            let solid = fit.part("sink")?.solid.as_ref().ok()?;
            let [x, y, z] = solid.centre;
            Some(([x, y, z + solid.half[2]], "fit.sink.at".to_owned()))
        }),
        _ => at(name),
    }
}

/// A way with the ledger paths of its two ends.
pub(super) struct Way {
    pub(super) length: Metres,
    pub(super) ends: [String; 2],
}

/// The way between two placed parts; none where one of them has no place.
pub(super) fn between(fit: Option<&Fit>, route: &Route) -> Option<Way> {
    let fit = fit?;
    let ((from, one), (to, other)) = (place(fit, &route.from)?, place(fit, &route.to)?);
    let apart: Metres = from.into_iter().zip(to).map(|(a, b)| (a - b).abs()).sum();
    Some(Way { length: apart * ROUND.value(), ends: [one, other] })
}

/// Enters what is added to ways.
pub(super) fn enter(fit: Option<&Fit>, ledger: &mut Ledger) {
    if fit.is_some() {
        let title = "for both ends and a bend of a mains wire cut to its way";
        ledger.looked_up("wire.ends", title, ENDS, "fixed", "our margin");
    }
}

/// The longest line or neutral at the entry: what the inner earth must outlast.
pub(super) fn longest_live(fit: Option<&Fit>, runs: &[Run], routes: &[Route], standard: Metres) -> Metres {
    let live = routes.iter().filter(|r| r.zone == WireZone::Mains && r.from.starts_with("entry.") && !r.is_earth());
    let length = |route: &Route| {
        let written = runs.iter().find(|run| run.name == route.name);
        let written = written.and_then(|run| run.length.nominal().ok());
        written.or_else(|| between(fit, route).map(|way| cut(way.length + ENDS))).unwrap_or(standard)
    };
    live.map(length).fold(Metres::ZERO, Metres::max)
}
