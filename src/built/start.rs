//! The as-built file of a lamp before anything was measured: every reading and stage it will want, each open.

use std::fmt::Write as _;

use crate::Compiled;
use crate::schema::Block;
use crate::schema::tables::BUILT;

/// The text of a new as-built file; `spec` is how it names its spec.
pub fn text(compiled: &Compiled, spec: &str, number: u32, serial: Option<&str>) -> String {
    let identity = compiled.identity();
    let mut out = format!("language 1\n\nunit {{\n    number  {number}\n    spec    \"{}\"\n", quoted(spec));
    if let Some(serial) = serial {
        let _ = writeln!(out, "    serial \"{}\"", quoted(serial));
    }
    if let Some(variant) = &identity.variant {
        let _ = writeln!(out, "    variant \"{}\"", quoted(variant));
    }
    let _ = writeln!(out, "    papers  \"{}\"", identity.digest);
    out.push_str(
        "    by      \"\"\n    meter   \"\"\n    room    unknown  # air while the temperatures are read\n}\n\n",
    );
    out.push_str("# What went in instead of what the spec says, and measured figures of its parts, as in a variant:\n");
    out.push_str("# fitted { supply { output 24.1 V } }\n\nlots {\n");
    for lot in block("lots") {
        let _ = writeln!(out, "    {lot} \"\"");
    }
    out.push_str("}\n\nmeasured {\n");
    let mut inside: Option<String> = None;
    for reading in compiled.readings() {
        let key = reading.key.strip_prefix("measured.").unwrap_or(&reading.key);
        let channel = key.split_once('.').map(|(channel, _)| channel.to_owned());
        if channel != inside {
            out.push_str(if inside.is_some() { "    }\n" } else { "" });
            if let Some(name) = &channel {
                let _ = writeln!(out, "    channel {name} {{");
            }
            inside = channel;
        }
        let (indent, name) = match key.split_once('.') {
            Some((_, name)) => ("        ", name),
            None => ("    ", key),
        };
        let _ = writeln!(out, "{indent}{name} unknown  # {}: {}", reading.what, reading.expect);
    }
    out.push_str(if inside.is_some() { "    }\n" } else { "" });
    out.push_str("}\n\nstages {\n");
    for stage in block("stages") {
        let _ = writeln!(out, "    {stage} \"\"");
    }
    out.push_str("}\n");
    crate::language::tidy::tidy_text(0, &out, &BUILT).unwrap_or(out)
}

/// Properties of one block of the as-built file.
fn block(kind: &str) -> impl Iterator<Item = &'static str> {
    let block: Option<&'static Block> = BUILT.block(kind);
    block.into_iter().flat_map(|b| b.properties).map(|p| p.name)
}

fn quoted(text: &str) -> String {
    text.replace('\\', "\\\\").replace('"', "\\\"")
}
