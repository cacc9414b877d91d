//! The body as the views see it: its three sizes, its wall, and the round scale at which it goes on the cover.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::packet::bench::Bench;
use crate::quantity::Metres;
use crate::schema::words::Body;
use crate::solve::sheet::Net;

/// Largest size of a view on the cover, mm.
const VIEW: (f64, f64) = (90.0, 60.0);
/// Reductions that a rule can measure.
const REDUCTIONS: [f64; 9] = [1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];

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
}

/// The body's sizes.
pub(super) fn shell(lamp: &Lamp) -> Found<Shell> {
    let body = &lamp.enclosure;
    let wall = mm(body.wall.nominal()?);
    let size: Vec<f64> = body.size.known()?.iter().map(|side| mm(*side)).collect();
    match (body.shape.get()?, size.as_slice()) {
        (Body::Cylinder, [across, length]) => {
            Ok(Shell { round: true, width: *across, height: *across, depth: *length, wall })
        }
        (Body::Box, [width, height, depth]) => {
            Ok(Shell { round: false, width: *width, height: *height, depth: *depth, wall })
        }
        _ => Err(body.size.missing()),
    }
}

/// The denominator of the first reduction at which a view of this size fits on the cover.
pub(super) fn reduction(width: f64, height: f64) -> f64 {
    reduction_in(VIEW, width, height)
}

/// The same for a view that has this room, mm.
pub(super) fn reduction_in(room: (f64, f64), width: f64, height: f64) -> f64 {
    let fits = |by: &f64| width / by <= room.0 && height / by <= room.1;
    REDUCTIONS.into_iter().find(fits).unwrap_or(500.0)
}

/// The piece of sheet, where there is one.
pub(super) fn net<'a>(bench: &Bench<'a>) -> Option<&'a Net> {
    bench.solution.sheet.as_ref()?.as_ref().ok()?.net.as_ref().ok()
}

/// In millimetres.
pub(super) fn mm(length: Metres) -> f64 {
    length.value() * 1e3
}
