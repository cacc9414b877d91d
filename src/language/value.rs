//! A property's value as written to the typed value that its schema row asks for, with hard bounds checked
//! and unusual figures asked about.

use std::collections::BTreeMap;

use super::document::{Date, Value};
use super::expression::{Outcome, Scope};
use super::syntax::{self, ExprForm};
use crate::diag::Diag;
use crate::schema::{Dimension, Property, Shape};

/// What a value needs to know of the lamp around it.
pub(super) struct Around<'a> {
    /// What a name or a path stands for; nothing where it is none of this spec.
    pub(super) names: &'a dyn Fn(&str) -> Option<Outcome>,
    /// The names of the blocks of each kind.
    pub(super) blocks: &'a BTreeMap<&'static str, Vec<String>>,
    /// The value as written.
    pub(super) text: &'a str,
}

/// Nothing where the value is bad; that is reported then.
pub(super) fn typed(
    property: &'static Property,
    value: &syntax::Value,
    around: &Around<'_>,
    diags: &mut Vec<Diag>,
) -> Option<Value> {
    let mut reader = Reader { property, value, around, diags };
    if value.single().is_some_and(|e| matches!(&e.form, ExprForm::Path(p) if p == "unknown"))
        && !reader.has_word("unknown")
    {
        return Some(Value::Unknown);
    }
    match property.shape {
        Shape::Quantity(wanted) => reader.quantity(wanted),
        Shape::QuantityAt(wanted, condition) => reader.quantity_at(wanted, condition),
        Shape::Count => reader.count(),
        Shape::Word(choices) => reader.only_word().and_then(|w| reader.choice(&w, choices)).map(Value::Word),
        Shape::YesNo => reader.yes_no(),
        Shape::Text => reader.text(),
        Shape::Date => reader.date(),
        Shape::Size => reader.size(),
        Shape::Point => reader.point(),
        Shape::Points => reader.points(),
        Shape::Reference(kind) => {
            let name = reader.only_word()?;
            reader.target(&name, value.span, kind).then_some(Value::Reference(name))
        }
        Shape::Words(choices) => reader.words(choices),
        Shape::References(kind) => reader.references(kind),
    }
}

/// One property and its value while it is read; `quantities`, `plausible` and `words` hold the rest of its reading.
pub(super) struct Reader<'a, 'd> {
    pub(super) property: &'static Property,
    pub(super) value: &'a syntax::Value,
    pub(super) around: &'a Around<'a>,
    pub(super) diags: &'d mut Vec<Diag>,
}

impl<'a> Reader<'a, '_> {
    fn has_word(&self, word: &str) -> bool {
        matches!(self.property.shape, Shape::Word(choices) if choices.iter().any(|c| c.word == word))
    }

    pub(super) fn kind(&mut self, wants: &str, help: &str) {
        let name = self.property.name;
        self.diags.push(
            Diag::error("value/kind", self.value.span, format!("`{name}` wants {wants}"))
                .label(format!("not {wants}"))
                .help(help),
        );
    }

    pub(super) fn scope(&self, wanted: Dimension) -> Scope<'a> {
        Scope { names: self.around.names, wanted: Some(wanted), unit: None }
    }

    fn yes_no(&mut self) -> Option<Value> {
        match self.value.single().map(|e| &e.form) {
            Some(ExprForm::Path(p)) if p == "yes" => Some(Value::YesNo(true)),
            Some(ExprForm::Path(p)) if p == "no" => Some(Value::YesNo(false)),
            _ => {
                let name = self.property.name;
                self.kind("`yes` or `no`", &format!("write `{name} yes` or `{name} no`"));
                None
            }
        }
    }

    fn text(&mut self) -> Option<Value> {
        if let Some(ExprForm::Text(text)) = self.value.single().map(|e| &e.form) {
            return Some(Value::Text(text.clone()));
        }
        let help = format!("write `{} \"{}\"`", self.property.name, self.around.text);
        self.kind("text in quotes", &help);
        None
    }

    fn date(&mut self) -> Option<Value> {
        let Some(ExprForm::Date(text)) = self.value.single().map(|e| &e.form) else {
            self.kind("a date", "write year, month and day with hyphens: `2026-11-25`");
            return None;
        };
        let date = calendar_date(text).map(Value::Date);
        if date.is_none() {
            self.diags.push(
                Diag::error("value/date", self.value.span, format!("there is no date {text}"))
                    .label("not in the calendar")
                    .help("write year, month and day: `2026-11-25`"),
            );
        }
        date
    }
}

/// The date, if the calendar has it.
fn calendar_date(text: &str) -> Option<Date> {
    let mut parts = text.split('-');
    let year: u16 = parts.next()?.parse().ok()?;
    let month: u8 = parts.next()?.parse().ok()?;
    let day: u8 = parts.next()?.parse().ok()?;
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let days = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return None,
    };
    (1..=days).contains(&day).then_some(Date { year, month, day })
}
