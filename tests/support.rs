//! What the tests share: a spec's text to everything the pipeline makes of it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock};

use serde_json::Value;

use lampwright::Compiled;
use lampwright::diag::{Diag, Sources};
use lampwright::language::loading::{LoadError, Loaded, Loader};
use lampwright::packet::sheet::Packet;
use lampwright::packet::templates::Overrides;
use lampwright::render::{self, File};

/// Reads `use`d files from the examples folder.
pub(crate) struct Examples;

impl Loader for Examples {
    fn load(&mut self, _: &str, path: &str) -> Result<Loaded, LoadError> {
        let text = std::fs::read_to_string(root().join("examples").join(path));
        let text = text.map_err(|_| LoadError::Missing { near: Vec::new() })?;
        Ok(Loaded { name: format!("examples/{path}"), text })
    }
}

/// The project's folder.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Compiles a spec's text as if it stood in the examples folder.
pub(crate) fn compile(text: &str, variant: Option<&str>) -> Result<Compiled, String> {
    let outcome = lampwright::compile("spec.lamp", text, &mut Examples, variant);
    outcome.compiled.map(|compiled| *compiled).ok_or_else(|| plain(&outcome.diags, &outcome.sources))
}

/// The text of an example by its file's stem.
pub(crate) fn text_of(name: &str) -> String {
    let path = root().join("examples").join(format!("{name}.lamp"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// An example by its file's stem, compiled anew.
pub(crate) fn fresh(name: &str, variant: Option<&str>) -> Compiled {
    compile(&text_of(name), variant).unwrap_or_else(|diags| panic!("{name}:\n{diags}"))
}

/// A spec's text with these statements laid over it.
pub(crate) fn varied(text: &str, statements: &str) -> Compiled {
    let text = format!("{text}\nvariant test {{ {statements} }}\n");
    compile(&text, Some("test")).unwrap_or_else(|diags| panic!("{statements}\n{diags}"))
}

/// An example by its file's stem.
pub(crate) fn example(name: &str, variant: Option<&str>) -> Arc<Compiled> {
    static EXAMPLES: Once<Compiled> = Mutex::new(BTreeMap::new());
    once(&EXAMPLES, name, variant, || fresh(name, variant))
}

/// What is made once for all tests that only look at it, by example and variant.
type Once<T> = Mutex<BTreeMap<(String, Option<String>), Arc<OnceLock<Arc<T>>>>>;

fn once<T>(all: &Once<T>, name: &str, variant: Option<&str>, make: impl FnOnce() -> T) -> Arc<T> {
    let key = (name.to_owned(), variant.map(str::to_owned));
    // The lock is free while it is made: other tests wait for this one alone, not for each other.
    let cell = Arc::clone(all.lock().expect("no test fails while it looks up").entry(key).or_default());
    Arc::clone(cell.get_or_init(|| Arc::new(make())))
}

/// The packet of an example.
pub(crate) fn packet(name: &str, variant: Option<&str>) -> Arc<Packet> {
    static PACKETS: Once<Packet> = Mutex::new(BTreeMap::new());
    let compose = || example(name, variant).packet(&Overrides::new(), None).unwrap_or_else(|e| panic!("{name}: {e:?}"));
    once(&PACKETS, name, variant, compose)
}

/// The files of that packet.
pub(crate) fn files(name: &str, variant: Option<&str>) -> Arc<Vec<File>> {
    static FILES: Once<Vec<File>> = Mutex::new(BTreeMap::new());
    let render = || render::files(&packet(name, variant)).unwrap_or_else(|e| panic!("{name}: {e:?}"));
    once(&FILES, name, variant, render)
}

/// Stems of the shipped examples, sorted.
pub(crate) fn examples() -> Vec<String> {
    let folder = root().join("examples");
    let entries = std::fs::read_dir(&folder).expect("examples").flatten().map(|e| e.path());
    let mut names: Vec<String> = entries
        .filter(|p| p.extension().is_some_and(|e| e == "lamp"))
        .filter_map(|p| Some(Path::new(p.file_stem()?).display().to_string()))
        .collect();
    names.sort();
    names
}

/// A figure of the ledger, in SI units.
pub(crate) fn figure(compiled: &Compiled, path: &str) -> f64 {
    let entry = compiled.solution.ledger.get(path).unwrap_or_else(|| panic!("no figure {path}"));
    entry.value.unwrap_or_else(|| panic!("{path} is no number"))
}

/// The packet of these sheets alone.
pub(crate) fn sheets(compiled: &Compiled, names: &[&str]) -> Packet {
    let only: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
    compiled.packet(&Overrides::new(), Some(&only)).unwrap_or_else(|e| panic!("{names:?}: {e:?}"))
}

/// One sheet's Markdown.
pub(crate) fn sheet(compiled: &Compiled, name: &str) -> String {
    let packet = sheets(compiled, &[name]);
    packet.sheets.first().unwrap_or_else(|| panic!("no sheet {name}")).markdown.clone()
}

/// Names of the rules that raise a finding, with repetition.
pub(crate) fn findings(compiled: &Compiled) -> Vec<String> {
    compiled.report.findings().iter().map(|r| r.rule.name.to_owned()).collect()
}

/// Messages as plain lines: `file:line code message`.
pub(crate) fn plain(diags: &[Diag], sources: &Sources) -> String {
    let lines = diags.iter().map(|d| format!("{} {} {}", sources.cite(d.span()), d.code, d.message));
    lines.collect::<Vec<_>>().join("\n")
}

/// The text of an example with one space between words, so that a test does not hang on how `tidy` lines them up.
pub(crate) fn plain_spaced(name: &str) -> String {
    let line = |line: &str| {
        let indent = line.len() - line.trim_start().len();
        format!("{}{}\n", &line[..indent], line.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    text_of(name).lines().map(line).collect()
}

/// A spec's text without its `layout`, so that its wires keep their usual lengths.
pub(crate) fn unplaced(text: &str) -> String {
    let Some(start) = text.find("\nlayout {") else { return text.to_owned() };
    let end = start + text[start..].find("\n}\n").expect("the end of the layout") + 2;
    format!("{}{}", &text[..start], &text[end..])
}

/// The part of JSON Schema that ours uses, `pattern` of digests only.
pub(crate) fn breaches(schema: &Value, value: &Value, place: &str) -> Vec<String> {
    let mut found = Vec::new();
    let one_of = |list: &Value| list.as_array().is_some_and(|list| list.contains(value));
    if schema.get("enum").is_some_and(|list| !one_of(list)) || schema.get("const").is_some_and(|c| c != value) {
        found.push(format!("{place} has a wrong value"));
    }
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    };
    let digits =
        |text: &str| text.len() == 12 && text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    match (schema.get("pattern"), value.as_str()) {
        (Some(Value::String(pattern)), Some(text)) if pattern == "^[0-9a-f]{12}$" => {
            if !digits(text) {
                found.push(format!("{place} is no digest"));
            }
        }
        (Some(pattern), _) => found.push(format!("{place}: {pattern} is not looked at by this test")),
        (None, _) => {}
    }
    let kind = if schema["type"] == "integer" && value.is_i64() { "integer" } else { kind };
    let allowed = |types: &Value| types == kind || types.as_array().is_some_and(|list| list.contains(&kind.into()));
    if schema.get("type").is_some_and(|types| !allowed(types)) {
        found.push(format!("{place} has the wrong type"));
    }
    for name in schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str) {
        if value.get(name).is_none() {
            found.push(format!("{place}.{name} is missing"));
        }
    }
    for (name, inner) in value.as_object().into_iter().flatten() {
        match (schema["properties"].get(name), schema.get("additionalProperties")) {
            (Some(schema), _) => found.extend(breaches(schema, inner, &format!("{place}.{name}"))),
            (None, Some(Value::Bool(false))) => found.push(format!("{place}.{name} is unknown")),
            (None, Some(schema)) => found.extend(breaches(schema, inner, &format!("{place}.{name}"))),
            (None, None) => {}
        }
    }
    for (index, inner) in value.as_array().into_iter().flatten().enumerate() {
        found.extend(breaches(&schema["items"], inner, &format!("{place}[{index}]")));
    }
    found
}
