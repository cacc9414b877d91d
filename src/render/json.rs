//! The whole packet as one JSON document, and the JSON Schema (2020-12) of its shape.

use serde_json::{Value, json};

use super::RenderError;
use crate::packet::sheet::{DataTable, Packet, Paper, Sheet, TextSize};

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
pub(super) fn pretty(value: &Value) -> Result<String, RenderError> {
    let text = serde_json::to_string_pretty(value);
    text.map(|text| text + "\n").map_err(|error| RenderError::whole("JSON", error.to_string()))
}

fn document(packet: &Packet) -> Value {
    let drawings: serde_json::Map<String, Value> = packet
        .drawings
        .iter()
        .map(|(name, drawing)| {
            let entry = json!({
                "title": drawing.title,
                "description": drawing.description,
                "width-mm": drawing.width,
                "height-mm": drawing.height,
                "scale": drawing.scale,
                "file": format!("drawings/{name}.svg"),
            });
            (name.clone(), entry)
        })
        .collect();
    let machine: Vec<String> = packet.machine_drawings.keys().map(|name| format!("{name}.svg")).collect();
    json!({
        "format": "lampwright-packet",
        "version": FORMAT_VERSION,
        "identity": packet.identity,
        "paper": packet.paper,
        "sheets": packet.sheets.iter().map(sheet).collect::<Vec<_>>(),
        "drawings": drawings,
        "machine-drawings": machine,
        "programs": packet.programs.keys().collect::<Vec<_>>(),
        "tables": packet.tables.iter().map(table).collect::<Vec<_>>(),
        "data": packet.data,
    })
}

fn sheet(sheet: &Sheet) -> Value {
    json!({
        "name": sheet.name,
        "title": sheet.title,
        "size": sheet.size,
        "landscape": sheet.landscape,
        "markdown": sheet.markdown,
    })
}

fn table(table: &DataTable) -> Value {
    json!({ "name": table.name, "columns": table.columns, "rows": table.rows })
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
