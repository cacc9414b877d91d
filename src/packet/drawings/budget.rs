//! Drawing `light-budget`: light of the dice, on the sheet, and out of the lamp, as bars of one length scale.

use super::pen::Pen;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Role, Scale, at};
use crate::quantity::Lumens;

/// Length of the longest bar, height of a bar and of a row, mm.
const BAR: (f64, f64, f64) = (90.0, 4.0, 7.0);

/// The bars; none where the budget lacks a figure.
pub(super) fn budget(bench: &Bench<'_>) -> Option<Drawing> {
    let budget = bench.solution.light.as_ref().ok()?;
    let mut pen = Pen::default();
    // What the sheet throws back falls on it again and counts again, so that more may be on it than the dice give.
    let longest = budget.dice.max(budget.at_sheet);
    let rows = [
        ("from the dice", budget.dice, "light.dice"),
        ("on the sheet", budget.at_sheet, "light.at-sheet"),
        ("into the room", budget.out, "light.out"),
    ];
    for (k, (what, flux, path)) in rows.into_iter().enumerate() {
        let low = -(k as f64) * BAR.2;
        // A dark lamp has its three bars too, with nothing in them.
        let length = if longest > Lumens::ZERO { BAR.0 * (flux / longest) } else { 0.0 };
        pen.text(at(-2.0, low + 1.0), Anchor::End, what);
        pen.rectangle(Role::Outline, at(0.0, low), BAR.0, BAR.1);
        if length > 0.0 {
            pen.rectangle(Role::Solid, at(0.0, low), length, BAR.1);
        }
        pen.text(at(BAR.0 + 2.0, low + 1.0), Anchor::Start, bench.shown(path));
    }
    let description =
        "Three bars: light of the dice, light that reaches the sheet, light that leaves the lamp.".to_owned();
    Some(pen.finish("light-budget", "Where the light goes".to_owned(), description, Scale::Reduced))
}
