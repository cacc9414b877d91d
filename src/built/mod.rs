//! The as-built file of one lamp: read in the language of specs, laid over its spec, judged reading by reading.
//! What nobody wrote is open, never passed.

pub mod judge;
pub mod laid;
pub mod start;

use std::collections::BTreeMap;

use crate::diag::{Diag, Signal, Sources, Span};
use crate::language;
use crate::language::document::{Document, Node, Spread, Value};
use crate::language::loading::NoFiles;
use crate::language::syntax::{Form, Item, ItemForm, Statement, Tree};
use crate::schema::tables::BUILT;

/// What an as-built file says.
#[derive(Debug, Clone)]
pub struct AsBuilt {
    /// Number of the lamp.
    pub number: u32,
    /// Its serial.
    pub serial: Option<String>,
    /// The spec it was built to, counted from the file.
    pub spec: String,
    /// Where it is named.
    pub spec_at: Span,
    /// The variant it was built to.
    pub variant: Option<String>,
    /// Code of the papers it was built with.
    pub papers: Option<String>,
    /// Air of the room while temperatures were read, kelvin.
    pub room: Option<Spread>,
    /// Every reading that somebody wrote: `measured.red.current`, SI units.
    pub measured: BTreeMap<String, Spread>,
    /// Where each of them is written.
    pub places: BTreeMap<String, Span>,
    /// Channels that are named, with the place of the name.
    pub channels: Vec<(String, Span)>,
    /// Lots and stages: what it is, and what was written.
    pub words: BTreeMap<String, String>,
    /// What is odd in it without being wrong, as a reading ten times what is usual; its places are in `sources`.
    pub cautions: Vec<Diag>,
    /// The file itself.
    pub sources: Sources,
}

/// Reads an as-built file.
///
/// # Errors
/// Whatever is wrong in it, with its places; a block `fitted` is looked at when it is laid over the spec.
pub fn read(name: &str, text: &str) -> Result<AsBuilt, (Vec<Diag>, Sources)> {
    let (mut sources, mut diags) = (Sources::default(), Vec::new());
    let file = sources.add(name, text);
    let mut tree = language::parse::parse(file, text, &mut diags);
    tree.items.retain(|item| !matches!(&item.form, ItemForm::Statement(s) if is_fitted(s)));
    let document = language::resolve::resolve(&tree, &mut NoFiles, &BUILT, None, &mut sources, &mut diags);
    let broken = diags.iter().any(|d| d.signal == Signal::Error);
    match document.filter(|_| !broken) {
        Some(document) => Ok(AsBuilt { cautions: diags, sources, ..said(&document) }),
        None => Err((diags, sources)),
    }
}

fn is_fitted(statement: &Statement) -> bool {
    statement.word.value == "fitted" && matches!(&statement.form, Form::Block(head, _) if head.is_empty())
}

/// What stands in the blocks `fitted` of an as-built file, block by block.
pub fn fitted_items(tree: &Tree) -> impl Iterator<Item = &[Item]> {
    tree.items.iter().filter_map(|item| match &item.form {
        ItemForm::Statement(s) if is_fitted(s) => match &s.form {
            Form::Block(_, body) => Some(body.items.as_slice()),
            _ => None,
        },
        _ => None,
    })
}

fn said(document: &Document) -> AsBuilt {
    let unit = document.root.node("unit");
    let value = |name: &str| unit.and_then(|n| n.entry(name)).map(|e| &e.value);
    let text = |name: &str| match value(name) {
        Some(Value::Text(text)) => Some(text.clone()),
        _ => None,
    };
    let mut found = AsBuilt {
        number: match value("number") {
            Some(Value::Count(n)) => u32::try_from(*n).unwrap_or_default(),
            _ => 0,
        },
        serial: text("serial").filter(|s| !s.trim().is_empty()),
        spec: text("spec").unwrap_or_default(),
        spec_at: unit.and_then(|n| n.entry("spec")).map_or(document.root.span, |e| e.span),
        variant: text("variant"),
        papers: text("papers"),
        room: match value("room") {
            Some(Value::Quantity(room)) => Some(*room),
            _ => None,
        },
        measured: BTreeMap::new(),
        places: BTreeMap::new(),
        channels: Vec::new(),
        words: BTreeMap::new(),
        cautions: Vec::new(),
        sources: Sources::default(),
    };
    for entry in document.entries() {
        match &entry.value {
            Value::Quantity(spread) if entry.path.starts_with("measured.") => {
                found.measured.insert(entry.path.clone(), *spread);
                found.places.insert(entry.path.clone(), entry.span);
            }
            Value::Text(words) if !entry.path.starts_with("unit.") && !words.trim().is_empty() => {
                found.words.insert(entry.path.clone(), words.clone());
            }
            _ => {}
        }
    }
    let channels = document.root.node("measured").into_iter().flat_map(|m| m.nodes("channel"));
    let named = |node: &Node| node.name.as_ref().map(|name| (name.value.clone(), name.span));
    found.channels = channels.filter_map(named).collect();
    found
}
