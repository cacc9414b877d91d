//! Before and after in one drawing: the old outline of the diffuser dashed, the new one solid.

use crate::Compiled;
use crate::packet::drawing::{Anchor, Drawing, Path, Role, Scale, Shape, at};
use crate::packet::drawings::pen::path_of;
use crate::physics::mechanics::plate::Plate;
use crate::quantity::Metres;

use super::work::{net, same_plate};

/// Widest side on paper, mm.
const WIDEST: f64 = 80.0;
/// Height of the captions, mm.
const CAPTION: f64 = 2.6;
/// Room that the captions need, mm.
const CAPTION_WIDTH: f64 = 60.0;
/// Room around it all, mm.
const MARGIN: f64 = 4.0;

/// The overlay; nothing where one of the two has no piece or both are the same.
pub(crate) fn diffuser(old: &Compiled, new: &Compiled) -> Option<Drawing> {
    let (old, new) = (&net(old)?.plate, &net(new)?.plate);
    if same_plate(old, new) {
        return None;
    }
    // Both as they lie: an outline by points has its origin where its author put it.
    let (was, is) = (old.outer.extents(), new.outer.extents());
    let least = |a: Metres, b: Metres| a.value().min(b.value()) * 1e3;
    let most = |a: Metres, b: Metres| a.value().max(b.value()) * 1e3;
    let (left, right) = (least(was.least.x, is.least.x), most(was.most.x, is.most.x));
    let (low, top) = (least(was.least.y, is.least.y), most(was.most.y, is.most.y));
    let scale = (WIDEST / (right - left).max(top - low)).min(1.0);
    let [left, right, low, top] = [left, right, low, top].map(|place| place * scale);
    let (middle, half) = ((left + right) / 2.0, ((right - left) / 2.0).max(CAPTION_WIDTH / 2.0));
    let below = low - 3.0 * MARGIN;
    let caption = |line: f64, text: &str| Shape::Text {
        at: at(left, below - line * 1.8 * CAPTION),
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
        corner: at(middle - half - MARGIN, lowest),
        width: 2.0 * (half + MARGIN),
        height: top + MARGIN - lowest,
        scale: Scale::Reduced,
        shapes,
    })
}

fn edges(plate: &Plate, scale: f64) -> Vec<Path> {
    std::iter::once(&plate.outer).chain(&plate.holes).map(|edge| path_of(edge, scale, at(0.0, 0.0))).collect()
}
