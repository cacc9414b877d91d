//! The bars of the templates that are laid on the work: drawn, taken off again where a page brings its own, and held to
//! their length. A sheet whose bar is not 100 mm long, or that has none, is not composed; paper is measured at the bench.

use std::collections::BTreeMap;

use super::pen::{Pen, extent};
use super::text::{LABEL, Room};
use crate::packet::drawing::{Anchor, Drawing, Path, Role, Scale, Shape, at};

/// Length of a bar, mm.
const BAR: f64 = 100.0;
/// What stands along every bar.
const BAR_WORDS: &str = "100 mm: measure before cutting";
/// How far a bar may be off before it leaves the program, mm: the last digit that the drawing keeps.
const OFF: f64 = 1e-3;

/// Two bars of 100 mm with a tick every 10 mm: one left of the outline, whose lower left end is given, one below all that
/// is drawn so far, so that the drawing without them has no hole.
pub(super) fn bars(pen: &mut Pen, left: f64, bottom: f64) {
    let low = pen.extents().least;
    // Left of every label too: ticks of the standing bar reach 2 mm to the right.
    let (x, y) = ((left - 8.0).min(low.x - 3.0), low.y - LABEL - 4.0);
    for standing in [false, true] {
        let origin = if standing { at(x, bottom.max(-BAR / 2.0)) } else { at(left, y) };
        let point = |u: f64, v: f64| {
            if standing { at(origin.x - v, origin.y + u) } else { at(origin.x + u, origin.y + v) }
        };
        pen.line(Role::Bar, &[point(0.0, 0.0), point(BAR, 0.0)]);
        for tick in 0..=10 {
            let reach = if tick % 5 == 0 { 2.0 } else { 1.0 };
            let u = f64::from(tick) * BAR / 10.0;
            pen.line(Role::Bar, &[point(u, 0.0), point(u, -reach)]);
        }
        let angle = if standing { 90.0 } else { 0.0 };
        pen.words(point(BAR / 2.0, 1.4), LABEL, Anchor::Middle, angle, BAR_WORDS, false);
    }
}

impl Drawing {
    /// The same drawing without its bars, its frame as small as what is left, this far off it: for pages that bring bars
    /// of their own.
    pub fn without_bars(&self, margin: f64) -> Self {
        let bar = |shape: &Shape| match shape {
            Shape::Paths { role, .. } => *role == Role::Bar,
            Shape::Text { text, .. } => text == BAR_WORDS,
        };
        let shapes: Vec<Shape> = self.shapes.iter().filter(|shape| !bar(shape)).cloned().collect();
        if shapes.len() == self.shapes.len() {
            return self.clone();
        }
        let corners = shapes.iter().filter_map(extent).flat_map(|room| [room.least, room.most]);
        let Some(frame) = Room::around(corners).map(|room| room.grown(margin)) else { return self.clone() };
        let (width, height) = (frame.most.x - frame.least.x, frame.most.y - frame.least.y);
        Self { corner: frame.least, width, height, shapes, ..self.clone() }
    }
}

/// A template whose bar is wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct BarFault {
    /// The drawing.
    pub drawing: String,
    /// `lying` or `standing`.
    pub way: &'static str,
    /// Length of the line that stands for the bar, mm; none where there is no line.
    pub length: Option<f64>,
}

/// Drawings that are laid on the work in true size: the sheet's outline and every drill template.
fn is_template(drawing: &Drawing) -> bool {
    drawing.scale == Scale::Full && (drawing.name == "diffuser" || drawing.name.starts_with("drill-"))
}

/// The first bar that is not what it says.
///
/// # Errors
/// A template without a lying or a standing bar of 100 mm.
pub(in crate::packet) fn check(drawings: &BTreeMap<String, Drawing>) -> Result<(), BarFault> {
    for drawing in drawings.values().filter(|drawing| is_template(drawing)) {
        for (way, angle) in [("lying", 0.0), ("standing", 90.0)] {
            let length = bar(drawing, angle);
            if !length.is_some_and(|length| (length - BAR).abs() <= OFF) {
                return Err(BarFault { drawing: drawing.name.clone(), way, length });
            }
        }
    }
    Ok(())
}

/// Length of the line under the words of a bar; none without the words or the line.
fn bar(drawing: &Drawing, turn: f64) -> Option<f64> {
    let words = drawing.shapes.iter().find_map(|shape| match shape {
        Shape::Text { at, angle, text, .. } if *angle == turn && text == BAR_WORDS => Some(*at),
        _ => None,
    })?;
    let (along, across) = if turn == 0.0 { (1.0, 0.0) } else { (0.0, 1.0) };
    let lines = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Paths { role: Role::Bar, paths } => Some(paths),
        _ => None,
    });
    let lengths = lines.flatten().filter_map(|path: &Path| match path.vertices.as_slice() {
        [a, b] if !path.closed => {
            let (dx, dy) = (b.point.x - a.point.x, b.point.y - a.point.y);
            let level = (dx * across + dy * along).abs() < 1e-9;
            // The words stand over the middle of their own bar, a millimetre off it.
            let (mx, my) = ((a.point.x + b.point.x) / 2.0 - words.x, (a.point.y + b.point.y) / 2.0 - words.y);
            let beside = (mx * across + my * along).abs() < 2.0 && (mx * along + my * across).abs() < 5.0;
            (level && beside).then(|| libm::hypot(dx, dy))
        }
        _ => None,
    });
    lengths.reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn template(lying: f64, standing: f64) -> BTreeMap<String, Drawing> {
        let line =
            |x: f64, y: f64| Shape::Paths { role: Role::Bar, paths: vec![Path::line(&[at(0.0, 0.0), at(x, y)])] };
        let words = |x: f64, y: f64, angle: f64| Shape::Text {
            at: at(x, y),
            height: 2.5,
            anchor: Anchor::Middle,
            angle,
            text: BAR_WORDS.into(),
            strong: false,
        };
        let shapes = vec![line(lying, 0.0), words(50.0, 0.9, 0.0), line(0.0, standing), words(-0.9, 50.0, 90.0)];
        let drawing = Drawing {
            name: "drill-back".into(),
            title: String::new(),
            description: String::new(),
            corner: at(0.0, 0.0),
            width: 100.0,
            height: 100.0,
            scale: Scale::Full,
            shapes,
        };
        [("drill-back".to_owned(), drawing)].into()
    }

    #[test]
    fn a_bar_that_is_not_a_hundred_millimetres_is_found() {
        assert_eq!(check(&template(100.0, 100.0)), Ok(()));
        let fault = |way, length| Err(BarFault { drawing: "drill-back".into(), way, length: Some(length) });
        assert_eq!(check(&template(99.0, 100.0)), fault("lying", 99.0));
        assert_eq!(check(&template(100.0, 101.0)), fault("standing", 101.0));
        let mut none = template(100.0, 100.0);
        none.values_mut().for_each(|drawing| drawing.shapes.truncate(2));
        assert!(matches!(check(&none), Err(BarFault { way: "standing", length: None, .. })));
    }
}
