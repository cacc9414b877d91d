//! Every value of a spec in one list, with what it refers to; worked out in an order in which each comes after
//! those it needs. A circle is shown whole.

use std::cell::{LazyCell, OnceCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use rustc_hash::FxHashMap;

use super::amount::amount;
use super::codes;
use super::document::{self, Spread};
use super::expression::{Figure, Outcome, Scope, is_word, letter_code};
use super::suggest::nearest;
use super::syntax::{self, ExprForm, ValueForm};
use super::value::{self, Around};
use crate::diag::{Diag, Span};
use crate::schema::dimension::powers;
use crate::schema::{Dimension, Property, Shape};

/// One value.
pub(super) struct Cell<'a> {
    /// `driver.red.current`, or the name of a let.
    pub(super) path: String,
    /// The path of the block it stands in; names are looked up there too.
    pub(super) home: Rc<str>,
    /// Its schema row; a let has none.
    pub(super) property: Option<&'static Property>,
    pub(super) value: &'a syntax::Value,
    pub(super) span: Span,
    pub(super) text: &'a str,
    /// False for parts that no block starts from: paths may lead nowhere there.
    pub(super) in_lamp: bool,
}

/// What a cell came to.
#[derive(Debug, Clone)]
pub(super) enum Result {
    /// A property's value.
    Value(document::Value),
    /// A let's.
    Let(Outcome),
    /// An error that is reported.
    Bad,
}

/// What all cells share.
pub(super) struct Surroundings<'a> {
    /// The names of the blocks of each kind.
    pub(super) blocks: &'a BTreeMap<&'static str, Vec<String>>,
    /// Made when a name is not found, which is seldom.
    pub(super) gaps: LazyCell<Gaps, &'a dyn Fn() -> Gaps>,
}

/// What a spec does not say.
#[derive(Default)]
pub(super) struct Gaps {
    /// Paths that the schema has and this spec does not state.
    pub(super) unstated: Vec<String>,
    /// Paths and lets whose own statement has an error already.
    pub(super) excused: Vec<String>,
}

type Links = BTreeMap<String, (Option<usize>, Span)>;

/// Works all cells out.
pub(super) fn work_out(cells: &[Cell<'_>], around: &Surroundings<'_>, diags: &mut Vec<Diag>) -> Vec<Result> {
    let index = Index { cells, by_path: OnceCell::new() };
    let links: Vec<Links> = cells.iter().map(|c| links(c, &index, around, diags)).collect();
    let (order, circles) = in_order(&links);
    let mut results: Vec<Result> = vec![Result::Bad; cells.len()];
    let mut turning = vec![false; cells.len()];
    for circle in &circles {
        report_circle(circle, cells, &links, diags);
        circle.iter().filter_map(|i| turning.get_mut(*i).map(|t| *t = true)).for_each(drop);
    }
    for at in order {
        let (Some(cell), Some(links), Some(false)) = (cells.get(at), links.get(at), turning.get(at)) else { continue };
        let result = {
            let names = |path: &str| {
                let (target, _) = links.get(path)?;
                Some(target.map_or(Outcome::Bad, |t| figure_of(results.get(t), cells.get(t))))
            };
            one(cell, &names, around, diags)
        };
        if let Some(slot) = results.get_mut(at) {
            *slot = result;
        }
    }
    results
}

fn one(
    cell: &Cell<'_>,
    names: &dyn Fn(&str) -> Option<Outcome>,
    around: &Surroundings<'_>,
    diags: &mut Vec<Diag>,
) -> Result {
    let Some(property) = cell.property else {
        return Result::Let(named_value(cell.value, names, diags));
    };
    let around = Around { names, blocks: around.blocks, text: cell.text };
    value::typed(property, cell.value, &around, diags).map_or(Result::Bad, Result::Value)
}

fn named_value(value: &syntax::Value, names: &dyn Fn(&str) -> Option<Outcome>, diags: &mut Vec<Diag>) -> Outcome {
    let ValueForm::Amount { points, tolerance, condition: None } = &value.form else {
        diags.push(
            Diag::error("value/kind", value.span, "`let` names one figure, without `x` and without `at`")
                .label("not one figure")
                .help("name each side by a `let` of its own"),
        );
        return Outcome::Bad;
    };
    if value.single().is_some_and(|e| matches!(&e.form, ExprForm::Path(p) if p == "unknown")) {
        return Outcome::Unknown;
    }
    amount(points, tolerance.as_ref(), value.span, &Scope { names, wanted: None, unit: None }, diags)
}

/// What a reference to this cell brings.
fn figure_of(result: Option<&Result>, cell: Option<&Cell<'_>>) -> Outcome {
    let spread = match result {
        Some(Result::Let(outcome)) => return *outcome,
        Some(Result::Value(document::Value::Unknown)) => return Outcome::Unknown,
        Some(Result::Value(document::Value::Quantity(s) | document::Value::QuantityAt(s, _))) => *s,
        Some(Result::Value(document::Value::Count(n))) => Spread::exact(*n as f64),
        _ => return Outcome::Bad,
    };
    let Some(dimension) = cell.and_then(|c| c.property).and_then(|p| p.shape.dimension()) else { return Outcome::Bad };
    Outcome::Known(Figure { spread, powers: powers(dimension), absolute: dimension == Dimension::Temperature })
}

/// Cells of the lamp by their paths; most specs name few, and many none.
struct Index<'c> {
    cells: &'c [Cell<'c>],
    by_path: OnceCell<FxHashMap<&'c str, usize>>,
}

impl<'c> Index<'c> {
    fn by_path(&self) -> &FxHashMap<&'c str, usize> {
        self.by_path.get_or_init(|| {
            let own = self.cells.iter().enumerate().filter(|(_, c)| c.in_lamp);
            own.map(|(i, c)| (c.path.as_str(), i)).collect()
        })
    }
}

/// Whether the words in a value of this shape are names of figures rather than words of the schema.
fn calculates(property: Option<&Property>) -> bool {
    property.is_none_or(|p| p.shape.dimension().is_some())
}

/// Whether a reference to it brings a figure.
fn is_figure(property: Option<&Property>) -> bool {
    property.is_none_or(|p| matches!(p.shape, Shape::Quantity(_) | Shape::QuantityAt(..) | Shape::Count))
}

fn links(cell: &Cell<'_>, index: &Index<'_>, around: &Surroundings<'_>, diags: &mut Vec<Diag>) -> Links {
    let mut links = Links::new();
    if !calculates(cell.property) {
        return links;
    }
    let wanted = cell.property.and_then(|p| p.shape.dimension());
    for (path, span) in cell.value.paths() {
        if is_word(path) || links.contains_key(path) {
            continue;
        }
        let target = look_up(path, cell, index);
        if target.is_none() && letter_code(path, wanted).is_some() {
            continue;
        }
        match target.and_then(|t| index.cells.get(t)) {
            Some(found) if !is_figure(found.property) => {
                diags.push(not_a_figure(path, span, found));
                links.insert(path.to_owned(), (None, span));
                continue;
            }
            None => match codes::misplaced(path, wanted) {
                Some((message, help)) => {
                    diags.push(Diag::error("unit/letter-code", span, message).label("a letter code").help(help));
                }
                None => diags.extend(unknown(path, span, cell, index, around)),
            },
            Some(_) => {}
        }
        links.insert(path.to_owned(), (target, span));
    }
    links
}

/// A let, then a property of the same block, then a full path.
fn look_up(path: &str, cell: &Cell<'_>, index: &Index<'_>) -> Option<usize> {
    let near = format!("{}.{path}", cell.home);
    let index = index.by_path();
    let as_let = index.get(path).filter(|_| !path.contains('.'));
    as_let.or_else(|| index.get(near.as_str())).or_else(|| index.get(path)).copied()
}

fn not_a_figure(path: &str, span: Span, found: &Cell<'_>) -> Diag {
    Diag::error("value/kind", span, format!("`{path}` is no figure and cannot be calculated with"))
        .label("used as a figure")
        .also(found.span, "stated here")
        .help("use a property that holds a quantity or a number")
}

/// Whether `path` may lead into something that could not be read: the thing itself, what is inside it, any let where
/// one is unreadable, any named block beside an unreadable one.
fn follows(path: &str, excused: &str) -> bool {
    let inside = |outer: &str| path.strip_prefix(outer).is_some_and(|rest| rest.starts_with('.'));
    let beside = excused.rsplit_once('.').is_some_and(|(parent, _)| {
        path.strip_prefix(parent).and_then(|rest| rest.strip_prefix('.')).is_some_and(|rest| rest.contains('.'))
    });
    path == excused || inside(excused) || beside || (excused == "let" && !path.contains('.'))
}

fn unknown(path: &str, span: Span, cell: &Cell<'_>, index: &Index<'_>, around: &Surroundings<'_>) -> Option<Diag> {
    let near = format!("{}.{path}", cell.home);
    let is = |p: &String| p == path || *p == near;
    if !cell.in_lamp || around.gaps.excused.iter().any(|e| follows(path, e) || follows(&near, e)) {
        return None;
    }
    if around.gaps.unstated.iter().any(is) {
        let diag = Diag::error("name/not-stated", span, format!("`{path}` is not stated in this spec"));
        return Some(diag.label("needed here").help(format!("state `{path}`, or write the figure here")));
    }
    let home = format!("{}.", cell.home);
    let mut paths: Vec<&str> = index.cells.iter().filter(|c| c.in_lamp).map(|c| c.path.as_str()).collect();
    paths.sort_unstable();
    paths.dedup();
    let beside = paths.iter().filter_map(|p| p.strip_prefix(home.as_str()));
    let meant = nearest(path, paths.iter().copied().chain(beside));
    Some(Diag::error("name/unknown", span, format!("nothing is called `{path}`")).label("not found").help(
        match meant {
            Some(meant) => format!("did you mean `{meant}`?"),
            None => format!(
                "add `let {} = ...`, or write the path of a property such as `driver.red.current`",
                path.replace('.', "-")
            ),
        },
    ))
}

/// An order in which every cell comes after those it needs, and the circles that have none. Walks without recursion:
/// a chain may be as long as the spec.
fn in_order(links: &[Links]) -> (Vec<usize>, Vec<Vec<usize>>) {
    #[derive(Clone, Copy, PartialEq)]
    enum Mark {
        New,
        Open,
        Done,
    }
    let needs: Vec<Vec<usize>> = links.iter().map(|l| l.values().filter_map(|(t, _)| *t).collect()).collect();
    let mut marks = vec![Mark::New; needs.len()];
    let mut circled = vec![false; needs.len()];
    let (mut order, mut circles) = (Vec::new(), Vec::new());
    for start in 0..needs.len() {
        if marks.get(start) != Some(&Mark::New) {
            continue;
        }
        let mut stack = vec![(start, 0)];
        marks.get_mut(start).into_iter().for_each(|m| *m = Mark::Open);
        while let Some((at, next)) = stack.last_mut() {
            let at = *at;
            let Some(target) = needs.get(at).and_then(|n| n.get(*next)).copied() else {
                marks.get_mut(at).into_iter().for_each(|m| *m = Mark::Done);
                order.push(at);
                stack.pop();
                continue;
            };
            *next += 1;
            match marks.get(target) {
                Some(Mark::New) => {
                    marks.get_mut(target).into_iter().for_each(|m| *m = Mark::Open);
                    stack.push((target, 0));
                }
                // Circles through one that is found already are mended with it, or show once it is.
                Some(Mark::Open) if circled.get(at) != Some(&true) && circled.get(target) != Some(&true) => {
                    let circle: Vec<usize> = stack.iter().map(|(i, _)| *i).skip_while(|i| *i != target).collect();
                    circle.iter().filter_map(|i| circled.get_mut(*i).map(|c| *c = true)).for_each(drop);
                    circles.push(circle);
                }
                _ => {}
            }
        }
    }
    (order, circles)
}

/// The links of a circle that are shown; nobody reads more.
const MOST_LINKS: usize = 16;

fn report_circle(circle: &[usize], cells: &[Cell<'_>], links: &[Links], diags: &mut Vec<Diag>) {
    let name = |i: &usize| cells.get(*i).map_or("", |c| c.path.as_str());
    let followers = circle.iter().skip(1).chain(circle.first());
    let place = |from: &usize, to: &usize| {
        let span = cells.get(*from).map(|c| c.span).unwrap_or_default();
        links.get(*from).and_then(|l| l.values().find(|(t, _)| *t == Some(*to))).map_or(span, |(_, span)| *span)
    };
    let mut way: Vec<&str> = circle.iter().chain(circle.first()).map(name).collect();
    if way.len() > MOST_LINKS {
        way.splice(MOST_LINKS - 2..way.len() - 1, ["..."]).for_each(drop);
    }
    let mut diag: Option<Diag> = None;
    for (from, to) in circle.iter().zip(followers).take(MOST_LINKS) {
        let text = format!("`{}` needs `{}`", name(from), name(to));
        diag = Some(match diag {
            None => {
                let message = format!("these figures need each other in a circle: {}", way.join(" -> "));
                Diag::error("name/loop", place(from, to), message).label(text)
            }
            Some(diag) => diag.also(place(from, to), text),
        });
    }
    diags.extend(diag.map(|d| d.help("give one of them a figure of its own")));
}
