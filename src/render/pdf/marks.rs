//! What stands on a page: texts and paths in millimetres, y up, before they become PDF operators.
//! Layout makes marks around its own origin; placing a block on a page shifts them.

use super::fonts::Face;
use crate::packet::drawing::{Point, Role, at};
pub(super) use crate::render::roles::HAIR;

/// A step of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Step {
    /// Begins a run.
    Move(Point),
    /// Straight on.
    Line(Point),
    /// Cubic with two handles and an end.
    Curve(Point, Point, Point),
    /// Joins the run's beginning.
    Close,
}

/// How a path is painted. Greys run from 0 (black) to 1 (white).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Paint {
    /// Grey of the fill.
    pub(super) fill: Option<f64>,
    /// Width of the stroke in mm and its grey.
    pub(super) stroke: Option<(f64, f64)>,
    /// Dash pattern, mm; empty for a full line.
    pub(super) dash: &'static [f64],
}

/// A line of text of one face.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Words {
    /// Left end of the base line.
    pub(super) at: Point,
    /// The words.
    pub(super) text: String,
    /// Face.
    pub(super) face: Face,
    /// Size in points.
    pub(super) size: f64,
    /// Grey.
    pub(super) grey: f64,
    /// Whether the letters lean.
    pub(super) slant: bool,
    /// Anti-clockwise rotation, degrees.
    pub(super) angle: f64,
}

/// A thing on a page.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Mark {
    /// Text.
    Words(Words),
    /// A path.
    Path(Vec<Step>, Paint),
    /// What follows shows only inside this path (even-odd), up to the matching `Unclip`.
    Clip(Vec<Step>),
    /// Ends a `Clip`.
    Unclip,
    /// What follows is a picture that these words stand for, up to `AltEnd`.
    Alt(String),
    /// Ends an `Alt`.
    AltEnd,
    /// What follows lies on this layer, up to `LayerEnd`.
    Layer(Layer),
    /// Ends a `Layer`.
    LayerEnd,
}

/// A layer that a viewer can hide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Layer {
    /// Lines to cut.
    Cut,
    /// Strokes to engrave.
    Engrave,
}

impl Layer {
    /// The layer of shapes of this role.
    pub(super) const fn of(role: Role) -> Option<Self> {
        match role {
            Role::Cut => Some(Self::Cut),
            Role::Engrave => Some(Self::Engrave),
            _ => None,
        }
    }
    /// Its name inside the file, and as a viewer lists it.
    pub(super) const fn names(self) -> (&'static str, &'static str) {
        match self {
            Self::Cut => ("cut", "Cut"),
            Self::Engrave => ("engrave", "Engrave"),
        }
    }
}

impl Paint {
    /// A black line of a width in mm.
    pub(super) fn line(width: f64) -> Self {
        Self { stroke: Some((width, 0.0)), ..Self::default() }
    }
    /// A plain fill.
    pub(super) fn fill(grey: f64) -> Self {
        Self { fill: Some(grey), ..Self::default() }
    }
}

impl Mark {
    /// A straight black line.
    pub(super) fn line(from: Point, to: Point, width: f64) -> Self {
        Self::Path(vec![Step::Move(from), Step::Line(to)], Paint::line(width))
    }

    /// An upright rectangle from its lower left corner.
    pub(super) fn rectangle(corner: Point, width: f64, height: f64, paint: Paint) -> Self {
        Self::Path(rectangle(corner, width, height), paint)
    }

    /// A closed run of straight lines.
    pub(super) fn polygon(points: &[Point], paint: Paint) -> Self {
        let mut steps: Vec<Step> = points.iter().map(|&p| Step::Line(p)).collect();
        if let Some(first) = steps.first_mut() {
            *first = Step::Move(points.first().copied().unwrap_or(at(0.0, 0.0)));
        }
        steps.push(Step::Close);
        Self::Path(steps, paint)
    }

    /// The mark moved by an offset.
    pub(super) fn shifted(self, dx: f64, dy: f64) -> Self {
        let shift = |steps: Vec<Step>| steps.into_iter().map(|step| step.shifted(dx, dy)).collect();
        match self {
            Self::Words(words) => Self::Words(Words { at: moved(words.at, dx, dy), ..words }),
            Self::Path(steps, paint) => Self::Path(shift(steps), paint),
            Self::Clip(steps) => Self::Clip(shift(steps)),
            other => other,
        }
    }
}

impl Step {
    /// Where the step ends.
    pub(super) const fn end(&self) -> Option<Point> {
        match *self {
            Self::Move(p) | Self::Line(p) | Self::Curve(_, _, p) => Some(p),
            Self::Close => None,
        }
    }

    fn shifted(self, dx: f64, dy: f64) -> Self {
        match self {
            Self::Move(p) => Self::Move(moved(p, dx, dy)),
            Self::Line(p) => Self::Line(moved(p, dx, dy)),
            Self::Curve(a, b, p) => Self::Curve(moved(a, dx, dy), moved(b, dx, dy), moved(p, dx, dy)),
            Self::Close => Self::Close,
        }
    }
}

/// The steps of an upright rectangle.
pub(super) fn rectangle(corner: Point, width: f64, height: f64) -> Vec<Step> {
    let Point { x, y } = corner;
    vec![
        Step::Move(corner),
        Step::Line(at(x + width, y)),
        Step::Line(at(x + width, y + height)),
        Step::Line(at(x, y + height)),
        Step::Close,
    ]
}

const fn moved(point: Point, dx: f64, dy: f64) -> Point {
    at(point.x + dx, point.y + dy)
}
