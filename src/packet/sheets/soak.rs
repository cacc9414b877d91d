//! Sheet `soak`: the first hours, moment by moment, what each point should read, and what to add for the warmest room.

use serde_json::{Value, json};

use crate::figures::trimmed;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::heat::most;
use crate::packet::drawings::points::{number, title};
use crate::packet::sheet::TextSize;
use crate::schema::words::Instrument;
use crate::solve::battery::inside;
use crate::solve::heat::{Curve, MOMENTS};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "soak",
    title: "Soak",
    moment: "over the first hours: a thermometer, a clock, and patience",
    template_name: "sheets/soak.md",
    template: include_str!("../../../templates/sheets/soak.md"),
    size: TextSize::Dense,
    landscape: true,
    applies: |bench| soak(bench).is_some(),
    data,
    required: |bench| vec![minutes(bench, "heat.soak.needed")],
};

/// The predicted warm-up, where it is known.
fn soak<'a>(bench: &Bench<'a>) -> Option<&'a Curve> {
    bench.solution.heat.as_ref().ok()?.soak.as_ref().ok()?.followed()
}

fn data(bench: &Bench<'_>) -> Value {
    let Some(soak) = soak(bench) else { return Value::Null };
    let points: Vec<Value> = soak
        .points
        .iter()
        .map(|point| {
            json!({ "name": point, "title": named(bench, point), "limit": most(bench, point).map(|(_, shown)| shown) })
        })
        .collect();
    let moments: Vec<Value> =
        (0..MOMENTS).map(|n| json!({ "number": n, "time": minutes(bench, &format!("heat.soak.{n}.time")) })).collect();
    json!({
        "places": places(bench, soak),
        "points": points,
        "moments": moments,
        "needed": minutes(bench, "heat.soak.needed"),
        "slowest": minutes(bench, "heat.soak.slowest"),
        "room": bench.highest(&bench.lamp.identity.room.path),
        "thermometer": bench.owns(Instrument::Thermometer),
        "mains": bench.mains(),
        "battery": inside(bench.lamp),
    })
}

/// A time in whole minutes, from two hours on in hours and minutes.
fn minutes(bench: &Bench<'_>, path: &str) -> String {
    let Some(seconds) = bench.solution.ledger.get(path).and_then(|entry| entry.value) else { return "–".to_owned() };
    let whole = libm::round(seconds / 60.0);
    let (hours, rest) = (libm::floor(whole / 60.0), whole % 60.0);
    match (whole >= 120.0, rest > 0.0) {
        (false, _) => format!("{} min", trimmed(whole, 0)),
        (true, false) => format!("{} h", trimmed(hours, 0)),
        (true, true) => format!("{} h {} min", trimmed(hours, 0), trimmed(rest, 0)),
    }
}

/// Where each point is, by its number: as many as are followed.
fn places(bench: &Bench<'_>, soak: &Curve) -> String {
    let at = |point: &&'static str| {
        let place = match *point {
            "sink" => "on the sink beside the board",
            "inside" => "in the air inside, at its highest as the lamp stands",
            "wall" => "on the body outside",
            "front" => "on the middle of the front",
            _ if inside(bench.lamp) => "on the battery",
            _ => "on the supply's case",
        };
        match number(bench, point) {
            Some(number) => format!("{number} {place}"),
            None => place.to_owned(),
        }
    };
    soak.points.iter().map(at).collect::<Vec<_>>().join(", ")
}

/// A point with its number on the section.
fn named(bench: &Bench<'_>, point: &str) -> String {
    number(bench, point)
        .map_or_else(|| title(bench, point).to_owned(), |number| format!("{number} {}", title(bench, point)))
}
