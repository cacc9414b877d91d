//! Parts: the table of all that were brought in, each drafted once, and the blocks that start from them.

use super::build::{Builder, Layer, MOST_STATEMENTS};
use super::document::Part;
use super::draft::Draft;
use super::names;
use super::suggest::nearest;
use super::syntax::{Body, ExprForm, Form, Head, Item, ItemForm, Statement};
use crate::diag::{Diag, Span, Spanned};
use crate::schema::Block;

/// How deep parts may start from parts (our limit).
const DEEPEST_PARTS: usize = 16;

/// One `part KIND NAME { ... }`.
pub(super) struct Source<'t> {
    schema: &'static Block,
    name: Spanned<String>,
    base: Option<Spanned<String>>,
    body: &'t Body,
    from: Option<String>,
    draft: Option<Draft>,
    used: bool,
}

/// All parts.
#[derive(Default)]
pub(super) struct Parts<'t> {
    sources: Vec<Source<'t>>,
    /// Those being drafted now, outermost first, each with the place that names it.
    open: Vec<(usize, Span)>,
    /// False where a file is missing, so that an unknown part is no news.
    complete: bool,
    /// Whether a chain of parts was too deep; that is told once.
    too_deep: bool,
}

impl Parts<'_> {
    /// None yet; `complete` says whether every file was had.
    pub(super) fn new(complete: bool) -> Self {
        Self { complete, ..Self::default() }
    }
}

impl<'t> Builder<'t, '_> {
    /// Takes a `part` statement into the table.
    pub(super) fn declare_part(&mut self, s: &'t Statement) {
        let Form::Block(head, body) = &s.form else {
            return self.diags.push(misheaded(s.span));
        };
        let Some((kind, rest)) = head.split_first().filter(|(k, _)| !k.quoted) else {
            return self.diags.push(misheaded(s.word.span.to(body.open)));
        };
        let Some((Some(name), base)) = names::name_and_part(rest) else {
            return self.diags.push(misheaded(s.word.span.to(body.open)));
        };
        let Some(schema) = part_kind(self.root, &kind.text.value) else {
            return self.diags.push(unknown_kind(self.root, kind));
        };
        if !names::is_name(&name.value) {
            let message = format!("`{}` cannot be the name of a part", name.value);
            return self.diags.push(
                Diag::error("name/spelling", name.span, message)
                    .label("a name has small letters, digits and hyphens")
                    .help(format!("write `part {} {} {{`", schema.kind, names::simple(&name.value))),
            );
        }
        if let Some(first) = self.parts.sources.iter().find(|p| p.name.value == name.value) {
            let what = format!("the part `{}`", name.value);
            return self.diags.push(names::twice(&what, name.span, first.name.span));
        }
        let from = provenance(&body.items);
        self.parts.sources.push(Source { schema, name, base, body, from, draft: None, used: false });
    }

    /// The draft of a part; nothing where there is none of this name and kind, which is reported at `place`.
    pub(super) fn part(&mut self, name: &str, place: Option<Span>, schema: Option<&'static Block>) -> Option<Draft> {
        if let (Some(span), Some(wanted)) = (place, schema.filter(|s| !s.part)) {
            let message = format!("`{}` does not start from a part", wanted.kind);
            let diag = Diag::error("name/wrong-part", span, message).label("no part for this block");
            self.diags.push(diag.help("leave out `is` and the name behind it; write the figures between the braces"));
            return None;
        }
        let Some(at) = self.parts.sources.iter().position(|p| p.name.value == name) else {
            if let Some(span) = place.filter(|_| self.parts.complete) {
                self.diags.push(self.unknown_part(name, span, schema));
            }
            return None;
        };
        let source = self.parts.sources.get_mut(at)?;
        source.used |= place.is_some();
        if let (Some(span), Some(wanted)) = (place, schema.filter(|s| s.kind != source.schema.kind)) {
            let message = format!("`{name}` is a part for `{}`, not for `{}`", source.schema.kind, wanted.kind);
            let diag = Diag::error("name/wrong-part", span, message).label("another kind of part");
            let diag = diag.also(source.name.span, "declared here");
            self.diags.push(diag.help(format!("choose one that was declared with `part {}`", wanted.kind)));
            return None;
        }
        match &source.draft {
            Some(draft) => {
                self.count += draft.size();
                (self.count <= MOST_STATEMENTS).then(|| draft.clone())
            }
            None => self.draft_part(at, place),
        }
    }

    fn draft_part(&mut self, at: usize, place: Option<Span>) -> Option<Draft> {
        if let Some(from) = self.parts.open.iter().position(|(open, _)| *open == at) {
            self.diags.push(self.part_circle(from, at, place.unwrap_or_default()));
            return None;
        }
        if self.parts.open.len() >= DEEPEST_PARTS {
            if std::mem::replace(&mut self.parts.too_deep, true) {
                return None;
            }
            let message = format!("parts start from parts more than {DEEPEST_PARTS} deep");
            let diag = Diag::error("limit/part-depth", place.unwrap_or_default(), message);
            self.diags.push(diag.label("one too many").help("let the part say its own figures, without `is`"));
            return None;
        }
        let source = self.parts.sources.get(at)?;
        let (name, base, body, schema) = (source.name.clone(), source.base.clone(), source.body, source.schema);
        let layer = Layer::Part(name.value.clone(), source.from.clone());
        self.parts.open.push((at, place.unwrap_or(name.span)));
        let mut draft = match &base {
            Some(base) => self.part(&base.value, Some(base.span), Some(schema)).unwrap_or_else(|| {
                let mut empty = Draft::new(schema, None, name.span);
                empty.patchy = true;
                empty
            }),
            None => Draft::new(schema, None, name.span),
        };
        self.fill_part(&mut draft, &body.items, &layer);
        self.parts.open.pop();
        if let Some(source) = self.parts.sources.get_mut(at) {
            source.draft = Some(draft.clone());
        }
        Some(draft)
    }

    /// `from "..."` is the part's own, unless its kind of block has a property of this name.
    fn fill_part(&mut self, draft: &mut Draft, items: &'t [Item], layer: &Layer) {
        let own = draft.schema.property("from").is_none();
        items.iter().filter(|i| own && is_from(i)).for_each(|i| self.check_from(i));
        self.fill(draft, items.iter().filter(|i| !(own && is_from(i))), layer);
    }

    fn check_from(&mut self, item: &Item) {
        let ItemForm::Statement(s) = &item.form else { return };
        if text_of(s).is_none() {
            self.diags.push(
                Diag::error("value/kind", s.span, "`from` wants text in quotes")
                    .label("where the part's figures come from")
                    .help("write `from \"measured on 3 pieces\"`"),
            );
        }
    }

    /// Drafts every part that no block starts from, so that its mistakes show too.
    pub(super) fn unused_parts(&mut self) -> Vec<Draft> {
        let idle: Vec<String> =
            self.parts.sources.iter().filter(|p| p.draft.is_none()).map(|p| p.name.value.clone()).collect();
        idle.iter().filter_map(|name| self.part(name, None, None)).collect()
    }

    /// Every part for the document.
    pub(super) fn part_list(&self) -> Vec<Part> {
        let part =
            |p: &Source<'_>| Part { kind: p.schema.kind, name: p.name.clone(), from: p.from.clone(), used: p.used };
        self.parts.sources.iter().map(part).collect()
    }

    fn unknown_part(&self, name: &str, span: Span, schema: Option<&'static Block>) -> Diag {
        let kind = schema.map_or("", |s| s.kind);
        let fitting: Vec<&str> =
            self.parts.sources.iter().filter(|p| p.schema.kind == kind).map(|p| p.name.value.as_str()).collect();
        Diag::error("name/unknown-part", span, format!("there is no part `{name}`")).label("not found").help(
            match nearest(name, fitting.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None if fitting.is_empty() => {
                    format!("declare `part {kind} {name} {{ ... }}`, or `use` the file that does")
                }
                None => names::one_of(&format!("parts for `{kind}`"), fitting),
            },
        )
    }

    fn part_circle(&self, from: usize, at: usize, place: Span) -> Diag {
        let name = |i: usize| self.parts.sources.get(i).map_or("", |p| p.name.value.as_str());
        let links = self.parts.open.get(from..).unwrap_or_default();
        let way: Vec<&str> = links.iter().map(|(i, _)| name(*i)).chain([name(at)]).collect();
        let mut diag =
            Diag::error("name/loop", place, format!("parts start from each other in a circle: {}", way.join(" -> ")))
                .label(format!("starts from `{}` again", name(at)));
        for (i, span) in links.iter().skip(1) {
            diag = diag.also(*span, format!("starts from `{}`", name(*i)));
        }
        diag.help("let one of them stand on its own, without `is`")
    }
}

/// The kind of block of this name that may be a part, wherever it stands.
fn part_kind(block: &'static Block, kind: &str) -> Option<&'static Block> {
    let own = block.blocks.iter().find(|b| b.part && b.kind == kind);
    own.or_else(|| block.blocks.iter().find_map(|b| part_kind(b, kind)))
}

fn part_kinds(block: &'static Block, into: &mut Vec<&'static str>) {
    for inner in block.blocks {
        if inner.part && !into.contains(&inner.kind) {
            into.push(inner.kind);
        }
        part_kinds(inner, into);
    }
}

fn unknown_kind(root: &'static Block, kind: &Head) -> Diag {
    let mut kinds = Vec::new();
    part_kinds(root, &mut kinds);
    let word = &kind.text.value;
    Diag::error("name/unknown-part-kind", kind.text.span, format!("no part can be of the kind `{word}`"))
        .label("not a kind of part")
        .help(match nearest(word, kinds.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => names::one_of("kinds of part", kinds),
        })
}

fn misheaded(span: Span) -> Diag {
    Diag::error("syntax/block-head", span, "a part wants its kind and a name")
        .label("opens here")
        .help("write `part emitter quad-star {`")
}

fn is_from(item: &Item) -> bool {
    matches!(&item.form, ItemForm::Statement(s) if s.word.value == "from")
}

fn text_of(s: &Statement) -> Option<String> {
    let Form::Property(value) = &s.form else { return None };
    match value.single().map(|e| &e.form) {
        Some(ExprForm::Text(text)) => Some(text.clone()),
        _ => None,
    }
}

/// What `from "..."` says.
fn provenance(items: &[Item]) -> Option<String> {
    items.iter().filter(|i| is_from(i)).find_map(|i| match &i.form {
        ItemForm::Statement(s) => text_of(s),
        _ => None,
    })
}
