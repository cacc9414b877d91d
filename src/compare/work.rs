//! What a change asks of the bench: parts to buy, pieces to cut, drill or print, wires to run, settings to make.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::Compiled;
use crate::figures::engineering;
use crate::language::document::{Document, Node};
use crate::physics::mechanics::outline::Outline;
use crate::physics::mechanics::plate::Plate;
use crate::quantity::{Metres, Quantity as _};
use crate::schema::words::Word as _;
use crate::solve::drive::Component;
use crate::solve::sheet::Net;
use crate::solve::wires::Wire;

use super::chain::{Cause, Change, Changes};
use super::effects;

/// What kind of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    /// Buy.
    Buy,
    /// Cut, drill or print.
    Make,
    /// Run wires.
    Wire,
    /// Set: values on the board, firmware.
    Set,
}

/// One piece of work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Work {
    /// Its kind.
    pub task: Task,
    /// What is touched.
    pub what: String,
    /// How it was.
    pub old: Option<String>,
    /// How it is.
    pub new: Option<String>,
    /// False for what the spec itself names: a part, an opening, a setting; true for what follows from it.
    pub follows: bool,
    /// Why.
    pub because: Vec<Cause>,
}

/// Outlines that differ by less than this are the same piece (our limit), metres.
const SAME_EDGE: f64 = 0.05e-3;
/// Wires whose length differs by no more than this are kept (our limit), metres.
const SAME_LENGTH: f64 = 10e-3;

/// Everything to do, and what stays as it is.
pub fn all(old: &Compiled, new: &Compiled, changes: &Changes<'_>) -> (Vec<Work>, Vec<String>) {
    let mut work = Vec::new();
    let mut keep = Vec::new();
    parts(old, new, changes, &mut work);
    components(old, new, changes, &mut work);
    quantity(changes, &mut work);
    pieces(changes, &mut work);
    sheet(old, new, changes, &mut work, &mut keep);
    wires(old, new, changes, &mut work, &mut keep);
    settings(changes, &mut work);
    work.sort_by_key(|w| w.task);
    (work, keep)
}

fn paths(found: &[&Change]) -> Vec<String> {
    found.iter().map(|c| c.path.clone()).collect()
}

/// Given figures that changed, gathered by a word of their row.
fn gathered<'c>(
    changes: &'c Changes<'_>,
    word: impl Fn(&effects::Effect) -> Option<&'static str>,
) -> Vec<(&'static str, Vec<&'c Change>)> {
    let mut groups: Vec<(&'static str, Vec<&Change>)> = Vec::new();
    for change in changes.given() {
        let Some(name) = effects::of(&change.path).and_then(&word) else { continue };
        match groups.iter_mut().find(|(n, _)| *n == name) {
            Some((_, list)) => list.push(change),
            None => groups.push((name, vec![change])),
        }
    }
    groups
}

fn parts(old: &Compiled, new: &Compiled, changes: &Changes<'_>, work: &mut Vec<Work>) {
    for (name, list) in gathered(changes, |e| e.part) {
        let block = effects::all().find(|e| e.part == Some(name)).map_or("", |e| e.path);
        let (was, is) = (part_name(&old.document, block), part_name(&new.document, block));
        let renewed = was != is;
        let told = |part: Option<String>, side: Side| match (part, figures(&list, side)) {
            (Some(part), None) => Some(part),
            (Some(part), Some(figures)) if renewed => Some(format!("{part} ({figures})")),
            (_, figures) => figures,
        };
        work.push(Work {
            task: Task::Buy,
            what: name.to_owned(),
            old: told(was, |c| c.old.as_ref()),
            new: told(is, |c| c.new.as_ref()),
            follows: false,
            because: changes.causes(&paths(&list)),
        });
    }
}

/// How a figure was, or how it is.
type Side = fn(&Change) -> Option<&String>;

/// The first figures of a list on one side, by the last words of their paths; nothing where it has none there.
fn figures(list: &[&Change], side: Side) -> Option<String> {
    let told = |c: &&Change| Some(format!("{} {}", c.path.rsplit('.').next().unwrap_or(&c.path), side(c)?));
    let figures: Vec<String> = list.iter().filter_map(told).take(4).collect();
    (!figures.is_empty()).then(|| figures.join(", "))
}

/// The part that the block at this path starts from.
fn part_name(document: &Document, path: &str) -> Option<String> {
    let mut at: &Node = &document.root;
    for step in path.split('.') {
        match at.node(step) {
            Some(inner) => at = inner,
            None => break,
        }
    }
    at.part.as_ref().map(|p| p.value.clone())
}

fn components(old: &Compiled, new: &Compiled, changes: &Changes<'_>, work: &mut Vec<Work>) {
    let list = |c: &Compiled| -> BTreeMap<(String, String), (Component, String)> {
        let channels = c.solution.channels.iter();
        let each =
            channels.flat_map(|ch| ch.components.iter().map(|x| ((ch.name.clone(), x.purpose.clone()), x.clone())));
        each.map(|(key, x)| {
            let value = c.solution.ledger.shown(&x.chosen).unwrap_or("?");
            let rating = if x.rating.is_empty() { String::new() } else { format!(", {}", x.rating) };
            let told = format!("{value}{rating}");
            (key, (x, told))
        })
        .collect()
    };
    let (before, after) = (list(old), list(new));
    let keys = before.keys().chain(after.keys().filter(|k| !before.contains_key(*k)));
    for key in keys {
        let (was, is) = (before.get(key), after.get(key));
        if was.map(|x| &x.1) == is.map(|x| &x.1) {
            continue;
        }
        let Some((component, _)) = is.or(was) else { continue };
        work.push(Work {
            task: Task::Buy,
            what: format!("{}, {} of {} (change it on the board)", component.designation, key.1, key.0),
            old: was.map(|x| x.1.clone()),
            new: is.map(|x| x.1.clone()),
            follows: true,
            because: changes.because(std::slice::from_ref(&component.chosen), |t| {
                list(&t.lamp).get(key).map(|x| &x.1) != is.map(|x| &x.1)
            }),
        });
    }
}

fn quantity(changes: &Changes<'_>, work: &mut Vec<Work>) {
    if let Some(change) = changes.get("lamp.quantity") {
        work.push(plain(Task::Buy, "everything, by the number of lamps", change, changes));
    }
}

fn pieces(changes: &Changes<'_>, work: &mut Vec<Work>) {
    for (name, list) in gathered(changes, |e| e.make) {
        work.push(Work {
            task: Task::Make,
            what: name.to_owned(),
            old: figures(&list, |c| c.old.as_ref()),
            new: figures(&list, |c| c.new.as_ref()),
            follows: false,
            because: changes.causes(&paths(&list)),
        });
    }
    if let Some(change) = changes.get("cut.pieces") {
        work.push(plain(Task::Make, "number of diffusers to cut", change, changes));
    }
}

fn plain(task: Task, what: &str, change: &Change, changes: &Changes<'_>) -> Work {
    let because = changes.causes(std::slice::from_ref(&change.path));
    let (old, new) = (change.old.clone(), change.new.clone());
    Work { task, what: what.to_owned(), old, new, follows: !change.given, because }
}

/// The finished piece of the diffuser with its measures.
pub(super) fn net(compiled: &Compiled) -> Option<&Net> {
    compiled.solution.sheet.as_ref()?.as_ref().ok()?.net.as_ref().ok()
}

/// The finished piece of the diffuser, with its size in words.
fn plate(compiled: &Compiled) -> Option<(&Plate, String)> {
    let net = net(compiled)?;
    let diffuser = compiled.lamp.diffuser.as_ref()?;
    let material = diffuser.material.value.map_or("", |m| m.word());
    let thickness = compiled.solution.ledger.shown("diffuser.thickness").unwrap_or("?");
    let holes = match net.plate.holes.len() {
        0 => String::new(),
        1 => ", 1 opening".to_owned(),
        n => format!(", {n} openings"),
    };
    Some((&net.plate, format!("{} x {}, {material} {thickness}{holes}", net.width.show(), net.height.show())))
}

fn sheet(old: &Compiled, new: &Compiled, changes: &Changes<'_>, work: &mut Vec<Work>, keep: &mut Vec<String>) {
    let (was, is) = (plate(old), plate(new));
    let same = match (&was, &is) {
        (Some((a, _)), Some((b, _))) => same_plate(a, b),
        (None, None) => return,
        _ => false,
    };
    let stuff = ["diffuser.material", "diffuser.thickness"].iter().any(|p| changes.get(p).is_some());
    if same && !stuff {
        keep.push("diffuser: its outline and sheet are the same".to_owned());
        let path = ["cut.offset", "diffuser.cut.method"].iter().filter(|p| changes.get(p).is_some());
        let path: Vec<String> = path.map(|p| (*p).to_owned()).collect();
        if !path.is_empty() {
            let because = changes.causes(&path);
            let what = "path of the cutter (the finished piece stays)".to_owned();
            work.push(Work { task: Task::Make, what, old: None, new: None, follows: true, because });
        }
        return;
    }
    let as_now = |lamp: &Compiled| match (plate(lamp), plate(new)) {
        (Some((a, told_a)), Some((b, told_b))) => same_plate(a, b) && told_a == told_b,
        (None, None) => true,
        _ => false,
    };
    let (told_was, told_is) = match (&was, &is) {
        (Some((a, was)), Some((b, is))) => {
            let (edges_was, edges_is) = edges_moved(a, b);
            (Some(format!("{was}{edges_was}")), Some(format!("{is}{edges_is}")))
        }
        _ => (was.map(|x| x.1), is.map(|x| x.1)),
    };
    work.push(Work {
        task: Task::Make,
        what: "diffuser".to_owned(),
        old: told_was,
        new: told_is,
        follows: true,
        because: changes.by_trial(|t| !as_now(&t.lamp)),
    });
}

/// Whether two pieces are the same within our limit.
pub(super) fn same_plate(a: &Plate, b: &Plate) -> bool {
    let edges = |p: &Plate| -> Vec<Outline> { std::iter::once(&p.outer).chain(&p.holes).cloned().collect() };
    let (a, b) = (edges(a), edges(b));
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| same_outline(a, b))
}

/// Where two pieces have as many edges, those that are not the same, each with where it lies and how large it is.
fn edges_moved(a: &Plate, b: &Plate) -> (String, String) {
    if a.holes.len() != b.holes.len() {
        return (String::new(), String::new());
    }
    let told = |name: &str, edge: &Outline| {
        let extents = edge.extents();
        let middle = |low: Metres, high: Metres| Metres::si((low.value() + high.value()) / 2.0).show();
        let x = middle(extents.least.x, extents.most.x);
        let y = middle(extents.least.y, extents.most.y);
        format!("; {name} {} x {} at ({x}, {y})", extents.width().show(), extents.height().show())
    };
    let (mut was, mut is) = (String::new(), String::new());
    for (number, (a, b)) in a.holes.iter().zip(&b.holes).enumerate().filter(|(_, (a, b))| !same_outline(a, b)) {
        let name = format!("opening {}", number + 1);
        let (old, new) = (told(&name, a), told(&name, b));
        let shape = if old == new { ", of another shape" } else { "" };
        was.push_str(&old);
        is.push_str(&format!("{new}{shape}"));
    }
    if !same_outline(&a.outer, &b.outer) {
        is.push_str("; its outer edge is another");
    }
    (was, is)
}

fn same_outline(a: &Outline, b: &Outline) -> bool {
    a.vertices.len() == b.vertices.len()
        && a.vertices.iter().zip(&b.vertices).all(|(a, b)| {
            (a.point.x.value() - b.point.x.value()).abs() <= SAME_EDGE
                && (a.point.y.value() - b.point.y.value()).abs() <= SAME_EDGE
                && (a.bulge - b.bulge).abs() < 1e-3
        })
}

fn wire_told(wire: &Wire) -> String {
    let area = engineering(wire.area.value(), "m²");
    format!("{} to {}, {}, {area}, {}", wire.from, wire.to, wire.colour.word(), wire.length.show())
}

fn wires(old: &Compiled, new: &Compiled, changes: &Changes<'_>, work: &mut Vec<Work>, keep: &mut Vec<String>) {
    let by_name = |c: &Compiled| -> BTreeMap<String, Wire> {
        c.solution.wires.iter().map(|w| (w.name.clone(), w.clone())).collect()
    };
    let (before, after) = (by_name(old), by_name(new));
    let order = new.solution.wires.iter().chain(old.solution.wires.iter().filter(|w| !after.contains_key(&w.name)));
    let mut kept = 0usize;
    for name in order.map(|w| &w.name) {
        let (was, is) = (before.get(name), after.get(name));
        if let (Some(a), Some(b)) = (was, is)
            && same_wire(a, b)
        {
            kept += 1;
            if a.number != b.number {
                let number =
                    |lamp: &Compiled| lamp.solution.wires.iter().find(|w| w.name == *name).map(|w| w.number.clone());
                let because = changes.by_trial(|t| number(&t.lamp) != number(new));
                let what = format!("label of {name}");
                let (old, new) = (Some(a.number.clone()), Some(b.number.clone()));
                work.push(Work { task: Task::Wire, what, old, new, follows: true, because });
            }
            continue;
        }
        let figures = ["area", "length"].map(|f| format!("wire.{name}.{f}"));
        work.push(Work {
            task: Task::Wire,
            what: format!("{} {name}", is.or(was).map_or("", |w| w.number.as_str())),
            old: was.map(wire_told),
            new: is.map(wire_told),
            follows: true,
            because: changes.because(&figures, |t| {
                match (t.lamp.solution.wires.iter().find(|w| w.name == *name), is) {
                    (Some(a), Some(b)) => !same_wire(a, b),
                    (a, b) => a.is_some() != b.is_some(),
                }
            }),
        });
    }
    if kept > 0 && kept == after.len() && before.len() == after.len() {
        keep.push(format!("wiring: all {kept} conductors are the same"));
    }
}

fn same_wire(a: &Wire, b: &Wire) -> bool {
    a.from == b.from
        && a.to == b.to
        && a.colour == b.colour
        && a.termination == b.termination
        && a.sleeve == b.sleeve
        && (a.area.value() - b.area.value()).abs() <= 1e-9 * b.area.value()
        && (a.length.value() - b.length.value()).abs() <= SAME_LENGTH
}

fn settings(changes: &Changes<'_>, work: &mut Vec<Work>) {
    for change in changes.given() {
        if let Some(set) = effects::of(&change.path).and_then(|e| e.set) {
            let mut one = plain(Task::Set, set, change, changes);
            one.what = format!("{set} ({})", change.path);
            work.push(one);
        }
    }
}
