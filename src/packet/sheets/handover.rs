//! Sheet `handover`: the leaflet that goes with the lamp to its owner.

use serde_json::{Value, json};

use super::first_power::after_cut;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::schema::words::{Class, Mount, Place};
use crate::solve::label::class;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "handover",
    title: "For the owner",
    moment: "handed over with the lamp",
    template_name: "sheets/handover.md",
    template: include_str!("../../../templates/sheets/handover.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required: |bench| {
        let refused = bench.refused();
        if !refused.is_empty() {
            return refused;
        }
        vec![apart(bench).to_owned(), "Stop using it if".to_owned(), after_cut(bench).to_owned()]
    },
};

/// How its owner takes the power away.
fn apart(bench: &Bench<'_>) -> &'static str {
    match &bench.lamp.mains {
        Some(mains) if mains.cord.is_none() && mains.inlet.is_none() => "Switch its circuit off",
        Some(_) => "Unplug it",
        None if bench.lamp.supply.battery.as_ref().is_some_and(|b| b.fuse.is_some()) => {
            "Take fuse and battery out, the fuse first,"
        }
        None if bench.battery() => "Take its battery out",
        None => "Unplug its supply",
    }
}

fn data(bench: &Bench<'_>) -> Value {
    let mains = bench.lamp.mains.as_ref();
    let identity = &bench.lamp.identity;
    let circuit = match bench.mains() {
        true => format!(", on a circuit with {}", bench.term("residual devices")),
        false => String::new(),
    };
    let place = match identity.place.value {
        Some(Place::IndoorDry) => "Dry rooms only: not beside bath, shower or sink, and not outdoors.".to_owned(),
        Some(Place::IndoorDamp) => format!("Damp rooms too{circuit}."),
        Some(Place::Outdoor) => format!("Outdoors too{circuit}."),
        None => "Its surroundings are not known: treat it as a lamp for dry rooms.".to_owned(),
    };
    json!({
        "refused": bench.refused(),
        "name": identity.model.value.clone().unwrap_or_else(|| bench.lamp.name.clone()),
        "maker": identity.maker.value,
        "place": place,
        "mains": bench.mains(),
        "cord": mains.is_some_and(|m| m.cord.is_some()),
        "fused": mains.is_some_and(|m| m.fuse.is_some()),
        "apart": apart(bench),
        "after_cut": after_cut(bench),
        "battery": bench.battery(),
        "earthed": class(bench.lamp) == Some(Class::I),
        "pendant": identity.mount.value == Some(Mount::Pendant),
        "children": identity.children.value == Some(true),
    })
}
