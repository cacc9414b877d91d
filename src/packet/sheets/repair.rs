//! Sheet `repair`: how to open the lamp, from what is seen to where to look, and what to test again afterwards.

use serde_json::{Value, json};

use super::safety::fuse_may_turn;
use crate::lamp::driver::Channel;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::readings::on_paper;
use crate::packet::sheet::TextSize;
use crate::quantity::Watts;
use crate::schema::words::{Class, Side, Topology};
use crate::solve::label::class;
use crate::solve::wires::strings_plug;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "repair",
    title: "Repair",
    moment: "years later, the lamp on the bench again",
    template_name: "sheets/repair.md",
    template: include_str!("../../../templates/sheets/repair.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required: |bench| {
        let faults = ["Dark", "One colour dark", "Flickers", "Hums", "Starts again by itself"];
        let trips = bench.mains().then(|| format!("Trips the {}", bench.term("residual device")));
        faults.into_iter().map(str::to_owned).chain(trips).collect()
    },
};

fn data(bench: &Bench<'_>) -> Value {
    let channel = |c: &Channel| {
        let at = |figure: &str| format!("drive.{}.{figure}", c.name);
        json!({ "name": c.name, "string": at("string"), "coldest": at("string-coldest") })
    };
    let channels: Vec<Value> = bench.lamp.driver.channels.iter().map(channel).collect();
    json!({
        "mains": bench.mains(),
        "battery": bench.battery(),
        "fused": bench.lamp.mains.as_ref().is_some_and(|m| m.fuse.is_some()),
        "earthed": class(bench.lamp) == Some(Class::I),
        "supply_inside": bench.lamp.supply.place.value != Some(Side::Outside),
        "switch": bench.lamp.mains.as_ref().is_some_and(|m| m.switch.is_some()),
        "cord": bench.lamp.mains.as_ref().is_some_and(|m| m.cord.is_some()),
        "channels": channels,
        "controller": bench.lamp.controller.is_some(),
        "switched": bench.lamp.driver.topology.value == Some(Topology::HystereticSink),
        "readings": on_paper(bench),
        "strings_plug": strings_plug(bench.lamp),
        "shutoff": bench.lamp.driver.shutoff.is_some(),
        "plug_fuse": bench.plug_fused(),
        "fuse_may_turn": fuse_may_turn(bench),
        "derated": bench.solution.feed.rating.as_ref().is_ok_and(|rating| *rating <= Watts::ZERO),
    })
}
