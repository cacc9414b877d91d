//! A spec and the files it uses: parsed once, resolved once for each variant, then solved and judged.
//! What variants have in common is worked out by the first that asks.

use std::sync::{Arc, OnceLock};

use crate::diag::{Diag, Sources};
use crate::lamp::{self, Lamp};
use crate::language::document::Document;
use crate::language::loading::{Loader, Used, WRAPPER, Wrapped, is_parts_only};
use crate::language::parse::Parsed;
use crate::language::syntax::{Item, Tree};
use crate::language::{self, IMPLAUSIBLE};
use crate::ledger::Scope;
use crate::schema::tables::ROOT;
use crate::solve::engine::SharedEngine;
use crate::{Compiled, Outcome, built};

/// A spec and the files it uses, read and parsed once: any of its variants is worked out from the same text.
pub struct Reading {
    sources: Sources,
    /// What parsing gave.
    diags: Vec<Diag>,
    tree: Arc<Tree>,
    used: Used,
    /// As-built files laid over it, in this order.
    built: Vec<Tree>,
    /// What it says without variant and without what was built; made when first asked for.
    plain: OnceLock<Said>,
    /// What it says with each of its variants; made when first asked for.
    variants: Vec<(String, OnceLock<Said>)>,
    scope: Scope,
}

/// What a reading says with one variant laid over.
#[derive(Clone)]
pub struct Said {
    /// Where there is no error.
    spec: Option<Spec>,
    diags: Vec<Diag>,
    variant: Option<String>,
}

/// A spec without errors.
#[derive(Clone)]
pub(super) struct Spec {
    pub(super) document: Arc<Document>,
    pub(super) lamp: Arc<Lamp>,
    /// Nothing is worked out in it until the lamp is.
    pub(super) shared: Arc<SharedEngine>,
}

impl Reading {
    /// Reads a spec, as-built files, and the files that the spec uses.
    pub fn new(name: &str, text: &str, loader: &mut dyn Loader, built: &[(&str, &str)]) -> Self {
        Self::again(name, text, loader, built, &mut Parsed::default())
    }

    /// The same; `parsed` has what an earlier reading parsed.
    pub fn again(name: &str, text: &str, loader: &mut dyn Loader, built: &[(&str, &str)], parsed: &mut Parsed) -> Self {
        let mut sources = Sources::default();
        let mut diags = Vec::new();
        let file = sources.add(name, text);
        let tree = parsed.parse(file, text, &mut diags);
        let mut read = |(name, text): &(&str, &str)| {
            let file = sources.add(*name, *text);
            language::parse::parse(file, text, &mut diags)
        };
        let built = built.iter().map(&mut read).collect();
        let used = Used::of(&tree, loader, &mut sources, &mut diags, parsed);
        let variants = language::top::variants(&tree).into_iter().map(|name| (name, OnceLock::new())).collect();
        Self { sources, diags, tree, used, built, plain: OnceLock::new(), variants, scope: Scope::Papers }
    }

    /// The same where no paper is wanted: what rules do not ask for is worked out by the lamp that a paper is asked of.
    #[must_use]
    pub fn for_rules(self) -> Self {
        Self { scope: Scope::Rules, ..self }
    }

    /// Reads a file as a spec, or, where it holds parts and nothing more, as a lamp sees it that uses it and is nothing
    /// else; says whether it is one of parts. `parsed` has what an earlier reading parsed.
    pub fn of_any(name: &str, text: &str, loader: &mut dyn Loader, parsed: &mut Parsed) -> (Self, bool) {
        let parts = is_parts_only(&parsed.parse(0, text, &mut Vec::new()));
        let reading = if parts {
            Self::again(WRAPPER.0, WRAPPER.1, &mut Wrapped::new(name, text, loader), &[], parsed)
        } else {
            Self::again(name, text, loader, &[], parsed)
        };
        (reading, parts)
    }

    /// The files that were read.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// What it says with this variant laid over: the language alone, no physics and no rules.
    pub fn said(&self, variant: Option<&str>) -> Said {
        let fresh = || {
            let fitted: Vec<&[Item]> = self.built.iter().flat_map(built::fitted_items).collect();
            self.say(variant, &fitted)
        };
        match variant {
            None if self.built.is_empty() => self.plain().clone(),
            None => fresh(),
            Some(name) => match self.variants.iter().find(|(own, _)| own == name) {
                Some((_, said)) => said.get_or_init(fresh).clone(),
                None => fresh(),
            },
        }
    }

    /// Whether this variant leaves currents, heat and light as they are without it: it is soon worked out after the lamp.
    pub fn shares_engine(&self, variant: &str) -> bool {
        let lamp = |said: &Said| said.spec.as_ref().map(|spec| spec.lamp.clone());
        match (lamp(&self.said(Some(variant))), lamp(self.plain())) {
            (Some(one), Some(other)) => one.engine() == other.engine(),
            _ => false,
        }
    }

    fn plain(&self) -> &Said {
        self.plain.get_or_init(|| self.say(None, &[]))
    }

    fn say(&self, variant: Option<&str>, fitted: &[&[Item]]) -> Said {
        let mut diags = self.diags.clone();
        let document =
            language::resolve::resolve_read(&self.tree, &self.used, &ROOT, variant, fitted, &self.sources, &mut diags);
        let spec = document.map(|document| {
            let lamp = Arc::new(lamp::read(&document, &diags));
            Spec { document: Arc::new(document), lamp: lamp.clone(), shared: Arc::new(SharedEngine::of(lamp)) }
        });
        Said { spec, diags, variant: variant.map(str::to_owned) }
    }

    /// Solves and judges what was said.
    pub fn judge(&self, said: Said) -> Outcome {
        let Said { spec, mut diags, variant } = said;
        let sources = self.sources.clone();
        let Some(Spec { document, lamp, shared }) = spec else {
            return Outcome { compiled: None, sources, diags: in_order(diags) };
        };
        let base = variant.and_then(|_| self.plain().spec.as_ref());
        let alike = base.filter(|base| base.lamp.engine() == lamp.engine());
        let shared = alike.map_or(shared, |base| base.shared.clone());
        let base = base.map(|base| base.lamp.clone());
        let spec = Spec { document, lamp, shared };
        let compiled = Compiled::of(sources.clone(), spec, base, self.scope);
        diags.retain(|d| d.code != IMPLAUSIBLE);
        Outcome { compiled: Some(Box::new(compiled)), sources, diags: in_order(diags) }
    }

    /// Names of the variants that the spec has.
    pub fn variants(&self) -> impl Iterator<Item = &str> {
        self.variants.iter().map(|(name, _)| name.as_str())
    }

    /// The lamp with this variant, worked out and judged.
    pub fn work_out(&self, variant: Option<&str>) -> Outcome {
        self.judge(self.said(variant))
    }
}

impl Said {
    /// The document and the lamp read from it; none where there are errors.
    pub fn spec(&self) -> Option<(&Document, &Lamp)> {
        self.spec.as_ref().map(|spec| (&*spec.document, &*spec.lamp))
    }

    /// Errors of the language, in order; none where it can be worked out.
    pub fn errors(&self) -> Vec<Diag> {
        if self.spec.is_some() { Vec::new() } else { in_order(self.diags.clone()) }
    }
}

/// Errors first, then by place; what is missing comes after what is wrong, for the one is often why of the other.
fn in_order(mut diags: Vec<Diag>) -> Vec<Diag> {
    diags.sort_by_key(|d| (std::cmp::Reverse(d.signal), d.code.starts_with("value/missing"), d.span()));
    diags
}
