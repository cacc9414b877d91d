//! `Tree` to `Document`: files are brought in, parts and one variant laid over, every value worked out and checked
//! against the schema. All errors of a run are reported; a document comes out where there was none.

use std::cell::LazyCell;
use std::collections::{BTreeMap, BTreeSet};

use super::build::{Builder, Layer, MOST_STATEMENTS};
use super::cells::{self, Cell, Gaps, Result, Surroundings};
use super::complete;
use super::document::{Document, Named};
use super::draft::Draft;
use super::expression::{Figure, Outcome};
use super::loading::{Loader, Used};
use super::parse::Parsed;
use super::parts::Parts;
use super::suggest::{any_of, nearest};
use super::syntax::{Form, Item, ItemForm, Tree};
use super::top::{Let, Top, waived};
use super::{together, waivers};
use crate::diag::{Diag, Signal, Sources, Span, Spanned};
use crate::schema::Block;

/// Works out what `tree` says, with the variant of this name laid over.
///
/// `root` is the schema of the whole lamp. Nothing comes back where there is an error of any kind, syntax errors
/// reported before included; `spec/implausible` is no error. A tree that is not `sound` is not looked into: its errors
/// would follow from the brace that is missing.
pub fn resolve(
    tree: &Tree,
    loader: &mut dyn Loader,
    root: &'static Block,
    variant: Option<&str>,
    sources: &mut Sources,
    diags: &mut Vec<Diag>,
) -> Option<Document> {
    let used = Used::of(tree, loader, sources, diags, &mut Parsed::default());
    resolve_read(tree, &used, root, variant, &[], sources, diags)
}

/// The same from files that were read before; what was fitted to one lamp is laid over the variant, layer by layer:
/// blocks of an as-built file. The last messages in `diags` are those that `used` gave.
pub fn resolve_read(
    tree: &Tree,
    used: &Used,
    root: &'static Block,
    variant: Option<&str>,
    fitted: &[&[Item]],
    sources: &Sources,
    diags: &mut Vec<Diag>,
) -> Option<Document> {
    if !tree.sound {
        return None;
    }
    let earlier = diags.len().saturating_sub(used.said);
    let written = used.trees.iter().map(AsRef::as_ref).chain([tree]).map(|t| statements(&t.items)).sum();
    let head = Span::new(tree.file, 0, 0);
    if written > MOST_STATEMENTS {
        diags.push(too_long(written, head));
        return None;
    }
    let mut top = Top::default();
    used.trees.iter().for_each(|t| top.used(t, root, diags));
    top.spec(tree, diags);
    let parts = Parts::new(used.complete);
    let mut builder = Builder { root, sources, parts, diags, count: 0 };
    top.parts.iter().for_each(|s| builder.declare_part(s));

    let mut lamp = Draft::new(root, None, head);
    if !used.complete {
        lamp.excused.push("let".to_owned());
    }
    builder.fill(&mut lamp, top.lamp.iter().copied(), &Layer::Spec);
    overlay(&mut builder, &mut lamp, &top, variant);
    for layer in fitted {
        builder.fill(&mut lamp, *layer, &Layer::Variant("as built".to_owned()));
    }
    let own = top.variants.iter().filter(|v| Some(v.name.value.as_str()) == variant);
    let of_variant = { own }.flat_map(|v| v.body.items.iter().filter_map(waived));
    let all: Vec<_> = top.waivers.iter().cloned().chain(of_variant).collect();
    let mut waived: Vec<Draft> = all.iter().map(|(rule, body)| waivers::draft(&mut builder, rule, body)).collect();
    let unused = builder.unused_parts();
    let part_list = builder.part_list();
    let count = builder.count;
    if count > MOST_STATEMENTS {
        diags.push(too_long(count, head));
        return None;
    }
    complete::complete(&mut lamp, None, diags);
    complete::untitled(&lamp, diags);
    waived.iter_mut().for_each(|w| complete::complete(w, None, diags));

    let list = all_cells(&top.lets, &lamp, &waived, &unused, sources);
    let results = work_out(&list, &lamp, diags);
    together::check(&lamp, "", &mut results.iter().skip(top.lets.len()), diags);
    one_of_each(diags, earlier);
    if diags.iter().any(|d| d.signal == Signal::Error) {
        return None;
    }
    let mut results = results.into_iter();
    let lets = top.lets.iter().zip(results.by_ref()).filter_map(|(l, r)| named(l, r, sources)).collect();
    let root = complete::node(lamp, "", &mut results);
    let waivers =
        waived.iter().filter_map(|w| waivers::waiver(w, &mut results.by_ref().take(w.fields.len()))).collect();
    let variants = top.variants.iter().map(|v| v.name.clone()).collect();
    Some(Document { variant: variant.map(str::to_owned), variants, root, waivers, parts: part_list, lets })
}

/// Statements, those in blocks included.
fn statements(items: &[Item]) -> usize {
    let inner = |item: &Item| match &item.form {
        ItemForm::Statement(s) => match &s.form {
            Form::Block(_, body) => 1 + statements(&body.items),
            _ => 1,
        },
        _ => 0,
    };
    items.iter().map(inner).sum()
}

fn too_long(count: usize, head: Span) -> Diag {
    let message = format!("this spec has {count} statements or more with its parts; the limit is {MOST_STATEMENTS}");
    Diag::error("limit/statements", head, message)
        .label("the spec begins here")
        .help("use fewer part files, or split the lamp in two")
}

fn overlay<'t>(builder: &mut Builder<'t, '_>, lamp: &mut Draft, top: &Top<'t>, variant: Option<&str>) {
    let Some(wanted) = variant else { return };
    let Some(found) = top.variants.iter().find(|v| v.name.value == wanted) else {
        let names: Vec<&str> = top.variants.iter().map(|v| v.name.value.as_str()).collect();
        let help = match nearest(wanted, names.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None if names.is_empty() => format!("add `variant {wanted} {{ ... }}`, or ask for none"),
            None => format!("variants here: {}", any_of(names)),
        };
        let message = format!("this spec has no variant `{wanted}`");
        return builder
            .diags
            .push(Diag::error("name/unknown-variant", lamp.span, message).label("the spec").help(help));
    };
    let items = found.body.items.iter().filter(|item| waived(item).is_none());
    builder.fill(lamp, items, &Layer::Variant(wanted.to_owned()));
}

/// Lets, the lamp, waivers and unused parts, in this order.
fn all_cells<'a>(
    lets: &'a [Let<'_>],
    lamp: &'a Draft,
    waived: &'a [Draft],
    unused: &'a [Draft],
    sources: &'a Sources,
) -> Vec<Cell<'a>> {
    let mut list: Vec<Cell<'_>> = lets
        .iter()
        .map(|l| Cell {
            path: l.name.value.clone(),
            home: "".into(),
            property: None,
            value: l.value,
            span: l.span,
            text: sources.text(l.value.span),
            in_lamp: true,
        })
        .collect();
    complete::cells(lamp, "", true, &mut list);
    waived.iter().for_each(|w| complete::cells(w, "waive", false, &mut list));
    unused.iter().for_each(|p| complete::cells(p, "part", false, &mut list));
    list
}

fn work_out(list: &[Cell<'_>], lamp: &Draft, diags: &mut Vec<Diag>) -> Vec<Result> {
    let mut blocks = BTreeMap::new();
    complete::block_names(lamp, &mut blocks);
    let gaps = || {
        let mut found = Gaps::default();
        complete::gaps(lamp, "", &mut found);
        found
    };
    cells::work_out(list, &Surroundings { blocks: &blocks, gaps: LazyCell::new(&gaps) }, diags)
}

/// A part that several blocks start from brings its mistakes once. What causes comes before what follows, and within
/// that the order of the text.
fn one_of_each(diags: &mut Vec<Diag>, earlier: usize) {
    let mut seen = BTreeSet::new();
    let mut at = 0;
    diags.retain(|d| {
        at += 1;
        at <= earlier || seen.insert((d.code.clone(), d.span(), d.message.clone()))
    });
    if let Some(new) = diags.get_mut(earlier..) {
        new.sort_by_key(|d| (d.signal != Signal::Error, d.code.starts_with("value/missing"), d.span()));
    }
}

fn named(l: &Let<'_>, result: Result, sources: &Sources) -> Option<Named> {
    let Result::Let(Outcome::Known(Figure { spread, powers, absolute })) = result else { return None };
    let dimension = powers.dimension(absolute)?;
    let text = sources.text(l.value.span).to_owned();
    let name = Spanned { value: l.name.value.clone(), span: l.name.span };
    Some(Named { name, text, value: spread, dimension })
}
