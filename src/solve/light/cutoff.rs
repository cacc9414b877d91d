//! From where the bare dice can be seen: the angle at which the edge of the opening hides them, where no opal sheet does.

use std::f64::consts::PI;

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::light::face::shielding_for;
use crate::quantity::{CandelasPerSquareMetre, Metres, Radians};
use crate::solve::drive::{absent, by};

use super::Budget;
use super::even::{is_opal, places};
use super::visible::Visible;

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
pub(super) fn solve(lamp: &Lamp, light: &Found<Budget>, ledger: &mut Ledger) -> Option<Found<Cutoff>> {
    let opal = lamp.diffuser.as_ref().is_some_and(is_opal);
    (!opal).then(|| bare(lamp, light.as_ref()?, ledger))
}

fn bare(lamp: &Lamp, light: &Budget, ledger: &mut Ledger) -> Found<Cutoff> {
    let distance = lamp.emitter.distance.nominal()?;
    let (half, edge) = match &lamp.diffuser {
        Some(diffuser) => {
            let visible = Visible::of(diffuser)?;
            (visible.width.max(visible.height) / 2.0, diffuser.outline.path.as_str())
        }
        None => (lamp.enclosure.opening.nominal()? / 2.0, lamp.enclosure.opening.path.as_str()),
    };
    let (luminance, farthest) = dice(lamp, light)?;
    // The die farthest out is seen over the edge on the other side.
    let angle = |depth: Metres| Radians::si(libm::atan2(depth.value(), (half + farthest).value()));
    let needed = shielding_for(luminance);
    let depth = (half + farthest) * libm::tan(needed.value());
    let found = Cutoff { luminance, angle: angle(distance), needed, depth };
    let lambert = by("max Φ/(n·π·a²)", "Lambertian die");
    ledger.computed(
        "light.cutoff.luminance",
        "luminance of the brightest die",
        luminance,
        lambert,
        &[("Φ", "light.dice")],
    );
    let edges = by("atan(h/(b/2 + x))", "geometry: the die farthest out, over the edge on the other side");
    let inputs = [("h", lamp.emitter.distance.path.as_str()), ("b", edge)];
    ledger.computed(
        "light.cutoff.angle",
        "angle from the opening below which no die is seen",
        found.angle,
        edges,
        &inputs,
    );
    let table =
        by("15° from 20 kcd/m², 20° from 50, 30° from 500", "EN 12464-1, shielding of bright sources; from memory");
    let of = [("L", "light.cutoff.luminance")];
    ledger.computed("light.cutoff.needed", "least shielding angle for dice this bright", needed, table, &of);
    Ok(found)
}

/// Luminance of the brightest die, and how far from the middle the farthest one sits.
fn dice(lamp: &Lamp, light: &Budget) -> Found<(CandelasPerSquareMetre, Metres)> {
    let (mut brightest, mut farthest) = (0.0_f64, 0.0_f64);
    for (channel, (_, flux)) in lamp.driver.channels.iter().zip(&light.channels) {
        let die = lamp.die(channel).ok_or_else(|| channel.feeds.missing())?;
        let count = die.count.get()? * channel.strings.get()?.max(1);
        let side = die.lit.nominal()?.value();
        brightest = brightest.max(flux.value() / f64::from(count) / (PI * side * side));
        for (x, y) in places(lamp, channel)? {
            farthest = farthest.max(libm::hypot(x.value(), y.value()));
        }
    }
    if brightest <= 0.0 {
        return Err(absent("light.cutoff", lamp.emitter.span));
    }
    Ok((CandelasPerSquareMetre::si(brightest), Metres::si(farthest)))
}
