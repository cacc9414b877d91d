//! One name across files. A die of a part is the die that a lamp feeds, where the lamp's emitter starts from that part:
//! blocks that are laid over each other share the names in them, and a name is changed in all of them or in none.

use std::collections::BTreeMap;

use crate::diag::Span;
use crate::language::loading::WRAPPER;
use crate::language::symbols::{Mention, Symbol};

use super::names::Place;
use super::{Page, position};

/// What a named block stands in: a lamp by its file, or a part by its file and name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Owner {
    Lamp(String),
    Part(String, String),
}

/// Kind of the block around a named block, and its own: each a space of names.
type Kind = (&'static str, &'static str);

/// A named block where it is declared or meant.
struct Sighting {
    file: String,
    span: Span,
    name: String,
    declared: bool,
    /// The number of its space of names.
    space: usize,
}

/// The named blocks of several files, and which spaces of names are one.
#[derive(Default)]
pub(crate) struct Family {
    spaces: BTreeMap<(Owner, Kind), usize>,
    /// For each space, one that it is the same as; itself where it stands for all of them.
    same: Vec<usize>,
    seen: BTreeMap<(String, Span), Sighting>,
    /// Texts of the files.
    texts: BTreeMap<String, String>,
}

impl Family {
    fn space(&mut self, owner: &Owner, kind: Kind) -> usize {
        let next = self.same.len();
        let number = *self.spaces.entry((owner.clone(), kind)).or_insert(next);
        if number == next {
            self.same.push(next);
        }
        number
    }

    fn first(&self, mut space: usize) -> usize {
        while let Some(next) = self.same.get(space).filter(|next| **next != space) {
            space = *next;
        }
        space
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.first(a), self.first(b));
        if let Some(same) = self.same.get_mut(a.max(b)) {
            *same = a.min(b);
        }
    }

    /// Takes in what a page and the files it uses say.
    pub(crate) fn add(&mut self, page: &Page) {
        let names = page.names();
        let file = |span: Span| page.sources().get(span.file).map(|s| s.name.clone()).unwrap_or_default();
        let spec = page.sources().get(0).map_or(page.name.as_str(), |s| s.name.as_str());
        for (source, number) in page.sources().iter().zip(0..) {
            let text = if number == page.file { &page.text } else { &source.text };
            self.texts.entry(source.name.clone()).or_insert_with(|| text.clone());
        }
        let lamp = Owner::Lamp(if spec == WRAPPER.0 { page.name.clone() } else { spec.to_owned() });
        let part = |name: &str| {
            let home = names.iter().find(|m| m.declared && matches!(&m.symbol, Symbol::Part(p) if p == name));
            Owner::Part(home.map(|m| file(m.span)).unwrap_or_default(), name.to_owned())
        };
        let owner = |m: &Mention| m.owner.as_ref().map_or_else(|| lamp.clone(), |name| part(name));
        let mut kinds: Vec<(Owner, Kind)> = Vec::new();
        for m in &names {
            let Symbol::Block(kind, name) = &m.symbol else { continue };
            let (owner, kind) = (owner(m), (m.home, *kind));
            let space = self.space(&owner, kind);
            kinds.push((owner, kind));
            let sighting =
                Sighting { file: file(m.span), span: m.span, name: name.clone(), declared: m.declared, space };
            // Seen through two lamps, a place is one place: what it stands in is one, too.
            let place = (sighting.file.clone(), Span { file: 0, ..m.span });
            if let Some(known) = self.seen.get(&place).filter(|known| known.name == sighting.name).map(|k| k.space) {
                self.join(known, space);
            } else {
                self.seen.entry(place).or_insert(sighting);
            }
        }
        // Where one starts from the other, each kind that is found in the other is one with its own; and so on through
        // parts that start from parts.
        let links: Vec<(Owner, Owner)> = names
            .iter()
            .filter(|m| !m.declared)
            .filter_map(|m| match &m.symbol {
                Symbol::Part(base) => Some((owner(m), part(base))),
                _ => None,
            })
            .collect();
        loop {
            let inherited = |(one, base): &(Owner, Owner)| -> Vec<(Owner, Kind)> {
                let theirs = kinds.iter().filter(|(o, _)| o == base).map(|(_, kind)| (one.clone(), *kind));
                theirs.filter(|pair| !kinds.contains(pair)).collect()
            };
            let mut new: Vec<(Owner, Kind)> = links.iter().flat_map(inherited).collect();
            new.sort();
            new.dedup();
            if new.is_empty() {
                break;
            }
            kinds.extend(new);
        }
        for (one, base) in &links {
            let shared: Vec<Kind> = kinds.iter().filter(|(o, _)| o == base).map(|(_, kind)| *kind).collect();
            for kind in shared {
                let (a, b) = (self.space(one, kind), self.space(base, kind));
                self.join(a, b);
            }
        }
    }

    /// The name at a place of a file, as a number of its space and the name itself.
    fn at(&self, file: &str, byte: usize) -> Option<(usize, &str)> {
        let here = |s: &&Sighting| s.file == file && (s.span.start as usize..=s.span.end as usize).contains(&byte);
        // The shortest: a wire's name holds its channel's.
        let found = self.seen.values().filter(here).min_by_key(|s| s.span.end - s.span.start)?;
        Some((self.first(found.space), &found.name))
    }

    /// Every place of the name that stands at this byte of a file, and whether it is declared there.
    pub(crate) fn places(&self, file: &str, byte: usize) -> Vec<(Place, bool)> {
        let Some((space, name)) = self.at(file, byte) else { return Vec::new() };
        let same = self.seen.values().filter(|s| s.name == name && self.first(s.space) == space);
        let range =
            |s: &Sighting| self.texts.get(&s.file).map(|text| position::range_of(text, s.span)).unwrap_or_default();
        same.map(|s| (Place { file: s.file.clone(), range: range(s) }, s.declared)).collect()
    }

    /// The file in which the name at this place would meet one that is `new` already.
    pub(crate) fn taken(&self, file: &str, byte: usize, new: &str) -> Option<&str> {
        let (space, _) = self.at(file, byte)?;
        let meets = |s: &&Sighting| s.declared && s.name == new && self.first(s.space) == space;
        self.seen.values().find(meets).map(|s| s.file.as_str())
    }
}
