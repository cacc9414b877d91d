//! Where a name is declared, where it is meant, and the edits that give it another.

use serde_json::{Value, json};

use crate::diag::Span;
use crate::language::parse::parse;
use crate::language::symbols::{Mention, Symbol};

use super::family::Family;
use super::{Page, position};

/// A place in a file, by the file's name.
pub(crate) struct Place {
    /// Name of the file as the sources know it.
    pub(crate) file: String,
    /// The range in it.
    pub(crate) range: Value,
}

impl Page {
    fn mention_at(&self, byte: usize) -> Option<(Mention, Vec<Mention>)> {
        let names = self.names();
        let here =
            |m: &&Mention| m.span.file == self.file && (m.span.start as usize..=m.span.end as usize).contains(&byte);
        // The shortest: a wire's name holds its channel's.
        let found = names.iter().filter(here).min_by_key(|m| m.span.end - m.span.start)?.clone();
        Some((found, names))
    }

    fn place(&self, span: Span) -> Option<Place> {
        let source = self.sources().get(span.file)?;
        let text = if span.file == self.file { &self.text } else { &source.text };
        Some(Place { file: source.name.clone(), range: position::range_of(text, span) })
    }

    /// Every place of the named block at a place, as far as this file sees: two parts may each have a die `red`.
    fn blocks(&self, byte: usize) -> Vec<(Place, bool)> {
        let mut family = Family::default();
        family.add(self);
        let own = self.sources().get(self.file).map_or(self.name.as_str(), |s| s.name.as_str());
        family.places(own, byte)
    }

    /// Where the name at a place is declared.
    pub(crate) fn definition(&self, byte: usize) -> Vec<Place> {
        let Some((found, names)) = self.mention_at(byte) else { return Vec::new() };
        if let Symbol::Block(..) = found.symbol {
            return self.blocks(byte).into_iter().filter(|(_, declared)| *declared).map(|(place, _)| place).collect();
        }
        let declared = names.iter().filter(|m| m.declared && m.symbol == found.symbol);
        declared.filter_map(|m| self.place(m.span)).collect()
    }

    /// Every place where the name is meant; where it is declared too, if `declared`.
    pub(crate) fn references(&self, byte: usize, declared: bool) -> Vec<Place> {
        let Some((found, names)) = self.mention_at(byte) else { return Vec::new() };
        if let Symbol::Block(..) = found.symbol {
            let all = self.blocks(byte).into_iter();
            return all.filter(|(_, here)| declared || !here).map(|(place, _)| place).collect();
        }
        let wanted = names.iter().filter(|m| m.symbol == found.symbol && (declared || !m.declared));
        wanted.filter_map(|m| self.place(m.span)).collect()
    }

    /// What the name at a place stands for, and its range; `Err` says in words why it may not be changed.
    ///
    /// # Errors
    /// No name; a word of the language.
    pub(crate) fn renamable(&self, byte: usize) -> Result<(Symbol, Value), String> {
        let Some((found, _)) = self.mention_at(byte) else { return Err("there is no name here".to_owned()) };
        if matches!(found.symbol, Symbol::Property(_)) {
            return Err("a property's name is a word of the language".to_owned());
        }
        Ok((found.symbol, position::range_of(&self.text, found.span)))
    }

    /// Names of the files that it and its used files declare this in; a file that no other can use is not among them.
    pub(crate) fn homes(&self, symbol: &Symbol) -> Vec<String> {
        let own = self.names();
        let declared = own.iter().filter(|m| m.declared && m.symbol == *symbol);
        let mut files: Vec<String> =
            declared.filter_map(|m| self.sources().get(m.span.file)).map(|s| s.name.clone()).collect();
        files.dedup();
        files
    }

    /// Whether it is this file, or uses it.
    pub(crate) fn sees(&self, file: &str) -> bool {
        self.name == file || self.sources().iter().any(|s| s.name == file)
    }

    /// Whether every place of a name can be found in it.
    pub(crate) fn readable(&self) -> bool {
        let mut slips = Vec::new();
        parse(self.file, &self.text, &mut slips).sound && slips.is_empty()
    }

    /// That it cannot be read, in words.
    pub(crate) fn unreadable(&self) -> String {
        format!("{} cannot be read, so not every place of the name is found; mend it first", self.name)
    }

    /// Edits of this file alone that give what `symbol` stands for another name; none where it is not meant here.
    ///
    /// # Errors
    /// The name is none, or is taken; the file cannot be read well enough to find every place.
    pub(crate) fn renamed(&self, symbol: &Symbol, name: &str) -> Result<Vec<Value>, String> {
        can_be(name)?;
        let names = self.names();
        let own: Vec<&Mention> = names.iter().filter(|m| m.symbol == *symbol && m.span.file == self.file).collect();
        let taken = |m: &Mention| m.declared && same_kind(&m.symbol, symbol) && name_of(&m.symbol) == name;
        if names.iter().any(taken) {
            return Err(format!("`{name}` is taken already in {}", self.name));
        }
        if !self.readable() {
            return Err(self.unreadable());
        }
        Ok(own.iter().map(|m| json!({ "range": position::range_of(&self.text, m.span), "newText": name })).collect())
    }
}

/// Whether this can be a name.
///
/// # Errors
/// That it cannot, in words.
pub(crate) fn can_be(name: &str) -> Result<(), String> {
    if crate::language::is_name(name) {
        return Ok(());
    }
    Err(format!("`{name}` cannot be a name: small letters, digits and hyphens, a letter first"))
}

/// The name itself.
pub(crate) fn name_of(symbol: &Symbol) -> &str {
    match symbol {
        Symbol::Let(n) | Symbol::Part(n) | Symbol::Variant(n) | Symbol::Block(_, n) | Symbol::Property(n) => n,
    }
}

fn same_kind(a: &Symbol, b: &Symbol) -> bool {
    match (a, b) {
        (Symbol::Block(a, _), Symbol::Block(b, _)) => a == b,
        (a, b) => std::mem::discriminant(a) == std::mem::discriminant(b),
    }
}
