//! What nobody wrote: defaults, blocks that stand for their defaults, and what is missing.
//! Then the whole lamp as a list of cells, and back from worked-out cells to a `Document`.

use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::{Mutex, PoisonError};

use super::cells::{Cell, Gaps, Result};
use super::document::{Entry, Node, Origin};
use super::draft::{Draft, Field};
use super::parse;
use super::suggest::{all_of, any_of};
use super::syntax::Value;
use crate::diag::{Diag, Span};
use crate::schema::{Arity, Block, Default, Dimension, Property, Shape, joined};

/// Adds defaults and blocks made of defaults; reports what is required and absent, one message a block.
pub(super) fn complete(draft: &mut Draft, parent: Option<Span>, diags: &mut Vec<Diag>) {
    let span = if draft.written { draft.span } else { parent.unwrap_or(draft.span) };
    let mut missing: Vec<&'static Property> = Vec::new();
    for property in draft.schema.properties {
        if draft.field(property.name).is_some() || draft.excused.iter().any(|e| e == property.name) {
            continue;
        }
        match property.default {
            Default::Absent => {}
            Default::Required => missing.push(property),
            Default::Is(text) => draft.fields.extend(default_field(property, text, span, diags)),
        }
    }
    if !missing.is_empty() && !draft.patchy {
        diags.push(lacks(draft, &missing));
    }
    for schema in draft.schema.blocks {
        let there = draft.blocks.iter().any(|b| b.schema.kind == schema.kind);
        if schema.arity != Arity::One || there || draft.patchy || draft.excused.iter().any(|e| e == schema.kind) {
            continue;
        }
        if requires(schema) {
            diags.push(no_block(draft, schema));
        } else {
            let mut made = Draft::new(schema, None, span);
            made.written = false;
            draft.blocks.push(made);
        }
    }
    let patchy = draft.patchy;
    for block in &mut draft.blocks {
        block.patchy |= patchy;
        complete(block, Some(span), diags);
    }
    let order = draft.schema;
    draft.fields.sort_by_cached_key(|f| order.properties.iter().position(|p| p.name == f.property.name));
    draft.blocks.sort_by_cached_key(|b| order.blocks.iter().position(|k| k.kind == b.schema.kind));
}

/// Reports a lamp without a name: it stands on every page and on the label. A schema that has a property for it asks
/// for it there.
pub(super) fn untitled(root: &Draft, diags: &mut Vec<Diag>) {
    let lamp = root.blocks.iter().find(|b| b.schema.kind == "lamp" && b.schema.property("title").is_none());
    let named = |b: &&Draft| b.name.as_ref().is_some_and(|n| !n.value.trim().is_empty());
    if let Some(lamp) = lamp.filter(|b| b.written && !b.patchy && !named(b)) {
        diags.push(
            Diag::error("name/wanted", lamp.span, "the lamp has no name")
                .label("which one?")
                .help("write `lamp \"Quay stair light\" {`, with a name of your own: it stands on every page"),
        );
    }
}

/// Whether a block of this kind cannot stand for its defaults alone.
fn requires(schema: &Block) -> bool {
    schema.properties.iter().any(|p| p.default == Default::Required)
        || schema.blocks.iter().any(|b| b.arity == Arity::One && requires(b))
}

/// What the schema's defaults say, once read: many properties have the same one, and every variant asks again.
static READ: Mutex<BTreeMap<&str, Option<Value>>> = Mutex::new(BTreeMap::new());

fn default_value(text: &'static str, span: Span) -> Option<Value> {
    let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
    let mut value = read.entry(text).or_insert_with(|| parse::value(text, span)).clone();
    value.iter_mut().for_each(|value| value.move_to(span));
    value
}

fn default_field(property: &'static Property, text: &'static str, span: Span, diags: &mut Vec<Diag>) -> Option<Field> {
    let value = default_value(text, span);
    if value.is_none() {
        let message = format!("the default `{text}` of `{}` cannot be read", property.name);
        diags.push(Diag::error("value/default", span, message).label("needs it").help("write the value in the spec"));
    }
    value.map(|value| Field { property, value, span, origin: Origin::Default, text: text.to_owned() })
}

/// As errors about what is missing name a block; the root has no kind.
fn who(draft: &Draft) -> String {
    if draft.schema.kind.is_empty() { "this spec".to_owned() } else { format!("`{}`", draft.called()) }
}

fn lacks(draft: &Draft, missing: &[&Property]) -> Diag {
    let list = all_of(missing.iter().map(|p| p.name));
    let lines: Vec<String> = missing.iter().map(|p| line(p)).collect();
    Diag::error("value/missing", draft.span, format!("{} does not say {list}", who(draft)))
        .label(if missing.len() == 1 { "one property is missing" } else { "properties are missing" })
        .help(format!("add {}", lines.join("; ")))
}

/// How a property is written; words are listed, for none is to be preferred.
pub(super) fn line(property: &Property) -> String {
    match property.shape {
        Shape::Word(choices) if choices.len() > 1 => {
            format!("`{}` with {}", property.name, any_of(choices.iter().map(|c| c.word)))
        }
        _ => format!("`{} {}`", property.name, example(property)),
    }
}

/// What a value of this property looks like.
fn example(property: &Property) -> String {
    let quantity = |d: Dimension| match (d, crate::schema::dimension::units(d).first()) {
        (Dimension::Number, _) | (_, None) => "...".to_owned(),
        (_, Some(unit)) => format!("... {unit}"),
    };
    match property.shape {
        Shape::Quantity(d) => quantity(d),
        Shape::QuantityAt(d, at) => format!("{} at {}", quantity(d), quantity(at)),
        Shape::Count => "1".to_owned(),
        Shape::Word(choices) => choices.first().map_or("...", |c| c.word).to_owned(),
        Shape::YesNo => "yes".to_owned(),
        Shape::Text => "\"...\"".to_owned(),
        Shape::Date => "2026-11-25".to_owned(),
        Shape::Size => "... x ... mm".to_owned(),
        Shape::Point => "(0 mm, 0 mm)".to_owned(),
        Shape::Points => "[(0 mm, 0 mm), (10 mm, 0 mm), (10 mm, 10 mm)]".to_owned(),
        Shape::Reference(kind) => kind.to_uppercase(),
        Shape::Words(choices) => format!("[{}]", choices.first().map_or("...", |c| c.word)),
        Shape::References(kind) => format!("[{}]", kind.to_uppercase()),
    }
}

fn no_block(draft: &Draft, schema: &Block) -> Diag {
    let kind = schema.kind;
    Diag::error("value/missing-block", draft.span, format!("{} has no block `{kind}`", who(draft)))
        .label(format!("wants `{kind}`"))
        .help(format!("add `{kind} {{ ... }}`: {}", schema.doc))
}

/// The names of all blocks that have one, by kind. `ANY_NAME` stands where a block could not be read, whose name
/// may be the one that is looked for.
pub(super) fn block_names(draft: &Draft, into: &mut BTreeMap<&'static str, Vec<String>>) {
    for schema in draft.schema.blocks {
        if draft.patchy || draft.excused.iter().any(|e| e == schema.kind) {
            any_name(schema, into);
        }
    }
    for block in &draft.blocks {
        if let Some(name) = block.name.as_ref().filter(|_| block.schema.arity == Arity::Named) {
            into.entry(block.schema.kind).or_default().push(name.value.clone());
        }
        block_names(block, into);
    }
}

/// Stands for every name.
pub(super) const ANY_NAME: &str = "*";

fn any_name(schema: &'static Block, into: &mut BTreeMap<&'static str, Vec<String>>) {
    into.entry(schema.kind).or_default().push(ANY_NAME.to_owned());
    schema.blocks.iter().for_each(|b| any_name(b, into));
}

/// Every value below `draft`, in document order.
pub(super) fn cells<'a>(draft: &'a Draft, path: &str, in_lamp: bool, into: &mut Vec<Cell<'a>>) {
    let home: Rc<str> = path.into();
    for field in &draft.fields {
        into.push(Cell {
            path: joined(path, field.property.name),
            home: Rc::clone(&home),
            property: Some(field.property),
            value: &field.value,
            span: field.span,
            text: &field.text,
            in_lamp,
        });
    }
    for block in &draft.blocks {
        cells(block, &joined(path, block.step()), in_lamp, into);
    }
}

/// Paths that the schema has and nobody states, and those whose own statement has an error.
pub(super) fn gaps(draft: &Draft, path: &str, found: &mut Gaps) {
    let Gaps { unstated, excused } = found;
    excused.extend(draft.excused.iter().map(|e| joined(path, e)));
    excused.extend(draft.patchy.then(|| path.to_owned()));
    let absent = draft.schema.properties.iter().filter(|p| draft.field(p.name).is_none());
    unstated.extend(absent.map(|p| joined(path, p.name)));
    for schema in draft.schema.blocks.iter().filter(|b| b.arity != Arity::Named) {
        if draft.position(schema.kind, None).is_none() {
            let path = joined(path, schema.kind);
            unstated.extend(schema.properties.iter().map(|p| joined(&path, p.name)));
        }
    }
    for block in &draft.blocks {
        gaps(block, &joined(path, block.step()), found);
    }
}

/// The document's block, from the draft and its cells' results; takes the results in the order `cells` made them.
/// Values that are bad are left out.
pub(super) fn node(draft: Draft, path: &str, results: &mut dyn Iterator<Item = Result>) -> Node {
    let Draft { schema, name, span, written, part, fields, blocks, .. } = draft;
    let mut entries = Vec::with_capacity(fields.len());
    for field in fields {
        if let Some(Result::Value(value)) = results.next() {
            entries.push(Entry {
                property: field.property,
                path: joined(path, field.property.name),
                value,
                span: field.span,
                origin: field.origin,
                text: field.text,
            });
        }
    }
    let mut nodes = Vec::with_capacity(blocks.len());
    for block in blocks {
        let path = joined(path, block.step());
        nodes.push(node(block, &path, results));
    }
    Node { schema, name, span, written, part, entries, nodes }
}
