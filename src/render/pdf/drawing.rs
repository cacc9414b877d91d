//! A drawing's shapes to marks: a stroke and fill for each role, hatches and dots clipped to their outline,
//! arcs as cubic curves of at most 45 degrees (error below 5 millionths of the radius).

use super::fonts::{CAP_HEIGHT, Face, Fonts, MM_PER_PT, normal};
use super::marks::{HAIR, Layer, Mark, Paint, Step, Words};
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Shape, at};
use crate::render::roles::{DOT_RADIUS, DOT_STEP, HATCH_STEP, Style, style};

/// Where a drawing comes to stand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placement {
    /// Lower left corner of the frame on paper, mm.
    pub(super) origin: Point,
    /// Paper millimetres per drawing millimetre.
    pub(super) scale: f64,
}

/// The drawing's marks; `missing` is told each character that no face has.
pub(super) fn marks(fonts: &Fonts, drawing: &Drawing, place: Placement, missing: &mut dyn FnMut(char)) -> Vec<Mark> {
    let mut setter = Setter { fonts, corner: drawing.corner, place, marks: Vec::new() };
    setter.marks.push(Mark::Alt(drawing.description.clone()));
    for shape in &drawing.shapes {
        match shape {
            Shape::Paths { role, paths } => {
                let layer = Layer::of(*role);
                setter.marks.extend(layer.map(Mark::Layer));
                setter.paths(*role, paths);
                setter.marks.extend(layer.map(|_| Mark::LayerEnd));
            }
            Shape::Text { .. } => setter.text(shape, missing),
        }
    }
    setter.marks.push(Mark::AltEnd);
    setter.marks
}

/// Stroke and fill of a role; hatched roles have neither.
fn paint(role: Role) -> Paint {
    let Style { fill, stroke, dash } = style(role);
    Paint { fill, stroke: stroke.map(|width| (width, 0.0)), dash }
}

struct Setter<'a> {
    fonts: &'a Fonts,
    corner: Point,
    place: Placement,
    marks: Vec<Mark>,
}

impl Setter<'_> {
    fn on_paper(&self, point: Point) -> Point {
        let Placement { origin, scale } = self.place;
        at(origin.x + (point.x - self.corner.x) * scale, origin.y + (point.y - self.corner.y) * scale)
    }

    fn paths(&mut self, role: Role, paths: &[Path]) {
        let steps: Vec<Step> = paths.iter().flat_map(|path| self.steps(path)).collect();
        match role {
            Role::MainsHatch => self.filled_with(steps, hatch),
            Role::HeatDots => self.filled_with(steps, dots),
            _ => self.marks.push(Mark::Path(steps, paint(role))),
        }
    }

    fn filled_with(&mut self, outline: Vec<Step>, pattern: fn(Point, Point) -> Mark) {
        let (low, high) = bounds(&outline);
        self.marks.push(Mark::Clip(outline));
        self.marks.push(pattern(low, high));
        self.marks.push(Mark::Unclip);
    }

    fn steps(&self, path: &Path) -> Vec<Step> {
        let Some(first) = path.vertices.first() else { return Vec::new() };
        let mut steps = vec![Step::Move(self.on_paper(first.point))];
        for (vertex, next) in path.sides() {
            let (from, to) = (self.on_paper(vertex.point), self.on_paper(next.point));
            if vertex.bulge == 0.0 {
                steps.push(Step::Line(to));
            } else {
                arc(from, to, vertex.bulge, &mut steps);
            }
        }
        if path.closed {
            steps.push(Step::Close);
        }
        steps
    }

    fn text(&mut self, shape: &Shape, missing: &mut dyn FnMut(char)) {
        let Shape::Text { at: point, height, anchor, angle, text, strong } = shape else { return };
        let size = height * self.place.scale / CAP_HEIGHT / MM_PER_PT;
        let face = if *strong { Face::SemiBold } else { Face::Regular };
        let mut words = String::new();
        for character in text.chars().map(normal) {
            if self.fonts.has(face, character) {
                words.push(character);
            } else {
                missing(character);
            }
        }
        let width = self.fonts.width(face, &words) * size * MM_PER_PT;
        let back = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let turn = angle.to_radians();
        let Point { x, y } = self.on_paper(*point);
        let start = at(x - back * libm::cos(turn), y - back * libm::sin(turn));
        self.marks.push(Mark::Words(Words {
            at: start,
            text: words,
            face,
            size,
            grey: 0.0,
            slant: false,
            angle: *angle,
        }));
    }
}

/// Adds an arc from the current point as curves of at most 45 degrees each.
fn arc(from: Point, to: Point, bulge: f64, steps: &mut Vec<Step>) {
    let sweep = 4.0 * libm::atan(bulge);
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    // The centre lies left of the chord by (1 - b²) / (4 b) of its length.
    let aside = (1.0 - bulge * bulge) / (4.0 * bulge);
    let centre = at((from.x + to.x) / 2.0 - dy * aside, (from.y + to.y) / 2.0 + dx * aside);
    let (rx, ry) = (from.x - centre.x, from.y - centre.y);
    let pieces = (sweep.abs() / std::f64::consts::FRAC_PI_4 - 1e-9).ceil().max(1.0);
    let part = sweep / pieces;
    let handle = 4.0 / 3.0 * libm::tan(part / 4.0);
    let spoke = |turn: f64| {
        let (c, s) = (libm::cos(turn), libm::sin(turn));
        (rx * c - ry * s, rx * s + ry * c)
    };
    for piece in 0..pieces as usize {
        let (ax, ay) = spoke(part * piece as f64);
        let (bx, by) = spoke(part * (piece + 1) as f64);
        steps.push(Step::Curve(
            at(centre.x + ax - ay * handle, centre.y + ay + ax * handle),
            at(centre.x + bx + by * handle, centre.y + by - bx * handle),
            at(centre.x + bx, centre.y + by),
        ));
    }
}

/// Corners of the box around all points; the handles of short arcs lie so near that they may count.
fn bounds(steps: &[Step]) -> (Point, Point) {
    let mut low = at(f64::MAX, f64::MAX);
    let mut high = at(f64::MIN, f64::MIN);
    for step in steps {
        let points = match *step {
            Step::Move(p) | Step::Line(p) => vec![p],
            Step::Curve(a, b, p) => vec![a, b, p],
            Step::Close => vec![],
        };
        for p in points {
            low = at(low.x.min(p.x), low.y.min(p.y));
            high = at(high.x.max(p.x), high.y.max(p.y));
        }
    }
    (low, high)
}

/// Diagonals that rise to the right, on one grid so that neighbouring zones of a drawing join without a seam.
fn hatch(low: Point, high: Point) -> Mark {
    let step = HATCH_STEP * std::f64::consts::SQRT_2;
    let mut steps = Vec::new();
    let mut index = ((low.y - high.x) / step).floor();
    while index * step <= high.y - low.x {
        let rise = index * step;
        // Only the part inside the box: from the left or the lower side to the right or the upper one.
        let from = if rise + low.x >= low.y { at(low.x, rise + low.x) } else { at(low.y - rise, low.y) };
        let to = if rise + high.x <= high.y { at(high.x, rise + high.x) } else { at(high.y - rise, high.y) };
        if from.x < to.x {
            steps.push(Step::Move(from));
            steps.push(Step::Line(to));
        }
        index += 1.0;
    }
    Mark::Path(steps, Paint::line(HAIR))
}

fn dots(low: Point, high: Point) -> Mark {
    let mut steps = Vec::new();
    let rows = ((high.y - low.y) / DOT_STEP * 2.0).ceil() as usize;
    let columns = ((high.x - low.x) / DOT_STEP).ceil() as usize;
    for row in 0..=rows {
        let shift = if row % 2 == 0 { 0.25 } else { 0.75 } * DOT_STEP;
        for column in 0..=columns {
            let centre = at(low.x + shift + column as f64 * DOT_STEP, low.y + (row as f64 * 0.5 + 0.25) * DOT_STEP);
            if centre.x < high.x && centre.y < high.y {
                dot(centre, &mut steps);
            }
        }
    }
    Mark::Path(steps, Paint::fill(0.0))
}

fn dot(centre: Point, steps: &mut Vec<Step>) {
    let (right, left) = (at(centre.x + DOT_RADIUS, centre.y), at(centre.x - DOT_RADIUS, centre.y));
    steps.push(Step::Move(right));
    arc(right, left, 1.0, steps);
    arc(left, right, 1.0, steps);
    steps.push(Step::Close);
}
