//! Statements to drafts: matches each to its schema row, starts blocks from parts, lays variants over.
//! Reports what the schema does not know, what is said twice and what has a wrong name.

use std::collections::BTreeMap;

use super::document::Origin;
use super::draft::{Draft, Field};
use super::names;
use super::parts::Parts;
use super::syntax::{Body, Expr, ExprForm, Form, Head, Item, ItemForm, Statement, Value, ValueForm};
use crate::diag::{Diag, Sources, Span, Spanned};
use crate::schema::{Arity, Block, Property, Shape};

/// The most statements a spec may have, with what its parts bring (our limit).
pub(super) const MOST_STATEMENTS: usize = 10_000;

/// Who speaks in the statements that are being read.
#[derive(Debug, Clone)]
pub(super) enum Layer {
    /// The spec.
    Spec,
    /// A part, with where its figures come from.
    Part(String, Option<String>),
    /// A variant.
    Variant(String),
}

/// Reads statements into drafts.
pub(super) struct Builder<'t, 'd> {
    pub(super) root: &'static Block,
    pub(super) sources: &'d Sources,
    pub(super) parts: Parts<'t>,
    pub(super) diags: &'d mut Vec<Diag>,
    /// Statements read so far, those that parts bring included; past the limit nothing more is read.
    pub(super) count: usize,
}

impl<'t> Builder<'t, '_> {
    /// Lays the statements over what `draft` says already.
    pub(super) fn fill(&mut self, draft: &mut Draft, items: impl IntoIterator<Item = &'t Item>, layer: &Layer) {
        let mut seen: BTreeMap<String, Span> = BTreeMap::new();
        for item in items {
            if self.count > MOST_STATEMENTS {
                return;
            }
            match &item.form {
                ItemForm::Comment(_) | ItemForm::Wreck(None) => {}
                ItemForm::Wreck(Some(word)) => draft.excused.push(word.clone()),
                ItemForm::Statement(statement) => self.statement(draft, statement, layer, &mut seen),
            }
        }
    }

    fn statement(&mut self, draft: &mut Draft, s: &'t Statement, layer: &Layer, seen: &mut BTreeMap<String, Span>) {
        self.count += 1;
        match &s.form {
            Form::Property(value) => self.property(draft, s, value, layer, seen),
            Form::Block(head, body) => self.block(draft, s, head, body, layer, seen),
            Form::Equation(name, _) if s.word.value == "let" => {
                self.diags.push(
                    Diag::error("name/top-only", s.word.span, "`let` stands at the top of a file, not in a block")
                        .label("not here")
                        .help(format!("move `{}` out of the braces", self.sources.text(s.word.span.to(name.span)))),
                );
            }
            Form::Equation(..) => self.diags.push(not_a_let(s)),
        }
    }

    fn property(
        &mut self,
        draft: &mut Draft,
        s: &'t Statement,
        value: &Value,
        layer: &Layer,
        seen: &mut BTreeMap<String, Span>,
    ) {
        let name = &s.word.value;
        let Some(property) = draft.schema.property(name) else {
            let (diag, meant) = names::unknown_property(&s.word, draft.schema, self.root);
            draft.excused.extend(meant.map(str::to_owned));
            return self.diags.push(diag);
        };
        if let Some(first) = seen.insert(name.clone(), s.word.span) {
            return self.diags.push(names::twice(&format!("`{name}`"), s.word.span, first));
        }
        let text = self.sources.text(value.span).to_owned();
        let origin = origin(draft.field(name), layer);
        draft.set(Field { property, value: value.clone(), span: s.span, origin, text });
    }

    fn block(
        &mut self,
        draft: &mut Draft,
        s: &'t Statement,
        head: &'t [Head],
        body: &'t Body,
        layer: &Layer,
        seen: &mut BTreeMap<String, Span>,
    ) {
        let kind = &s.word;
        let Some(schema) = draft.schema.block(&kind.value) else {
            let (diag, meant) = names::unknown_block(kind, draft.schema, self.root);
            draft.excused.extend(meant.map(str::to_owned));
            return self.diags.push(diag);
        };
        let Some((name, part)) = names::name_and_part(head) else {
            draft.excused.push(kind.value.clone());
            return self.diags.push(names::bad_head(kind, body.open));
        };
        let title = head.first().filter(|h| h.quoted && schema.arity != Arity::Named);
        if let Some(diag) = names::misnamed(schema, draft.schema, name.as_ref().filter(|_| title.is_none()), kind.span)
        {
            draft.excused.push(kind.value.clone());
            return self.diags.push(diag);
        }
        let span = head.iter().fold(kind.span, |span, h| span.to(h.text.span));
        let key = if schema.arity == Arity::Named { name.as_ref().map_or("", |n| &n.value) } else { schema.kind };
        // A path goes by the name alone: a variant's `slot left` would hide the `hole left` it is laid over.
        let other = draft.blocks.iter().find(|b| b.schema.kind != schema.kind && b.step() == key).map(|b| b.span);
        if let Some(first) = seen.insert(format!("{{{key}"), span).or(other) {
            let what =
                if schema.arity == Arity::Named { format!("the name `{key}`") } else { format!("block `{key}`") };
            return self.diags.push(names::twice(&what, span, first));
        }
        let at = draft.position(schema.kind, name.as_ref().map(|n| n.value.as_str()));
        let mut block = match (&part, at) {
            (Some(part), _) => self.start_from(schema, part, span),
            (None, Some(at)) => draft.blocks.remove(at),
            (None, None) => Draft::new(schema, None, span),
        };
        if name.is_some() || at.is_none() || part.is_some() {
            block.name = name;
        }
        block.span = span;
        if let Some(title) = title {
            self.title(&mut block, title, layer);
        }
        self.fill(&mut block, &body.items, layer);
        match at {
            Some(at) if part.is_some() => draft.blocks.splice(at..=at, [block]).for_each(drop),
            Some(at) => draft.blocks.insert(at, block),
            None => draft.blocks.push(block),
        }
    }

    /// `lamp "Quay light" {`: the text is the block's title, or its name where it has no such property.
    fn title(&mut self, block: &mut Draft, head: &Head, layer: &Layer) {
        let text = |p: &&'static Property| p.shape == Shape::Text;
        let Some(property) = ["title", "name"].iter().find_map(|n| block.schema.property(n).filter(text)) else {
            return;
        };
        block.name = None;
        let span = head.text.span;
        let only = Expr { span, form: ExprForm::Text(head.text.value.clone()) };
        let form = ValueForm::Amount { points: vec![only], tolerance: None, condition: None };
        let value = Value { span, form, remarks: Vec::new() };
        let origin = origin(block.field(property.name), layer);
        block.set(Field { property, value, span, origin, text: self.sources.text(span).to_owned() });
    }

    /// A block that starts from a part; empty and excused where there is no such part.
    fn start_from(&mut self, schema: &'static Block, part: &Spanned<String>, span: Span) -> Draft {
        let mut draft = self.part(&part.value, Some(part.span), Some(schema)).unwrap_or_else(|| {
            let mut empty = Draft::new(schema, None, span);
            empty.patchy = true;
            empty
        });
        draft.part = Some(part.clone());
        draft
    }
}

fn origin(earlier: Option<&Field>, layer: &Layer) -> Origin {
    match (layer, earlier) {
        (Layer::Variant(name), _) => Origin::Variant(name.clone()),
        (Layer::Part(part, from), _) => Origin::Part { part: part.clone(), from: from.clone() },
        (Layer::Spec, Some(Field { origin: Origin::Part { part, .. }, text, .. })) => {
            Origin::Overrides { part: part.clone(), instead_of: text.clone() }
        }
        (Layer::Spec, _) => Origin::Written,
    }
}

/// `depth x = 3 mm`, anywhere.
pub(super) fn not_a_let(s: &Statement) -> Diag {
    let word = &s.word.value;
    Diag::error("syntax/sign", s.span, format!("`{word}` is not followed by a name and `=`; only `let` is"))
        .label("not understood")
        .help("write `let NAME = VALUE` at the top of the file, or `PROPERTY VALUE` in a block")
}
