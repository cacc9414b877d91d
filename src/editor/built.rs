//! An as-built file in the editor: its messages, those of what it lays over its spec, and readings outside their limits.
//! The spec it names is read as it stands in the editor or on the disk.

use std::sync::Arc;

use crate::built::judge::{Verdict, rows};
use crate::built::{self, AsBuilt};
use crate::diag::{Diag, Signal, Sources, Span};
use crate::language::loading::{LoadError, Loader};
use crate::language::parse::Parsed;
use crate::language::symbols::{Mention, Symbol, mentions};
use crate::language::syntax::{ExprForm, Form, Item, ItemForm, Tree};
use crate::schema::tables::{BUILT, ROOT};
use crate::{Outcome, compile_fitted};

use super::Page;

/// Whether a file of this name is an as-built file: its ending says so.
pub(super) fn is_one(name: &str) -> bool {
    std::path::Path::new(name).extension().is_some_and(|ending| ending == "built")
}

/// The page of an as-built file.
pub(super) fn page(name: &str, text: &str, loader: &mut dyn Loader, earlier: Option<Page>) -> Page {
    let outcome = match built::read(name, text) {
        Err((diags, sources)) => (Outcome { compiled: None, sources, diags }, 0),
        Ok(built) => laid_over(name, text, &built, loader),
    };
    Page::of(name, text, &BUILT, outcome, earlier, Parsed::default())
}

/// The number of the as-built file among the sources of what it is laid over: the spec comes first.
const OVER: u32 = 1;

fn laid_over(name: &str, text: &str, built: &AsBuilt, loader: &mut dyn Loader) -> (Outcome, u32) {
    let spec = match loader.load(name, &built.spec) {
        Ok(spec) => spec,
        Err(why) => return (lost(name, text, built, &why), 0),
    };
    let cautions = built.cautions.iter().cloned().map(|mut caution| {
        caution.labels.iter_mut().for_each(|label| label.span = over(label.span));
        caution
    });
    let mut outcome = compile_fitted(&spec.name, &spec.text, loader, built.variant.as_deref(), &[(name, text)]);
    outcome.diags.extend(cautions);
    let broken = outcome.diags.iter().find(|d| d.signal == Signal::Error && d.span().file != OVER);
    if let Some(first) = broken {
        let place = outcome.sources.cite(first.span());
        let message = format!("the spec cannot be read: {place}: {}", first.message);
        outcome.diags.push(
            Diag::new("built/spec", Signal::Error, over(built.spec_at), message)
                .help("mend the spec; the readings wait for it"),
        );
    }
    if let Some(lamp) = &outcome.compiled {
        let known: Vec<&str> = lamp.lamp.driver.channels.iter().map(|c| c.name.as_str()).collect();
        for (channel, span) in built.channels.iter().filter(|(name, _)| !known.contains(&name.as_str())) {
            let diag =
                Diag::new("built/channel", Signal::Error, over(*span), format!("this lamp has no channel `{channel}`"));
            outcome.diags.push(diag.help(format!("its channels: {}", known.join(", "))));
        }
        let judged = rows(built, lamp);
        let off = judged.iter().filter(|r| matches!(r.verdict, Verdict::Outside | Verdict::Unsure));
        outcome.diags.extend(off.filter_map(|row| {
            let span = over(*built.places.get(&row.key)?);
            let (code, said) = match row.verdict {
                Verdict::Outside => ("built/outside", "is outside"),
                _ => ("built/unsure", "may be outside, the meter cannot tell"),
            };
            let message = format!("{}: {} {said}: {}", row.what, row.measured, row.expect);
            Some(Diag::new(code, Signal::Warning, span, message).help("measure again; if it stays, find out why"))
        }));
    }
    (outcome, OVER)
}

/// A place of the as-built file as it was read alone, in the sources of the whole.
fn over(span: Span) -> Span {
    Span { file: OVER, ..span }
}

fn lost(name: &str, text: &str, built: &AsBuilt, why: &LoadError) -> Outcome {
    let mut sources = Sources::default();
    sources.add(name, text);
    let (message, help) = match why {
        LoadError::Outside => ("lies outside the project", "keep spec and as-built files in one project"),
        _ => ("cannot be read", "count the path from the folder of this file"),
    };
    let message = format!("the spec `{}` {message}", built.spec);
    let mut diags = built.cautions.clone();
    diags.push(Diag::new("built/spec", Signal::Error, built.spec_at, message).help(help));
    Outcome { compiled: None, sources, diags }
}

/// Names of an as-built file and of its spec with the files it uses.
pub(super) fn names(tree: &Tree, others: &[Arc<Tree>]) -> Vec<Mention> {
    let fitted = Tree { items: built::fitted_items(tree).flatten().cloned().collect(), ..tree.clone() };
    let lamp: Vec<&Tree> = std::iter::once(&fitted).chain(others.iter().map(Arc::as_ref)).collect();
    let mut found = mentions(&[tree], &BUILT);
    found.extend(variant(tree));
    found.extend(mentions(&lamp, &ROOT));
    found
}

/// The variant that the lamp was built to, by its name in quotes.
fn variant(tree: &Tree) -> Option<Mention> {
    let statement = |item: &Item| match &item.form {
        ItemForm::Statement(s) => Some(s.clone()),
        ItemForm::Comment(..) | ItemForm::Wreck(..) => None,
    };
    let unit = tree.items.iter().filter_map(statement).find(|s| s.word.value == "unit")?;
    let Form::Block(_, body) = &unit.form else { return None };
    let said = body.items.iter().filter_map(statement).find(|s| s.word.value == "variant")?;
    let Form::Property(value) = &said.form else { return None };
    let expr = value.single()?;
    let ExprForm::Text(name) = &expr.form else { return None };
    let bare = Span { start: expr.span.start + 1, end: expr.span.end.saturating_sub(1), ..expr.span };
    let plain = (bare.end.saturating_sub(bare.start)) as usize == name.len();
    let symbol = Symbol::Variant(name.clone());
    plain.then_some(Mention { span: bare, symbol, declared: false, home: "", owner: None })
}
