//! Before and after in one drawing: the old outline of the diffuser dashed, the new one solid.

use crate::Compiled;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, Shape, Vertex, at};
use crate::physics::mechanics::outline::Outline;
use crate::physics::mechanics::plate::Plate;

use super::work::same_plate;

/// Widest side on paper, mm.
const WIDEST: f64 = 80.0;
/// Height of the captions, mm.
const CAPTION: f64 = 2.6;
const MARGIN: f64 = 4.0;

/// The overlay; nothing where one of the two has no piece or both are the same.
pub fn diffuser(old: &Compiled, new: &Compiled) -> Option<Drawing> {
    let (old, new) = (plate(old)?, plate(new)?);
    if same_plate(old, new) {
        return None;
    }
    let (was, is) = (old.outer.extents(), new.outer.extents());
    let width = was.width().value().max(is.width().value()) * 1e3;
    let height = was.height().value().max(is.height().value()) * 1e3;
    let scale = (WIDEST / width.max(height)).min(1.0);
    let (half_width, half_height) = (width * scale / 2.0, height * scale / 2.0);
    let below = -half_height - 3.0 * MARGIN;
    let caption = |line: f64, text: &str| Shape::Text {
        at: at(-half_width, below - line * 1.8 * CAPTION),
        height: CAPTION,
        anchor: Anchor::Start,
        angle: 0.0,
        text: text.to_owned(),
        strong: false,
    };
    let shapes = vec![
        Shape::Paths { role: Role::Hidden, paths: edges(old, scale) },
        Shape::Paths { role: Role::Outline, paths: edges(new, scale) },
        caption(0.0, "dashed: before"),
        caption(1.0, "solid: now"),
    ];
    let lowest = below - 2.0 * 1.8 * CAPTION - MARGIN;
    Some(Drawing {
        name: "diffuser-overlay".into(),
        title: "Diffuser before and now".into(),
        description: "Outline of the diffuser before, dashed, under its outline now, solid; not to be cut from".into(),
        corner: at(-half_width.max(30.0) - MARGIN, lowest),
        width: 2.0 * (half_width.max(30.0) + MARGIN),
        height: half_height + MARGIN - lowest,
        scale: Scale::Reduced,
        shapes,
    })
}

fn plate(compiled: &Compiled) -> Option<&Plate> {
    let sheet = compiled.solution.sheet.as_ref()?.as_ref().ok()?;
    sheet.net.as_ref().ok().map(|net| &net.plate)
}

fn edges(plate: &Plate, scale: f64) -> Vec<Path> {
    std::iter::once(&plate.outer).chain(&plate.holes).map(|edge| path(edge, scale)).collect()
}

fn path(edge: &Outline, scale: f64) -> Path {
    let point = |x: f64, y: f64| -> Point { at(x * 1e3 * scale, y * 1e3 * scale) };
    let vertices = edge.vertices.iter();
    let vertices = vertices.map(|v| Vertex { point: point(v.point.x.value(), v.point.y.value()), bulge: v.bulge });
    Path { vertices: vertices.collect(), closed: true }
}
