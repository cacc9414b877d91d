//! Which parts stand in the body: those the layout names, and those that bring a size and must be inside.

use crate::lamp::Lamp;
use crate::lamp::given::{Found, Missing};
use crate::lamp::layout::{Layout, Place};
use crate::physics::mechanics::hollow::Solid;
use crate::quantity::Metres;
use crate::schema::words::{BodyMaterial, Class, Side, Turn, Zone};

use super::{Part, Source};

/// Height of a die with its lens, and thickness of the board it sits on, where nothing is given (common practice, no
/// source).
pub const DIE: Metres = Metres::si(1.5e-3);
/// See `DIE`.
pub const BOARD: Metres = Metres::si(1.6e-3);
/// What a printed wall may stand out further than drawn (our margin).
const PRINT: Metres = Metres::si(0.3e-3);
/// From a bare live part to a metal wall that is bonded (our margin: 2.5 mm of clearance and 1 mm).
const TO_BONDED: Metres = Metres::si(3.5e-3);
/// From a bare live part to a metal wall that is not (our margin: 5 mm of creepage and 1 mm).
const TO_BARE_METAL: Metres = Metres::si(6e-3);
/// Parts of the mains side by their usual names.
const LIVE: [&str; 5] = ["entry", "fuse", "inlet", "switch", "terminals"];

/// Every part, in the order of the layout; then those that it does not name.
pub(super) fn all(lamp: &Lamp, layout: &Layout) -> Vec<Part> {
    let named = layout.places.iter().filter(|place| place.name != "entry");
    let mut parts: Vec<Part> = named.map(|place| part(lamp, layout, &place.name, Some(place))).collect();
    for name in ["supply", "controller", "driver", "sink"] {
        let known = own_size(lamp, name);
        if layout.place(name).is_none() && inside(lamp, name) && known.is_some_and(|size| size.is_ok()) {
            parts.push(part(lamp, layout, name, None));
        }
    }
    parts
}

fn inside(lamp: &Lamp, name: &str) -> bool {
    match name {
        "supply" => lamp.supply.place.value != Some(Side::Outside),
        "sink" => lamp.sink.as_ref().is_some_and(|sink| sink.place.value != Some(Side::Outside)),
        _ => true,
    }
}

/// The size a part brings from its own block; none where it has no block.
fn own_size(lamp: &Lamp, name: &str) -> Option<Found<Vec<Metres>>> {
    let given = match name {
        "supply" => &lamp.supply.size,
        "controller" => &lamp.controller.as_ref()?.size,
        "sink" => &lamp.sink.as_ref()?.size,
        "driver" => return lamp.board.as_ref().map(board_size),
        _ => return None,
    };
    Some(given.known().cloned())
}

/// A board with all that stands on it.
fn board_size(board: &crate::lamp::board::Board) -> Found<Vec<Metres>> {
    match board.size.known()?.as_slice() {
        [width, height, ..] => Ok(vec![*width, *height, board.height.nominal()?]),
        _ => Err(board.size.missing()),
    }
}

fn part(lamp: &Lamp, layout: &Layout, name: &str, place: Option<&Place>) -> Part {
    // A lamp without mains has nothing live in it: its supply is a battery, its fuse one of low voltage.
    let fed = lamp.mains.is_some();
    let usual = match name {
        "supply" if fed => Zone::Mains,
        name if fed && LIVE.contains(&name) => Zone::Mains,
        _ => Zone::LowVoltage,
    };
    // A name says what a part usually carries, but not of one of which nobody knows it.
    let zone = match place.map(|p| &p.zone).filter(|zone| !zone.is_left_out()) {
        Some(said) => said.get(),
        None => Ok(usual),
    };
    // What nobody knows to be closed is open, and what nobody knows not to be of metal shades an antenna.
    let closed = place.is_none_or(|p| !p.closed.unknown);
    let closed = place.and_then(|p| p.closed.value).unwrap_or(name == "supply" && closed);
    let size = size(lamp, layout, name, place);
    let turn = place.and_then(|p| p.turn.value);
    let (solid, source) = standing(lamp, name, place, &size);
    Part {
        name: name.to_owned(),
        span: place.map_or_else(|| own_span(lamp, layout, name), |p| p.span),
        size,
        round: place.and_then(|p| p.round.value) == Some(true),
        turn,
        solid,
        source,
        zone: zone.clone().ok(),
        closed,
        fixed: place.and_then(|p| p.fixed.value),
        metal: name == "sink" || place.is_some_and(|p| p.metal.value == Some(true) || p.metal.unknown),
        mass: place.map_or_else(|| Err(absent(layout, name, "mass")), |p| p.mass.nominal()),
        wall_wanted: wall_wanted(lamp, layout, zone, closed),
        lacks: Vec::new(),
        advice: None,
    }
}

fn own_span(lamp: &Lamp, layout: &Layout, name: &str) -> crate::diag::Span {
    match name {
        "supply" => lamp.supply.span,
        "controller" => lamp.controller.as_ref().map_or(layout.span, |c| c.span),
        "sink" => lamp.sink.as_ref().map_or(layout.span, |s| s.span),
        "driver" => lamp.board.as_ref().map_or(layout.span, |b| b.span),
        _ => layout.span,
    }
}

fn absent(layout: &Layout, name: &str, what: &str) -> Missing {
    Missing { path: format!("layout.{name}.{what}"), span: layout.span, unknown: false }
}

fn size(lamp: &Lamp, layout: &Layout, name: &str, place: Option<&Place>) -> Found<Vec<Metres>> {
    let written = place.map(|p| p.size.known().cloned());
    match (written, own_size(lamp, name)) {
        (Some(Ok(size)), _) | (_, Some(Ok(size))) => Ok(size),
        (_, Some(Err(missing))) | (Some(Err(missing)), None) => Err(missing),
        (None, None) => Err(absent(layout, name, "size")),
    }
}

/// The solid where its place is known: as written, or a sink behind its emitter.
fn standing(lamp: &Lamp, name: &str, place: Option<&Place>, size: &Found<Vec<Metres>>) -> (Found<Solid>, Source) {
    let round = place.and_then(|p| p.round.value) == Some(true);
    let turn = place.and_then(|p| p.turn.value).unwrap_or(Turn::Xyz);
    if let Some(place) = place
        && (place.at.is_known() || place.at.unknown)
    {
        let solid = place.at.known().and_then(|at| match (at.as_slice(), size) {
            ([x, y, z], Ok(size)) => turned(size, round, turn, [*x, *y, *z]).ok_or_else(|| place.size.missing()),
            (_, Err(missing)) => Err(missing.clone()),
            _ => Err(place.at.missing()),
        });
        return (solid, Source::Author);
    }
    if name == "sink" {
        return (behind_emitter(lamp, size, round, turn), Source::Emitter);
    }
    (size.clone().and_then(|_| Err(unplaced(lamp, name))), Source::Program)
}

/// What stands for a part that the program has not placed yet, and that has no place in the end.
fn unplaced(lamp: &Lamp, name: &str) -> Missing {
    let span = lamp.layout.as_ref().map_or(lamp.span, |layout| layout.span);
    Missing { path: format!("layout.{name}.at"), span, unknown: false }
}

fn behind_emitter(lamp: &Lamp, size: &Found<Vec<Metres>>, round: bool, turn: Turn) -> Found<Solid> {
    let size = size.as_ref().map_err(Clone::clone)?;
    let front = emitter_back(lamp)?;
    let missing = || lamp.sink.as_ref().map_or_else(|| unplaced(lamp, "sink"), |sink| sink.size.missing());
    let solid = turned(size, round, turn, [Metres::ZERO; 3]).ok_or_else(missing)?;
    Ok(Solid { centre: [Metres::ZERO, Metres::ZERO, front - solid.half[2]], ..solid })
}

/// Where the back of the emitter's board lies: sheet, distance, die and board behind the origin.
pub(super) fn emitter_back(lamp: &Lamp) -> Found<Metres> {
    let sheet = match &lamp.diffuser {
        Some(diffuser) => diffuser.thickness.nominal()?,
        None => Metres::ZERO,
    };
    Ok(-(sheet + lamp.emitter.distance.nominal()? + DIE + BOARD))
}

/// A size turned and set at a place; none where it is neither a box nor a cylinder.
pub(super) fn turned(size: &[Metres], round: bool, turn: Turn, centre: [Metres; 3]) -> Option<Solid> {
    let three = match (size, round) {
        ([a, b, c], false) => [*a, *b, *c],
        ([a, b], false) => [*a, *b, BOARD],
        ([d, l], true) => [*d, *d, *l],
        _ => return None,
    };
    let order: [usize; 3] = match turn {
        Turn::Xyz => [0, 1, 2],
        Turn::Xzy => [0, 2, 1],
        Turn::Yxz => [1, 0, 2],
        Turn::Yzx => [1, 2, 0],
        Turn::Zxy => [2, 0, 1],
        Turn::Zyx => [2, 1, 0],
    };
    let mut half = [Metres::ZERO; 3];
    for (side, axis) in three.into_iter().zip(order) {
        half[axis] = side / 2.0;
    }
    let axis = if round { order.last().copied() } else { None };
    Some(Solid { centre, half, axis })
}

pub(super) const fn is_metal(material: BodyMaterial) -> bool {
    matches!(material, BodyMaterial::Aluminium | BodyMaterial::Steel | BodyMaterial::Brass)
}

/// Room to a wall: the layout's, more where the wall is printed, or metal beside bare live parts.
fn wall_wanted(lamp: &Lamp, layout: &Layout, zone: Found<Zone>, closed: bool) -> Found<Metres> {
    let body = &lamp.enclosure;
    let printed = if body.printed.get()? { PRINT } else { Metres::ZERO };
    let wanted = layout.wall_gap.nominal()? + printed;
    if !is_metal(body.material.get()?) || closed || zone? != Zone::Mains {
        return Ok(wanted);
    }
    let bonded = lamp.mains.as_ref().and_then(|mains| mains.class.value) == Some(Class::I);
    Ok(wanted.max(if bonded { TO_BONDED } else { TO_BARE_METAL }))
}
