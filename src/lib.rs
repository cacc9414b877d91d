//! Compiles a lamp specification into a build packet for the bench. The pipeline, on one page:
//!
//! ```text
//! text -parse-> Tree -resolve-> Document -read-> Lamp -solve-> Solution -judge-> Report -compose-> Packet -render-> files
//!      language               lamp            solve            rules            packet             render
//! ```
//!
//! Each arrow is one pure function; each stage reports all it found; only `cli` touches files and the terminal.

pub mod batch;
pub mod built;
pub mod cli;
pub mod compare;
pub mod diag;
pub mod digest;
mod editor;
pub mod figures;
pub mod lamp;
pub mod language;
pub mod ledger;
pub mod packet;
pub mod physics;
pub mod quantity;
pub mod render;
pub mod rules;
pub mod schema;
pub mod solve;
pub mod spread;
mod threads;
mod what_if;

use std::sync::{Arc, OnceLock};

use diag::{Diag, Sources};
use lamp::Lamp;
use language::IMPLAUSIBLE;
use language::document::Document;
use language::loading::{Loader, Used, WRAPPER, Wrapped, is_parts_only};
use language::parse::Parsed;
use language::syntax::{Item, Tree};
use ledger::Scope;
use packet::bench::Bench;
use packet::compose::{ComposeError, Serial};
use packet::sheet::{Identity, Packet, Paper};
use packet::templates::Overrides;
use rules::report::Report;
use schema::tables::ROOT;
use solve::Solution;
use solve::engine::Shared;

/// One lamp, worked out and judged.
pub struct Compiled {
    /// The files it came from.
    pub sources: Sources,
    /// The resolved spec.
    pub document: Arc<Document>,
    /// What the author said.
    pub lamp: Arc<Lamp>,
    /// The same without its variant, where one is laid over.
    pub base: Option<Arc<Lamp>>,
    /// An engine that this one may have in common with other lamps.
    shared: Arc<Shared>,
    /// What follows from it.
    pub solution: Solution,
    /// What the rules say.
    pub report: Report,
    /// Made when a paper first asks for it.
    identity: OnceLock<Identity>,
    /// The solution with what papers alone print, where `solution` is for the rules; made when a paper first asks for it.
    whole: OnceLock<Solution>,
}

/// What a run gave: the lamp where the spec could be compiled, and the messages where it could not.
pub struct Outcome {
    /// The lamp.
    pub compiled: Option<Box<Compiled>>,
    /// The files that were read.
    pub sources: Sources,
    /// Errors of the spec; findings of the rules are in the report.
    pub diags: Vec<Diag>,
}

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
struct Spec {
    document: Arc<Document>,
    lamp: Arc<Lamp>,
    /// Nothing is worked out in it until the lamp is.
    shared: Arc<Shared>,
}

/// Compiles a spec. `name` is how the spec is called in messages; `loader` reads the files that it uses.
pub fn compile(name: &str, text: &str, loader: &mut dyn Loader, variant: Option<&str>) -> Outcome {
    Reading::new(name, text, loader, &[]).work_out(variant)
}

/// Compiles a spec with what one lamp was fitted with laid over it; `built` are name and text of files whose blocks
/// `fitted` are laid over in this order.
pub fn compile_fitted(
    name: &str,
    text: &str,
    loader: &mut dyn Loader,
    variant: Option<&str>,
    built: &[(&str, &str)],
) -> Outcome {
    Reading::new(name, text, loader, built).work_out(variant)
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
    pub fn glows_alike(&self, variant: &str) -> bool {
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
            Spec { document: Arc::new(document), lamp: lamp.clone(), shared: Arc::new(Shared::of(lamp)) }
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
        let plain = variant.and_then(|_| self.plain().spec.as_ref());
        let base = plain.map(|plain| plain.lamp.clone());
        let shared = plain.map_or(shared, |plain| plain.shared.clone());
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
    pub fn whole(&self) -> Option<(&Document, &Lamp)> {
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

impl Compiled {
    /// Solves and judges the lamp that a document tells of; `base` is the lamp without its variant, and `shared` has an
    /// engine that may be its own.
    fn of(sources: Sources, spec: Spec, base: Option<Arc<Lamp>>, scope: Scope) -> Self {
        let Spec { document, lamp, shared } = spec;
        let solution = solve::solve(&lamp, solve::given::ledger(&document, &sources, scope), &shared);
        let report = rules::report::judge(rules::ALL, &lamp, base.as_deref(), &solution);
        let (identity, whole) = (OnceLock::new(), OnceLock::new());
        Self { sources, document, lamp, base, shared, solution, report, identity, whole }
    }

    /// Solves and judges this lamp with another document.
    pub fn with(&self, document: Document) -> Self {
        let lamp = Arc::new(lamp::read(&document, &self.lamp.facts.implausible));
        let spec = Spec { document: Arc::new(document), lamp, shared: self.shared.clone() };
        Self::of(self.sources.clone(), spec, self.base.clone(), self.solution.ledger.scope())
    }

    /// Header and footer of its papers.
    pub fn identity(&self) -> &Identity {
        self.identity.get_or_init(|| digest::identity(&self.lamp, &self.document, &self.report))
    }

    /// Composes the packet; `only` keeps the sheets of these names.
    ///
    /// # Errors
    /// A template that is wrong or drops a required row; a name in `only` that is no sheet.
    pub fn packet(&self, overrides: &Overrides, only: Option<&[String]>) -> Result<Packet, ComposeError> {
        packet::compose::compose(&self.bench(), overrides, only)
    }

    /// Sheets of these names, or all, and their drawings, to be compared and not to be printed: no sheet is held to its required
    /// rows, and tables and data for machines are left out.
    ///
    /// # Errors
    /// A template that is wrong.
    pub fn pages(&self, overrides: &Overrides, only: Option<&[String]>) -> Result<Packet, ComposeError> {
        packet::compose::pages(&self.bench(), overrides, only)
    }

    /// Whether the working sheets of two lamps say the same.
    pub fn works_alike(&self, other: &Self) -> bool {
        packet::sheets::works_alike(&self.bench(), &other.bench())
    }

    /// The unit record once for each lamp of a batch, numbered from `first` on; `serial` is what its serial begins with.
    ///
    /// # Errors
    /// A template that is wrong or drops a required row.
    pub fn travellers(
        &self,
        overrides: &Overrides,
        first: u32,
        units: u32,
        serial: Option<Serial<'_>>,
    ) -> Result<Packet, ComposeError> {
        packet::compose::travellers(&self.bench(), overrides, first, units, serial)
    }

    /// The parts list as data.
    pub fn parts(&self) -> packet::sheet::DataTable {
        packet::sheets::parts_table(&self.bench())
    }

    /// Paper the packet is set for.
    pub fn paper(&self) -> Paper {
        packet::compose::paper(&self.bench())
    }

    /// What is read on the finished lamp.
    pub fn readings(&self) -> Vec<packet::readings::Reading> {
        packet::readings::readings(&self.bench())
    }

    fn whole(&self) -> &Solution {
        if self.solution.ledger.is_for_papers() {
            return &self.solution;
        }
        self.whole.get_or_init(|| {
            let given = solve::given::ledger(&self.document, &self.sources, Scope::Papers);
            solve::solve(&self.lamp, given, &Shared::of(self.lamp.clone()))
        })
    }

    fn bench(&self) -> Bench<'_> {
        Bench {
            lamp: &self.lamp,
            solution: self.whole(),
            report: &self.report,
            document: &self.document,
            sources: &self.sources,
            identity: self.identity(),
        }
    }
}
