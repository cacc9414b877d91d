//! Values that are words: those of the schema and the names of blocks, alone or in lists.

use super::complete::ANY_NAME;
use super::document::Value;
use super::suggest::{any_of, nearest};
use super::syntax::{Expr, ExprForm};
use super::value::Reader;
use crate::diag::{Diag, Span};
use crate::schema::{Choice, Shape};

impl<'a> Reader<'a, '_> {
    /// A bare word; one that begins with a digit arrives as a number with a unit behind it.
    pub(super) fn only_word(&mut self) -> Option<String> {
        if let Some(expr) = self.value.single() {
            if let Some(word) = word(expr) {
                return Some(word);
            }
            if let ExprForm::Text(text) = &expr.form {
                let help = format!("write it without quotes: `{} {text}`", self.property.name);
                self.kind("a word", &help);
                return None;
            }
        }
        let help = match self.property.shape {
            Shape::Word(choices) | Shape::Words(choices) => {
                format!("words here: {}", any_of(choices.iter().map(|c| c.word)))
            }
            _ => "write the name of a block".to_owned(),
        };
        self.kind("a word", &help);
        None
    }

    pub(super) fn choice(&mut self, word: &str, choices: &'static [Choice]) -> Option<&'static str> {
        if let Some(choice) = choices.iter().find(|c| c.word == word) {
            return Some(choice.word);
        }
        let folded = word.to_lowercase();
        let near = choices.iter().map(|c| c.word).find(|w| w.to_lowercase() == folded);
        let near = near.or_else(|| nearest(word, choices.iter().map(|c| c.word)));
        let list = any_of(choices.iter().map(|c| c.word));
        self.diags.push(
            Diag::error("value/word", self.value.span, format!("`{}` has no word `{word}`", self.property.name))
                .label("not one of its words")
                .help(match near {
                    Some(near) => format!("did you mean `{near}`? Words here: {list}"),
                    None => format!("words here: {list}"),
                }),
        );
        None
    }

    /// The words of a list, each with its place; one word alone is a list of one.
    pub(super) fn list(&mut self) -> Option<Vec<(String, Span)>> {
        let only = self.value.single();
        let items: Vec<&Expr> = match only.map(|e| &e.form) {
            Some(ExprForm::List(items)) => items.iter().collect(),
            _ => only.into_iter().collect(),
        };
        let words: Vec<_> = items.iter().filter_map(|e| Some((word(e)?, e.span))).collect();
        if only.is_none() || words.len() != items.len() {
            self.kind("a list of words", "write words in brackets with commas between: `[a, b]`");
            return None;
        }
        Some(words)
    }

    pub(super) fn words(&mut self, choices: &'static [Choice]) -> Option<Value> {
        let words = self.list()?;
        let good: Vec<_> = words.iter().filter_map(|(w, _)| self.choice(w, choices)).map(str::to_owned).collect();
        (good.len() == words.len()).then_some(Value::List(good))
    }

    pub(super) fn references(&mut self, kind: &'static str) -> Option<Value> {
        let words = self.list()?;
        let good = words.iter().filter(|(w, span)| self.target(w, *span, kind)).count();
        (good == words.len()).then(|| Value::List(words.into_iter().map(|(w, _)| w).collect()))
    }

    /// Whether a block of this kind and name stands in the lamp; any name will do where no kind is asked.
    pub(super) fn target(&mut self, name: &str, span: Span, kind: &'static str) -> bool {
        let empty = Vec::new();
        let names = self.around.blocks.get(kind).unwrap_or(&empty);
        if kind.is_empty() || names.iter().any(|n| n == name || n == ANY_NAME) {
            return true;
        }
        self.diags.push(
            Diag::error("name/unknown-reference", span, format!("no `{kind}` of this lamp is called `{name}`"))
                .label("not found")
                .help(match nearest(name, names.iter().map(String::as_str)) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None if names.is_empty() => format!("add a block `{kind} {name} {{ ... }}`"),
                    None => format!("names of `{kind}` blocks: {}", any_of(names.iter().map(String::as_str))),
                }),
        );
        false
    }
}

fn word(expr: &Expr) -> Option<String> {
    match &expr.form {
        ExprForm::Path(word) => Some(word.clone()),
        ExprForm::Quantity(q) if !q.spaced => q.unit.as_ref().map(|u| format!("{}{}", q.number, u.value)),
        _ => None,
    }
}
