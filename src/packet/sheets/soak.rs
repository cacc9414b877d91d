//! Sheet `soak`: the first hours, moment by moment, what each point should read, and what to add for the warmest room.

use serde_json::{Value, json};

use crate::figures::trimmed;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::points::{number, title};
use crate::packet::sheet::TextSize;
use crate::schema::words::Instrument;
use crate::solve::battery::inside;
use crate::solve::heat::{MOMENTS, Soak};

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

/// The predicted soak, where it is known.
fn soak<'a>(bench: &Bench<'a>) -> Option<&'a Soak> {
    bench.solution.heat.as_ref().ok()?.soak.as_ref().ok()
}

fn data(bench: &Bench<'_>) -> Value {
    let Some(soak) = soak(bench) else { return Value::Null };
    let all = bench.report.margins();
    let points: Vec<Value> = soak
        .points
        .iter()
        .map(|point| {
            let path = format!("heat.judged.{point}");
            let limit = all.iter().find(|(_, _, m)| m.path.as_deref() == Some(path.as_str()));
            json!({ "name": point, "title": named(bench, point), "limit": limit.map(|(_, _, m)| m.limit.clone()) })
        })
        .collect();
    json!({ "places": places(bench, soak), "points": points, "moments": (0..MOMENTS).map(|n| json!({ "number": n, "time": minutes(bench, &format!("heat.soak.{n}.time")) })).collect::<Vec<_>>(),
        "needed": minutes(bench, "heat.soak.needed"), "slowest": minutes(bench, "heat.soak.slowest"), "thermometer": bench.owns(Instrument::Thermometer), "mains": bench.solution.line.is_some(), "battery": inside(bench.lamp) })
}

/// A time in minutes: whole ones where it is no more exact than that.
fn minutes(bench: &Bench<'_>, path: &str) -> String {
    let seconds = bench.solution.ledger.get(path).and_then(|entry| entry.value);
    seconds.map_or_else(|| "–".to_owned(), |s| format!("{} min", trimmed(s / 60.0, 0)))
}

/// Where each point is, by its number: as many as are followed.
fn places(bench: &Bench<'_>, soak: &Soak) -> String {
    let at = |point: &&'static str| {
        let place = match *point {
            "sink" => "on the sink beside the board",
            "inside" => "in the air under the top",
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
