//! Drawings `fit-section`, `fit-plan`, `fit-front`: what stands in the body, to scale, along its three axes.

mod gaps;
mod view;

use super::body::REDUCTIONS;
use super::callouts::{Column, column};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Drawing, Scale};
use crate::solve::fit::Fit;

pub(super) use gaps::letter;
pub(in crate::packet) use gaps::{Gap, gaps};
use view::View;

/// The views; none without a layout.
pub(super) fn all(bench: &Bench<'_>) -> Vec<Drawing> {
    let Some(Ok(fit)) = &bench.solution.fit else { return Vec::new() };
    let gaps = gaps(bench, fit);
    let views = [
        ("fit-section", "Section along the axis, seen from the left", View::SECTION),
        ("fit-plan", "Plan, seen from above", View::PLAN),
        ("fit-front", "Seen from the front, cut open", View::FRONT),
    ];
    views.into_iter().map(|(name, title, view)| drawing(bench, fit, &gaps, (name, title), view)).collect()
}

/// Room of a view with all its labels on the section sheet of either paper, mm.
const ROOM: (f64, f64) = (173.0, 150.0);
/// From the picture to the columns of its labels, mm.
const BESIDE: f64 = 6.0;

/// The view at the largest scale at which it goes on the sheet with its labels.
fn drawing(bench: &Bench<'_>, fit: &Fit, gaps: &[Gap], name: (&str, &str), view: View) -> Drawing {
    let [rest @ .., last] = REDUCTIONS;
    let at_scale = |by: f64| at_scale(bench, fit, gaps, name, (view, by));
    let fits = |drawing: &Drawing| drawing.width <= ROOM.0 && drawing.height <= ROOM.1;
    rest.into_iter().map(at_scale).find(fits).unwrap_or_else(|| at_scale(last))
}

fn at_scale(
    bench: &Bench<'_>,
    fit: &Fit,
    gaps: &[Gap],
    (name, title): (&str, &str),
    (view, by): (View, f64),
) -> Drawing {
    let mut sketch = view::Sketch::new(fit, view, by);
    sketch.zone(bench);
    sketch.body();
    sketch.sheet(bench);
    sketch.cord(bench);
    sketch.gaps(gaps);
    sketch.parts();
    let (least, most) = sketch.span();
    let (left, right, mut pen) = sketch.finish();
    let (least, most) = (least.min(pen.extents().least.x), most.max(pen.extents().most.x));
    column(&mut pen, Column::Left, least - BESIDE, left);
    column(&mut pen, Column::Right, most + BESIDE, right);
    let description = format!(
        "{title}, at 1 to {by}: walls grey, live parts hatched, each part named; letters are the gaps of the table."
    );
    pen.finish(name, format!("{title}, 1 : {by}"), description, Scale::Reduced)
}
