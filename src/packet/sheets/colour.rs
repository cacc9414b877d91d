//! Sheet `colour`: the calibration record: start codes, final codes and what was measured, target by target.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "colour",
    title: "Colour calibration",
    moment: "with the lamp warm and a colour meter in hand",
    template_name: "sheets/colour.md",
    template: include_str!("../../../templates/sheets/colour.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.solution.look.targets.iter().any(|t| t.mix.is_ok()),
    data,
    required: |bench| {
        let mixed = bench.solution.look.targets.iter().filter(|t| t.mix.is_ok());
        mixed.map(|t| t.name.clone()).collect()
    },
};

fn data(bench: &Bench<'_>) -> Value {
    let names: Vec<&str> = bench.lamp.driver.channels.iter().map(|c| c.name.as_str()).collect();
    let mixed = bench.solution.look.targets.iter().filter(|t| t.mix.is_ok());
    let targets = mixed.map(|target| {
        let figure = |what: &str| bench.shown(&format!("light.target.{}.{what}", target.name));
        let coded = target.mix.as_ref().is_ok_and(|blend| blend.codes.is_some());
        let channels = names.iter().map(|name| {
            let start = if coded { figure(&format!("code.{name}")) } else { figure(&format!("level.{name}")) };
            json!({ "name": name, "start": start })
        });
        json!({
            "name": target.name,
            "x": figure("reached-x"),
            "y": figure("reached-y"),
            "flux": figure("flux"),
            "channels": channels.collect::<Vec<_>>(),
        })
    });
    let channels = names.iter().map(|name| {
        let figure = |what: &str| bench.shown(&format!("light.channel.{name}.{what}"));
        json!({ "name": name, "x": figure("x"), "y": figure("y") })
    });
    json!({ "targets": targets.collect::<Vec<_>>(), "channels": channels.collect::<Vec<_>>() })
}
