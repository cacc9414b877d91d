//! Sheet `cut`: everything the one who cuts the diffuser needs, with the outline in true size.

use serde_json::{Value, json};

use crate::figures::percent;
use crate::lamp::diffuser::Diffuser;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::openings;
use crate::packet::sheet::TextSize;
use crate::quantity::Quantity;
use crate::schema::words::{Cutter, OutlineKind, SheetMaterial, Word};
use crate::solve::sheet::{Net, SheetSolution};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "cut",
    title: "Cut the diffuser",
    moment: "stuck on the sheet, or sent to the machine with its drawing",
    template_name: "sheets/cut.md",
    template: include_str!("../../../templates/sheets/cut.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.lamp.diffuser.is_some(),
    data,
    required,
};

fn solved<'a>(bench: &Bench<'a>) -> Option<&'a SheetSolution> {
    bench.solution.sheet.as_ref()?.as_ref().ok()
}

/// A disc or ring that could be made: measured by its diameter.
fn round(bench: &Bench<'_>) -> bool {
    let outline = bench.lamp.diffuser.as_ref().and_then(|d| d.outline.value);
    let made = solved(bench).is_some_and(|sheet| sheet.net.is_ok());
    made && matches!(outline, Some(OutlineKind::Disc | OutlineKind::Ring))
}

fn required(bench: &Bench<'_>) -> Vec<String> {
    let paths = ["cut.diameter", "cut.width", "cut.height"];
    let sizes = if round(bench) { &paths[..1] } else { &paths[1..] };
    let sizes = sizes.iter().map(|path| bench.solution.ledger.shown(path));
    let kerf = bench.lamp.diffuser.as_ref().and_then(|d| bench.solution.ledger.shown(&d.cut.kerf.path));
    sizes.chain([kerf]).flatten().map(str::to_owned).collect()
}

fn data(bench: &Bench<'_>) -> Value {
    let Some(given) = &bench.lamp.diffuser else { return json!({}) };
    let missing = bench.solution.sheet.as_ref().and_then(|sheet| sheet.as_ref().err()).map(|m| m.path.clone());
    let net = solved(bench).and_then(|sheet| sheet.net.as_ref().ok());
    let word = |word: Option<&'static str>| word.unwrap_or("not known");
    json!({
        "missing": missing,
        "drawn": net.is_some(),
        "sound": solved(bench).is_some_and(|sheet| sheet.path().is_some()),
        "round": round(bench),
        "material": word(given.material.value.map(Word::word)),
        "outline": word(given.outline.value.map(Word::word)),
        "transmission": given.transmission.get().ok().map(percent),
        "method": word(given.cut.method.value.map(Word::word)),
        "features": net.map_or_else(Vec::new, |net| features(bench, given, net)),
        "notches": notches(given),
        "seat": solved(bench).is_some_and(|sheet| matches!(sheet.seat, Some(Ok(_)))),
        "seat_missing": seat_missing(bench),
        "rows": solved(bench).and_then(|sheet| sheet.nest.as_ref()?.as_ref().ok()).map(|nest| nest.layout.rows.words()),
        "nested": solved(bench).is_some_and(|sheet| matches!(&sheet.nest, Some(Ok(n)) if !n.layout.places.is_empty())),
        "standing": standing(bench),
        "notes": notes(given),
    })
}

fn seat_missing(bench: &Bench<'_>) -> Option<String> {
    match solved(bench)?.seat.as_ref()? {
        Ok(_) => None,
        Err(missing) => Some(missing.path.clone()),
    }
}

/// Whether the round of the cutter leaves waste in an inside corner.
fn standing(bench: &Bench<'_>) -> bool {
    let path = solved(bench).and_then(|sheet| sheet.path());
    path.is_some_and(|(_, tool)| tool.left_standing.value() > 0.0)
}

fn features(bench: &Bench<'_>, given: &Diffuser, net: &Net) -> Vec<Value> {
    let row = |feature: &crate::solve::sheet::Feature| {
        let path = |what: &str| format!("cut.{}.{what}", feature.name);
        json!({
            "name": feature.name,
            "what": openings::told(given, feature),
            "path": bench.shown(&path("path")),
            "edge": bench.shown(&path("edge")),
            "edge_wanted": bench.shown(&path("edge-wanted")),
            "web": bench.shown(&path("web")),
        })
    };
    net.features.iter().map(row).collect()
}

fn notches(given: &Diffuser) -> Vec<Value> {
    let show = |length: crate::lamp::given::Found<crate::quantity::Metres>| length.map_or("–".into(), |l| l.show());
    let row = |notch: &crate::lamp::diffuser::Notch| {
        json!({
            "name": notch.name,
            "towards": notch.towards.nominal().map_or("–".into(), |angle| angle.show()),
            "width": show(notch.width.nominal()),
            "depth": show(notch.depth.nominal()),
            "corner": show(notch.corner.nominal()),
        })
    };
    given.notches.iter().map(row).collect()
}

/// What a cutter of this sheet and tool has to know, in the order of the work.
fn notes(given: &Diffuser) -> Vec<&'static str> {
    let mut notes = Vec::new();
    if let Some(method) = given.cut.method.value {
        notes.extend(by_method(method));
    }
    if let Some(material) = given.material.value {
        notes.extend(by_material(material));
    }
    notes.push("Mark on the film which face looks out. Keep that face up in the drawing: it is seen from outside.");
    notes
}

const fn by_method(method: Cutter) -> &'static [&'static str] {
    match method {
        Cutter::Laser => &[
            "Send `diffuser-cut.svg` and turn the machine's own kerf correction off; or send `diffuser.svg` and set \
             its correction to this kerf. Never both.",
            "Cut the holes first and the outer edge last, so that the piece cannot shift.",
            "Run the extraction, and stay at the machine until the last flame is out.",
        ],
        Cutter::Router => &[
            "Send `diffuser-cut.svg` for a path on the line; or `diffuser.svg` with the tool correction set to \
             outside for the edge and inside for holes. Never both.",
            "Take a sharp single-flute cutter for plastics, feed fast enough to make chips, and blow them away: a \
             cutter that rubs melts the edge.",
            "Hold the piece with tabs or vacuum, holes first, outer edge last.",
        ],
        Cutter::Saw => &[
            "Stick the drawing on the film. Saw outside the line by half a millimetre, then file and scrape to it.",
            "Drill holes with a drill ground for plastics, on a flat backing, slowly, before the outer edge is sawn.",
            "Support the sheet right up to the blade; a sheet that flutters cracks.",
        ],
    }
}

const fn by_material(material: SheetMaterial) -> &'static [&'static str] {
    match material {
        SheetMaterial::OpalAcrylic | SheetMaterial::ClearAcrylic => &[
            "Leave the film on both faces until the lamp is closed. Peel back only a finger's width along the cut.",
            "Break every edge with a scraper; a nick starts a crack.",
            "Clean with water and a drop of washing-up liquid. Alcohol and window cleaner make acrylic craze.",
            "Use no countersunk screws. Put a washer under each head and turn it finger-tight and a little more.",
        ],
        SheetMaterial::Polycarbonate => &[
            "Leave the film on until the lamp is closed. One face may be treated against sunlight: it looks out.",
            "Clean with water and a drop of washing-up liquid; no solvents.",
        ],
        SheetMaterial::Polystyrene => &[
            "Leave the film on until the lamp is closed. Saw slowly: it melts early and cracks easily.",
            "Clean with water only; no solvents.",
        ],
        SheetMaterial::Petg => &[
            "Leave the film on until the lamp is closed. Keep the cut cool: it turns soft early.",
            "Clean with water and a drop of washing-up liquid.",
        ],
        SheetMaterial::Pvc => {
            &["Never bring it to a laser or a flame. Collect the chips; do not burn them.", "Clean with water."]
        }
        SheetMaterial::Glass => &[
            "Have it cut and its edges ground by a glazier. Drilled glass breaks at the hole when it is screwed down: \
             put soft washers on both faces.",
            "Carry it with gloves. Write which face is etched or flashed; it looks inwards unless the order says else.",
        ],
    }
}
