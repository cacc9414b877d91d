//! What stands at a place of a file: its statement, the schema row, and the full path.

use crate::diag::Span;
use crate::language::symbols::home;
use crate::language::syntax::{Form, Head, Item, ItemForm, Statement, Tree};
use crate::schema::tables::{BUILT, ROOT, WAIVE};
use crate::schema::{Arity, Block, Property, joined};

/// What a place means.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Spot {
    /// A property, on its name or its value: its row and full path.
    Property(&'static Property, String),
    /// A block's kind or name: its row and full path.
    Block(&'static Block, String),
    /// The name of a part.
    Part(String),
    /// The name of a `let`.
    Let(String),
    /// The rule of a `waive`.
    Rule(String),
    /// The name of a `variant`.
    Variant(String),
}

/// What stands at this byte, with the span it was found in.
pub(crate) fn at(tree: &Tree, root: &'static Block, byte: usize) -> Option<(Spot, Span)> {
    within(&tree.items, root, "", byte)
}

/// Whether this is the root of an as-built file.
pub(crate) fn is_built(schema: &Block) -> bool {
    std::ptr::eq(schema, &raw const BUILT)
}

fn holds(span: Span, byte: usize) -> bool {
    (span.start as usize..=span.end as usize).contains(&byte)
}

fn within(items: &[Item], schema: &'static Block, path: &str, byte: usize) -> Option<(Spot, Span)> {
    let statement = items.iter().find_map(|item| match &item.form {
        ItemForm::Statement(s) if holds(s.span, byte) => Some(s.as_ref()),
        _ => None,
    })?;
    one(statement, schema, path, byte)
}

fn one(s: &Statement, schema: &'static Block, path: &str, byte: usize) -> Option<(Spot, Span)> {
    let word = s.word.value.as_str();
    match &s.form {
        Form::Equation(name, _) => Some((Spot::Let(name.value.clone()), name.span)),
        Form::Property(value) => {
            let property = schema.property(word)?;
            let span = if holds(s.word.span, byte) { s.word.span } else { value.span };
            Some((Spot::Property(property, joined(path, word)), span))
        }
        Form::Block(head, body) => {
            let (inner, inner_path) = entered(word, head, schema, path)?;
            if byte > body.open.start as usize && body.is_written() {
                return within(&body.items, inner, &inner_path, byte);
            }
            if word == "variant" && path.is_empty() && !is_built(schema) {
                return head.first().map(|h| (Spot::Variant(h.text.value.clone()), h.text.span));
            }
            if word == "waive" {
                return head.first().map(|h| (Spot::Rule(h.text.value.clone()), h.text.span));
            }
            let on = head.iter().find(|h| holds(h.text.span, byte));
            match on {
                Some(h) if after_is(head, h) || word == "part" && names_part(head, h) => {
                    Some((Spot::Part(h.text.value.clone()), h.text.span))
                }
                Some(h) => Some((Spot::Block(inner, inner_path), h.text.span)),
                None => Some((Spot::Block(inner, inner_path), s.word.span)),
            }
        }
    }
}

fn after_is(head: &[Head], one: &Head) -> bool {
    head.windows(2).any(|pair| matches!(pair, [is, name] if is.text.value == "is" && name.text.span == one.text.span))
}

fn names_part(head: &[Head], one: &Head) -> bool {
    head.get(1).is_some_and(|h| h.text.span == one.text.span)
}

/// The schema and path of what stands in a block's braces.
fn entered(word: &str, head: &[Head], schema: &'static Block, path: &str) -> Option<(&'static Block, String)> {
    let names: Vec<&str> = head.iter().filter(|h| !h.quoted).map(|h| h.text.value.as_str()).collect();
    inside(word, &names, schema, path)
}

/// The same from bare words.
pub(crate) fn inside(
    word: &str,
    names: &[&str],
    schema: &'static Block,
    path: &str,
) -> Option<(&'static Block, String)> {
    match word {
        "fitted" if is_built(schema) => Some((&ROOT, String::new())),
        "variant" | "waive" | "part" if is_built(schema) => None,
        "variant" if path.is_empty() => Some((&ROOT, String::new())),
        "waive" if path.is_empty() => Some((&WAIVE, "waive".to_owned())),
        "part" if path.is_empty() => names.first().and_then(|kind| home(&ROOT, kind, "")),
        _ => {
            let inner = schema.block(word)?;
            let name = names.first().filter(|n| inner.arity == Arity::Named && **n != "is");
            Some((inner, joined(path, name.copied().unwrap_or(word))))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::parse::parse;

    #[test]
    fn a_place_knows_its_path() {
        let text = "let rim = 2 mm\nemitter is star {\n    die red { count 3 }\n}\npart die deep { count 1 }\n";
        let tree = parse(0, text, &mut Vec::new());
        let path = |needle: &str| {
            let byte = text.find(needle).expect(needle) + 1;
            match at(&tree, &ROOT, byte).map(|(spot, _)| spot) {
                Some(Spot::Property(_, path) | Spot::Block(_, path)) => path,
                Some(Spot::Part(name)) => format!("part {name}"),
                Some(Spot::Let(name)) => format!("let {name}"),
                other => format!("{other:?}"),
            }
        };
        for (needle, expected) in [
            ("rim", "let rim"),
            ("star", "part star"),
            ("emitter", "emitter"),
            ("red", "emitter.red"),
            ("count 3", "emitter.red.count"),
            ("deep", "part deep"),
        ] {
            assert_eq!(path(needle), expected, "{needle}");
        }
    }
}
