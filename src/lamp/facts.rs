//! What the rules under `spec/` look at: waivers, parts nobody uses, figures said to be unknown, figures that look slipped.

use crate::diag::{Diag, Span};
use crate::language::IMPLAUSIBLE;
use crate::language::document::{Document, Node, Part, Value, Waiver};

use super::given::Missing;

/// Facts about the spec itself.
#[derive(Debug, Clone)]
pub struct Facts {
    /// Waivers as written.
    pub waivers: Vec<Waiver>,
    /// Parts that were brought in and start no block: kind, name, place.
    pub unused_parts: Vec<(String, String, Span)>,
    /// Parts that a block starts from and that do not say where their figures come from: kind, name, place.
    pub unsourced_parts: Vec<(String, String, Span)>,
    /// Figures the author says are not known.
    pub unknown: Vec<Missing>,
    /// Figures outside their usual range, as `resolve` found them.
    pub implausible: Vec<Diag>,
}

impl Facts {
    pub(super) fn read(document: &Document, diags: &[Diag]) -> Self {
        let mut unknown = Vec::new();
        collect_unknown(&document.root, &mut unknown);
        let unused = document.parts.iter().filter(|p| !p.used && p.name.span.file == 0);
        let silent = |p: &&Part| p.from.as_ref().is_none_or(|from| from.trim().is_empty());
        let unsourced = document.parts.iter().filter(|p| p.used).filter(silent);
        Self {
            unsourced_parts: unsourced.map(|p| (p.kind.to_owned(), p.name.value.clone(), p.name.span)).collect(),
            waivers: document.waivers.clone(),
            unused_parts: unused.map(|p| (p.kind.to_owned(), p.name.value.clone(), p.name.span)).collect(),
            unknown,
            implausible: diags.iter().filter(|d| d.code == IMPLAUSIBLE).cloned().collect(),
        }
    }
}

fn collect_unknown(node: &Node, out: &mut Vec<Missing>) {
    let unknown = node.entries.iter().filter(|e| e.value == Value::Unknown);
    out.extend(unknown.map(|e| Missing { path: e.path.clone(), span: e.span, unknown: true }));
    for inner in &node.nodes {
        collect_unknown(inner, out);
    }
}
