//! Two lamps to what a change asks of the bench: is it still passing, what to buy, make, wire, set and test again,
//! which printed sheets no longer hold, and why. The order of the questions is the order of the answers.

pub mod chain;
pub mod effects;
pub mod findings;
pub mod matrix;
mod overlay;
pub mod papers;
pub mod renames;
pub mod revision;
pub mod text;
pub mod trials;
pub mod variants;
pub mod work;

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::Serialize;

use crate::Compiled;
use crate::language::document::{Document, Origin};
use crate::packet::compose::ComposeError;
use crate::packet::sheet::Packet;
use crate::packet::templates::Overrides;

use chain::{Cause, Change, Changes};
use findings::{FindingChange, MarginChange};
use papers::{Retest, StaleSheet, WORKING};
use renames::Rename;
use variants::VariantChange;
use work::Work;

/// One of the two.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Side {
    /// The lamp's name.
    pub lamp: String,
    /// Variant.
    pub variant: Option<String>,
    /// Revision as stated.
    pub revision: Option<String>,
    /// Digest in the footer of its papers.
    pub digest: String,
    /// Findings in one line.
    pub verdict: String,
}

/// How far a change reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reach {
    /// Comments, order, spacing: lamp and papers are the same.
    None,
    /// Words on paper only.
    Words,
    /// The lamp.
    Lamp,
}

/// Everything that differs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Before.
    pub old: Side,
    /// Now.
    pub new: Side,
    /// How far the change reaches.
    pub reach: Reach,
    /// Verdicts that moved.
    pub findings: Vec<FindingChange>,
    /// Margins that moved.
    pub margins: Vec<MarginChange>,
    /// What to buy, make, wire and set.
    pub work: Vec<Work>,
    /// What stays as it is, in words.
    pub keep: Vec<String>,
    /// Tests to repeat.
    pub tests: Vec<Retest>,
    /// Sheets whose print no longer holds.
    pub sheets: Vec<StaleSheet>,
    /// Sheets whose print still holds.
    pub sheets_kept: Vec<String>,
    /// Changes that are words only.
    pub words: Vec<Change>,
    /// Every given figure that changed.
    pub given: Vec<Change>,
    /// Guesses at what was renamed.
    pub renames: Vec<Rename>,
    /// Variants that are not what they were; filled by [`variants::add`].
    pub variants: Vec<VariantChange>,
}

/// Why two specs were not compared.
#[derive(Debug)]
pub enum Refusal {
    /// They are different designs: the share of their figures that is equal.
    Unrelated(f64),
    /// A packet cannot be composed.
    Packet(ComposeError),
}

/// Two specs of different names with less in common than this are different designs (our limit).
const RELATED: f64 = 0.5;
/// Two specs of one name need less.
const RELATED_BY_NAME: f64 = 0.2;

/// Compares two lamps.
///
/// # Errors
/// Specs that have too little in common; a template that is wrong.
pub fn compare(old: &Compiled, new: &Compiled, overrides: &Overrides) -> Result<Comparison, Refusal> {
    let guesses = renames::guess(&old.document, &new.document);
    let renamed = if guesses.is_empty() { None } else { renames::renamed(old, &guesses) };
    let mut renames = if renamed.is_some() { guesses } else { Vec::new() };
    let as_named = old;
    let old = renamed.as_deref().unwrap_or(old);
    let common = in_common(&old.document, &new.document);
    let least = if old.lamp.name == new.lamp.name { RELATED_BY_NAME } else { RELATED };
    if common < least {
        return Err(Refusal::Unrelated(common));
    }
    let (before, after) = (packet(old, overrides)?, packet(new, overrides)?);
    // What hangs in the workshop has the old names on it, wire labels among them.
    let named_so = if renames.is_empty() { None } else { Some(packet(as_named, overrides)?) };
    let printed = named_so.as_ref().unwrap_or(&before);
    let (mut sheets, sheets_kept) = papers::sheets(printed, &after);
    // The longest sheet is looked at by its figures; see `papers::traced`.
    let stale: Vec<String> = sheets.iter().map(|s| s.name.clone()).filter(|n| n != WORKING).collect();
    let trials = trials::all(old, &before, new, overrides, &stale);
    let changes = Changes::between(&old.solution.ledger, &new.solution.ledger).tried(trials);
    let named = each_name(as_named, &renames, printed, &before, overrides)?;
    papers::traced(&mut sheets, &before, (new, &after), &changes, &named);
    renames.extend(renames::of_lets_and_parts(&old.document, &new.document));
    let (work, keep) = work::all(old, new, &changes);
    let built = old.lamp.identity.quantity.value.unwrap_or(1);
    let given: Vec<Change> = changes.given().into_iter().cloned().collect();
    let is_words = |c: &Change| effects::of(&c.path).is_some_and(|e| e.text);
    let mut found = Comparison {
        old: side(as_named),
        new: side(new),
        reach: Reach::None,
        findings: findings::findings(old, new, &changes),
        margins: findings::margins(old, new, &changes),
        work,
        keep,
        tests: papers::retests(&changes, built),
        sheets,
        sheets_kept,
        words: given.iter().filter(|c| is_words(c)).cloned().collect(),
        given,
        renames,
        variants: Vec::new(),
    };
    found.reach = reach(&found, old.lamp.name == new.lamp.name);
    Ok(found)
}

fn reach(found: &Comparison, same_name: bool) -> Reach {
    let lamp = found.given.len() > found.words.len()
        || !found.findings.is_empty()
        || !found.margins.is_empty()
        || !found.work.is_empty();
    if lamp {
        Reach::Lamp
    } else if found.words.is_empty() && found.sheets.is_empty() && found.renames.is_empty() && same_name {
        Reach::None
    } else {
        Reach::Words
    }
}

/// Each guess at a renamed block, as a cause, with the old packet in which it alone has its old name: what is other than
/// in the packet of all new names hangs on it.
fn each_name<'p>(
    old: &Compiled,
    renames: &[Rename],
    printed: &'p Packet,
    before: &'p Packet,
    overrides: &Overrides,
) -> Result<Vec<(Cause, Cow<'p, Packet>)>, Refusal> {
    let mut found = Vec::new();
    for (at, rename) in renames.iter().enumerate() {
        let others: Vec<Rename> =
            renames.iter().enumerate().filter(|(n, _)| *n != at).map(|(_, r)| r.clone()).collect();
        let with_others = match others.as_slice() {
            [] => Cow::Borrowed(printed),
            others => match renames::renamed(old, others) {
                Some(lamp) => Cow::Owned(packet(&lamp, overrides)?),
                None => Cow::Borrowed(before),
            },
        };
        found.push((rename.cause(), with_others));
    }
    Ok(found)
}

fn packet(compiled: &Compiled, overrides: &Overrides) -> Result<Packet, Refusal> {
    compiled.pages(overrides, None).map_err(Refusal::Packet)
}

fn side(compiled: &Compiled) -> Side {
    let identity = compiled.identity();
    Side {
        lamp: identity.lamp.clone(),
        variant: identity.variant.clone(),
        revision: identity.revision.clone(),
        digest: identity.digest.clone(),
        verdict: identity.findings.clone(),
    }
}

/// Share of the figures that somebody wrote, here or there, which are equal.
fn in_common(old: &Document, new: &Document) -> f64 {
    let written = |d: &Document| -> BTreeMap<String, String> {
        let own = d.entries().filter(|e| e.origin != Origin::Default);
        own.map(|e| (e.path.clone(), format!("{:?}", e.value))).collect()
    };
    let (old, new) = (written(old), written(new));
    let both = old.iter().filter(|(path, value)| new.get(*path) == Some(value)).count();
    let either = old.len() + new.keys().filter(|p| !old.contains_key(*p)).count();
    if either == 0 { 1.0 } else { both as f64 / either as f64 }
}
