//! Where the lamp's mass is, and at which angle it tips over its foot.

use crate::lamp::Lamp;
use crate::lamp::given::{Found, Missing};
use crate::lamp::layout::Layout;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::hollow::Hollow;
use crate::physics::mechanics::shell::{Shell, shell};
use crate::physics::mechanics::stability::{Place, TiltRow, support_wanted, tilt_wanted, tipping_angle};
use crate::physics::thermal::materials;
use crate::quantity::{Kilograms, Metres, Radians};
use crate::schema::words::{Front, Mount, Place as Surroundings, Word};
use crate::solve::print::PrintSolution;
use crate::solve::sheet::SheetSolution;

use super::{Fit, Part};

const BODY: Formula = Formula { text: "m = ρ V of walls, solid, the opening taken out", source: "geometry" };
const PRINTED: Formula = Formula { text: "plastic of one body, no support", source: "the print card" };
const MASS: Formula =
    Formula { text: "body, sheet and every part of the layout; wires, screws and glue not counted", source: "sum" };
const CENTRE: Formula = Formula { text: "Σ m r / Σ m", source: "statics" };
const HEIGHT: Formula = Formula { text: "from the foot up to the centre of mass", source: "geometry" };
const SUPPORT: Formula =
    Formula { text: "least distance from below the centre of mass to the edge of the foot", source: "geometry" };
const TIP: Formula = Formula { text: "atan(r/h)", source: "statics, on a hard floor, without cord or push" };

/// Mass and its middle.
#[derive(Debug, Clone)]
pub struct Balance {
    /// Everything counted.
    pub mass: Kilograms,
    /// Centre of mass.
    pub centre: [Metres; 3],
    /// How it stands; none where it hangs or is fixed.
    pub stand: Option<Stand>,
    /// What was counted.
    pub counted: Vec<Heavy>,
}

/// One thing with its mass.
#[derive(Debug, Clone)]
pub struct Heavy {
    /// Its name.
    pub name: String,
    /// Path of its mass in the ledger.
    pub path: String,
    /// Its mass.
    pub mass: Kilograms,
    /// Its middle.
    pub at: [Metres; 3],
}

/// How a lamp stands on a table or floor.
#[derive(Debug, Clone)]
pub struct Stand {
    /// Centre of mass above the foot.
    pub height: Metres,
    /// Angle at which it tips.
    pub angle: Radians,
    /// Angle it must stand.
    pub wanted: TiltRow,
    /// Support that angle asks for.
    pub support_wanted: Metres,
}

/// Centre of mass and tipping, once the sheet's mass is known; none where the layout says nothing of masses and the lamp
/// does not stand.
pub fn solve(
    lamp: &Lamp,
    layout: &Layout,
    fit: &Fit,
    sheet: Option<&Found<SheetSolution>>,
    print: Option<&Found<PrintSolution>>,
    ledger: &mut Ledger,
) -> Option<Found<Balance>> {
    let wanted = layout.places.iter().any(|place| place.mass.is_known() || place.mass.unknown);
    let stands = matches!(lamp.identity.mount.value, Some(Mount::Table | Mount::Floor));
    (wanted || stands).then(|| balance(lamp, layout, fit, (sheet, print), ledger))
}

fn balance(
    lamp: &Lamp,
    layout: &Layout,
    fit: &Fit,
    (sheet, print): (Option<&Found<SheetSolution>>, Option<&Found<PrintSolution>>),
    ledger: &mut Ledger,
) -> Found<Balance> {
    let print = print.map(|print| print.as_ref().map_err(Clone::clone)).transpose()?;
    let (body, shell) = body(lamp, fit, print, ledger)?;
    let mut counted = vec![Heavy {
        name: "body".into(),
        path: "fit.body-mass".into(),
        mass: body,
        at: [Metres::ZERO, Metres::ZERO, shell.centre],
    }];
    if let (Some(sheet), Some(diffuser)) = (sheet, &lamp.diffuser)
        && let Ok(net) = &sheet.as_ref().map_err(Clone::clone)?.net
    {
        let at = [Metres::ZERO, Metres::ZERO, diffuser.thickness.nominal()? * -0.5];
        counted.push(Heavy { name: "diffuser".into(), path: "cut.mass".into(), mass: net.mass.clone()?, at });
    }
    for part in &fit.parts {
        counted.push(heavy(part)?);
    }
    let mass: Kilograms = counted.iter().map(|heavy| heavy.mass).sum();
    let centre = centre(&counted, mass);
    let paths: Vec<(&'static str, &str)> = counted.iter().map(|h| ("m", h.path.as_str())).collect();
    ledger.computed("fit.mass", "mass of all that is counted", mass, MASS, &paths);
    let at = super::enter::point(&centre);
    ledger.computed_text("fit.centre-of-mass", "centre of mass", at, CENTRE, &[("Σ m", "fit.mass")]);
    let stand = stand(lamp, layout, fit, &centre, ledger)?;
    Ok(Balance { mass, centre, stand, counted })
}

fn heavy(part: &Part) -> Found<Heavy> {
    let solid = part.solid.as_ref().map_err(Missing::clone)?;
    let path = format!("layout.{}.mass", part.name);
    Ok(Heavy { name: part.name.clone(), path, mass: part.mass.clone()?, at: solid.centre })
}

fn centre(counted: &[Heavy], mass: Kilograms) -> [Metres; 3] {
    let along = |axis: usize| {
        let moment: f64 = counted.iter().map(|h| h.mass.value() * h.at[axis].value()).sum();
        Metres::si(moment / mass.value())
    };
    [along(0), along(1), along(2)]
}

fn body(lamp: &Lamp, fit: &Fit, print: Option<&PrintSolution>, ledger: &mut Ledger) -> Found<(Kilograms, Shell)> {
    let given = &lamp.enclosure;
    // The row of aluminium itself: that of bare rolled sheet is an alloy with copper, heavier by a twentieth.
    let row = materials::find(given.material.get()?.word()).ok_or_else(|| given.material.missing())?;
    let shell = shell(&fit.outer.0, fit.outer.1, &fit.hollow, super::opening(lamp)?);
    if let Some(print) = print {
        let from = [("m", "print.mass")];
        let mass = ledger.computed("fit.body-mass", "mass of the body's walls", print.mass, PRINTED, &from);
        return Ok((mass, shell));
    }
    ledger.looked_up("fit.body-density", "density of the body", row.density, row.name, row.source);
    let from = [("size", given.size.path.as_str()), ("wall", given.wall.path.as_str()), ("ρ", "fit.body-density")];
    let mass = ledger.computed("fit.body-mass", "mass of the body's walls", row.density * shell.volume, BODY, &from);
    Ok((mass, shell))
}

/// On its back where the front looks up, on its side where it looks to a side.
fn stand(lamp: &Lamp, layout: &Layout, fit: &Fit, centre: &[Metres; 3], ledger: &mut Ledger) -> Found<Option<Stand>> {
    if !matches!(lamp.identity.mount.get()?, Mount::Table | Mount::Floor) {
        return Ok(None);
    }
    let own = own_stand(lamp, fit, centre)?;
    let aside = Metres::si(libm::hypot(centre[0].value(), centre[1].value()));
    if layout.foot.unknown {
        return Err(layout.foot.missing());
    }
    let foot = layout.foot.nominal().map(|foot| foot / 2.0 - aside);
    let support = own.1.map_or_else(|| foot.clone(), |own| Ok(foot.clone().unwrap_or(own)))?;
    let height = own.0 + layout.raised.nominal()?;
    let (angle, wanted) = (tipping_angle(support, height), tilt(lamp)?);
    let centre = [("centre", "fit.centre-of-mass")];
    ledger.computed("fit.height", "height of the centre of mass above the foot", height, HEIGHT, &centre);
    ledger.computed("fit.support", "from below it to the nearest edge of the foot", support, SUPPORT, &centre);
    ledger.computed("fit.tip", "angle at which it tips", angle, TIP, &[("r", "fit.support"), ("h", "fit.height")]);
    let title = "angle it must stand in every direction";
    ledger.looked_up("fit.tip-wanted", title, wanted.angle, "by who it stands with", wanted.source);
    Ok(Some(Stand { height, angle, wanted, support_wanted: support_wanted(height, wanted.angle) }))
}

/// The angle this lamp must stand, by who it stands with and where.
pub fn tilt(lamp: &Lamp) -> Found<TiltRow> {
    let children = lamp.identity.children.get()?;
    Ok(tilt_wanted(match lamp.identity.place.get()? {
        _ if children => Place::Children,
        Surroundings::Outdoor => Place::Garden,
        _ => Place::Portable,
    }))
}

/// Height of the centre of mass above the face it stands on, and the room to the nearest edge of that face; a ball, or a
/// cylinder on its side, has no such face and needs a foot.
fn own_stand(lamp: &Lamp, fit: &Fit, centre: &[Metres; 3]) -> Found<(Metres, Option<Metres>)> {
    let (outer, before) = &fit.outer;
    let [x, y, z] = *centre;
    let to_back = z - (*before - outer.around().2);
    let to_front = *before - z;
    let aside = Metres::si(libm::hypot(x.value(), y.value()));
    let written = &lamp.enclosure.front;
    if written.unknown {
        return Err(written.missing());
    }
    let front = written.value.unwrap_or(Front::Up);
    Ok(match (*outer, front) {
        (Hollow::Block { across, up, .. }, Front::Side) => {
            (y + up, Some((across - x.abs()).min(to_back).min(to_front)))
        }
        (Hollow::Block { across, up, .. }, _) => {
            let height = if front == Front::Up { to_back } else { to_front };
            (height, Some((across - x.abs()).min(up - y.abs())))
        }
        (Hollow::Round { back, .. }, Front::Up) => (to_back, Some(back - aside)),
        (Hollow::Round { front, .. }, Front::Down) => (to_front, Some(front - aside)),
        (other, Front::Side) => (y + other.around().1, None),
        (_, Front::Up) => (to_back, None),
        (_, Front::Down) => (to_front, None),
    })
}
