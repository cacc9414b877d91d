//! The body as the views see it: its three sizes, its wall, its edge cut along the axis, and the round scale at which it
//! goes on the cover.

use super::pen::mm;
use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Path, Point, Vertex, at};
use crate::physics::mechanics::hollow::Hollow;
use crate::quantity::Metres;
use crate::solve::fit::{inside, outside};
use crate::solve::sheet::Net;

/// Largest size of a view on the cover, mm.
pub(super) const VIEW: (f64, f64) = (90.0, 60.0);
/// Reductions that a rule can measure.
pub(super) const REDUCTIONS: [f64; 9] = [1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];

/// Sizes in mm.
pub(super) struct Shell {
    /// Round in front.
    pub(super) round: bool,
    /// Width in front.
    pub(super) width: f64,
    /// Height in front.
    pub(super) height: f64,
    /// From back to front.
    pub(super) depth: f64,
    /// Thickness of the wall.
    pub(super) wall: f64,
    /// From the outer plane of the front back to the plane that the sheet lies against: the wall in front, nothing for
    /// a body that is open there.
    pub(super) before: f64,
    /// Its outside.
    pub(super) outer: Hollow,
    /// The space in it.
    pub(super) inner: Hollow,
}

/// The body's sizes, of every shape.
pub(super) fn shell(lamp: &Lamp) -> Found<Shell> {
    let (outer, before) = outside(&lamp.enclosure)?;
    let inner = inside(lamp)?;
    let (across, up, depth) = outer.around();
    Ok(Shell {
        round: !matches!(outer, Hollow::Block { .. }),
        width: 2.0 * mm(across),
        height: 2.0 * mm(up),
        depth: mm(depth),
        wall: mm(lamp.enclosure.wall.nominal()?),
        before: mm(before),
        outer,
        inner,
    })
}

impl Shell {
    /// Half the free height where the sheet lies, mm of the lamp.
    pub(super) fn free_in_front(&self) -> f64 {
        mm(match self.inner {
            Hollow::Block { up, .. } => up,
            Hollow::Round { front, .. } => front,
            Hollow::Ball { radius, behind } => {
                Metres::si(libm::sqrt((radius * radius - behind * behind).value().max(0.0)))
            }
        })
    }
}

/// The edge of a space cut along its axis, z to the right: `up` for a cut upright, else one from side to side. Its front
/// plane lies at `face` on the paper, mm of the lamp, which is drawn 1 : `by`.
pub(super) fn profile(space: &Hollow, face: f64, upright: bool, by: f64) -> Path {
    let (back, front, depth) = match *space {
        Hollow::Block { across, up, depth } => {
            let half = if upright { up } else { across };
            (half, half, depth)
        }
        Hollow::Round { back, front, depth } => (back, front, depth),
        Hollow::Ball { radius, behind } => return ball(at(face / by, 0.0), mm(radius) / by, mm(behind) / by),
    };
    let (b, f) = (mm(back) / by, mm(front) / by);
    let (rear, face) = ((face - mm(depth)) / by, face / by);
    Path::polygon(&[at(rear, -b), at(face, -f), at(face, f), at(rear, b)])
}

/// A ball behind a plane, its centre `behind` it.
fn ball(face: Point, radius: f64, behind: f64) -> Path {
    let open = libm::sqrt((radius * radius - behind * behind).max(0.0));
    // From the lower rim round the back to the upper rim, clockwise; the chord closes it.
    let sweep = 2.0 * std::f64::consts::PI - 2.0 * libm::atan2(open, behind);
    let bulge = -libm::tan(sweep / 8.0);
    let half = Vertex { point: at(face.x - behind - radius, 0.0), bulge };
    let vertices =
        vec![Vertex { point: at(face.x, -open), bulge }, half, Vertex { point: at(face.x, open), bulge: 0.0 }];
    Path { vertices, closed: true }
}

/// The denominator of the first reduction at which something of this size goes into a room of paper, both mm.
pub(super) fn reduction((width, height): (f64, f64), room: (f64, f64)) -> f64 {
    let fits = |by: &f64| width / by <= room.0 && height / by <= room.1;
    REDUCTIONS.into_iter().find(fits).unwrap_or(500.0)
}

/// The piece of sheet, where there is one.
pub(super) fn net<'a>(bench: &Bench<'a>) -> Option<&'a Net> {
    bench.solution.sheet.as_ref()?.as_ref().ok()?.net.as_ref().ok()
}
