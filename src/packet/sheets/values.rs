//! Sheet `values`: each computed component, from the value wanted to what is read on the part and what then flows.

use serde_json::{Value, json};

use crate::figures::percent;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::{DataTable, TextSize};
use crate::quantity::Quantity;
use crate::solve::drive::{ChannelSolution, Component};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "values",
    title: "Component values",
    moment: "soldering the board: which part goes where, and how to read it",
    template_name: "sheets/values.md",
    template: include_str!("../../../templates/sheets/values.md"),
    size: TextSize::Dense,
    landscape: true,
    applies: |bench| !bench.solution.channels.is_empty(),
    data,
    required: |bench| {
        let all = bench.solution.channels.iter().flat_map(|c| &c.components);
        all.flat_map(|c| [c.designation.clone(), c.code.clone()]).collect()
    },
};

fn data(bench: &Bench<'_>) -> Value {
    let channels: Vec<Value> = bench.solution.channels.iter().map(|c| channel(bench, c)).collect();
    let stock = &bench.lamp.stock;
    json!({ "channels": channels, "tolerance": stock.resistor_tolerance.value.map(percent) })
}

fn channel(bench: &Bench<'_>, solved: &ChannelSolution) -> Value {
    let missing = [solved.string.as_ref().err(), solved.set.as_ref().err()].into_iter().flatten().next();
    let parts: Vec<Value> = solved.components.iter().map(|c| part(bench, c)).collect();
    let at = |figure: &str| format!("drive.{}.{figure}", solved.name);
    json!({
        "name": solved.name,
        "missing": missing.map(|m| bench.lacks(m)),
        "current": at("current"),
        "wanted": solved.set.as_ref().ok().map(|s| s.wanted.show()),
        "parts": parts,
        "inductance": at("inductance"), "inductance_exact": at("inductance-exact"),
        "off_time": at("off-time"),
    })
}

/// Ends of the paths that are no value of the part itself: the most it may be, and what a pair of them makes.
const BOUND: &str = ".pull-most";
const GAIN: &str = ".gain-exact";

/// What was wanted of a part, as printed.
fn wanted(bench: &Bench<'_>, component: &Component) -> Option<String> {
    let path = component.exact.as_ref()?;
    let shown = bench.shown(path);
    Some(match path {
        path if path.ends_with(BOUND) => format!("at most {shown}"),
        path if path.ends_with(GAIN) => format!("gain {shown}"),
        _ => shown,
    })
}

fn part(bench: &Bench<'_>, component: &Component) -> Value {
    let unit = match bench.solution.ledger.get(&component.chosen).map(|e| e.unit) {
        // Meters show capacitors of this size so, and resistors by their prefix.
        Some("F") => "nF",
        Some("Ω") => match bench.solution.ledger.get(&component.chosen).and_then(|e| e.value) {
            Some(ohms) if ohms >= 1e6 => "MΩ",
            Some(ohms) if ohms >= 1e3 => "kΩ",
            _ => "Ω",
        },
        Some(unit) => unit,
        None => "",
    };
    json!({
        "designation": component.designation,
        "purpose": component.purpose,
        "exact": wanted(bench, component).unwrap_or_else(|| "–".to_owned()),
        "chosen": component.chosen,
        "series": component.series,
        "error": match &component.exact {
            Some(path) if !path.ends_with(BOUND) => Some(percent(component.error)),
            _ => None,
        },
        "code": component.code,
        "bands": component.bands,
        "power": component.power.as_ref().map_or_else(|| "–".to_owned(), |path| bench.shown(path)),
        "rating": if component.rating.is_empty() { "–" } else { component.rating.as_str() },
        "result": component.result,
        "unit": unit,
    })
}

/// The capacitor across the supply's output, where the program chose it.
fn bulk(bench: &Bench<'_>) -> Option<Vec<String>> {
    bench.solution.ledger.get("feed.bulk").is_some().then(|| {
        let mut row = vec![String::new(); 11];
        let cells = [
            (0, "all".to_owned()),
            (1, "C supply".to_owned()),
            (2, "across the supply's output".to_owned()),
            (3, bench.shown("feed.bulk-exact")),
            (4, bench.shown("feed.bulk")),
            (5, bench.band("feed.bulk")),
            (6, "E6".to_owned()),
            (10, bench.solution.ledger.shown("feed.bulk-voltage").unwrap_or_default().to_owned()),
        ];
        for (at, text) in cells {
            if let Some(cell) = row.get_mut(at) {
                *cell = text;
            }
        }
        row
    })
}

/// The same rows for a machine.
pub(in crate::packet) fn table(bench: &Bench<'_>) -> DataTable {
    const COLUMNS: [&str; 11] =
        ["channel", "part", "purpose", "wanted", "fitted", "band", "series", "code", "bands", "power", "rating"];
    let row = |solved: &ChannelSolution, c: &Component| {
        let shown = |path: &Option<String>| path.as_ref().map_or_else(String::new, |p| bench.shown(p));
        vec![
            solved.name.clone(),
            c.designation.clone(),
            c.purpose.clone(),
            wanted(bench, c).unwrap_or_default(),
            bench.shown(&c.chosen),
            bench.band(&c.chosen),
            c.series.clone(),
            c.code.clone(),
            c.bands.clone(),
            shown(&c.power),
            c.rating.clone(),
        ]
    };
    let channels = bench.solution.channels.iter();
    DataTable {
        name: "values".into(),
        columns: COLUMNS.map(str::to_owned).to_vec(),
        rows: channels.flat_map(|s| s.components.iter().map(move |c| row(s, c))).chain(bulk(bench)).collect(),
    }
}
