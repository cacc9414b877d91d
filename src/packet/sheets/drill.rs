//! Sheet `drill`: templates at full size for the holes of body and sink, with the places to check them by.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::drill::{name, said, told};
use crate::packet::sheet::TextSize;
use crate::packet::terms::band_beside;
use crate::quantity::{Metres, Quantity};
use crate::schema::words::{BodyMaterial, Region};
use crate::solve::drill::{Side, Template};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "drill",
    title: "Drill templates",
    moment: "at the drill: stuck on the work, bars measured first",
    template_name: "sheets/drill.md",
    template: include_str!("../../../templates/sheets/drill.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.solution.drill.as_ref().map_or(true, |templates| !templates.is_empty()),
    data,
    required: |bench| templates(bench).iter().flat_map(|t| t.holes.iter().map(|hole| said(bench, hole))).collect(),
};

fn templates<'a>(bench: &Bench<'a>) -> &'a [Template] {
    bench.solution.drill.as_ref().map_or(&[], |templates| templates.as_slice())
}

fn data(bench: &Bench<'_>) -> Value {
    let missing = bench.solution.drill.as_ref().err().map(|missing| missing.path.clone());
    let all = templates(bench).iter().map(|template| {
        let holes = template.holes.iter().map(|hole| {
            let path = |axis: &str| format!("drill.{}.{}.{axis}", template.name, hole.name);
            let way = if hole.x.value() < 0.0 { "clockwise" } else { "anti-clockwise" };
            json!({
                "name": said(bench, hole),
                "x": path("x"),
                "y": path("y"),
                "quarter": bench.local(&bench.shown(&path("quarter"))),
                "way": way,
                "diameter": hole.path,
            })
        });
        json!({
            "title": told(template),
            "file": name(template),
            "strip": matches!(template.side, Side::Strip { .. }),
            "sector": matches!(template.side, Side::Sector { .. }),
            "ball": matches!(template.side, Side::Ball { .. }),
            "sink": template.is_sink(),
            "holes": holes.collect::<Vec<_>>(),
        })
    });
    json!({ "missing": missing, "templates": all.collect::<Vec<_>>(), "notes": notes(bench), "bar": bar(bench) })
}

/// Length of the bars printed beside a template.
const BAR: Metres = Metres::si(0.1);
/// How far a printed bar may be off (our guideline).
const BAR_OFF: Metres = Metres::si(0.0005);

/// What such a bar may measure, in the maker's units.
pub(super) fn bar(bench: &Bench<'_>) -> String {
    let (low, high) = (BAR - BAR_OFF, BAR + BAR_OFF);
    let shown = format!("{} to {}", low.show(), high.show());
    if bench.region() == Region::Us { band_beside(low, high, &shown) } else { shown }
}

/// What the material asks of the drill.
fn notes(bench: &Bench<'_>) -> Vec<&'static str> {
    let mut notes = match bench.lamp.enclosure.material.value {
        Some(BodyMaterial::Aluminium | BodyMaterial::Brass | BodyMaterial::Steel) => {
            vec!["Centre-punch each middle, drill small, then to size. Clamp the work: sheet that catches spins."]
        }
        Some(BodyMaterial::Softwood | BodyMaterial::Oak | BodyMaterial::Plywood) => {
            vec!["Take a brad-point drill and a backing piece, so that nothing tears out behind."]
        }
        Some(BodyMaterial::Glass | BodyMaterial::Ceramic) => {
            vec!["Diamond drill, water, no pressure, a backing behind. Leave it to a glazier or potter if in doubt."]
        }
        Some(_) if bench.lamp.enclosure.printed.value == Some(true) => {
            vec!["Draw these holes in the print rather than drill them. Drill to size only what came out too small."]
        }
        _ => vec!["Start small, go up in steps, with little pressure: plastic that is pushed cracks behind the drill."],
    };
    notes.push("Break both edges of every hole that a wire passes, and fit its bushing before the wire.");
    notes
}
