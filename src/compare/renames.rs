//! Named blocks that only got another name: a guess from everything else being equal, and the old spec with the new names.

use serde::Serialize;

use crate::diag::{Sources, Span};
use crate::language::document::{Document, Entry, Named, Node, Value};
use crate::language::loading::Held;
use crate::language::parse::parse;
use crate::language::symbols::{Symbol, mentions};
use crate::language::syntax::Tree;
use crate::schema::tables::ROOT;
use crate::schema::{Arity, Shape};
use crate::{Compiled, compile};

use super::chain::{Cause, Change};

/// A guess: this block was called otherwise before.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Rename {
    /// Kind of block.
    pub kind: &'static str,
    /// Its name before.
    pub old: String,
    /// Its name now.
    pub new: String,
}

impl Rename {
    /// As the cause of what is printed anew for it.
    pub fn cause(&self) -> Cause {
        let (old, new) = (Some(self.old.clone()), Some(self.new.clone()));
        let path = format!("name of the {}", self.kind);
        Cause { change: Change { title: path.clone(), path, old, new, given: true }, chain: Vec::new() }
    }
}

/// Blocks that are gone and blocks that are new, paired where all else is equal and there is one such pair only.
pub fn guess(old: &Document, new: &Document) -> Vec<Rename> {
    let mut found = Vec::new();
    pair(&old.root, &new.root, &mut found);
    found
}

fn pair(old: &Node, new: &Node, found: &mut Vec<Rename>) {
    let name = |n: &Node| n.name.as_ref().map_or_else(String::new, |n| n.value.clone());
    let named = |n: &&Node| n.schema.arity == Arity::Named;
    let alone = |of: &Node, there: &Node| -> Vec<Node> {
        let only = of.nodes.iter().filter(named).filter(|n| there.named(n.schema.kind, &name(n)).is_none());
        only.cloned().collect()
    };
    let (gone, come) = (alone(old, new), alone(new, old));
    for before in &gone {
        let like = |n: &&Node| n.schema.kind == before.schema.kind && alike(n, before);
        let candidates: Vec<&Node> = come.iter().filter(like).collect();
        let rivals = gone.iter().filter(like).count();
        if let ([after], 1) = (candidates.as_slice(), rivals) {
            found.push(Rename { kind: before.schema.kind, old: name(before), new: name(after) });
        }
    }
    for before in old.nodes.iter().filter(|n| !named(n)) {
        if let Some(after) = new.node(before.schema.kind) {
            pair(before, after, found);
        }
    }
}

/// Lets and parts that only got another name; what they are in the lamp is equal.
pub fn of_lets_and_parts(old: &Document, new: &Document) -> Vec<Rename> {
    let mut found = Vec::new();
    let has = |document: &Document, name: &str| document.lets.iter().any(|l| l.name.value == name);
    let gone: Vec<&Named> = old.lets.iter().filter(|l| !has(new, &l.name.value)).collect();
    let come: Vec<&Named> = new.lets.iter().filter(|l| !has(old, &l.name.value)).collect();
    for before in &gone {
        let like = |l: &&&Named| l.value == before.value && l.dimension == before.dimension;
        let (rivals, candidates) = (gone.iter().filter(like).count(), come.iter().filter(like).collect::<Vec<_>>());
        if let (1, [after]) = (rivals, candidates.as_slice()) {
            found.push(Rename { kind: "let", old: before.name.value.clone(), new: after.name.value.clone() });
        }
    }
    parts((&old.root, old), (&new.root, new), &mut found);
    found
}

fn parts((old, before): (&Node, &Document), (new, after): (&Node, &Document), found: &mut Vec<Rename>) {
    let name = |n: &Node| n.name.as_ref().map(|n| n.value.clone());
    for is in &new.nodes {
        let named = is.schema.arity == Arity::Named;
        let like = |n: &&Node| n.schema.kind == is.schema.kind && (!named || name(n) == name(is));
        let Some(was) = old.nodes.iter().find(like) else { continue };
        if let (Some(a), Some(b)) = (&was.part, &is.part) {
            let known = |document: &Document, name: &str| document.parts.iter().any(|p| p.name.value == name);
            let other = a.value != b.value && !known(after, &a.value) && !known(before, &b.value);
            let rename = Rename { kind: "part", old: a.value.clone(), new: b.value.clone() };
            if other && alike(was, is) && !found.contains(&rename) {
                found.push(rename);
            }
        }
        parts((was, before), (is, after), found);
    }
}

/// Equal apart from names, and from what refers to names.
pub(super) fn alike(a: &Node, b: &Node) -> bool {
    let same = |a: &Entry, b: &Entry| match (&a.value, &b.value, a.property.shape) {
        _ if a.property.name != b.property.name => false,
        (Value::Reference(_), Value::Reference(_), _) => true,
        (Value::List(a), Value::List(b), Shape::References(_)) => a.len() == b.len(),
        (a, b, _) => a == b,
    };
    a.schema.kind == b.schema.kind
        && a.entries.len() == b.entries.len()
        && a.entries.iter().zip(&b.entries).all(|(a, b)| same(a, b))
        && a.nodes.len() == b.nodes.len()
        && a.nodes.iter().zip(&b.nodes).all(|(a, b)| alike(a, b))
}

/// The old spec with the new names; nothing where it does not compile so, for then the guess was wrong.
pub fn renamed(old: &Compiled, renames: &[Rename]) -> Option<Box<Compiled>> {
    let files: Vec<(String, String)> = old.sources.iter().map(|s| (s.name.clone(), s.text.clone())).collect();
    let trees: Vec<Tree> = files.iter().zip(0..).map(|((_, text), file)| parse(file, text, &mut Vec::new())).collect();
    let trees: Vec<&Tree> = trees.iter().collect();
    let mut edits: Vec<(Span, &str)> = Vec::new();
    for mention in mentions(&trees, &ROOT) {
        let Symbol::Block(kind, name) = &mention.symbol else { continue };
        if let Some(rename) = renames.iter().find(|r| r.kind == *kind && r.old == *name) {
            edits.push((mention.span, &rename.new));
        }
    }
    edits.sort_by_key(|(span, _)| std::cmp::Reverse(*span));
    let mut sources = Sources::default();
    for ((name, text), file) in files.iter().zip(0..) {
        let mut text = text.clone();
        for (span, new) in edits.iter().filter(|(span, _)| span.file == file) {
            text.replace_range(span.start as usize..span.end as usize, new);
        }
        sources.add(name.clone(), text);
    }
    let spec = sources.get(0)?.clone();
    compile(&spec.name, &spec.text, &mut Held::new(&sources), old.document.variant.as_deref()).compiled
}
