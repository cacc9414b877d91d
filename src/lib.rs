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
mod reading;
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
use language::document::Document;
use language::loading::Loader;
use ledger::Scope;
use packet::bench::Bench;
use packet::compose::{ComposeError, Serial};
use packet::sheet::{Identity, Packet, Paper};
use packet::templates::Overrides;
use rules::report::Report;
use solve::Solution;
use solve::engine::SharedEngine;

use reading::Spec;
pub use reading::{Reading, Said};

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
    shared: Arc<SharedEngine>,
    /// What follows from it: of a reading for rules without what papers alone print, which [`Self::whole`] adds.
    pub solution: Solution,
    /// What the rules say.
    pub report: Report,
    /// Made when a paper first asks for it.
    identity: OnceLock<Identity>,
    /// The solution with every figure, where `solution` is for the rules; made when a paper first asks for it.
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

    /// The solution with every figure.
    pub fn whole(&self) -> &Solution {
        if self.solution.ledger.is_for_papers() {
            return &self.solution;
        }
        self.whole.get_or_init(|| {
            let given = solve::given::ledger(&self.document, &self.sources, Scope::Papers);
            solve::solve(&self.lamp, given, &SharedEngine::of(self.lamp.clone()))
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
