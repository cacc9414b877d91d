//! `waive RULE { reason "..."; by "..."; until DATE }`: lets one finding through, in print.

use super::build::{Builder, Layer};
use super::cells::Result;
use super::document::{Value, Waiver};
use super::draft::Draft;
use super::syntax::{Body, Expr, ExprForm};
use crate::diag::{Diag, Spanned};
use crate::schema::{Arity, Block, Default, Property, Shape};

const fn property(name: &'static str, shape: Shape, default: Default, doc: &'static str) -> Property {
    Property { name, shape, default, usual: None, bounds: None, doc }
}

/// What stands in a `waive` block.
pub static WAIVE: Block = Block {
    kind: "waive",
    arity: Arity::Named,
    part: false,
    doc: "lets one finding of a rule through, in print; rules that guard against injury cannot be waived",
    properties: &[
        property("reason", Shape::Text, Default::Required, "why it may stand"),
        property("by", Shape::Text, Default::Required, "who takes it on"),
        property("until", Shape::Date, Default::Absent, "the day from which it no longer holds"),
        property(
            "subject",
            Shape::Reference(""),
            Default::Absent,
            "what it is about, where the rule finds several (`red`)",
        ),
    ],
    blocks: &[],
};

/// A waiver whose values are still as written.
pub(super) fn draft<'t>(builder: &mut Builder<'t, '_>, rule: &Spanned<String>, body: &'t Body) -> Draft {
    let mut draft = Draft::new(&WAIVE, Some(rule.clone()), rule.span);
    builder.fill(&mut draft, &body.items, &Layer::Spec);
    for field in draft.fields.iter().filter(|f| ["reason", "by"].contains(&f.property.name)) {
        let empty = |e: &Expr| matches!(&e.form, ExprForm::Text(text) if text.trim().is_empty());
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

/// The waiver, from the results of its draft's values in their order; nothing where one that it needs is bad.
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
