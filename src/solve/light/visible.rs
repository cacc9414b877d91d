//! What can be seen of the sheet, or through a bare opening: its outline less the lip that covers its edge, its area, and
//! what lies within.
//! Discs, rings and rectangles by formula, every other outline by its exact offset.

use std::f64::consts::PI;

use crate::lamp::diffuser::Diffuser;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::physics::light::face::{Panel, disc_on_axis, rectangle_illuminance};
use crate::physics::mechanics::chord::flattened;
use crate::physics::mechanics::curve::Point;
use crate::physics::mechanics::hollow::Hollow;
use crate::physics::mechanics::outline::{Extents, Outline};
use crate::quantity::{CandelasPerSquareMetre, Lux, Metres, SquareMetres};
use crate::schema::words::OutlineKind;
use crate::solve::drive::absent;
use crate::solve::fit::outside;
use crate::solve::sheet::outline_within;

/// The part of the sheet that lights the room. Places are from the origin of the spec, the middle of most sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct Visible {
    /// Width over all.
    pub width: Metres,
    /// Height over all.
    pub height: Metres,
    /// Middle of the upright box around it.
    pub middle: Point,
    area: SquareMetres,
    shape: Shape,
}

/// Its edge.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A disc, with the diameter of the opening in its middle; zero for none.
    Disc(Metres),
    /// A rectangle, with the radius of its corners.
    Rectangle(Metres),
    /// Anything else, as closed runs of chords.
    Free(Vec<Vec<Point>>),
}

/// Least width that a lip leaves of a plain outline, so that no figure is divided by nothing.
const LEAST: Metres = Metres::si(1e-3);
/// How far a chord may lie from its arc; less than what a cell of the map shows.
const CHORD: Metres = Metres::si(1e-4);
/// Cells along the longer side of an outline that has no formula for what it lights.
const CELLS: usize = 64;

impl Visible {
    /// From the sheet's outline, less the lip that covers its edge.
    pub fn of(diffuser: &Diffuser) -> Found<Self> {
        let lip = diffuser.seat.as_ref().and_then(|seat| seat.lip.nominal().ok()).unwrap_or(Metres::ZERO);
        let left = |side: Metres| (side - lip * 2.0).max(LEAST);
        let centred =
            |width: Metres, height: Metres, area, shape| Ok(Self { width, height, middle: Point::ORIGIN, area, shape });
        match diffuser.outline.get()? {
            kind @ (OutlineKind::Disc | OutlineKind::Ring) => {
                let across = left(diffuser.diameter.nominal()?);
                let inner = if kind == OutlineKind::Ring { diffuser.inner.nominal()? } else { Metres::ZERO };
                if inner >= across {
                    return Err(absent("light.face.area", diffuser.outline.span));
                }
                centred(across, across, (across * across - inner * inner) * (PI / 4.0), Shape::Disc(inner))
            }
            OutlineKind::RoundedRectangle => {
                let (width, height) = (left(diffuser.width.nominal()?), left(diffuser.height.nominal()?));
                let corner = (diffuser.corner.nominal()? - lip).max(Metres::ZERO).min(width.min(height) / 2.0);
                let area = width * height - corner * corner * (4.0 - PI);
                centred(width, height, area, Shape::Rectangle(corner))
            }
            OutlineKind::Polygon | OutlineKind::Ellipse | OutlineKind::Path => {
                let edges = outline_within(diffuser, lip)?;
                let none = || absent("light.face.area", diffuser.outline.span);
                let around = edges.iter().map(Outline::extents).reduce(|a, b| Extents {
                    least: Point { x: a.least.x.min(b.least.x), y: a.least.y.min(b.least.y) },
                    most: Point { x: a.most.x.max(b.most.x), y: a.most.y.max(b.most.y) },
                });
                let Extents { least, most } = around.ok_or_else(none)?;
                Ok(Self {
                    width: most.x - least.x,
                    height: most.y - least.y,
                    middle: Point { x: (least.x + most.x) / 2.0, y: (least.y + most.y) / 2.0 },
                    area: edges.iter().map(Outline::area).sum(),
                    shape: Shape::Free(edges.iter().map(|edge| flattened(edge, CHORD)).collect()),
                })
            }
        }
    }

    /// The bare opening of a body without a sheet: round, or of a box its front less the same lip all round.
    pub fn opening(engine: &Engine<'_>) -> Found<Self> {
        let smallest = engine.enclosure.opening.nominal()?;
        let (width, height, fill, shape) = match outside(engine.enclosure) {
            Ok((Hollow::Block { across, up, .. }, _)) => {
                let lip = across.min(up) - smallest / 2.0;
                ((across - lip) * 2.0, (up - lip) * 2.0, 1.0, Shape::Rectangle(Metres::ZERO))
            }
            _ => (smallest, smallest, PI / 4.0, Shape::Disc(Metres::ZERO)),
        };
        Ok(Self { width, height, middle: Point::ORIGIN, area: width * height * fill, shape })
    }

    /// How far the farthest place of its edge lies from this place.
    pub fn farthest(&self, x: Metres, y: Metres) -> Metres {
        let away = |a: Metres, b: Metres| Metres::si(libm::hypot(a.value(), b.value()));
        let (a, b) = ((x - self.middle.x).abs(), (y - self.middle.y).abs());
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        match &self.shape {
            Shape::Disc(_) => away(a, b) + w,
            Shape::Rectangle(corner) => away(a + w - *corner, b + h - *corner) + *corner,
            Shape::Free(runs) => runs.iter().flatten().map(|p| away(p.x - x, p.y - y)).fold(Metres::ZERO, Metres::max),
        }
    }

    /// Its edge.
    pub const fn shape(&self) -> &Shape {
        &self.shape
    }

    /// Its area.
    pub const fn area(&self) -> SquareMetres {
        self.area
    }

    /// Whether a place is part of it.
    pub fn holds(&self, x: Metres, y: Metres) -> bool {
        let (a, b) = ((x - self.middle.x).abs(), (y - self.middle.y).abs());
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        match &self.shape {
            Shape::Disc(inner) => {
                let (away, inner) = (a * a + b * b, *inner / 2.0);
                away <= w * w && away >= inner * inner
            }
            Shape::Rectangle(corner) => {
                let (past_x, past_y) = (a - (w - *corner), b - (h - *corner));
                let rounded = past_x > Metres::ZERO && past_y > Metres::ZERO;
                let out = rounded && past_x * past_x + past_y * past_y > *corner * *corner;
                a <= w && b <= h && !out
            }
            Shape::Free(runs) => runs.iter().any(|run| within(run, x, y)),
        }
    }

    /// Light straight before its middle at a distance, all of it glowing evenly.
    pub fn lights(&self, luminance: CandelasPerSquareMetre, distance: Metres) -> Lux {
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        match &self.shape {
            Shape::Disc(inner) => {
                disc_on_axis(luminance, w, distance) - disc_on_axis(luminance, *inner / 2.0, distance)
            }
            Shape::Rectangle(_) => {
                let panel = Panel { x: (-w, w), y: (-h, h) };
                // What the corners leave out is the same share of it, to far less than that share.
                let rounded = self.area / (self.width * self.height);
                rectangle_illuminance(luminance, panel, (Metres::ZERO, Metres::ZERO), distance) * rounded
            }
            Shape::Free(_) => {
                // L Σ A cos²/r², the cells that count scaled to the exact area.
                let (mut sum, mut count) = (0.0, 0.0);
                let d2 = distance.value() * distance.value();
                for i in 0..CELLS {
                    for k in 0..CELLS {
                        let along = |n: usize| (n as f64 + 0.5) / CELLS as f64 - 0.5;
                        let (dx, dy) = (self.width * along(i), self.height * along(k));
                        if self.holds(self.middle.x + dx, self.middle.y + dy) {
                            let r2 = dx.value() * dx.value() + dy.value() * dy.value() + d2;
                            sum += d2 / (r2 * r2);
                            count += 1.0;
                        }
                    }
                }
                Lux::si(luminance.value() * self.area.value() * if count > 0.0 { sum / count } else { 0.0 })
            }
        }
    }
}

/// Whether a closed run of chords goes round a place: an odd number of its edges crosses the ray to the right.
fn within(run: &[Point], x: Metres, y: Metres) -> bool {
    let next = run.iter().cycle().skip(1);
    let crosses = run
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.y > y) != (b.y > y) && x < a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)));
    crosses.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn the_farthest_place_of_an_edge_lies_across() {
        let open = |width: f64, height: f64, shape| {
            let area = mm(width) * mm(height);
            Visible { width: mm(width), height: mm(height), middle: Point::ORIGIN, area, shape }
        };
        let corners = [(-30.0, -20.0), (30.0, -20.0), (30.0, 20.0), (-30.0, 20.0)];
        let run = corners.map(|(x, y)| Point { x: mm(x), y: mm(y) }).to_vec();
        for (visible, expected) in [
            (open(60.0, 60.0, Shape::Disc(Metres::ZERO)), 30.0 + 10.0),
            (open(60.0, 40.0, Shape::Rectangle(Metres::ZERO)), libm::hypot(36.0, 28.0)),
            (open(60.0, 40.0, Shape::Rectangle(mm(20.0))), libm::hypot(16.0, 8.0) + 20.0),
            (open(60.0, 40.0, Shape::Free(vec![run])), libm::hypot(36.0, 28.0)),
        ] {
            let found = visible.farthest(mm(6.0), mm(-8.0)).value() * 1e3;
            assert!((found - expected).abs() < 1e-9, "{visible:?}: {found}, by hand {expected}");
        }
    }
}
