//! The bars of the templates that are laid on the work: a sheet whose bar is not 100 mm long, or that has none, is not
//! composed. What the printer makes of them is measured at the bench.

use std::collections::BTreeMap;

use super::drawing::{BAR_WORDS, Drawing, Path, Role, Scale, Shape};
use super::drawings::outline::BAR;

/// How far a bar may be off before it leaves the program, mm: the last digit that the drawing keeps.
const OFF: f64 = 1e-3;

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
pub fn check(drawings: &BTreeMap<String, Drawing>) -> Result<(), BarFault> {
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
    use crate::packet::drawing::{Anchor, at};

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
