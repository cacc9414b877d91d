//! Framed panels with a signal word in a black tab, and plain remarks beside a bar.
//! Grade shows in word, triangle and weight of the frame, never in colour.

use super::fonts::{CAP_HEIGHT, MM_PER_PT};
use super::layout::{Setter, Slab, keep_together};
use super::marks::{HAIR, Mark, Paint};
use super::text::Setting;
use crate::packet::drawing::at;
use crate::render::blocks::{Block, Inline, Signal};

impl Setter<'_> {
    /// A framed panel: the signal word white on black, the frame heavier the graver the word.
    pub(super) fn panel(&mut self, signal: &Signal, inner: &[Block], left: f64, width: f64, set: Setting) -> Vec<Slab> {
        let stroke = match signal.word.as_str() {
            "DANGER" => 0.9,
            "WARNING" => 0.6,
            _ => 0.35,
        };
        let pad = 4.5;
        let mut slabs = vec![self.tab(signal, left, set)];
        slabs.extend(self.blocks(inner, left + pad, width - 2.0 * pad, set));
        slabs.push(Slab { height: 3.0, ..Slab::default() });
        let mut slabs: Vec<Slab> = slabs.into_iter().map(Slab::closed_up).collect();
        let last = slabs.len() - 1;
        for (index, slab) in slabs.iter_mut().enumerate() {
            let (low, right) = (-slab.height, left + width);
            slab.marks.push(Mark::line(at(left, 0.0), at(left, low), stroke));
            slab.marks.push(Mark::line(at(right, 0.0), at(right, low), stroke));
            if index == 0 {
                slab.marks.push(Mark::line(at(left - stroke / 2.0, 0.0), at(right + stroke / 2.0, 0.0), stroke));
            }
            if index == last {
                slab.marks.push(Mark::line(at(left - stroke / 2.0, low), at(right + stroke / 2.0, low), stroke));
            }
        }
        keep_together(&mut slabs, 4.0, self.area.1);
        slabs.push(Slab { height: 1.2, ..Slab::default() });
        slabs
    }

    fn tab(&mut self, signal: &Signal, left: f64, set: Setting) -> Slab {
        let set = Setting { size: set.size * 1.1, ..set }.heavier();
        let run = [Inline::Text(signal.word.clone(), Default::default())];
        let height = set.leading() + 1.6;
        let sign = if signal.is_alert() { height * 0.95 } else { 0.0 };
        let lines = self.lines(&run, self.area.0, set, &signal.word);
        let word = lines.first().map_or(0.0, |line| line.width);
        let mut marks = vec![Mark::rectangle(at(left, -height), sign + word + 6.5, height, Paint::fill(0.0))];
        if signal.is_alert() {
            marks.extend(triangle(left + 3.0, -height + 1.5, height - 3.0));
        }
        let base = -height / 2.0 - set.size * MM_PER_PT * CAP_HEIGHT / 2.0;
        for line in &lines {
            line.draw(at(left + 3.2 + sign, base), set, 1.0, &mut marks);
        }
        Slab { height, marks, keep: true, name: signal.word.clone(), ..Slab::default() }
    }

    /// A plain remark beside a bar.
    pub(super) fn remark(&mut self, inner: &[Block], left: f64, width: f64, set: Setting) -> Vec<Slab> {
        let mut slabs = self.blocks(inner, left + 5.0, width - 5.0, set);
        keep_together(&mut slabs, 3.2, self.area.1);
        for (index, slab) in slabs.iter_mut().enumerate() {
            if index > 0 {
                *slab = std::mem::take(slab).closed_up();
            }
            let bar = Mark::line(at(left + 0.6, 0.0), at(left + 0.6, -slab.height), 0.9);
            slab.marks.push(bar);
        }
        slabs
    }
}

/// A white alert triangle with a black bar and dot, drawn by us.
fn triangle(x: f64, y: f64, height: f64) -> Vec<Mark> {
    let width = height * 1.15;
    let middle = x + width / 2.0;
    let outline = [at(x, y), at(x + width, y), at(middle, y + height)];
    let (thick, foot) = (height * 0.11, y + height * 0.14);
    let bar = [
        at(middle - thick / 2.0, foot + height * 0.16),
        at(middle + thick / 2.0, foot + height * 0.16),
        at(middle + thick * 0.75, foot + height * 0.52),
        at(middle - thick * 0.75, foot + height * 0.52),
    ];
    let paint = Paint { fill: Some(1.0), stroke: Some((HAIR, 1.0)), dash: &[] };
    let point = Mark::rectangle(at(middle - thick / 2.0, foot - thick * 0.2), thick, thick, Paint::fill(0.0));
    vec![Mark::polygon(&outline, paint), Mark::polygon(&bar, Paint::fill(0.0)), point]
}
