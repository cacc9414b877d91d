//! Drawings `fit-section`, `fit-plan`, `fit-front`: what stands in the body, to scale, along its three axes.

mod gaps;
mod view;

use super::callouts::{Column, column};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Drawing, Scale};
use crate::solve::fit::Fit;

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

fn drawing(bench: &Bench<'_>, fit: &Fit, gaps: &[Gap], (name, title): (&str, &str), view: View) -> Drawing {
    let mut sketch = view::Sketch::new(fit, view);
    sketch.zone(bench);
    sketch.body();
    sketch.sheet(bench);
    sketch.parts();
    sketch.cord(bench);
    sketch.gaps(gaps);
    let by = sketch.by;
    let (least, most) = sketch.span();
    let (left, right, mut pen) = sketch.finish();
    column(&mut pen, Column::Left, least - 12.0, left);
    column(&mut pen, Column::Right, most + 12.0, right);
    let description = format!(
        "{title}, at 1 to {by}: walls grey, live parts hatched, each part named; letters are the gaps of the table."
    );
    pen.finish(name, format!("{title}, 1 : {by}"), description, Scale::Reduced)
}
