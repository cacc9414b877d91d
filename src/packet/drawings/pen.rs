//! A sheet of shapes in the making: lines, arrows, dimensions and texts, and the frame that holds all of it.

use super::text::{self, LABEL, Room, room};
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, Shape, Vertex, at};
use crate::physics::mechanics::curve::{self, Segment};
use crate::physics::mechanics::outline::{self, Outline};
use crate::quantity::Metres;

/// Room left between shapes and frame, mm.
const MARGIN: f64 = 1.5;
/// Length and half width of an arrow head, mm.
pub(super) const ARROW: (f64, f64) = (2.2, 0.4);
/// Where a text stands that its dimension line is too short for, from the end of the line, mm.
const OUTSIDE: f64 = 5.0;
/// How far an extension line reaches over its dimension line, mm.
const OVERSHOOT: f64 = 1.2;

/// Shapes from back to front.
#[derive(Default)]
pub(super) struct Pen {
    shapes: Vec<Shape>,
}

/// In millimetres.
pub(super) fn mm(length: Metres) -> f64 {
    length.value() * 1e3
}

/// An outline in metres as a path in millimetres of paper, arcs kept.
pub fn path_of(outline: &Outline, scale: f64, origin: Point) -> Path {
    let vertex = |v: &outline::Vertex| Vertex {
        point: at(origin.x + v.point.x.value() * 1e3 * scale, origin.y + v.point.y.value() * 1e3 * scale),
        bulge: v.bulge,
    };
    Path { vertices: outline.vertices.iter().map(vertex).collect(), closed: true }
}

impl Pen {
    /// Adds paths of one role.
    pub(super) fn paths(&mut self, role: Role, paths: Vec<Path>) {
        self.shapes.push(Shape::Paths { role, paths });
    }
    /// Adds one path.
    pub(super) fn path(&mut self, role: Role, path: Path) {
        self.paths(role, vec![path]);
    }
    /// Adds a run of straight lines.
    pub(super) fn line(&mut self, role: Role, points: &[Point]) {
        self.path(role, Path::line(points));
    }
    /// Adds a rectangle from its lower left corner.
    pub(super) fn rectangle(&mut self, role: Role, corner: Point, width: f64, height: f64) {
        self.path(role, Path::rectangle(corner, width, height));
    }
    /// Adds a lying text of ordinary size.
    pub(super) fn text(&mut self, place: Point, anchor: Anchor, text: impl Into<String>) {
        self.words(place, LABEL, anchor, 0.0, text, false);
    }
    /// Adds a text.
    pub(super) fn words(
        &mut self,
        place: Point,
        height: f64,
        anchor: Anchor,
        angle: f64,
        text: impl Into<String>,
        strong: bool,
    ) {
        self.shapes.push(Shape::Text { at: place, height, anchor, angle, text: text.into(), strong });
    }

    /// An arrow head with its tip here, pointing along this direction in radians.
    pub(super) fn arrow(&mut self, tip: Point, direction: f64) {
        let (sin, cos) = (libm::sin(direction), libm::cos(direction));
        let back = |side: f64| at(tip.x - ARROW.0 * cos - side * sin, tip.y - ARROW.0 * sin + side * cos);
        self.path(Role::Ink, Path::polygon(&[tip, back(ARROW.1), back(-ARROW.1)]));
    }

    /// A dimension below or above two points: extension lines from each, the text on the line, or beside it where it
    /// is longer than the line.
    pub(super) fn across(&mut self, from: Point, to: Point, y: f64, text: &str) {
        for end in [from, to] {
            let over = if y < end.y { -OVERSHOOT } else { OVERSHOOT };
            self.line(Role::Dimension, &[at(end.x, end.y + over * 0.5), at(end.x, y + over)]);
        }
        let span = to.x - from.x;
        let length = text::width(text, LABEL, false);
        if span >= length + 2.0 {
            self.between(at(from.x, y), at(to.x, y), 0.0);
            self.text(at((from.x + to.x) / 2.0, y + 0.8), Anchor::Middle, text);
        } else {
            let reach = to.x + OUTSIDE + length;
            self.line(Role::Dimension, &[at(to.x, y), at(reach, y)]);
            self.between(at(from.x, y), at(to.x, y), 0.0);
            self.text(at(reach - length, y + 0.8), Anchor::Start, text);
        }
    }

    /// A dimension beside two points: its text stands on the line, or lies left of it where it is longer.
    pub(super) fn upright(&mut self, from: Point, to: Point, x: f64, text: &str) {
        for end in [from, to] {
            let over = if x < end.x { -OVERSHOOT } else { OVERSHOOT };
            self.line(Role::Dimension, &[at(end.x + over * 0.5, end.y), at(x + over, end.y)]);
        }
        self.between(at(x, from.y), at(x, to.y), std::f64::consts::FRAC_PI_2);
        let middle = (from.y + to.y) / 2.0;
        if to.y - from.y >= text::width(text, LABEL, false) + 2.0 {
            self.words(at(x - 0.8, middle), LABEL, Anchor::Middle, 90.0, text, false);
        } else {
            self.text(at(x - 1.6, middle - LABEL / 2.0), Anchor::End, text);
        }
    }

    /// A dimension line with its arrows: inside where both have room, else from outside against the ends; gives whether
    /// they are inside.
    pub(super) fn between(&mut self, from: Point, to: Point, direction: f64) -> bool {
        let span = libm::hypot(to.x - from.x, to.y - from.y);
        let turn = std::f64::consts::PI;
        if span >= 3.0 * ARROW.0 {
            self.line(Role::Dimension, &[from, to]);
            self.arrow(from, direction + turn);
            self.arrow(to, direction);
            return true;
        }
        let (sin, cos) = (libm::sin(direction), libm::cos(direction));
        let out = |p: Point, by: f64| at(p.x + by * cos, p.y + by * sin);
        self.line(Role::Dimension, &[out(from, -2.0 * ARROW.0), out(to, 2.0 * ARROW.0)]);
        self.arrow(from, direction);
        self.arrow(to, direction + turn);
        false
    }

    /// A centre mark.
    pub(super) fn centre(&mut self, place: Point, reach: f64) {
        let level = Path::line(&[at(place.x - reach, place.y), at(place.x + reach, place.y)]);
        let upright = Path::line(&[at(place.x, place.y - reach), at(place.x, place.y + reach)]);
        self.paths(Role::Dimension, vec![level, upright]);
    }

    /// Rooms of the texts so far.
    pub(super) fn taken(&self) -> Vec<Room> {
        self.shapes.iter().filter_map(room).collect()
    }

    /// The first place where a text in this room lies on no other text and no line; where lines cross every place, the
    /// first without a text.
    pub(super) fn free_place(
        &self,
        places: impl IntoIterator<Item = Point>,
        room: impl Fn(&Point) -> Room,
    ) -> Option<Point> {
        let taken = self.taken();
        let open = |p: &Point| !taken.iter().any(|other| other.overlaps(&room(p)));
        let open: Vec<Point> = places.into_iter().filter(open).collect();
        open.iter().find(|p| !self.crossed(&room(p))).or(open.first()).copied()
    }

    /// Whether a line drawn so far runs through a room; fills without an edge do not count.
    pub(super) fn crossed(&self, room: &Room) -> bool {
        crossed(&self.shapes, room)
    }

    /// The box around everything drawn so far.
    pub(super) fn extents(&self) -> Room {
        let each = self.shapes.iter().filter_map(extent);
        let corners = each.flat_map(|room| [room.least, room.most]);
        Room::around(corners).unwrap_or(Room { least: at(0.0, 0.0), most: at(1.0, 1.0) })
    }

    /// The drawing, its frame around all of it.
    pub(super) fn finish(self, name: &str, title: String, description: String, scale: Scale) -> Drawing {
        let frame = self.extents().grown(MARGIN);
        Drawing {
            name: name.to_owned(),
            title,
            description,
            corner: frame.least,
            width: frame.most.x - frame.least.x,
            height: frame.most.y - frame.least.y,
            scale,
            shapes: self.shapes,
        }
    }
}

/// Whether a line of these shapes runs through a room; fills without an edge do not count.
pub fn crossed(shapes: &[Shape], room: &Room) -> bool {
    let lined = |role: &Role| !matches!(role, Role::Blank | Role::MainsHatch | Role::HeatDots | Role::Ink);
    shapes.iter().any(|shape| match shape {
        Shape::Paths { role, paths } if lined(role) => {
            paths.iter().any(|path| path_extent(path).is_some_and(|e| e.overlaps(room)) && runs_through(path, room))
        }
        _ => false,
    })
}

/// Pieces that stand for an arc where only what it meets is sought.
const PIECES: usize = 24;

/// A point of paper in metres, as the geometry has it, and back.
fn metres(p: Point) -> curve::Point {
    curve::Point { x: Metres::si(p.x * 1e-3), y: Metres::si(p.y * 1e-3) }
}

fn millimetres(p: curve::Point) -> Point {
    at(mm(p.x), mm(p.y))
}

fn runs_through(path: &Path, room: &Room) -> bool {
    let count = path.vertices.len();
    let last = if path.closed { count } else { count.saturating_sub(1) };
    let next = path.vertices.iter().cycle().skip(1);
    path.vertices.iter().zip(next).take(last).any(|(a, b)| {
        if a.bulge == 0.0 {
            return meets((a.point, b.point), room);
        }
        let arc = Segment::new(metres(a.point), metres(b.point), a.bulge);
        let point = |k: usize| millimetres(arc.point_at(k as f64 / PIECES as f64));
        (0..PIECES).any(|k| meets((point(k), point(k + 1)), room))
    })
}

/// Whether a straight piece has a point in a room: clipped to it, side by side (Liang and Barsky 1984).
fn meets((a, b): (Point, Point), room: &Room) -> bool {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let sides =
        [(-dx, a.x - room.least.x), (dx, room.most.x - a.x), (-dy, a.y - room.least.y), (dy, room.most.y - a.y)];
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in sides {
        if p == 0.0 {
            if q < 0.0 {
                return false;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    from <= to
}

/// The box around a shape, crowns of arcs included.
pub fn extent(shape: &Shape) -> Option<Room> {
    match shape {
        Shape::Text { .. } => room(shape),
        Shape::Paths { paths, .. } => {
            let boxes = paths.iter().filter_map(path_extent);
            Room::around(boxes.flat_map(|room| [room.least, room.most]))
        }
    }
}

fn path_extent(path: &Path) -> Option<Room> {
    let mut vertices = path.vertices.clone();
    if !path.closed
        && let Some(last) = vertices.last_mut()
    {
        // An open run has no piece back to its start; a straight one adds nothing to the box.
        last.bulge = 0.0;
    }
    if vertices.len() < 2 {
        return Room::around(vertices.iter().map(|v| v.point));
    }
    let vertex = |v: &Vertex| outline::Vertex { point: metres(v.point), bulge: v.bulge };
    let extents = Outline::new(vertices.iter().map(vertex).collect()).extents();
    Some(Room { least: millimetres(extents.least), most: millimetres(extents.most) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_room_is_crossed_by_the_lines_that_run_through_it() {
        let mut pen = Pen::default();
        pen.line(Role::Dimension, &[at(0.0, 0.0), at(10.0, 10.0)]);
        pen.path(Role::Cut, Path::circle(at(30.0, 0.0), 5.0));
        pen.path(Role::Ink, Path::circle(at(60.0, 0.0), 5.0));
        let room = |x: f64, y: f64| Room { least: at(x, y), most: at(x + 1.0, y + 1.0) };
        for (x, y, crossed) in [
            (4.5, 4.5, true),
            (6.0, 4.0, false),
            (34.5, 0.0, true),
            (29.5, 0.0, false),
            (25.0, 4.0, false),
            (60.0, 0.0, false),
        ] {
            assert_eq!(pen.crossed(&room(x, y)), crossed, "{x} {y}");
        }
    }
}
