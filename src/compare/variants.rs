//! What a change does to a lamp's variants: which are new, gone or renamed, which change as the lamp itself does, and
//! which change otherwise, each with its verdict in one line.

use serde::Serialize;

use crate::diag::Signal;
use crate::language::loading::Held;
use crate::{Compiled, compile};

use super::chain::Changes;
use super::findings::{self, FindingChange};
use super::papers::{self, Retest};
use super::renames::{self, Rename};
use super::work::{self, Work};
use super::{Comparison, Reach, effects, text};

/// What became of a variant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fate {
    /// It changed in another way than the lamp without it.
    Changed,
    /// It changed as the lamp without it did.
    AsTheLamp,
    /// It is new.
    New,
    /// The spec has it no longer.
    Gone,
    /// It could be compiled, and now cannot.
    Broken,
}

/// One variant that is not what it was.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VariantChange {
    /// Its name.
    pub name: String,
    /// What became of it.
    pub fate: Fate,
    /// Digest in the footer of its papers before; nothing where it had none.
    pub old: Option<String>,
    /// Digest now.
    pub new: Option<String>,
    /// The one line that sums it up.
    pub verdict: String,
    /// Findings that are new or worse in it, each as `WARNING rule: words`.
    pub worse: Vec<String>,
    /// Whether a test has to be done again.
    pub again: bool,
}

impl VariantChange {
    /// What became of it, in words.
    pub fn told(&self) -> String {
        match self.fate {
            Fate::Changed => self.verdict.clone(),
            Fate::AsTheLamp => "changes as the lamp without it does".to_owned(),
            Fate::New => format!("new; {}", self.verdict),
            Fate::Gone => "gone".to_owned(),
            Fate::Broken => "can no longer be compiled".to_owned(),
        }
    }
}

/// Adds what a change does to the variants of two lamps that were compared without one.
pub fn add(found: &mut Comparison, old: &Compiled, new: &Compiled) {
    let names = |lamp: &Compiled| -> Vec<String> { lamp.document.variants.iter().map(|v| v.value.clone()).collect() };
    let (before, after) = (names(old), names(new));
    let mut gone: Vec<(String, Option<Box<Compiled>>)> =
        before.iter().filter(|n| !after.contains(n)).map(|n| (n.clone(), laid(old, n))).collect();
    for name in &after {
        let is = laid(new, name);
        if before.contains(name) {
            found.variants.extend(one(found, name, laid(old, name).as_deref(), is.as_deref()));
            continue;
        }
        let like = gone.iter().position(|(_, was)| match (was, &is) {
            (Some(was), Some(is)) => renames::alike(&was.document.root, &is.document.root),
            _ => false,
        });
        match like {
            Some(at) => found.renames.push(Rename { kind: "variant", old: gone.remove(at).0, new: name.clone() }),
            None => found.variants.push(alone(name, Fate::New, is.as_deref())),
        }
    }
    found.variants.extend(gone.iter().map(|(name, was)| alone(name, Fate::Gone, was.as_deref())));
    if found.reach == Reach::None && !found.renames.is_empty() {
        found.reach = Reach::Words;
    }
}

/// The lamp with this variant laid over, from the files it was read from.
fn laid(lamp: &Compiled, name: &str) -> Option<Box<Compiled>> {
    let spec = lamp.sources.get(0)?;
    compile(&spec.name, &spec.text, &mut Held::new(&lamp.sources), Some(name)).compiled
}

fn alone(name: &str, fate: Fate, lamp: Option<&Compiled>) -> VariantChange {
    let digest = lamp.map(|l| l.identity().digest.clone());
    let verdict = lamp.map_or_else(|| "cannot be compiled".to_owned(), |l| l.identity().findings.clone());
    let (old, new) = if fate == Fate::Gone { (digest, None) } else { (None, digest) };
    VariantChange { name: name.to_owned(), fate, old, new, verdict, worse: Vec::new(), again: false }
}

fn one(found: &Comparison, name: &str, old: Option<&Compiled>, new: Option<&Compiled>) -> Option<VariantChange> {
    let digest = |lamp: Option<&Compiled>| lamp.map(|l| l.identity().digest.clone());
    let (Some(was), Some(is)) = (old, new) else {
        let fate = if old.is_some() { Fate::Broken } else { Fate::New };
        // What could not be compiled before and cannot now has not changed.
        let change = VariantChange { fate, old: digest(old), ..alone(name, Fate::New, new) };
        return (old.is_some() || new.is_some()).then_some(change);
    };
    let changes = Changes::between(&was.solution.ledger, &is.solution.ledger);
    let lamp = changes.given().iter().any(|c| !effects::of(&c.path).is_some_and(|e| e.text));
    let moved = findings::findings(was, is, &changes);
    let (work, _) = work::all(was, is, &changes);
    if !lamp && moved.is_empty() && work.is_empty() {
        return None;
    }
    let tests = papers::retests(&changes, was.lamp.identity.quantity.value.unwrap_or(1));
    let same = same_work(&work, &found.work)
        && same_findings(&moved, &found.findings)
        && same_tests(&tests, &found.tests)
        && changes.given().len() == found.given.len();
    let bad = |f: &&FindingChange| f.moved.is_worse();
    let counts = text::Counts { worse: moved.iter().filter(bad).count(), work: &work, tests: tests.len() };
    Some(VariantChange {
        name: name.to_owned(),
        fate: if same { Fate::AsTheLamp } else { Fate::Changed },
        old: digest(old),
        new: digest(new),
        verdict: counts.told(),
        worse: moved.iter().filter(bad).map(|f| told(f.signal, f)).collect(),
        again: !tests.is_empty(),
    })
}

fn told(signal: Signal, finding: &FindingChange) -> String {
    format!("{} {}: {}", signal.word(), finding.rule, finding.message)
}

fn same_work(a: &[Work], b: &[Work]) -> bool {
    let key = |w: &Work| (w.task, w.what.clone(), w.old.clone(), w.new.clone());
    a.iter().map(key).eq(b.iter().map(key))
}

fn same_findings(a: &[FindingChange], b: &[FindingChange]) -> bool {
    let key = |f: &FindingChange| (f.moved, f.rule, f.subject.clone());
    a.iter().map(key).eq(b.iter().map(key))
}

fn same_tests(a: &[Retest], b: &[Retest]) -> bool {
    a.iter().map(|t| t.test).eq(b.iter().map(|t| t.test))
}
