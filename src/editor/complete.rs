//! Completion: blocks, properties, words, units, parts and names that fit at a place, from the schema.

use serde_json::{Value, json};

use crate::language::symbols::{Mention, Symbol};
use crate::rules;
use crate::schema::dimension::units;
use crate::schema::tables::ROOT;
use crate::schema::{Block, Dimension, Property, Shape};

use super::position;
use super::scan::{Context, context};
use super::spot;

/// Kinds of item in the protocol.
const PROPERTY: u8 = 10;
const MODULE: u8 = 9;
const VALUE: u8 = 12;
const UNIT: u8 = 11;
const KEYWORD: u8 = 14;
const REFERENCE: u8 = 18;

/// Statements at the top of a file.
const TOP: &[(&str, &str)] = &[
    ("language", "the language's version; stands first"),
    ("use", "brings the parts and lets of another file"),
    ("let", "a named value: let rim = 4 mm"),
    ("part", "a part that designs can share"),
    ("variant", "the same lamp for another region or finish"),
    ("waive", "lets one finding of a rule through, in print"),
];

/// Statements at the top of an as-built file.
const TOP_BUILT: &[(&str, &str)] = &[
    ("language", "the language's version; stands first"),
    ("fitted", "blocks of the lamp: what went in instead, and measured figures of its parts"),
];

struct Items<'t> {
    text: &'t str,
    from: usize,
    to: usize,
    found: Vec<Value>,
}

impl Items<'_> {
    fn add(&mut self, label: &str, kind: u8, detail: &str, insert: &str) {
        let range = position::range(self.text, self.from, self.to);
        self.found.push(json!({
            "label": label, "kind": kind, "detail": detail, "sortText": format!("{:03}", self.found.len()),
            "textEdit": { "range": range, "newText": insert },
        }));
    }
}

/// What fits at this byte of a file of the family `root`. `names` are those of this file and of the files it uses.
pub(crate) fn complete(
    text: &str,
    root: &'static Block,
    byte: usize,
    names: &[Mention],
    parts: &[(String, String)],
) -> Vec<Value> {
    let around = context(text, byte);
    if around.quoted {
        return Vec::new();
    }
    let rest = text.get(byte..).unwrap_or("");
    let tail = rest.find(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | '_' | '.'))).unwrap_or(rest.len());
    let mut items = Items { text, from: around.start, to: byte + tail, found: Vec::new() };
    let Some(schema) = schema_of(&around, root) else { return Vec::new() };
    let words: Vec<&str> = around.words.iter().map(String::as_str).collect();
    match words.as_slice() {
        [] => {
            if around.blocks.is_empty() {
                let top = if spot::is_built(root) { TOP_BUILT } else { TOP };
                top.iter().for_each(|(word, doc)| items.add(word, KEYWORD, doc, &format!("{word} ")));
            }
            statements(schema, &mut items);
        }
        ["part" | "waive"] if spot::is_built(root) => {}
        ["part"] => part_kinds(&ROOT, &mut items),
        ["waive"] => rules::ALL.iter().filter(|r| r.waivable).for_each(|r| {
            items.add(r.name, REFERENCE, r.title, &format!("{} ", r.name));
        }),
        [kind, .., "is"] => parts_of(kind, &words, parts, &mut items),
        [word, ..] => match schema.property(word) {
            Some(property) => values(property, &words, &around, names, byte, &mut items),
            None if schema.block(word).is_some_and(|b| b.part) && !words.contains(&"is") => {
                items.add("is", KEYWORD, "start from a part", "is ");
            }
            // Readings are of the channels that the spec has.
            None if spot::is_built(root) && words.len() == 1 => references(word, names, &mut items),
            None => {}
        },
    }
    items.found
}

/// The schema of the innermost open block.
fn schema_of(around: &Context, root: &'static Block) -> Option<&'static Block> {
    let (mut schema, mut path): (&'static Block, String) = (root, String::new());
    for head in &around.blocks {
        let (word, names) = head.split_first()?;
        let names: Vec<&str> = names.iter().map(String::as_str).filter(|n| *n != "\"").collect();
        (schema, path) = spot::inside(word, &names, schema, &path)?;
    }
    Some(schema)
}

fn statements(schema: &'static Block, items: &mut Items<'_>) {
    for property in schema.properties {
        items.add(property.name, PROPERTY, property.doc, &format!("{} ", property.name));
    }
    for block in schema.blocks {
        items.add(block.kind, MODULE, block.doc, &format!("{} ", block.kind));
    }
}

fn part_kinds(block: &'static Block, items: &mut Items<'_>) {
    for inner in block.blocks {
        if inner.part {
            items.add(inner.kind, MODULE, inner.doc, &format!("{} ", inner.kind));
        }
        part_kinds(inner, items);
    }
}

/// Parts of the kind that is being written; `part KIND NAME is` wants the same kind.
fn parts_of(kind: &str, words: &[&str], parts: &[(String, String)], items: &mut Items<'_>) {
    let kind = if kind == "part" { words.get(1).copied().unwrap_or(kind) } else { kind };
    for (of, name) in parts.iter().filter(|(of, _)| of == kind) {
        items.add(name, REFERENCE, &format!("part for `{of}`"), name);
    }
}

fn values(
    property: &'static Property,
    words: &[&str],
    around: &Context,
    names: &[Mention],
    byte: usize,
    items: &mut Items<'_>,
) {
    match property.shape {
        Shape::Word(choices) | Shape::Words(choices) => {
            choices.iter().for_each(|c| items.add(c.word, VALUE, c.doc, c.word));
        }
        Shape::YesNo => ["yes", "no"].iter().for_each(|w| items.add(w, VALUE, property.doc, w)),
        Shape::Reference(kind) | Shape::References(kind) => references(kind, names, items),
        Shape::Quantity(dimension) => amounts(dimension, words, around, names, byte, items),
        Shape::QuantityAt(dimension, at) => {
            let wanted = if words.contains(&"at") { at } else { dimension };
            amounts(wanted, words, around, names, byte, items);
        }
        Shape::Size | Shape::Point | Shape::Points => amounts(Dimension::Length, words, around, names, byte, items),
        Shape::Count | Shape::Text | Shape::Date => {}
    }
}

fn references(kind: &str, names: &[Mention], items: &mut Items<'_>) {
    let mut seen = Vec::new();
    for mention in names.iter().filter(|m| m.declared) {
        if let Symbol::Block(of, name) = &mention.symbol
            && *of == kind
            && !seen.contains(&name)
        {
            seen.push(name);
            items.add(name, REFERENCE, &format!("{kind} {name}"), name);
        }
    }
}

/// Units behind a number; names of values where there is none yet.
fn amounts(
    dimension: Dimension,
    words: &[&str],
    around: &Context,
    names: &[Mention],
    byte: usize,
    items: &mut Items<'_>,
) {
    let number = around.piece.trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '°' | '%' | '/' | '²' | '³'));
    let number_here = number.starts_with(|c: char| c.is_ascii_digit());
    let number_before =
        around.piece.chars().all(|c| !c.is_ascii_digit()) && words.last().is_some_and(|w| w.parse::<f64>().is_ok());
    if number_here || number_before {
        let from = if number_here { around.start + number.len() } else { around.start };
        items.from = from.min(byte);
        let space = if number_here { " " } else { "" };
        for unit in units(dimension) {
            items.add(unit, UNIT, "unit", &format!("{space}{unit}"));
        }
        return;
    }
    items.add("unknown", VALUE, "the figure is not known: rules that need it are not checked", "unknown");
    let mut seen: Vec<&str> = Vec::new();
    for mention in names.iter().filter(|m| m.declared) {
        let name = match &mention.symbol {
            Symbol::Let(name) => name,
            Symbol::Property(path) if path.contains('.') => path,
            _ => continue,
        };
        if !seen.contains(&name.as_str()) {
            seen.push(name);
            items.add(name, REFERENCE, "value", name);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::units::unit;
    use crate::schema::dimension;

    #[test]
    fn every_unit_offered_is_one_of_its_dimension() {
        for dimension in dimension::ALL {
            assert!(!units(*dimension).is_empty());
            for text in units(*dimension) {
                let unit = unit(text).unwrap_or_else(|| panic!("{text} is no unit"));
                assert_eq!(unit.powers, dimension::powers(*dimension), "{text}");
            }
        }
    }

    fn labels(text: &str) -> Vec<String> {
        let byte = text.find('|').expect("a place");
        let text = text.replace('|', "");
        let parts = [("supply".to_owned(), "closed-12v".to_owned()), ("fuse".to_owned(), "lag".to_owned())];
        let tree = crate::language::parse::parse(0, &text, &mut Vec::new());
        let names = crate::language::symbols::mentions(&[&tree], &ROOT);
        complete(&text, &ROOT, byte, &names, &parts)
            .iter()
            .map(|i| i["label"].as_str().unwrap_or("").to_owned())
            .collect()
    }

    #[test]
    fn what_fits_is_offered_even_where_nothing_parses() {
        for (text, wanted, unwanted) in [
            ("|", "lamp", "region"),
            ("lamp \"x\" { reg|", "region", "lamp"),
            ("lamp \"x\" { region |", "eu", "region"),
            ("driver { channel red { current 320 |", "mA", "V"),
            ("driver { channel red { current 320m|", "mA", "V"),
            ("emitter { die red { forward 2 V at |", "unknown", "mA"),
            ("emitter { die deep { } } driver { channel red { feeds |", "deep", "red"),
            ("supply is |", "closed-12v", "lag"),
            ("part |", "emitter", "lamp"),
            ("variant us { mains { fuse { speed ti|", "time-lag", "speed"),
            ("waive |", "spec/implausible", "eu"),
            ("lamp \"x\" { children |", "yes", "eu"),
        ] {
            let found = labels(text);
            assert!(found.iter().any(|l| l == wanted), "{text}: {found:?}");
            assert!(!found.iter().any(|l| l == unwanted), "{text}: {found:?}");
        }
        assert!(labels("lamp \"x|").is_empty() && labels("# reg|").is_empty());
    }
}
