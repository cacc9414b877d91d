//! Sheet `wiring`: every conductor with both its ends, mains first and protective earth first of all.

use serde_json::{Value, json};

use crate::figures::stated;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::{DataTable, TextSize};
use crate::packet::terms::length;
use crate::physics::conductors::colour::{Conductor, conductor_colour};
use crate::schema::words::{Colour, CordBuild, Region, Word};
use crate::solve::line;
use crate::solve::wires::{Role, Wire, WireZone, strings_plug};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "wiring",
    title: "Wiring",
    moment: "cut, label, fit, tug, check",
    template_name: "sheets/wiring.md",
    template: include_str!("../../../templates/sheets/wiring.md"),
    size: TextSize::Dense,
    landscape: true,
    applies: |bench| !bench.solution.wires.is_empty(),
    data,
    required: |bench| {
        let rows = bench.solution.wires.iter().map(|w| format!("{} {}", w.from, w.to));
        rows.chain(["connector-faces".to_owned()]).collect()
    },
};

fn data(bench: &Bench<'_>) -> Value {
    let of = |zone: WireZone| -> Vec<Value> {
        bench.solution.wires.iter().filter(|w| w.zone == zone).map(|w| row(bench, w)).collect()
    };
    json!({
        "zones": [
            { "name": bench.term("Mains"), "rows": of(WireZone::Mains) },
            { "name": "Extra-low voltage", "rows": of(WireZone::LowVoltage) },
            { "name": "Signals", "rows": of(WireZone::Signal) },
        ],
        "cord": cord(bench),
        "placed": bench.solution.wires.iter().any(|w| bench.has(&format!("wire.{}.way", w.name))),
        "later": later(bench),
        "strings_plug": strings_plug(bench.lamp),
        "earth": bench.solution.wires.iter().any(|w| w.role == Role::Earth),
        "mains": bench.mains(),
    })
}

/// Numbers of the string wires that end at the driver: their ends there are the last to be joined.
fn later(bench: &Bench<'_>) -> String {
    let string = |w: &&Wire| matches!(w.role, Role::StringPlus(_) | Role::StringMinus(_));
    let at_driver = |w: &&Wire| [&w.from, &w.to].iter().any(|end| end.starts_with("driver."));
    let wires = bench.solution.wires.iter().filter(string).filter(at_driver);
    wires.map(|w| w.number.as_str()).collect::<Vec<_>>().join(", ")
}

/// The cores of the cord: which goes where, in the colours of the region; none for a lamp with an inlet.
fn cord(bench: &Bench<'_>) -> Option<Value> {
    let cord = bench.lamp.mains.as_ref()?.cord.as_ref()?;
    let earthed = bench.solution.wires.iter().any(|w| w.role == Role::Earth);
    let mut cores = vec![(Conductor::Line, "L"), (Conductor::Neutral, "N")];
    cores.extend(earthed.then_some((Conductor::ProtectiveEarth, "PE")));
    let flat = matches!(cord.build.value, Some(CordBuild::LampFlat | CordBuild::LampFlatHeavy));
    let core = |(conductor, terminal): (Conductor, &str)| {
        let found = conductor_colour(line::terms::region(bench.region()), conductor);
        let (code, also) = (found.marking.code(), found.also.join(" or "));
        let also = if also.is_empty() || conductor != Conductor::ProtectiveEarth {
            String::new()
        } else {
            format!(" or {also}")
        };
        match (flat, terminal) {
            (true, "L") => format!("the smooth core to entry.{terminal}"),
            (true, "N") => format!("the ribbed or striped core to entry.{terminal}"),
            _ => format!("{code}{also} to entry.{terminal}"),
        }
    };
    let cores: Vec<String> = cores.into_iter().map(core).collect();
    Some(json!({ "cores": cores.join(", "), "earthed": earthed, "flat": flat }))
}

/// `green-and-yellow GNYE`, spelled as the region spells it.
pub(crate) fn colour(bench: &Bench<'_>, colour: Colour) -> String {
    let code = Colour::CHOICES.iter().find(|c| c.word == colour.word()).map_or("", |c| c.doc);
    let word = if colour == Colour::Grey { bench.term("grey") } else { colour.word() };
    format!("{word} {code}")
}

/// The zone in a word.
const fn zone(zone: WireZone) -> &'static str {
    match zone {
        WireZone::Mains => "mains",
        WireZone::LowVoltage => "low voltage",
        WireZone::Signal => "signal",
    }
}

/// Size as the region buys it: a gauge that is not smaller, with its own area; elsewhere the area, or that gauge.
pub(crate) fn size(bench: &Bench<'_>, wire: &Wire) -> String {
    let area = stated(wire.area.value(), "m²");
    match bench.region() {
        Region::Us => bench.local(&area),
        _ => format!("{area} or {}", wire.gauge),
    }
}

/// The share of what it may carry that stays unused.
fn margin(wire: &Wire) -> String {
    match (&wire.current, &wire.ampacity) {
        (Ok(current), Ok(most)) if current.value() > 0.0 => {
            crate::figures::percent((most.value() - current.value()) / most.value())
        }
        _ => "–".to_owned(),
    }
}

/// What it carries, in the words of the region's trade.
fn carries<'a>(bench: &Bench<'_>, wire: &'a Wire) -> &'a str {
    match wire.role {
        Role::Earth => bench.term("protective earth"),
        Role::Line => bench.term("line"),
        Role::Neutral => bench.term("neutral"),
        _ => wire.carries.as_str(),
    }
}

/// How much to strip at both ends, or at one end and the other.
fn strip(bench: &Bench<'_>, wire: &Wire) -> String {
    let [from, to] = wire.strip.map(|s| length(bench.region(), s));
    if from == to {
        return from;
    }
    // `5/16 / 3/16 in (8 / 5 mm)` is read faster than each length with both its units.
    let both = |text: &str| {
        let (inches, millimetres) = text.strip_suffix(" mm)")?.split_once(" in (")?;
        Some((inches.to_owned(), millimetres.to_owned()))
    };
    match both(&from).zip(both(&to)) {
        Some(((a, b), (c, d))) => format!("{a} / {c} in ({b} / {d} mm)"),
        None => format!("{from} / {to}"),
    }
}

fn row(bench: &Bench<'_>, wire: &Wire) -> Value {
    let figure = |what: &str| bench.shown(&format!("wire.{}.{what}", wire.name));
    let termination = wire.termination.replace("toothed washer", bench.term("toothed washer"));
    json!({
        "number": wire.number, "name": wire.name, "from": wire.from, "to": wire.to,
        "carries": carries(bench, wire), "zone": zone(wire.zone), "ampacity": figure("ampacity"),
        "colour": colour(bench, wire.colour), "size": size(bench, wire),
        "made_for": format!("{}, {}", bench.said("wiring.temperature"), stated(wire.voltage.value(), "V")),
        "length": length(bench.region(), wire.length), "strip": strip(bench, wire),
        "termination": termination, "sleeve": if wire.sleeve.is_empty() { "–" } else { wire.sleeve.as_str() },
        "current": if wire.role == Role::Earth { "fault only".to_owned() } else { figure("current") },
        "drop": if wire.role == Role::Earth { "–".to_owned() } else { figure("drop") },
        "margin": margin(wire),
    })
}

/// Columns of `wiring.csv`, each with the key of the sheet's row it holds.
const COLUMNS: [(&str, &str); 17] = [
    ("number", "number"),
    ("name", "name"),
    ("from", "from"),
    ("to", "to"),
    ("carries", "carries"),
    ("zone", "zone"),
    ("colour", "colour"),
    ("size", "size"),
    ("made for", "made_for"),
    ("cut length", "length"),
    ("strip", "strip"),
    ("termination", "termination"),
    ("sleeve", "sleeve"),
    ("current", "current"),
    ("drop", "drop"),
    ("may carry", "ampacity"),
    ("left", "margin"),
];

/// The same conductors as `wiring.csv`.
pub(crate) fn table(bench: &Bench<'_>) -> DataTable {
    let cells = |wire: &Wire| {
        let row = row(bench, wire);
        COLUMNS.iter().map(|(_, key)| row.get(key).and_then(Value::as_str).unwrap_or("").to_owned()).collect()
    };
    DataTable {
        name: "wiring".into(),
        columns: COLUMNS.iter().map(|(name, _)| (*name).to_owned()).collect(),
        rows: bench.solution.wires.iter().map(cells).collect(),
    }
}
