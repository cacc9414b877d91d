//! Sheet `print`: the card at the printer: side on the bed, plastic, time, walls, what hangs free, screws.

use serde_json::{Value, json};

use crate::figures::percent;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::schema::words::{Body, BodyMaterial, Face, Word};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "print",
    title: "Print card",
    moment: "at the printer, before the first layer and after the last",
    template_name: "sheets/print.md",
    template: include_str!("../../../templates/sheets/print.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.solution.print.is_some(),
    data,
    required,
};

/// The mass, where the card has figures at all.
fn required(bench: &Bench<'_>) -> Vec<String> {
    let solved = bench.solution.print.as_ref().is_some_and(Result::is_ok);
    let mass = bench.solution.ledger.shown("print.mass").filter(|_| solved);
    mass.into_iter().map(str::to_owned).collect()
}

fn data(bench: &Bench<'_>) -> Value {
    let missing = bench.solution.print.as_ref().and_then(|print| print.as_ref().err()).map(|m| m.path.clone());
    let body = &bench.lamp.enclosure;
    let print = body.print.as_ref();
    let bed = print.and_then(|print| print.bed.value);
    let solved = bench.solution.print.as_ref().and_then(|print| print.as_ref().ok());
    json!({
        "missing": missing,
        "solved": solved.is_some(),
        "material": body.material.value.map_or_else(|| "not known".to_owned(), called),
        "infill": print.and_then(|print| print.infill.get().ok()).map_or_else(|| "–".to_owned(), percent),
        "inserts": print.and_then(|print| print.inserts.value) == Some(true),
        "quantity": bench.shown(&bench.lamp.identity.quantity.path),
        "notes": notes(
            bed,
            body.shape.value != Some(Body::Box),
            !matches!(body.shape.value, Some(Body::Box | Body::Cylinder)),
            body.material.value,
        ),
        "ball": matches!(body.shape.value, Some(Body::Sphere | Body::Dome)),
        "live": body.holds_live.value == Some(true),
        "mains": bench.mains(),
    })
}

/// Plastics that go by their letters stand in capitals, as on their spools.
fn called(material: BodyMaterial) -> String {
    use BodyMaterial::{Abs, Asa, Pa12, Petg, Pla};
    let word = material.word();
    if matches!(material, Pla | Petg | Abs | Asa | Pa12) { word.to_uppercase() } else { word.to_owned() }
}

fn notes(bed: Option<Face>, round: bool, open: bool, material: Option<BodyMaterial>) -> Vec<&'static str> {
    let mut notes = vec![match bed {
        Some(Face::Back) => {
            "Back on the bed: layers run round the axis, the seat of the sheet is printed last and flat."
        }
        Some(Face::Front) if open => "Front on the bed: its edge is smooth; the back is a bridge, and wants support.",
        Some(Face::Front) => {
            "Front on the bed: the lip is smooth and needs no support; the back is a bridge, and wants one."
        }
        Some(_) if round => {
            "On its side: layers run along the axis. A round wall sags at its crown: give it support inside."
        }
        Some(_) => "On its side: layers run along the axis. The wall above is a bridge, and wants support inside.",
        None => "Choose the side on the bed so that no layer line lies where screws pull.",
    }];
    notes.push("Layers part before lines do: no screw may pull the layers from each other.");
    match material {
        Some(BodyMaterial::Abs | BodyMaterial::Asa | BodyMaterial::Polycarbonate) => {
            notes
                .push("Close the printer and keep it warm to the end, or corners lift and layers split. Air the room.");
        }
        Some(BodyMaterial::Pa12) => notes.push("Dry the filament for a night, or it strings and prints weak."),
        Some(BodyMaterial::Petg) => notes.push("Dry the filament; let the first layer lie, not press."),
        _ => {}
    }
    notes.push("Seat and recess face up or down, never sideways: steps of the layers make a sheet jam.");
    notes
}
