//! Sheet `pins`: what the firmware must know of each pin, and the table of perceptual dimming.

use serde_json::{Value, json};

use crate::lamp::driver::Channel;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::{DataTable, TextSize};
use crate::quantity::Quantity;
use crate::schema::words::Word;
use crate::solve::drive::{ChannelSolution, LEVELS};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "pins",
    title: "Pins and dimming",
    moment: "flashing: what the firmware must know",
    template_name: "sheets/pins.md",
    template: include_str!("../../../templates/sheets/pins.md"),
    size: TextSize::Dense,
    landscape: true,
    applies: |bench| bench.lamp.controller.is_some(),
    data,
    required: |bench| bench.lamp.driver.channels.iter().filter_map(|c| c.pin.value.clone()).collect(),
};

fn data(bench: &Bench<'_>) -> Value {
    let lamp = bench.lamp;
    let pairs = lamp.driver.channels.iter().zip(&bench.solution.channels);
    let channels: Vec<Value> = pairs.map(|(channel, solved)| row(bench, channel, solved)).collect();
    let dims = bench.solution.ledger.get("dimming.50.share").is_some();
    let groups = alike(bench);
    let levels: Vec<Value> = LEVELS
        .iter()
        .filter(|_| dims)
        .map(|l| {
            let first = groups.iter().filter_map(|group| group.first());
            let cells = first.map(|name| {
                let at = |figure: &str| format!("dimming.{l}.{name}.{figure}");
                json!({ "level": at("level"), "counts": at("counts") })
            });
            json!({ "lightness": l, "share": format!("dimming.{l}.share"), "cells": cells.collect::<Vec<_>>() })
        })
        .collect();
    let columns: Vec<String> = match groups.as_slice() {
        [_] => vec![String::new()],
        several => several.iter().map(|group| format!("{}: ", group.join(", "))).collect(),
    };
    let held = bench.solution.channels.iter().any(|c| !c.transfer().proportional());
    let shutoff = lamp.driver.shutoff.as_ref().map(|s| {
        let kind = s.kind.value.map_or("not known", Word::word);
        json!({ "kind": kind.replace('-', " "), "pin": s.pin.value.clone().unwrap_or_else(|| "by hand".to_owned()) })
    });
    json!({
        "channels": channels,
        "levels": levels,
        "columns": columns,
        "held": held,
        "shutoff": shutoff,
        "reference": lamp.driver.reference.value.map_or("not known", Word::word).replace('-', " "),
        "bits": lamp.driver.bits.path,
        "cap": lamp.driver.cap.path,
        "power_return": lamp.aim.power_return.value.map_or("not known", Word::word),
        "lowest": lamp.aim.lowest.value.map(crate::figures::percent),
        "pwm": lamp.driver.pwm.path,
        "dims": dims,
    })
}

/// Channels in groups whose tables are the same figure for figure, in the spec's order.
fn alike<'a>(bench: &Bench<'a>) -> Vec<Vec<&'a str>> {
    let table = |name: &str| -> Vec<String> {
        let at = |l: &u32| ["level", "counts"].map(|figure| bench.shown(&format!("dimming.{l}.{name}.{figure}")));
        LEVELS.iter().flat_map(at).collect()
    };
    let mut groups: Vec<(Vec<String>, Vec<&str>)> = Vec::new();
    let lamp = bench.lamp;
    for channel in &lamp.driver.channels {
        let own = table(&channel.name);
        match groups.iter_mut().find(|(other, _)| *other == own) {
            Some((_, names)) => names.push(&channel.name),
            None => groups.push((own, vec![&channel.name])),
        }
    }
    groups.into_iter().map(|(_, names)| names).collect()
}

fn row(bench: &Bench<'_>, channel: &Channel, solved: &ChannelSolution) -> Value {
    let at = |figure: &str| bench.shown(&format!("drive.{}.{figure}", channel.name));
    let pin = bench.lamp.pin(channel);
    let pull = match (&solved.pull, channel.pull_to.value) {
        (Some(Ok(pull)), Some(to)) if pull.value.value() > 0.0 => format!("{} {}", pull.value.show(), to.word()),
        (Some(Ok(pull)), _) if pull.present => "its divider".to_owned(),
        _ => "none".to_owned(),
    };
    json!({
        "name": channel.name,
        "pin": channel.pin.value.clone().unwrap_or_else(|| "none".to_owned()),
        "boot": pin.and_then(|p| p.boot.value).map_or("–", Word::word),
        "strap": pin.and_then(|p| p.strap.value).map_or("–", Word::word),
        "pull": pull,
        "level": at("boot-level"),
        "off_below": at("off-below"),
        "possible": at("bits-possible"),
        "step": at("step"),
        "lowest": at("lowest"),
        "full": at("current"),
        "gives": at("pin-current"),
    })
}

/// The same rows for a machine.
pub(in crate::packet) fn table(bench: &Bench<'_>) -> DataTable {
    const COLUMNS: [&str; 10] = [
        "channel",
        "pin",
        "boot",
        "strap",
        "pull",
        "level at start",
        "bits possible",
        "one step",
        "lowest level",
        "current at full",
    ];
    let keys = ["name", "pin", "boot", "strap", "pull", "level", "possible", "step", "lowest", "full"];
    let pairs = bench.lamp.driver.channels.iter().zip(&bench.solution.channels);
    let rows = pairs.map(|(channel, solved)| {
        let row = row(bench, channel, solved);
        keys.iter().map(|key| row.get(key).and_then(Value::as_str).unwrap_or_default().to_owned()).collect()
    });
    DataTable { name: "pins".into(), columns: COLUMNS.map(str::to_owned).to_vec(), rows: rows.collect() }
}
