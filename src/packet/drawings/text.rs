//! How much room a text takes in a drawing, by the metrics of the font it is set in; and where texts may not lie.

use std::sync::LazyLock;

use crate::packet::drawing::{Anchor, Drawing, Point, Shape, at};

static REGULAR: &[u8] = include_bytes!("../../../templates/fonts/sans-regular.ttf");
static STRONG: &[u8] = include_bytes!("../../../templates/fonts/sans-semibold.ttf");

/// Height of a capital letter of the sans faces in em.
pub const CAP_HEIGHT: f64 = 0.66;
/// Depth of a descender in em.
const DESCENT: f64 = 0.24;
/// Room a character takes that the font does not have, em.
const UNKNOWN: f64 = 0.8;

/// Height of capital letters of an ordinary label, mm.
pub(super) const LABEL: f64 = 2.0;

/// Advance widths of one face: the code points below 0x300 at once, since nearly every label is made of them.
struct Widths {
    near: Vec<f64>,
    face: Option<ttf_parser::Face<'static>>,
}

impl Widths {
    fn of(bytes: &'static [u8]) -> Self {
        let face = ttf_parser::Face::parse(bytes, 0).ok();
        let near = (0..0x300_u32).filter_map(char::from_u32).map(|c| advance(face.as_ref(), c)).collect();
        Self { near, face }
    }
    fn get(&self, character: char) -> f64 {
        self.near.get(character as usize).copied().unwrap_or_else(|| advance(self.face.as_ref(), character))
    }
}

/// In em.
fn advance(face: Option<&ttf_parser::Face<'static>>, character: char) -> f64 {
    let known = face.and_then(|face| {
        let glyph = face.glyph_index(character)?;
        Some(f64::from(face.glyph_hor_advance(glyph)?) / f64::from(face.units_per_em()))
    });
    known.unwrap_or(UNKNOWN)
}

static FACES: LazyLock<[Widths; 2]> = LazyLock::new(|| [Widths::of(REGULAR), Widths::of(STRONG)]);

/// Width of a line of text whose capitals are `height` mm high, in mm.
pub fn width(text: &str, height: f64, strong: bool) -> f64 {
    let [regular, heavy] = &*FACES;
    let face = if strong { heavy } else { regular };
    text.chars().map(|c| face.get(c)).sum::<f64>() * height / CAP_HEIGHT
}

/// An upright box in a drawing, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Lower left corner.
    pub least: Point,
    /// Upper right corner.
    pub most: Point,
}

impl Room {
    /// Whether the two have more than an edge in common.
    pub fn overlaps(&self, other: &Self) -> bool {
        let apart = |a: f64, b: f64| a <= b + 1e-9;
        !(apart(self.most.x, other.least.x)
            || apart(other.most.x, self.least.x)
            || apart(self.most.y, other.least.y)
            || apart(other.most.y, self.least.y))
    }
    /// The smallest box around points; `None` without any.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().fold(None, |room: Option<Self>, p| {
            Some(room.map_or(Self { least: p, most: p }, |r| Self {
                least: at(r.least.x.min(p.x), r.least.y.min(p.y)),
                most: at(r.most.x.max(p.x), r.most.y.max(p.y)),
            }))
        })
    }
    /// Larger by this much on every side.
    pub fn grown(&self, by: f64) -> Self {
        Self { least: at(self.least.x - by, self.least.y - by), most: at(self.most.x + by, self.most.y + by) }
    }
}

/// The room of a text shape; `None` for paths. A turned text gives the box around it.
pub fn room(shape: &Shape) -> Option<Room> {
    let Shape::Text { at: place, height, anchor, angle, text, strong } = shape else { return None };
    let length = width(text, *height, *strong);
    let left = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -length / 2.0,
        Anchor::End => -length,
    };
    let drop = -DESCENT * height / CAP_HEIGHT;
    let (sin, cos) = (libm::sin(angle.to_radians()), libm::cos(angle.to_radians()));
    let turned = |u: f64, v: f64| at(place.x + u * cos - v * sin, place.y + u * sin + v * cos);
    Room::around([
        turned(left, drop),
        turned(left + length, drop),
        turned(left + length, *height),
        turned(left, *height),
    ])
}

/// Every text of a drawing with its room.
pub fn rooms(drawing: &Drawing) -> Vec<(&str, Room)> {
    let texts = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Text { text, .. } => Some((text.as_str(), room(shape)?)),
        Shape::Paths { .. } => None,
    });
    texts.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(angle: f64, anchor: Anchor) -> Shape {
        Shape::Text { at: at(10.0, 5.0), height: 2.0, anchor, angle, text: "100 mm".into(), strong: false }
    }

    #[test]
    fn a_text_takes_the_room_of_its_letters() {
        let wide = width("MMMM", 2.0, false);
        assert!(wide > width("iiii", 2.0, false) * 2.0);
        assert!((width("MMMM", 4.0, false) - 2.0 * wide).abs() < 1e-12);
        let room = room(&text(0.0, Anchor::Start)).unwrap();
        assert!(room.least.x == 10.0 && room.least.y < 5.0 && room.most.y == 7.0);
        assert!((room.most.x - 10.0 - width("100 mm", 2.0, false)).abs() < 1e-12);
    }

    #[test]
    fn a_standing_text_is_as_high_as_it_was_long() {
        let lying = room(&text(0.0, Anchor::Middle)).unwrap();
        let standing = room(&text(90.0, Anchor::Middle)).unwrap();
        assert!((lying.most.x - lying.least.x - (standing.most.y - standing.least.y)).abs() < 1e-9);
        assert!(lying.overlaps(&standing));
        assert!(!lying.overlaps(&lying.grown(0.0).shifted_for_test(0.0, 10.0)));
    }

    impl Room {
        fn shifted_for_test(self, x: f64, y: f64) -> Self {
            Self { least: at(self.least.x + x, self.least.y + y), most: at(self.most.x + x, self.most.y + y) }
        }
    }
}
