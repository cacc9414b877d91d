//! Where a thermometer goes: the soak's measuring points, numbered T1 on, with their places in the section.

use super::callouts::Callout;
use super::section::Section;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Role, at};
use crate::solve::battery::inside;

/// Number of a measuring point on every paper: `T1` for the first that the soak follows.
pub(in crate::packet) fn number(bench: &Bench<'_>, point: &str) -> Option<String> {
    let curve = bench.solution.heat.as_ref().ok()?.soak.as_ref().ok()?.followed()?;
    let at = curve.points.iter().position(|p| *p == point)?;
    Some(format!("T{}", at + 1))
}

/// A measuring point in a word or two.
pub(in crate::packet) fn title(bench: &Bench<'_>, point: &str) -> &'static str {
    match point {
        "inside" => "air inside",
        "wall" => "body",
        "front" => "front",
        "sink" => "sink",
        _ if inside(bench.lamp) => "battery",
        _ => "supply",
    }
}

/// Half a mark, mm of paper.
const MARK: f64 = 1.1;

impl Section {
    /// Marks a measuring point with a small square at a place in mm of the lamp, and names it beside the picture.
    pub(super) fn measure(&mut self, bench: &Bench<'_>, point: &str, place: (f64, f64), right: bool) {
        let Some(number) = number(bench, point) else { return };
        let target = at(place.0 / self.by, place.1 / self.by);
        self.pen.rectangle(Role::Blank, at(target.x - MARK, target.y - MARK), 2.0 * MARK, 2.0 * MARK);
        self.pen.rectangle(Role::Outline, at(target.x - MARK, target.y - MARK), 2.0 * MARK, 2.0 * MARK);
        let callout = Callout { target, text: format!("{number} {}", title(bench, point)) };
        if right { self.right.push(callout) } else { self.left.push(callout) }
    }
}
