//! The whole packet as one JSON document, and the JSON Schema (2020-12) of its shape.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

use super::RenderError;
use crate::figures::for_machine;
use crate::packet::drawing::{Drawing, Scale};
use crate::packet::sheet::{DataTable, Identity, Packet, Paper, Sheet, TextSize};

/// Version of the document's shape; it rises when a reader of the old shape could go wrong.
const FORMAT_VERSION: u32 = 1;

/// `packet.json`: identity, sheets as Markdown, drawings by name, tables, and the packet's own data.
///
/// # Errors
/// When a number in the data has no place in JSON.
pub fn json(packet: &Packet) -> Result<String, RenderError> {
    pretty(&document(packet))
}

/// JSON with line breaks and one at its end.
pub(super) fn pretty<T: Serialize>(value: &T) -> Result<String, RenderError> {
    let text = serde_json::to_string_pretty(value);
    text.map(|text| text + "\n").map_err(|error| RenderError::whole("JSON", error.to_string()))
}

/// The document borrows what it says: built as a tree of values first, it would be copied whole.
#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    format: &'static str,
    version: u32,
    identity: &'a Identity,
    paper: Paper,
    sheets: &'a [Sheet],
    drawings: BTreeMap<&'a str, View<'a>>,
    machine_drawings: Vec<String>,
    programs: Vec<&'a str>,
    tables: &'a [DataTable],
    data: &'a Value,
}

/// A drawing without its shapes.
#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct View<'a> {
    title: &'a str,
    description: &'a str,
    width_mm: f64,
    height_mm: f64,
    scale: Scale,
    file: String,
}

fn document(packet: &Packet) -> Document<'_> {
    Document {
        format: "lampwright-packet",
        version: FORMAT_VERSION,
        identity: &packet.identity,
        paper: packet.paper,
        sheets: &packet.sheets,
        drawings: packet.drawings.iter().map(|(name, drawing)| (name.as_str(), view(name, drawing))).collect(),
        machine_drawings: packet.machine_drawings.keys().map(|name| format!("{name}.svg")).collect(),
        programs: packet.programs.keys().map(String::as_str).collect(),
        tables: &packet.tables,
        data: &packet.data,
    }
}

fn view<'a>(name: &str, drawing: &'a Drawing) -> View<'a> {
    View {
        title: &drawing.title,
        description: &drawing.description,
        width_mm: for_machine(drawing.width),
        height_mm: for_machine(drawing.height),
        scale: drawing.scale,
        file: format!("drawings/{name}.svg"),
    }
}

/// JSON Schema of `packet.json`; `data` is described where it is made and is free here.
pub fn schema() -> Value {
    let text = || json!({ "type": "string" });
    let maybe = || json!({ "type": ["string", "null"] });
    let list = |items: Value| json!({ "type": "array", "items": items });
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "lampwright build packet",
        "type": "object",
        "required": [
            "format", "version", "identity", "paper", "sheets", "drawings", "machine-drawings", "programs",
            "tables", "data"
        ],
        "additionalProperties": false,
        "properties": {
            "format": { "const": "lampwright-packet" },
            "version": { "const": FORMAT_VERSION },
            "identity": object(json!({
                "lamp": text(), "variant": maybe(), "revision": maybe(), "date": maybe(),
                "digest": { "type": "string", "pattern": "^[0-9a-f]{12}$" },
                "findings": text(), "draft": { "type": "boolean" },
            })),
            "paper": { "enum": Paper::ALL },
            "sheets": list(object(json!({
                "name": text(), "title": text(), "size": { "enum": TextSize::ALL },
                "landscape": { "type": "boolean" }, "markdown": text(),
            }))),
            "drawings": {
                "type": "object",
                "additionalProperties": object(json!({
                    "title": text(), "description": text(), "width-mm": { "type": "number" },
                    "height-mm": { "type": "number" }, "scale": { "enum": ["full", "reduced"] }, "file": text(),
                })),
            },
            "machine-drawings": list(text()),
            "programs": list(text()),
            "tables": list(object(json!({
                "name": text(), "columns": list(text()), "rows": list(list(text())),
            }))),
            "data": {},
        },
    })
}

/// An object of exactly these properties.
fn object(properties: Value) -> Value {
    let names: Vec<String> = properties.as_object().map(|map| map.keys().cloned().collect()).unwrap_or_default();
    json!({ "type": "object", "required": names, "additionalProperties": false, "properties": properties })
}
