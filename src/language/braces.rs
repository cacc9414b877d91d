//! What is checked of a text before and after the grammar reads it: its size, how deep it nests,
//! and, where braces do not pair up, which block most likely lacks its own.

use super::syntax::{Body, Form, Item, ItemForm, Statement, Tree};
use crate::diag::{Diag, Span};

/// The longest file that is read, in bytes (our limit).
pub(super) const LONGEST_FILE: usize = 1 << 20;
/// How deep braces, parentheses and brackets may nest (our limit).
pub(super) const DEEPEST_NESTING: usize = 32;

/// Errors: `limit/file-size`, `limit/nesting`. Linear in the text, so no text can tie up the parser.
pub(super) fn within_limits(file: u32, text: &str) -> Result<(), Box<Diag>> {
    if text.len() > LONGEST_FILE {
        let message =
            format!("this file is {} KiB long; the limit is {} KiB", text.len().div_ceil(1024), LONGEST_FILE / 1024);
        return Err(Box::new(
            Diag::error("limit/file-size", Span::new(file, 0, 0), message)
                .label("the file begins here")
                .help("move parts to files of their own and bring them in with `use`"),
        ));
    }
    match too_deep(text) {
        None => Ok(()),
        Some(at) => Err(Box::new(
            Diag::error(
                "limit/nesting",
                Span::new(file, at, at + 1),
                format!("blocks and parentheses nest deeper than {DEEPEST_NESTING} levels"),
            )
            .label(format!("level {}", DEEPEST_NESTING + 1))
            .help("close blocks and parentheses that are done before the next one opens"),
        )),
    }
}

/// The place of the first bracket one level too deep; text and comments are passed over.
fn too_deep(text: &str) -> Option<usize> {
    let (mut depth, mut in_text, mut in_comment, mut escaped) = (0usize, false, false, false);
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'\n' => (in_text, in_comment, escaped) = (false, false, false),
            _ if in_comment => {}
            _ if escaped => escaped = false,
            b'\\' if in_text => escaped = true,
            b'"' => in_text = !in_text,
            _ if in_text => {}
            b'#' => in_comment = true,
            b'{' | b'(' | b'[' => {
                depth += 1;
                if depth > DEEPEST_NESTING {
                    return Some(at);
                }
            }
            b'}' | b')' | b']' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    None
}

/// Reports the block that lacks its brace. A brace that stands further left than the line its block opens on belongs
/// to a block further out, so the block it closes by count is the one that was left open.
pub(super) fn blame(tree: &Tree, text: &str, diags: &mut Vec<Diag>) {
    let mut open = Vec::new();
    if let Some(diag) = shifted(&tree.items, text) {
        if unclosed(&tree.items, &mut open) {
            diags.push(diag);
        }
        return;
    }
    unclosed(&tree.items, &mut open);
    diags.extend(open.into_iter().map(never_closed));
}

fn blocks(items: &[Item]) -> impl Iterator<Item = (&Statement, &Body)> {
    items.iter().filter_map(|item| match &item.form {
        ItemForm::Statement(s) => match &s.form {
            Form::Block(_, body) => Some((s.as_ref(), body)),
            _ => None,
        },
        _ => None,
    })
}

fn never_closed(statement: &Statement) -> Diag {
    let kind = &statement.word.value;
    Diag::error("syntax/unclosed-block", opening(statement), format!("block `{kind}` is never closed"))
        .label("opens here")
        .help("add `}` on a line of its own where the block ends")
}

/// From the kind to the opening brace.
fn opening(statement: &Statement) -> Span {
    match &statement.form {
        Form::Block(_, body) => statement.word.span.to(body.open),
        _ => statement.word.span,
    }
}

fn shifted(items: &[Item], text: &str) -> Option<Diag> {
    for (statement, body) in blocks(items) {
        if let Some(inner) = shifted(&body.items, text) {
            return Some(inner);
        }
        let Some(close) = body.close else { continue };
        let (Some(opened), Some(closed)) = (indent(text, statement.span, false), indent(text, close, true)) else {
            continue;
        };
        if !body.one_line && closed < opened {
            return Some(never_closed(statement).also(close, "this brace closes a block further out"));
        }
    }
    None
}

/// The columns of white space before the line; nothing where `alone` is asked and something else stands before the
/// place.
fn indent(text: &str, span: Span, alone: bool) -> Option<usize> {
    let before = text.get(..span.start as usize)?;
    let line = before.rsplit('\n').next()?;
    let width = line.len() - line.trim_start().len();
    (!alone || width == line.len()).then_some(width)
}

/// Collects the blocks that the file's end cuts off; true if there is one.
fn unclosed<'t>(items: &'t [Item], into: &mut Vec<&'t Statement>) -> bool {
    for (statement, body) in blocks(items) {
        if body.close.is_none() {
            into.push(statement);
        }
        unclosed(&body.items, into);
    }
    !into.is_empty()
}
