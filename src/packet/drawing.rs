//! A drawing: shapes in millimetres, each with a role. Drawn once here, set by `render::svg` and `render::pdf`.

use serde::Serialize;

/// A point in millimetres, x to the right, y up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// To the right, mm.
    pub x: f64,
    /// Up, mm.
    pub y: f64,
}

/// Makes a point from millimetres.
pub const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// What a shape is; the renderers give each role its stroke and fill (black, one grey, hatches; no colour).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// A visible edge, 0.35 mm.
    Outline,
    /// A line to cut along: 0.25 mm on paper, 0.1 mm in the machine's file.
    Cut,
    /// A stroke to engrave, on a layer of its own: 0.25 mm on paper, 0.1 mm in the machine's file.
    Engrave,
    /// An edge behind something: dashed.
    Hidden,
    /// An axis: chain line.
    Axis,
    /// Dimension and leader lines, 0.25 mm, with arrow heads drawn by the shape itself.
    Dimension,
    /// A bar of 100 mm to be measured before use, 0.25 mm.
    Bar,
    /// A conductor, 0.5 mm.
    Wire,
    /// Mains zone: dense diagonal hatch, no stroke.
    MainsHatch,
    /// Heat path: dots, no stroke.
    HeatDots,
    /// Sheet, wall or other solid in section: light grey fill and a 0.25 mm edge.
    Solid,
    /// Filled black, no stroke: arrow heads, symbols.
    Ink,
    /// White fill without a stroke: clears a place for a label.
    Blank,
    /// Text.
    Label,
}

/// Where a text hangs on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Anchor {
    /// The point is the left end of the base line.
    Start,
    /// The point is the middle of the base line.
    Middle,
    /// The point is the right end of the base line.
    End,
}

/// One vertex of a path; `bulge` shapes the segment that leaves it: tan(sweep / 4), positive to the left
/// (counter-clockwise), 0 for a straight line. Arcs stay arcs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Vertex {
    /// The point.
    pub point: Point,
    /// tan(sweep / 4) of the segment to the next vertex.
    pub bulge: f64,
}

/// A run of lines and arcs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Path {
    /// The vertices in order.
    pub vertices: Vec<Vertex>,
    /// Whether the last vertex joins the first.
    pub closed: bool,
}

impl Path {
    /// An open run of straight lines.
    pub fn line(points: &[Point]) -> Self {
        Self { vertices: points.iter().map(|&point| Vertex { point, bulge: 0.0 }).collect(), closed: false }
    }
    /// A closed run of straight lines.
    pub fn polygon(points: &[Point]) -> Self {
        Self { closed: true, ..Self::line(points) }
    }
    /// An upright rectangle from its corner with the smallest coordinates.
    pub fn rectangle(corner: Point, width: f64, height: f64) -> Self {
        let Point { x, y } = corner;
        Self::polygon(&[at(x, y), at(x + width, y), at(x + width, y + height), at(x, y + height)])
    }
    /// A full circle as two half arcs, counter-clockwise.
    pub fn circle(centre: Point, radius: f64) -> Self {
        let half = |x| Vertex { point: at(x, centre.y), bulge: 1.0 };
        Self { vertices: vec![half(centre.x + radius), half(centre.x - radius)], closed: true }
    }
    /// The sides, each with the vertices it runs between; a straight one that closes the path is left to its closing.
    pub fn sides(&self) -> impl Iterator<Item = (&Vertex, &Vertex)> {
        let back = self.vertices.last().is_some_and(|last| last.bulge != 0.0);
        let home = self.vertices.first().filter(|_| self.closed && back);
        self.vertices.iter().zip(self.vertices.iter().skip(1).chain(home))
    }
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "shape")]
pub enum Shape {
    /// One or more paths; filled by the even-odd rule where the role has a fill.
    Paths {
        /// The role.
        role: Role,
        /// The runs.
        paths: Vec<Path>,
    },
    /// A line of text.
    Text {
        /// Anchor point of the base line.
        at: Point,
        /// Height of a capital letter, mm.
        height: f64,
        /// Where the text hangs on the point.
        anchor: Anchor,
        /// Anti-clockwise rotation in degrees.
        angle: f64,
        /// The words.
        text: String,
        /// Set in the heavier face.
        strong: bool,
    },
}

/// How large a drawing is on paper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scale {
    /// 1 mm is 1 mm: must not be scaled; tiled over pages when too large.
    Full,
    /// Coordinates are already paper millimetres at a stated ratio, such as `1 : 5`; may shrink to fit.
    Reduced,
}

/// A drawing with its frame.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drawing {
    /// File name without its ending.
    pub name: String,
    /// Caption.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub description: String,
    /// Lower left corner of the frame, mm.
    pub corner: Point,
    /// Width of the frame, mm.
    pub width: f64,
    /// Height of the frame, mm.
    pub height: f64,
    /// Whether it must keep its size.
    pub scale: Scale,
    /// From back to front.
    pub shapes: Vec<Shape>,
}

impl Drawing {
    /// The same drawing a quarter turn clockwise, its frame with it: what stood upright reads level, and nothing stands on
    /// its head.
    pub fn turned(&self) -> Self {
        let turn = |p: Point| at(p.y, -p.x);
        let shapes = self.shapes.iter().map(|shape| match shape {
            Shape::Paths { role, paths } => {
                let vertex = |v: &Vertex| Vertex { point: turn(v.point), bulge: v.bulge };
                let path = |p: &Path| Path { vertices: p.vertices.iter().map(vertex).collect(), closed: p.closed };
                Shape::Paths { role: *role, paths: paths.iter().map(path).collect() }
            }
            Shape::Text { at, height, anchor, angle, text, strong } => Shape::Text {
                at: turn(*at),
                height: *height,
                anchor: *anchor,
                angle: angle - 90.0,
                text: text.clone(),
                strong: *strong,
            },
        });
        Self {
            corner: at(self.corner.y, -self.corner.x - self.width),
            width: self.height,
            height: self.width,
            shapes: shapes.collect(),
            ..self.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_turn_keeps_every_place_in_its_frame() {
        let text = |p: Point, angle| Shape::Text {
            at: p,
            height: 2.5,
            anchor: Anchor::Start,
            angle,
            text: "a".into(),
            strong: false,
        };
        let drawing = Drawing {
            name: "d".into(),
            title: String::new(),
            description: String::new(),
            corner: at(-10.0, -5.0),
            width: 40.0,
            height: 20.0,
            scale: Scale::Full,
            shapes: vec![text(at(30.0, 15.0), 0.0)],
        };
        let turned = drawing.turned();
        assert_eq!((turned.corner, turned.width, turned.height), (at(-5.0, -30.0), 20.0, 40.0));
        // The upper right corner comes to lie at the lower right.
        assert_eq!(turned.shapes, [text(at(15.0, -30.0), -90.0)]);
        let again = turned.turned().turned().turned();
        assert_eq!((again.corner, again.width, again.height), (drawing.corner, drawing.width, drawing.height));
    }
}
