//! `waive RULE { reason "..."; by "..."; until DATE }`: lets one finding through, in print.

use super::build::{Builder, Layer};
use super::cells::Result;
use super::document::{Value, Waiver};
use super::draft::Draft;
use super::syntax::{Body, Expr, ExprForm};
use crate::diag::{Diag, Spanned};
use crate::schema::Shape;
use crate::schema::tables::WAIVE;

/// A waiver whose values are still as written.
pub(super) fn draft<'t>(builder: &mut Builder<'t, '_>, rule: &Spanned<String>, body: &'t Body) -> Draft {
    let mut draft = Draft::new(&WAIVE, Some(rule.clone()), rule.span);
    builder.fill(&mut draft, &body.items, &Layer::Spec);
    for field in &draft.fields {
        let empty = |e: &Expr| match &e.form {
            ExprForm::Text(text) => field.property.shape == Shape::Text && text.trim().is_empty(),
            ExprForm::Path(word) => word == "unknown",
            _ => false,
        };
        if field.value.single().is_some_and(empty) {
            let (name, wants) = (field.property.name, field.property.doc);
            builder.diags.push(
                Diag::error("value/empty", field.span, format!("`{name}` of a waiver says nothing"))
                    .label(format!("wants {wants}"))
                    .help("write it out: the packet prints it beside what is let through"),
            );
        }
    }
    draft
}

/// The waiver, from the results of its draft's values in their order.
pub(super) fn waiver(draft: &Draft, results: &mut dyn Iterator<Item = Result>) -> Option<Waiver> {
    let mut waiver =
        Waiver { rule: draft.name.clone()?, subject: None, reason: String::new(), by: String::new(), until: None };
    for (field, result) in draft.fields.iter().zip(results) {
        let span = field.span;
        match (field.property.name, result) {
            ("reason", Result::Value(Value::Text(text))) => waiver.reason = text,
            ("by", Result::Value(Value::Text(text))) => waiver.by = text,
            ("until", Result::Value(Value::Date(value))) => waiver.until = Some(Spanned { value, span }),
            ("subject", Result::Value(Value::Reference(value))) => waiver.subject = Some(Spanned { value, span }),
            _ => {}
        }
    }
    Some(waiver)
}
