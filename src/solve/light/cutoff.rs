//! From where the bare dice can be seen: the angle at which the edge of the opening hides them, where no opal sheet does.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::face::shielding_for;
use crate::quantity::{CandelasPerSquareMetre, Metres, Radians};
use crate::solve::drive::{absent, by};

use super::dice::{brightness, geometry, luminance, places};
use super::even::is_opal;
use super::visible::Visible;
use super::{Budget, refs};

/// The shielding of bare dice; ledger entries under `light.cutoff.`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cutoff {
    /// Luminance of the brightest die.
    pub luminance: CandelasPerSquareMetre,
    /// Angle from the plane of the opening below which no die is seen.
    pub angle: Radians,
    /// The least of it for dice this bright.
    pub needed: Radians,
    /// Distance of the dice behind the opening at which that angle is kept.
    pub depth: Metres,
}

/// None where an opal sheet hides the dice.
pub(super) fn solve(engine: &Engine<'_>, light: &Found<Budget>, ledger: &mut Ledger) -> Option<Found<Cutoff>> {
    let opal = engine.diffuser.is_some_and(is_opal);
    (!opal).then(|| bare(engine, light.as_ref()?, ledger))
}

fn bare(engine: &Engine<'_>, light: &Budget, ledger: &mut Ledger) -> Found<Cutoff> {
    let distance = engine.emitter.distance.nominal()?;
    let (open, edge) = match engine.diffuser {
        Some(diffuser) => (Visible::of(diffuser)?, diffuser.outline.path.as_str()),
        None => (Visible::opening(engine)?, engine.enclosure.opening.path.as_str()),
    };
    let (luminance, reach) = extremes(engine, light, &open)?;
    let angle = Radians::si(libm::atan2(distance.value(), reach.value()));
    let needed = shielding_for(luminance);
    let found = Cutoff { luminance, angle, needed, depth: reach * libm::tan(needed.value()) };
    let channels = &engine.driver.channels;
    let shine: Vec<(&'static str, String)> = channels.iter().flat_map(|channel| brightness(engine, channel)).collect();
    let lambert = by("max Φ/(n·π·a²)", "Lambertian die");
    let title = "luminance of the brightest die";
    ledger.computed("light.cutoff.luminance", title, luminance, lambert, &refs(&shine));
    let edges = by("atan(h/r)", "geometry: r from a die to the farthest place of the edge it is seen over, in plan");
    let mut from = vec![("h", engine.emitter.distance.path.clone()), ("edge", edge.to_owned())];
    let placed = channels.iter().flat_map(|channel| geometry(engine, channel));
    from.extend(placed.filter(|(symbol, _)| !["h", "θ"].contains(symbol)));
    let title = "angle from the opening below which no die is seen";
    ledger.computed("light.cutoff.angle", title, found.angle, edges, &refs(&from));
    let table =
        by("15° from 20 kcd/m², 20° from 50, 30° from 500", "EN 12464-1, shielding of bright sources; from memory");
    let of = [("L", "light.cutoff.luminance")];
    ledger.computed("light.cutoff.needed", "least shielding angle for dice this bright", needed, table, &of);
    Ok(found)
}

/// Luminance of the brightest die, and the longest way in plan from one to the edge of the opening: the die farthest out
/// is seen over the edge on the other side.
fn extremes(engine: &Engine<'_>, light: &Budget, open: &Visible) -> Found<(CandelasPerSquareMetre, Metres)> {
    let (mut brightest, mut reach) = (CandelasPerSquareMetre::ZERO, Metres::ZERO);
    for (channel, (_, flux)) in engine.driver.channels.iter().zip(&light.channels) {
        let die = engine.die(channel).ok_or_else(|| channel.feeds.missing())?;
        brightest = brightest.max(luminance(channel, die, *flux)?);
        for (x, y) in places(engine, channel)? {
            reach = reach.max(open.farthest(x, y));
        }
    }
    if brightest <= CandelasPerSquareMetre::ZERO {
        return Err(absent("light.cutoff", engine.emitter.span));
    }
    Ok((brightest, reach))
}
