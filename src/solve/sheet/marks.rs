//! What is engraved on the sheet, as strokes, and how far it stays from the edges.

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::cutting::Mark;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::curve::{Point, Segment};
use crate::physics::mechanics::lettering::{cross, lettering};
use crate::physics::mechanics::offset::holds;
use crate::physics::mechanics::plate::Plate;
use crate::quantity::Metres;
use crate::schema::words::MarkKind;

use super::shape::place;

const CLEAR: Formula =
    Formula { text: "least distance of its strokes to an edge, below zero off the sheet", source: "geometry" };

/// One mark.
#[derive(Debug, Clone)]
pub struct Engraved {
    /// Its name.
    pub name: String,
    /// Where the spec says so.
    pub span: Span,
    /// What it says; empty for a cross.
    pub text: String,
    /// Its middle.
    pub at: Point,
    /// Strokes.
    pub runs: Vec<Vec<Point>>,
    /// Least distance to an edge; below zero where it leaves the sheet or lies in a hole.
    pub clear: Metres,
}

/// The strokes of all marks. A lamp without a revision has none to engrave: the figure is missing.
pub(super) fn solve(lamp: &Lamp, d: &Diffuser, plate: &Plate, ledger: &mut Ledger) -> Vec<Found<Engraved>> {
    d.marks.iter().map(|mark| engraved(lamp, mark, plate, ledger)).collect()
}

fn engraved(lamp: &Lamp, mark: &Mark, plate: &Plate, ledger: &mut Ledger) -> Found<Engraved> {
    let (at, height, turn) = (place(&mark.at)?, mark.height.nominal()?, mark.towards.nominal()?.value());
    let text = match mark.shows.get()? {
        MarkKind::Datum => String::new(),
        MarkKind::Top => "↑ TOP".to_owned(),
        MarkKind::Revision => format!("REV {}", lamp.identity.revision.known()?),
    };
    let strokes = if text.is_empty() { cross(height) } else { lettering(&text, height) };
    let set = |run: Vec<Point>| run.into_iter().map(|point| point.turned(turn).shifted(at)).collect();
    let runs: Vec<Vec<Point>> = strokes.into_iter().map(set).collect();
    let clear = clearance(&runs, plate);
    let title = format!("{}: from its strokes to the nearest edge", mark.name);
    ledger.computed(format!("cut.{}.clear", mark.name), &title, clear, CLEAR, &[("at", mark.at.path.as_str())]);
    Ok(Engraved { name: mark.name.clone(), span: mark.span, text, at, runs, clear })
}

fn clearance(runs: &[Vec<Point>], plate: &Plate) -> Metres {
    let points = runs.iter().flatten();
    let on_sheet = points.clone().all(|p| holds(&plate.outer, *p) && !plate.holes.iter().any(|hole| holds(hole, *p)));
    let edges: Vec<Segment> = std::iter::once(&plate.outer).chain(&plate.holes).flat_map(|e| e.segments()).collect();
    let lines = runs.iter().flat_map(|run| run.iter().zip(run.iter().skip(1)));
    let gaps = lines.flat_map(|(a, b)| {
        let stroke = Segment::new(*a, *b, 0.0);
        edges.iter().map(move |edge| edge.distance_between(&stroke))
    });
    let least = gaps.fold(Metres::si(f64::INFINITY), Metres::min);
    if on_sheet { least } else { -least }
}
