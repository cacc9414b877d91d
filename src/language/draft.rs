//! Blocks on their way to a `Document`: names and schema rows are matched, layers (part, spec, variant) are laid
//! over each other, values are still as written.

use super::document::Origin;
use super::syntax::Value;
use crate::diag::{Span, Spanned};
use crate::schema::{Block, Property};

/// A block.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    pub(super) schema: &'static Block,
    pub(super) name: Option<Spanned<String>>,
    pub(super) span: Span,
    pub(super) part: Option<Spanned<String>>,
    pub(super) written: bool,
    pub(super) fields: Vec<Field>,
    pub(super) blocks: Vec<Draft>,
    /// Words that begin a statement with an error of its own: what they would have said is not missing.
    pub(super) excused: Vec<String>,
    /// Whether so much is wrong (an unknown part) that nothing can be called missing.
    pub(super) patchy: bool,
}

/// A property.
#[derive(Debug, Clone)]
pub(super) struct Field {
    pub(super) property: &'static Property,
    pub(super) value: Value,
    /// Name and value.
    pub(super) span: Span,
    pub(super) origin: Origin,
    /// As written.
    pub(super) text: String,
}

impl Draft {
    pub(super) fn new(schema: &'static Block, name: Option<Spanned<String>>, span: Span) -> Self {
        Self {
            schema,
            name,
            span,
            part: None,
            written: true,
            fields: Vec::new(),
            blocks: Vec::new(),
            excused: Vec::new(),
            patchy: false,
        }
    }

    /// Its last step in a path: the name of a named block, the kind of any other.
    pub(super) fn step(&self) -> &str {
        match (&self.name, self.schema.arity) {
            (Some(name), crate::schema::Arity::Named) => &name.value,
            _ => self.schema.kind,
        }
    }

    /// Its properties and blocks, all told.
    pub(super) fn size(&self) -> usize {
        self.fields.len() + self.blocks.iter().map(|b| 1 + b.size()).sum::<usize>()
    }

    /// As errors name it: `channel red`.
    pub(super) fn called(&self) -> String {
        match (&self.name, self.schema.arity) {
            (Some(name), crate::schema::Arity::Named) => format!("{} {}", self.schema.kind, name.value),
            _ => self.schema.kind.to_owned(),
        }
    }

    pub(super) fn field(&self, name: &str) -> Option<&Field> {
        self.fields.iter().find(|f| f.property.name == name)
    }

    /// Puts a field in the place of the one of the same property.
    pub(super) fn set(&mut self, field: Field) {
        match self.fields.iter_mut().find(|f| f.property.name == field.property.name) {
            Some(old) => *old = field,
            None => self.fields.push(field),
        }
    }

    /// Where the block of this kind and name stands among its own.
    pub(super) fn position(&self, kind: &str, name: Option<&str>) -> Option<usize> {
        self.blocks.iter().position(|b| {
            b.schema.kind == kind
                && (b.schema.arity != crate::schema::Arity::Named || b.name.as_ref().map(|n| n.value.as_str()) == name)
        })
    }
}
