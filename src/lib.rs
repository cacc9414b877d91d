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
pub mod editor;
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
pub mod what_if;

use diag::{Diag, Signal, Sources};
use lamp::Lamp;
use lamp::facts::IMPLAUSIBLE;
use language::document::Document;
use language::loading::Loader;
use packet::bench::Bench;
use packet::compose::ComposeError;
use packet::sheet::{Identity, Packet, Paper};
use packet::templates::Overrides;
use rules::report::Report;
use schema::tables::ROOT;
use solve::Solution;

/// One lamp, worked out and judged.
pub struct Compiled {
    /// The files it came from.
    pub sources: Sources,
    /// The resolved spec.
    pub document: Document,
    /// What the author said.
    pub lamp: Lamp,
    /// What follows from it.
    pub solution: Solution,
    /// What the rules say.
    pub report: Report,
    /// Header and footer of its papers.
    pub identity: Identity,
}

/// What a run gave: the lamp where the spec could be compiled, and the messages where it could not.
pub struct Outcome {
    /// The lamp.
    pub compiled: Option<Compiled>,
    /// The files that were read.
    pub sources: Sources,
    /// Errors of the spec; findings of the rules are in the report.
    pub diags: Vec<Diag>,
}

/// Compiles a spec. `name` is how the spec is called in messages; `loader` reads the files that it uses.
pub fn compile(name: &str, text: &str, loader: &mut dyn Loader, variant: Option<&str>) -> Outcome {
    compile_fitted(name, text, loader, variant, &[])
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
    let mut sources = Sources::default();
    let mut diags = Vec::new();
    let file = sources.add(name, text);
    let tree = language::parse::parse(file, text, &mut diags);
    let mut read = |(name, text): &(&str, &str)| {
        let file = sources.add(*name, *text);
        language::parse::parse(file, text, &mut diags)
    };
    let built: Vec<language::syntax::Tree> = built.iter().map(&mut read).collect();
    let fitted: Vec<&[language::syntax::Item]> = built.iter().map(built::fitted_items).collect();
    let document = language::resolve::resolve_fitted(&tree, loader, &ROOT, variant, &fitted, &mut sources, &mut diags);
    let broken = diags.iter().any(|d| d.signal == Signal::Error);
    let Some(document) = document.filter(|_| !broken) else {
        return Outcome { compiled: None, sources, diags: in_order(diags) };
    };
    let lamp = lamp::read(&document, &diags);
    let base = variant.and_then(|_| base(name, text, loader));
    let solution = solve::solve(&lamp, solve::given::ledger(&document, &sources));
    let report = rules::report::judge(rules::ALL, &lamp, base.as_ref(), &solution);
    let identity = digest::identity(&lamp, &document, &report);
    diags.retain(|d| d.code != IMPLAUSIBLE);
    let compiled = Compiled { sources: sources.clone(), document, lamp, solution, report, identity };
    Outcome { compiled: Some(compiled), sources, diags: in_order(diags) }
}

/// The lamp without its variant, for the rule that compares the two.
fn base(name: &str, text: &str, loader: &mut dyn Loader) -> Option<Lamp> {
    let mut sources = Sources::default();
    let mut diags = Vec::new();
    let file = sources.add(name, text);
    let tree = language::parse::parse(file, text, &mut diags);
    let document = language::resolve::resolve(&tree, loader, &ROOT, None, &mut sources, &mut diags)?;
    Some(lamp::read(&document, &diags))
}

/// Errors first, then by place; what is missing comes after what is wrong, for the one is often why of the other.
pub(crate) fn in_order(mut diags: Vec<Diag>) -> Vec<Diag> {
    diags.sort_by_key(|d| (std::cmp::Reverse(d.signal), d.code.starts_with("value/missing"), d.span()));
    diags
}

impl Compiled {
    /// Composes the packet; `only` keeps the sheets of these names.
    ///
    /// # Errors
    /// A template that is wrong or drops a required row; a name in `only` that is no sheet.
    pub fn packet(&self, overrides: &Overrides, only: Option<&[String]>) -> Result<Packet, ComposeError> {
        packet::compose::compose(&self.bench(), overrides, only)
    }

    /// The unit record once for each lamp of a batch, numbered from `first` on.
    ///
    /// # Errors
    /// A template that is wrong or drops a required row.
    pub fn travellers(&self, overrides: &Overrides, first: u32, units: u32) -> Result<Packet, ComposeError> {
        packet::compose::travellers(&self.bench(), overrides, first, units)
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

    fn bench(&self) -> Bench<'_> {
        Bench {
            lamp: &self.lamp,
            solution: &self.solution,
            report: &self.report,
            document: &self.document,
            sources: &self.sources,
            identity: &self.identity,
        }
    }
}
