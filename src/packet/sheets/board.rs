//! Sheet `board`: holes of the perforated board, where each component sits, both sides.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::schema::words::Zone;
use crate::solve::board::{BoardSolution, Unit, package};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "board",
    title: "Perforated board",
    moment: "planning the board, then soldering it, column and row in view",
    template_name: "sheets/board.md",
    template: include_str!("../../../templates/sheets/board.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.lamp.board.is_some(),
    data,
    required: |bench| solved(bench).map_or_else(Vec::new, |b| b.units.iter().map(|unit| unit.name.clone()).collect()),
};

fn solved<'a>(bench: &Bench<'a>) -> Option<&'a BoardSolution> {
    bench.solution.board.as_ref()?.as_ref().ok()
}

fn data(bench: &Bench<'_>) -> Value {
    let missing = bench.solution.board.as_ref().and_then(|board| board.as_ref().err()).map(|m| m.path.clone());
    let Some(board) = solved(bench) else { return json!({ "missing": missing, "drawn": false }) };
    let item = |unit: &Unit| bench.lamp.board.as_ref().and_then(|given| given.items.get(unit.item));
    let live = |unit: &&Unit| item(unit).is_some_and(|item| item.zone.value == Some(Zone::Mains));
    let mains: Vec<&str> = board.units.iter().filter(live).map(|unit| unit.name.as_str()).collect();
    let clashes: Vec<String> =
        board.clashes.iter().map(|(name, met, _)| format!("The place of {name} meets {met}")).collect();
    let left: Vec<&str> =
        board.units.iter().filter(|unit| unit.at.is_none() && !live(unit)).map(|unit| unit.name.as_str()).collect();
    json!({
        "missing": missing,
        "drawn": true,
        "stages": stages(bench, board),
        "items": items(bench, board),
        "units": board.units.iter().map(|unit| row(bench, unit)).collect::<Vec<_>>(),
        "keep_outs": board.keep_outs.iter().map(|(name, [c, r, columns, rows])| json!({
            "name": name, "columns": span(*c, *columns), "rows": span(*r, *rows),
        })).collect::<Vec<_>>(),
        "mains": mains.join(", "),
        "clashes": clashes,
        "left": left.join(", "),
        "live": bench.mains(),
        "move_off": board.move_off.join(", "),
        "larger": board.larger,
    })
}

/// `3` or `3 to 7`, counted from 1.
fn span(first: usize, count: usize) -> String {
    if count <= 1 { (first + 1).to_string() } else { format!("{} to {}", first + 1, first + count) }
}

/// The budget by component.
fn items(bench: &Bench<'_>, board: &BoardSolution) -> Vec<Value> {
    let given = bench.lamp.board.as_ref().map_or(&[][..], |board| &board.items);
    let row = |(k, item): (usize, &crate::lamp::board::Item)| {
        let path = |what: &str| format!("board.{}.{what}", item.name);
        json!({
            "name": item.name,
            "package": package(item),
            "count": board.units.iter().filter(|unit| unit.item == k).count(),
            "field": bench.shown(&path("field")),
            "holes": bench.shown(&path("taken")),
        })
    };
    given.iter().enumerate().map(row).collect()
}

fn stages(bench: &Bench<'_>, board: &BoardSolution) -> Vec<Value> {
    let mut seen: Vec<(&str, usize)> = Vec::new();
    for unit in &board.units {
        match seen.iter_mut().find(|(stage, _)| *stage == unit.stage) {
            Some((_, count)) => *count += 1,
            None => seen.push((&unit.stage, 1)),
        }
    }
    let row = |(k, (stage, count)): (usize, &(&str, usize))| {
        let holes = bench.shown(&format!("board.stage-{}", k + 1));
        json!({ "stage": stage, "count": count, "holes": holes })
    };
    seen.iter().enumerate().map(row).collect()
}

/// Holes of the legs: `14 to 17 in rows 1, 4`.
fn legs(unit: &Unit, place: (usize, usize)) -> String {
    let mut by_row: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (column, row) in &unit.footprint.legs {
        by_row.entry(place.1 + row + 1).or_default().push(place.0 + column + 1);
    }
    let mut same: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    for (row, mut columns) in by_row {
        columns.sort_unstable();
        match same.iter_mut().find(|(known, _)| *known == columns) {
            Some((_, rows)) => rows.push(row),
            None => same.push((columns, vec![row])),
        }
    }
    let run = |numbers: &[usize]| match numbers {
        [first, .., last] if numbers.len() > 2 && last - first + 1 == numbers.len() => format!("{first} to {last}"),
        _ => numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
    };
    let said = same.iter().map(|(columns, rows)| {
        format!("{} in row{} {}", run(columns), if rows.len() > 1 { "s" } else { "" }, run(rows))
    });
    said.collect::<Vec<_>>().join("; ")
}

fn row(bench: &Bench<'_>, unit: &Unit) -> Value {
    let item = bench.lamp.board.as_ref().and_then(|board| board.items.get(unit.item));
    let (columns, rows) = match unit.at {
        Some((column, row)) => (span(column, unit.footprint.columns), span(row, unit.footprint.rows)),
        None => ("no place".to_owned(), "–".to_owned()),
    };
    json!({
        "number": unit.number,
        "name": unit.name,
        "stage": unit.stage,
        "package": item.map_or("", package),
        "columns": columns,
        "rows": rows,
        "legs": unit.at.map_or_else(|| "–".to_owned(), |place| legs(unit, place)),
        "turned": unit.turned,
    })
}
