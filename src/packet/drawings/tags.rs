//! Drawing `wire-labels`: a flag for each end of each wire and some blanks, at full size, to fold around the wire.

use super::pen::Pen;
use super::text::{LABEL, width};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Role, Scale, at};

/// Height of a flag and of its number, mm.
const HIGH: f64 = 9.0;
const NUMBER: f64 = 3.0;
/// Least width of half a flag, mm.
const HALF: f64 = 20.0;
/// Width that the flags of one row may take on either paper, mm.
const ROW: f64 = 168.0;
/// Blank flags for one lamp (common practice, no source).
const SPARE: usize = 6;

/// The flags; none without wires.
pub(super) fn tags(bench: &Bench<'_>) -> Option<Drawing> {
    let wires = &bench.solution.wires;
    let ends = wires.iter().flat_map(|w| [(w.number.as_str(), w.from.as_str()), (w.number.as_str(), w.to.as_str())]);
    let mut flags: Vec<(&str, &str)> = ends.collect();
    if flags.is_empty() {
        return None;
    }
    flags.extend(std::iter::repeat_n(("", ""), SPARE));
    let half = flags.iter().map(|(_, end)| width(end, LABEL, false) + 3.0).fold(HALF, f64::max);
    let across = (1..=4).rev().find(|n| f64::from(*n) * 2.0 * half <= ROW).unwrap_or(1);
    let mut pen = Pen::default();
    for (k, (number, end)) in flags.iter().enumerate() {
        let columns = usize::try_from(across).unwrap_or(1);
        let (column, row) = ((k % columns) as f64, (k / columns) as f64);
        let (x, y) = (column * 2.0 * half, -(row + 1.0) * HIGH);
        pen.rectangle(Role::Cut, at(x, y), 2.0 * half, HIGH);
        pen.line(Role::Hidden, &[at(x + half, y), at(x + half, y + HIGH)]);
        for middle in [x + half / 2.0, x + half * 1.5].into_iter().filter(|_| !number.is_empty()) {
            pen.words(at(middle, y + HIGH - NUMBER - 1.2), NUMBER, Anchor::Middle, 0.0, *number, true);
            pen.text(at(middle, y + 1.4), Anchor::Middle, *end);
        }
    }
    let description = format!("{} flags to cut out, {SPARE} of them blank.", flags.len());
    Some(pen.finish("wire-labels", "Wire labels, one lamp".into(), description, Scale::Full))
}
