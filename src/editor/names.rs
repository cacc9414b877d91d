//! Where a name is declared, where it is meant, and the edits that give it another.

use serde_json::{Value, json};

use crate::diag::Span;
use crate::language::symbols::{Mention, Symbol};

use super::{Page, position};

/// A place in a file, by the file's name.
pub struct Place {
    /// Name of the file as the sources know it.
    pub file: String,
    /// The range in it.
    pub range: Value,
}

impl Page {
    fn mention_at(&self, byte: usize) -> Option<(Mention, Vec<Mention>)> {
        let names = self.names();
        let here =
            |m: &&Mention| m.span.file == self.file && (m.span.start as usize..=m.span.end as usize).contains(&byte);
        let found = names.iter().find(here)?.clone();
        Some((found, names))
    }

    fn place(&self, span: Span) -> Option<Place> {
        let source = self.sources().get(span.file)?;
        let text = if span.file == self.file { &self.text } else { &source.text };
        Some(Place { file: source.name.clone(), range: position::range_of(text, span) })
    }

    /// Where the name at a place is declared.
    pub fn definition(&self, byte: usize) -> Vec<Place> {
        let Some((found, names)) = self.mention_at(byte) else { return Vec::new() };
        let declared = names.iter().filter(|m| m.declared && m.symbol == found.symbol);
        declared.filter_map(|m| self.place(m.span)).collect()
    }

    /// Every place where the name is meant; where it is declared too, if `declared`.
    pub fn references(&self, byte: usize, declared: bool) -> Vec<Place> {
        let Some((found, names)) = self.mention_at(byte) else { return Vec::new() };
        let wanted = names.iter().filter(|m| m.symbol == found.symbol && (declared || !m.declared));
        wanted.filter_map(|m| self.place(m.span)).collect()
    }

    /// The name at a place, if it may be changed: its range.
    ///
    /// # Errors
    /// Why it may not, in words.
    pub fn renamable(&self, byte: usize) -> Result<Value, String> {
        let Some((found, names)) = self.mention_at(byte) else { return Err("there is no name here".to_owned()) };
        if matches!(found.symbol, Symbol::Property(_)) {
            return Err("a property's name is a word of the language".to_owned());
        }
        let elsewhere = names.iter().find(|m| m.symbol == found.symbol && m.span.file != self.file);
        if let Some(place) = elsewhere.and_then(|m| self.place(m.span)) {
            return Err(format!("this name stands in {} too, which other lamps may use; change it there", place.file));
        }
        Ok(position::range_of(&self.text, found.span))
    }

    /// Edits that give the name at a place another.
    ///
    /// # Errors
    /// Why it may not, in words.
    pub fn rename(&self, byte: usize, name: &str) -> Result<Vec<Value>, String> {
        self.renamable(byte)?;
        if !crate::language::is_name(name) {
            return Err(format!("`{name}` cannot be a name: small letters, digits and hyphens, a letter first"));
        }
        let Some((found, names)) = self.mention_at(byte) else { return Err("there is no name here".to_owned()) };
        let taken = |m: &Mention| m.declared && same_kind(&m.symbol, &found.symbol) && name_of(&m.symbol) == name;
        if names.iter().any(taken) {
            return Err(format!("`{name}` is taken already"));
        }
        let own = names.iter().filter(|m| m.symbol == found.symbol);
        Ok(own.map(|m| json!({ "range": position::range_of(&self.text, m.span), "newText": name })).collect())
    }
}

fn same_kind(a: &Symbol, b: &Symbol) -> bool {
    match (a, b) {
        (Symbol::Block(a, _), Symbol::Block(b, _)) => a == b,
        (a, b) => std::mem::discriminant(a) == std::mem::discriminant(b),
    }
}

fn name_of(symbol: &Symbol) -> &str {
    match symbol {
        Symbol::Let(n) | Symbol::Part(n) | Symbol::Variant(n) | Symbol::Block(_, n) | Symbol::Property(n) => n,
    }
}
