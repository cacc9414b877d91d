//! The statements at the top of files, sorted by what they are: blocks, lets, parts, variants, waivers.
//! Checks the language's version and that a used file holds nothing but what can be shared.

use super::build::not_a_let;
use super::names;
use super::syntax::{Body, ExprForm, Form, Head, Item, ItemForm, Statement, Tree, Value};
use crate::diag::{Diag, Span, Spanned};
use crate::schema::Block;

/// The version of the language that this program reads.
pub(super) const LANGUAGE: i64 = 1;

/// A `let`.
pub(super) struct Let<'t> {
    pub(super) name: &'t Spanned<String>,
    pub(super) value: &'t Value,
    pub(super) span: Span,
}

/// A `variant`.
pub(super) struct Variant<'t> {
    pub(super) name: Spanned<String>,
    pub(super) body: &'t Body,
}

/// All statements, sorted.
#[derive(Default)]
pub(super) struct Top<'t> {
    pub(super) lets: Vec<Let<'t>>,
    pub(super) parts: Vec<&'t Statement>,
    pub(super) variants: Vec<Variant<'t>>,
    pub(super) waivers: Vec<(Spanned<String>, &'t Body)>,
    /// Blocks and properties of the lamp, and what could not be read.
    pub(super) lamp: Vec<&'t Item>,
}

impl<'t> Top<'t> {
    /// Sorts the spec's own statements.
    pub(super) fn spec(&mut self, tree: &'t Tree, diags: &mut Vec<Diag>) {
        version(tree, true, diags);
        for item in &tree.items {
            match &item.form {
                ItemForm::Comment(_) => {}
                ItemForm::Wreck(_) => self.lamp.push(item),
                ItemForm::Statement(s) if !self.shared(s, diags) => self.own(item, s, diags),
                ItemForm::Statement(_) => {}
            }
        }
    }

    /// Sorts the statements of a used file.
    pub(super) fn used(&mut self, tree: &'t Tree, root: &'static Block, diags: &mut Vec<Diag>) {
        version(tree, false, diags);
        for item in &tree.items {
            let ItemForm::Statement(s) = &item.form else { continue };
            if self.shared(s, diags) || s.word.value == "language" {
                continue;
            }
            let word = &s.word.value;
            let help = match (root.block(word), &s.form) {
                (Some(block), Form::Block(head, _)) if block.part && !head.iter().any(|h| h.text.value == "is") => {
                    format!("make it a part: `part {word} NAME {{`")
                }
                _ => "move it to the spec; parts, lets and `use` may stay".to_owned(),
            };
            diags.push(
                Diag::error(
                    "use/not-shareable",
                    s.word.span,
                    format!("`{word}` cannot stand in a file that is used by another"),
                )
                .label("belongs to one lamp")
                .help(help),
            );
        }
    }

    /// What may stand in every file.
    fn shared(&mut self, s: &'t Statement, diags: &mut Vec<Diag>) -> bool {
        match (s.word.value.as_str(), &s.form) {
            ("use", _) => {}
            ("part", _) => self.parts.push(s),
            ("let", Form::Equation(name, value)) => self.one_let(name, value, s.span, diags),
            ("let", _) => diags.push(
                Diag::error("syntax/let", s.span, "`let` wants a name, `=` and a value")
                    .label("not understood")
                    .help("write `let rim = 4 mm`"),
            ),
            _ => return false,
        }
        true
    }

    fn one_let(&mut self, name: &'t Spanned<String>, value: &'t Value, span: Span, diags: &mut Vec<Diag>) {
        if let Some(first) = self.lets.iter().find(|l| l.name.value == name.value) {
            return diags.push(names::twice(&format!("`let {}`", name.value), name.span, first.name.span));
        }
        if !names::is_name(&name.value)
            || ["pi", "unknown", "min", "max", "sqrt", "yes", "no"].contains(&name.value.as_str())
        {
            let message = format!("`{}` cannot be the name of a value", name.value);
            diags.push(
                Diag::error("name/spelling", name.span, message)
                    .label("small letters, digits and hyphens, and no word of the language")
                    .help("choose another name"),
            );
        }
        self.lets.push(Let { name, value, span });
    }

    fn own(&mut self, item: &'t Item, s: &'t Statement, diags: &mut Vec<Diag>) {
        match (s.word.value.as_str(), &s.form) {
            ("language", _) => {}
            ("variant", Form::Block(head, body)) => match head.as_slice() {
                [name] if !name.quoted && names::is_name(&name.text.value) => self.variant(name, body, diags),
                _ => diags.push(misheaded(s, body, "a variant wants one name", "write `variant us {`")),
            },
            ("waive", Form::Block(head, body)) => match head.as_slice() {
                [_] if waived(item).is_some() => self.waivers.extend(waived(item)),
                _ => diags.push(misheaded(s, body, "`waive` wants the name of one rule", "write `waive optics/gap {`")),
            },
            ("variant" | "waive", _) => diags.push(
                Diag::error("syntax/block-head", s.span, format!("`{}` opens a block", s.word.value))
                    .label("wants a name and braces")
                    .help(format!("write `{} NAME {{ ... }}`", s.word.value)),
            ),
            (_, Form::Equation(..)) => diags.push(not_a_let(s)),
            _ => self.lamp.push(item),
        }
    }

    fn variant(&mut self, name: &'t Head, body: &'t Body, diags: &mut Vec<Diag>) {
        if let Some(first) = self.variants.iter().find(|v| v.name.value == name.text.value) {
            let what = format!("variant `{}`", name.text.value);
            return diags.push(names::twice(&what, name.text.span, first.name.span));
        }
        self.variants.push(Variant { name: name.text.clone(), body });
    }
}

/// Names of the variants of a spec, each once.
pub(crate) fn variants(tree: &Tree) -> Vec<String> {
    let mut top = Top::default();
    top.spec(tree, &mut Vec::new());
    top.variants.into_iter().map(|v| v.name.value).collect()
}

/// Rule and body of a waiver; a variant may hold one too, of what only it raises.
pub(super) fn waived(item: &Item) -> Option<(Spanned<String>, &Body)> {
    let ItemForm::Statement(s) = &item.form else { return None };
    match (s.word.value.as_str(), &s.form) {
        ("waive", Form::Block(head, body)) => match head.as_slice() {
            [rule] if !rule.quoted => Some((rule.text.clone(), body)),
            _ => None,
        },
        _ => None,
    }
}

fn misheaded(s: &Statement, body: &Body, message: &str, help: &str) -> Diag {
    Diag::error("syntax/block-head", s.word.span.to(body.open), message).label("opens here").help(help)
}

/// `language 1` stands first in a spec; a used file may leave it out.
fn version(tree: &Tree, must: bool, diags: &mut Vec<Diag>) {
    let mut first = true;
    let mut found: Option<Span> = None;
    for item in &tree.items {
        let s = match &item.form {
            ItemForm::Comment(_) => continue,
            // Something unreadable that begins with the word is the statement with a mistake.
            ItemForm::Wreck(word) => {
                if word.as_deref() == Some("language") {
                    found = found.or(Some(Span::default()));
                }
                first = false;
                continue;
            }
            ItemForm::Statement(s) => s,
        };
        if s.word.value == "language" {
            match found {
                Some(earlier) => diags.push(names::twice("`language`", s.span, earlier)),
                None => one_version(s, first, diags),
            }
            found = found.or(Some(s.span));
        }
        first = false;
    }
    if found.is_none() && must {
        diags.push(
            Diag::error("syntax/language", Span::new(tree.file, 0, 0), "this spec does not say its language's version")
                .label("belongs here")
                .help(format!("begin the file with `language {LANGUAGE}`")),
        );
    }
}

fn one_version(s: &Statement, first: bool, diags: &mut Vec<Diag>) {
    if !first {
        diags.push(
            Diag::error("syntax/language", s.span, "`language` is the first statement of a file")
                .label("stands too late")
                .help("move this line to the top"),
        );
    }
    let number = match &s.form {
        Form::Property(value) => match value.single().map(|e| &e.form) {
            Some(ExprForm::Quantity(q)) if q.unit.is_none() => q.number.parse::<i64>().ok(),
            _ => None,
        },
        _ => None,
    };
    match number {
        Some(LANGUAGE) => {}
        Some(newer) if newer > LANGUAGE => diags.push(
            Diag::error(
                "syntax/language",
                s.span,
                format!("this spec is in language {newer}; this program reads language {LANGUAGE}"),
            )
            .label("newer than the program")
            .help("use a newer version of the program"),
        ),
        _ => diags.push(
            Diag::error("syntax/language", s.span, "this is no version of the language")
                .label("wants a whole number")
                .help(format!("write `language {LANGUAGE}`")),
        ),
    }
}
