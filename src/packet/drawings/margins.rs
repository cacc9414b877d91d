//! Drawing `margins`: the figures nearest their limits as bars, nearest on top.

use super::pen::Pen;
use super::text::{self, LABEL};
use crate::figures::percent;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Role, Scale, at};
use crate::rules::rule::{Measure, Sense};

/// Bars shown at most.
const MOST: usize = 12;
/// Height of a row, of its bar, and length of a whole bar, mm.
const ROW: f64 = 8.4;
const BAR: (f64, f64) = (50.0, 3.2);
/// Length left of the limit for what is over it, mm.
const OVER: f64 = 10.0;

/// The bars; none where no figure has a limit.
pub(super) fn margins(bench: &Bench<'_>) -> Option<Drawing> {
    let all = bench.report.margins();
    let rows: Vec<(&str, &Measure)> = all.iter().take(MOST).map(|(_, subject, m)| (*subject, *m)).collect();
    if rows.is_empty() {
        return None;
    }
    let mut pen = Pen::default();
    let words: Vec<[String; 2]> = rows.iter().map(|(subject, measure)| said(bench, subject, measure)).collect();
    let longest = words.iter().flatten().map(|line| text::width(line, LABEL, false)).fold(60.0, f64::max);
    let limit = longest + 4.0 + OVER;
    for (k, ((_, measure), lines)) in rows.iter().zip(&words).enumerate() {
        row(&mut pen, measure, lines, limit, -ROW * k as f64);
    }
    let bottom = -ROW * rows.len() as f64;
    pen.line(Role::Outline, &[at(limit, 1.0), at(limit, bottom + ROW - 5.4)]);
    pen.text(at(limit, 2.0), Anchor::Middle, "limit");
    pen.text(at(limit + BAR.0, 2.0), Anchor::Middle, "all left");
    let title = "Nearest to their limits".to_owned();
    let description = format!(
        "Bars of the {} figures nearest to their limits, nearest on top: how much of each limit is left.",
        rows.len()
    );
    Some(pen.finish("margins", title, description, Scale::Reduced))
}

fn said(bench: &Bench<'_>, subject: &str, m: &Measure) -> [String; 2] {
    let of = if subject.is_empty() || m.what.contains(subject) { String::new() } else { format!(", {subject}") };
    // A drawing has no face for code, so the marks around a name go.
    [bench.spoken(&format!("{}{of}", m.what)).replace('`', ""), format!("{}, {}", m.value, bound(m))]
}

/// The limit with the side on which the figure must lie.
pub(in crate::packet) fn bound(measure: &Measure) -> String {
    let sense = if measure.sense == Sense::AtMost { "at most" } else { "at least" };
    format!("{sense} {}", measure.limit)
}

/// How much of the limit is left.
pub(in crate::packet) fn left(measure: &Measure) -> String {
    if measure.margin > 9.99 { "over 999 %".to_owned() } else { percent(measure.margin) }
}

fn row(pen: &mut Pen, measure: &Measure, lines: &[String; 2], limit: f64, top: f64) {
    let [what, figures] = lines;
    pen.text(at(0.0, top - 2.2), Anchor::Start, what);
    pen.text(at(0.0, top - 5.4), Anchor::Start, figures);
    let margin = measure.margin;
    let low = top - 5.2;
    // Over the limit the bar runs the other way and is hatched, so that a bad photocopy still tells them apart.
    if margin >= 0.0 {
        pen.rectangle(Role::Solid, at(limit, low), BAR.0, BAR.1);
        pen.rectangle(Role::Ink, at(limit, low), BAR.0 * margin.min(1.0), BAR.1);
    } else {
        let over = OVER * (-margin).clamp(0.05, 1.0);
        pen.rectangle(Role::MainsHatch, at(limit - over, low), over, BAR.1);
        pen.rectangle(Role::Outline, at(limit - over, low), over, BAR.1);
    }
    pen.text(at(limit + BAR.0 + 2.0, low + 0.6), Anchor::Start, left(measure));
}
