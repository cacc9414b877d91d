//! Which change makes a difference: the new lamp worked out again with one given thing as it was before, for each that
//! changed. What differs then hangs on that thing, whichever way it goes; what the ledger cannot tell is told by this.

use std::borrow::Cow;
use std::ops::Deref;

use crate::Compiled;
use crate::language::document::{Document, Entry, Node, Part, Waiver};
use crate::packet::sheet::Packet;
use crate::packet::templates::Overrides;
use crate::schema::Arity;
use crate::threads;

use super::chain::{Cause, Change};

/// The new lamp with one thing as it was.
pub struct Trial<'a> {
    /// The thing that changed.
    pub change: Change,
    /// The lamp without that change.
    pub lamp: Tried<'a>,
    /// Those of its sheets that were asked for, and their drawings; nothing where it has none.
    pub packet: Option<Cow<'a, Packet>>,
}

/// A lamp with one thing as it was.
pub enum Tried<'a> {
    /// Where nothing else changed, the old lamp itself.
    Old(&'a Compiled),
    /// Worked out for the trial.
    Made(Box<Compiled>),
}

impl Deref for Tried<'_> {
    type Target = Compiled;

    fn deref(&self) -> &Compiled {
        match self {
            Self::Old(lamp) => lamp,
            Self::Made(lamp) => lamp,
        }
    }
}

/// Things put back at most (our limit); a revision that changes more is another lamp, and what hangs on the rest is not
/// traced.
const MOST: usize = 48;

/// One thing that is not as it was.
enum Thing {
    /// A property, by its full path.
    Figure(String),
    /// A block that is in one of the two only: steps to the block around it, and itself.
    Block { around: Vec<Step>, block: Step },
    /// What a block starts from, or what it is called on paper.
    Head(Vec<Step>),
    /// The waivers.
    Waivers,
    /// A named value: nothing but what names it stands in the lamp.
    Let,
    /// A part of the spec's own file, and whether a block starts from it: its kind and name.
    Part(&'static str, String),
}

/// A block among its neighbours: its kind, and its name where there may be several.
#[derive(Clone, PartialEq)]
struct Step {
    kind: &'static str,
    name: Option<String>,
}

impl Step {
    fn of(node: &Node) -> Self {
        let name = node.name.as_ref().filter(|_| node.schema.arity == Arity::Named);
        Self { kind: node.schema.kind, name: name.map(|n| n.value.clone()) }
    }

    fn among<'n>(&self, nodes: &'n [Node]) -> Option<&'n Node> {
        nodes.iter().find(|n| Self::of(n) == *self)
    }

    fn told(&self) -> String {
        self.name.as_ref().map_or_else(|| self.kind.to_owned(), |name| format!("{} {name}", self.kind))
    }
}

/// The new lamp once for each thing that changed, with that thing as it was; `before` is the packet of the old lamp,
/// `sheets` are the sheets to compose.
pub fn all<'a>(
    old: &'a Compiled,
    before: &'a Packet,
    new: &Compiled,
    overrides: &Overrides,
    sheets: &[String],
) -> Vec<Trial<'a>> {
    let mut things = Vec::new();
    differences(&old.document.root, &new.document.root, &[], &mut things);
    if waivers(&old.document) != waivers(&new.document) {
        things.push((Thing::Waivers, change("waivers", waivers(&old.document), waivers(&new.document))));
    }
    things.extend(parts(&old.document, &new.document));
    let things = gathered(things, &old.document, &new.document);
    if let [(_, change)] = things.as_slice() {
        // Without the only change it is the old lamp.
        let (lamp, packet) = (Tried::Old(old), Some(Cow::Borrowed(before)));
        return vec![Trial { change: change.clone(), lamp, packet }];
    }
    let trial = |(things, change): &(Vec<Thing>, Change)| {
        let document =
            things.iter().fold(Document::clone(&new.document), |made, thing| with(made, &old.document, thing));
        let lamp = new.with(document);
        let packet = lamp.pages(overrides, Some(sheets)).ok().map(Cow::Owned);
        Trial { change: change.clone(), lamp: Tried::Made(Box::new(lamp)), packet }
    };
    let things = things.get(..MOST.min(things.len())).unwrap_or_default();
    threads::each(things, trial)
}

/// Parts of the spec's own file that are new, gone, or no longer what they were to the lamp: in use or not.
fn parts(old: &Document, new: &Document) -> Vec<(Thing, Change)> {
    let told = |document: &Document, part: &Part| {
        let own = |p: &&Part| p.name.span.file == 0 && p.kind == part.kind && p.name.value == part.name.value;
        let found = document.parts.iter().find(own);
        found.map(|p| if p.used { "in use".to_owned() } else { "not in use".to_owned() })
    };
    let mut found: Vec<(Thing, Change)> = Vec::new();
    for part in new.parts.iter().chain(&old.parts).filter(|p| p.name.span.file == 0) {
        let (was, is) = (told(old, part), told(new, part));
        let path = format!("part {} {}", part.kind, part.name.value);
        // Only what is not in use is looked at by a rule; what is, shows in the block that starts from it.
        let idle = [&was, &is].into_iter().flatten().any(|word| word == "not in use");
        if was != is && idle && found.iter().all(|(_, c)| c.path != path) {
            found.push((Thing::Part(part.kind, part.name.value.clone()), change(path, was, is)));
        }
    }
    found
}

/// Changes without which a thing would be other than it is; `differs` says whether it is so in a trial.
pub fn causes(trials: &[Trial<'_>], differs: impl Fn(&Trial<'_>) -> bool) -> Vec<Cause> {
    let made = trials.iter().filter(|t| differs(t));
    made.map(|t| Cause { change: t.change.clone(), chain: Vec::new() }).collect()
}

fn waivers(document: &Document) -> Option<String> {
    let told = |w: &Waiver| {
        let subject = w.subject.as_ref().map_or_else(String::new, |s| format!(" of {}", s.value));
        let until = w.until.as_ref().map_or_else(String::new, |d| format!(", until {}", d.value));
        format!("{}{subject}, by {}: {}{until}", w.rule.value, w.by, w.reason)
    };
    let all: Vec<String> = document.waivers.iter().map(told).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

fn change(path: impl Into<String>, old: Option<String>, new: Option<String>) -> Change {
    let path = path.into();
    Change { title: path.clone(), path, old, new, given: true }
}

fn differences(old: &Node, new: &Node, at: &[Step], out: &mut Vec<(Thing, Change)>) {
    let same = |a: &Entry, b: &Entry| a.value == b.value && a.text == b.text;
    let gone = old.entries.iter().filter(|e| new.entry(e.property.name).is_none());
    for entry in new.entries.iter().chain(gone) {
        let name = entry.property.name;
        let (was, is) = (old.entry(name), new.entry(name));
        if !matches!((was, is), (Some(a), Some(b)) if same(a, b)) {
            let text = |e: Option<&Entry>| e.map(|e| e.text.clone());
            out.push((Thing::Figure(entry.path.clone()), change(entry.path.clone(), text(was), text(is))));
        }
    }
    let (head_was, head_is) = (head(old), head(new));
    if head_was != head_is {
        let path = at.last().map_or_else(|| "lamp".to_owned(), Step::told);
        out.push((Thing::Head(at.to_vec()), change(path, head_was, head_is)));
    }
    let gone = old.nodes.iter().filter(|n| Step::of(n).among(&new.nodes).is_none());
    for node in new.nodes.iter().chain(gone) {
        let step = Step::of(node);
        match (step.among(&old.nodes), step.among(&new.nodes)) {
            (Some(was), Some(is)) => {
                let at: Vec<Step> = at.iter().cloned().chain([step]).collect();
                differences(was, is, &at, out);
            }
            (was, is) => {
                let steps: Vec<String> = at.iter().chain([&step]).map(Step::told).collect();
                let word = |there: bool| there.then(|| "the block".to_owned());
                let change = change(steps.join(" / "), word(was.is_some()), word(is.is_some()));
                out.push((Thing::Block { around: at.to_vec(), block: step }, change));
            }
        }
    }
}

/// What stands in a block's head: the text in quotes, and the part it starts from.
fn head(node: &Node) -> Option<String> {
    let name = node.name.as_ref().filter(|_| node.schema.arity != Arity::Named).map(|n| format!("\"{}\"", n.value));
    let part = node.part.as_ref().map(|p| format!("is {}", p.value));
    let all: Vec<String> = name.into_iter().chain(part).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// A figure that is written as before and came to something else follows from what its expression names: it is put
/// back with each of these, and is no cause of its own. What names nothing that changed stays a cause.
fn gathered(things: Vec<(Thing, Change)>, old: &Document, new: &Document) -> Vec<(Vec<Thing>, Change)> {
    let lets = new.lets.iter().filter_map(|is| {
        let was = old.lets.iter().find(|l| l.name.value == is.name.value)?;
        let changed = was.value != is.value && was.text != is.text;
        changed.then(|| change(format!("let {}", is.name.value), Some(was.text.clone()), Some(is.text.clone())))
    });
    let (follow, mut causes): (Vec<_>, Vec<_>) =
        things.into_iter().partition(|(thing, c)| matches!(thing, Thing::Figure(_)) && c.old == c.new);
    causes.extend(lets.map(|change| (Thing::Let, change)));
    let texts: Vec<(&str, Vec<String>)> = follow
        .iter()
        .map(|(_, c)| (c.path.as_str(), named(&c.path, c.new.as_deref().unwrap_or_default(), new)))
        .collect();
    // Through as many expressions as there are: each step adds what names something reached before.
    let reached = |from: &str| -> Vec<String> {
        let mut found = vec![from.to_owned()];
        for _ in 0..=texts.len() {
            for (path, names) in &texts {
                if !found.iter().any(|f| f == path) && names.iter().any(|n| found.contains(n)) {
                    found.push((*path).to_owned());
                }
            }
        }
        found.split_off(1)
    };
    let mut taken: Vec<String> = Vec::new();
    let mut made: Vec<(Vec<Thing>, Change)> = Vec::new();
    for (thing, change) in causes {
        let with_it = reached(change.path.trim_start_matches("let "));
        taken.extend(with_it.iter().cloned());
        let things = std::iter::once(thing).chain(with_it.into_iter().map(Thing::Figure)).collect();
        made.push((things, change));
    }
    let alone = follow.into_iter().filter(|(_, c)| !taken.contains(&c.path));
    made.extend(alone.map(|(thing, change)| (vec![thing], change)));
    made
}

/// Lets and properties that an expression names, properties by their full paths; a let that follows from others
/// stands for these too.
fn named(home: &str, text: &str, document: &Document) -> Vec<String> {
    let block = home.rsplit_once('.').map_or("", |(block, _)| block);
    let word = |c: char| !(c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '.'));
    let mut found: Vec<String> = Vec::new();
    let mut open: Vec<String> = text.split(word).filter(|w| !w.is_empty()).map(str::to_owned).collect();
    while let Some(name) = open.pop() {
        if found.contains(&name) {
            continue;
        }
        if let Some(inner) = document.lets.iter().find(|l| l.name.value == name) {
            open.extend(inner.text.split(word).filter(|w| !w.is_empty()).map(str::to_owned));
        }
        found.push(format!("{block}.{name}"));
        found.push(name);
    }
    found
}

/// `new` with one thing as it is in `old`.
fn with(mut made: Document, old: &Document, thing: &Thing) -> Document {
    match thing {
        Thing::Let => {}
        Thing::Part(kind, name) => {
            let own = |p: &Part| p.kind == *kind && p.name.value == *name && p.name.span.file == 0;
            made.parts.retain(|p| !own(p));
            made.parts.extend(old.parts.iter().filter(|p| own(p)).cloned());
        }
        Thing::Waivers => made.waivers.clone_from(&old.waivers),
        Thing::Figure(path) => figure(&mut made.root, &old.root, path),
        Thing::Head(steps) => {
            if let (Some(into), Some(from)) = (reach_mut(&mut made.root, steps), reach(&old.root, steps)) {
                into.name.clone_from(&from.name);
                into.part.clone_from(&from.part);
                for entry in &mut into.entries {
                    let was = from.entry(entry.property.name);
                    entry.origin = was.map_or_else(|| entry.origin.clone(), |w| w.origin.clone());
                }
            }
        }
        Thing::Block { around, block } => {
            let (Some(into), Some(from)) = (reach_mut(&mut made.root, around), reach(&old.root, around)) else {
                return made;
            };
            into.nodes.retain(|n| Step::of(n) != *block);
            if let Some(at) = from.nodes.iter().position(|n| Step::of(n) == *block) {
                into.nodes.insert(at.min(into.nodes.len()), from.nodes[at].clone());
            }
        }
    }
    made
}

fn reach<'n>(root: &'n Node, steps: &[Step]) -> Option<&'n Node> {
    steps.iter().try_fold(root, |node, step| step.among(&node.nodes))
}

fn reach_mut<'n>(root: &'n mut Node, steps: &[Step]) -> Option<&'n mut Node> {
    steps.iter().try_fold(root, |node, step| node.nodes.iter_mut().find(|n| Step::of(n) == *step))
}

/// Puts the property of this path back; its place stays that of the new text, so that messages point there.
fn figure(into: &mut Node, from: &Node, path: &str) {
    let was = from.entries.iter().find(|e| e.path == path);
    let at = into.entries.iter().position(|e| e.path == path);
    match (at, was) {
        (Some(at), Some(was)) => {
            let span = into.entries[at].span;
            into.entries[at] = Entry { span, ..was.clone() };
        }
        (Some(at), None) => drop(into.entries.remove(at)),
        (None, Some(was)) => {
            let order = |e: &Entry| into.schema.properties.iter().position(|p| p.name == e.property.name);
            let before = into.entries.iter().filter(|e| order(e) < order(was)).count();
            into.entries.insert(before, Entry { span: into.span, ..was.clone() });
        }
        (None, None) => {
            for inner in &mut into.nodes {
                if let Some(old) = Step::of(inner).among(&from.nodes) {
                    figure(inner, old, path);
                }
            }
        }
    }
}
