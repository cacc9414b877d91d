//! The body as walls that take up and give off heat: its shape, how it stands, what covers it, its front and its vents.

use std::f64::consts::PI;

use crate::lamp::diffuser::Diffuser;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::thermal::assembly::Zone;
use crate::physics::thermal::faces::{Face, area};
use crate::physics::thermal::materials::{self, ThermalMaterial};
use crate::physics::thermal::shapes::{Facing, Shape, from_inside, take, wall_conductance};
use crate::physics::thermal::vents::{Openings, SHARP, Vents};
use crate::quantity::{JoulesPerKelvin, Metres, Ratio, SquareMetres};
use crate::schema::words::{Body, Front, Mount, SheetMaterial, Word};

use super::super::drive::by;
use super::super::sheet::{Extent, extent};

/// The shell, the front where there is a sheet, and what they hold.
pub(super) struct Walls {
    /// Shell first, then the front.
    pub(super) zones: Vec<Zone>,
    /// Openings at two levels.
    pub(super) vents: Option<Vents>,
    /// Space inside, m³.
    pub(super) volume: f64,
    /// Height of the space inside.
    pub(super) height: Metres,
    /// Whether a part of the shell lies against wall, ceiling or table.
    pub(super) covered: bool,
}

/// The body's walls; entries `heat.area`, `heat.wall-conductivity` and `heat.emissivity`.
pub(super) fn walls(engine: &Engine<'_>, ledger: &mut Ledger) -> Found<Walls> {
    let enclosure = &engine.enclosure;
    let wall = enclosure.wall.nominal()?;
    let facing = facing(engine)?;
    let shape = shape(engine, facing)?;
    let (mut outer, mut inner) = (shape.faces(), shape.inner_faces(wall));
    let front = engine.diffuser.map(|d| front(d, facing)).transpose()?;
    if let (Some(front), true) = (&front, flat(engine)) {
        take(&mut outer, facing, area(&front.outer));
        take(&mut inner, from_inside(facing), area(&front.outer));
    }
    let cover = cover(engine, facing);
    if let Some(side) = cover {
        let lies = lies(&shape, side);
        take(&mut outer, side, lies);
        take(&mut inner, from_inside(side), lies);
    }
    let row = material(enclosure.material.get()?.word()).ok_or_else(|| enclosure.material.missing())?;
    let emissivity = enter_shell(engine, row, &outer, ledger);
    let mean = (area(&outer).value() * area(&inner).value()).sqrt();
    let shell = Zone {
        name: "shell",
        wall: wall_conductance(&inner, &outer, wall, row.conductivity),
        emissivity: (emissivity, emissivity),
        film: enclosure.heat_transfer.low().ok(),
        capacity: JoulesPerKelvin::si(mean * wall.value() * row.density.value() * row.specific_heat),
        outer,
        inner,
    };
    let (volume, height) = space(&shape.within(wall));
    let vents = vents(engine, wall);
    Ok(Walls { zones: std::iter::once(shell).chain(front).collect(), vents, volume, height, covered: cover.is_some() })
}

/// Where the front looks: as written, else by the mount.
fn facing(engine: &Engine<'_>) -> Found<Facing> {
    let written = &engine.enclosure.front;
    let front = match written.value {
        Some(front) => front,
        None if written.unknown => return Err(written.missing()),
        None => match engine.mount.get()? {
            Mount::Table | Mount::Floor => Front::Up,
            Mount::Wall => Front::Side,
            Mount::Ceiling | Mount::Pendant => Front::Down,
        },
    };
    Ok(match front {
        Front::Up => Facing::Up,
        Front::Down => Facing::Down,
        Front::Side => Facing::Side,
    })
}

/// The shape as it stands.
fn shape(engine: &Engine<'_>, facing: Facing) -> Found<Shape> {
    let enclosure = &engine.enclosure;
    let size = enclosure.size.known()?;
    Ok(match (enclosure.shape.get()?, size.as_slice(), facing) {
        (Body::Cylinder, [d, l], Facing::Side) => Shape::LyingCylinder { diameter: *d, length: *l },
        (Body::Cylinder, [d, l], _) => Shape::StandingCylinder { diameter: *d, height: *l },
        (Body::Box, [w, h, d], Facing::Side) => Shape::Box { width: *w, depth: *d, height: *h },
        (Body::Box, [w, h, d], _) => Shape::Box { width: *w, depth: *h, height: *d },
        // An opening that nobody knows is not a closed ball, which would cool better than it may.
        (Body::Sphere, [d, ..], _) if enclosure.opening.is_left_out() => Shape::Sphere { diameter: *d },
        (Body::Sphere, [d, ..], _) => Shape::PartSphere { diameter: *d, opening: enclosure.opening.nominal()?.min(*d) },
        (Body::Dome, [d, ..], _) => Shape::PartSphere { diameter: *d, opening: *d },
        (Body::Cone, [top, bottom, height], _) => Shape::Cone { top: *top, bottom: *bottom, height: *height },
        _ => return Err(enclosure.size.missing()),
    })
}

/// Area that lies against what this side is fixed to or stands on: its back on a wall or a ceiling, its foot on a table.
/// A cone has one flat face, its back. What is round touches in a line or a point.
fn lies(shape: &Shape, side: Facing) -> SquareMetres {
    let round = |d: Metres| d * d * (PI / 4.0);
    match (*shape, side) {
        (Shape::Box { width, height, .. }, Facing::Side) => width * height,
        (Shape::Box { width, depth, .. }, _) => width * depth,
        (Shape::LyingCylinder { diameter, .. }, Facing::Side) => round(diameter),
        (Shape::StandingCylinder { diameter, .. }, Facing::Up | Facing::Down) => round(diameter),
        (Shape::Cone { top, .. }, _) => round(top),
        _ => SquareMetres::ZERO,
    }
}

/// Whether the front lies in a face of the shape, which it takes away; the others are open there already.
fn flat(engine: &Engine<'_>) -> bool {
    matches!(engine.enclosure.shape.value, Some(Body::Cylinder | Body::Box))
}

/// The side that lies against something: it gives off nothing.
fn cover(engine: &Engine<'_>, front: Facing) -> Option<Facing> {
    match (engine.mount.value?, front) {
        (Mount::Wall, Facing::Side) => Some(Facing::Side),
        (Mount::Ceiling, Facing::Down) => Some(Facing::Up),
        (Mount::Table | Mount::Floor, Facing::Up | Facing::Side) => Some(Facing::Down),
        _ => None,
    }
}

/// The sheet in front.
fn front(diffuser: &Diffuser, facing: Facing) -> Found<Zone> {
    let faces = match extent(diffuser)? {
        Extent::Round(diameter) => Shape::Disc { diameter, facing },
        Extent::Box(width, height) => Shape::Plane { width, height, facing },
    };
    let t = diffuser.thickness.nominal()?;
    let row = sheet(diffuser.material.get()?).ok_or_else(|| diffuser.material.missing())?;
    let (outer, inner) = (faces.faces(), faces.inner_faces(t));
    Ok(Zone {
        name: "front",
        wall: wall_conductance(&inner, &outer, t, row.conductivity),
        emissivity: (row.emissivity, row.emissivity),
        film: None,
        capacity: JoulesPerKelvin::si(area(&outer).value() * t.value() * row.density.value() * row.specific_heat),
        outer,
        inner,
    })
}

fn sheet(material: SheetMaterial) -> Option<&'static ThermalMaterial> {
    materials::find(match material {
        SheetMaterial::OpalAcrylic | SheetMaterial::ClearAcrylic => "acrylic",
        SheetMaterial::Polycarbonate => "polycarbonate",
        SheetMaterial::Polystyrene => "polystyrene",
        // Rigid PVC conducts and radiates as PETG does; its own row is not in the table.
        SheetMaterial::Petg | SheetMaterial::Pvc => "petg",
        SheetMaterial::Glass => "glass",
    })
}

/// The row of a body's material; folded aluminium is sheet.
pub(super) fn material(word: &str) -> Option<&'static ThermalMaterial> {
    materials::find(if word == "aluminium" { "aluminium-sheet" } else { word })
}

fn enter_shell(engine: &Engine<'_>, row: &'static ThermalMaterial, outer: &[Face], ledger: &mut Ledger) -> f64 {
    let enclosure = &engine.enclosure;
    let mut from = vec![("size", enclosure.size.path.as_str())];
    if engine.diffuser.is_some() {
        from.push(("front", "diffuser.outline"));
    }
    let faces = by("all faces that air reaches: less its front and what lies against something", "geometry");
    ledger.computed("heat.area", "outside of the shell", area(outer), faces, &from);
    let (title, word) = ("conductivity of the wall", row.name);
    ledger.looked_up("heat.wall-conductivity", title, row.conductivity, word, row.source);
    match enclosure.emissivity.value {
        Some(given) => given,
        None => {
            let title = "emissivity of the wall";
            ledger.looked_up("heat.emissivity", title, Ratio::si(row.emissivity), word, row.source).value()
        }
    }
}

/// Openings at the lowest and at the highest level that is written; groups at one level count together, as narrow as the
/// narrowest.
fn vents(engine: &Engine<'_>, wall: Metres) -> Option<Vents> {
    let mut levels: Vec<(Metres, Openings)> = Vec::new();
    for vent in &engine.enclosure.vents {
        let (Ok(level), Ok(width)) = (vent.level.nominal(), vent.width.nominal()) else { continue };
        let one = vent.length.nominal().map_or(width * width * (PI / 4.0), |length| length * width);
        let area = one * f64::from(vent.count.get().unwrap_or(1));
        match levels.iter_mut().find(|(at, _)| *at == level) {
            Some((_, all)) => *all = Openings { area: all.area + area, width: all.width.min(width) },
            None => levels.push((level, Openings { area, width })),
        }
    }
    levels.sort_by(|a, b| a.0.value().total_cmp(&b.0.value()));
    let (low, high) = (levels.first()?, levels.last()?);
    let rise = high.0 - low.0;
    (rise > Metres::ZERO).then_some(Vents { rise, low: low.1, high: high.1, wall, discharge: SHARP })
}

/// Volume and height of the space inside.
fn space(inside: &Shape) -> (f64, Metres) {
    match *inside {
        Shape::Sphere { diameter } => {
            let d = diameter.value();
            (PI / 6.0 * d * d * d, diameter)
        }
        Shape::PartSphere { diameter: d, opening } => {
            let (r, a) = (0.5 * d.value(), 0.5 * opening.value());
            let h = r + (r * r - a * a).max(0.0).sqrt();
            (PI * h * h * (3.0 * r - h) / 3.0, Metres::si(h))
        }
        Shape::Box { width, depth, height } => (width.value() * depth.value() * height.value(), height),
        Shape::StandingCylinder { diameter: d, height: h } => (PI / 4.0 * d.value() * d.value() * h.value(), h),
        Shape::LyingCylinder { diameter: d, length: l } => (PI / 4.0 * d.value() * d.value() * l.value(), d),
        Shape::Cone { top, bottom, height: h } => {
            let (a, b) = (0.5 * top.value(), 0.5 * bottom.value());
            (PI / 3.0 * h.value() * (a * a + a * b + b * b), h)
        }
        Shape::Disc { .. } | Shape::Plane { .. } => (0.0, Metres::ZERO),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_against_something_is_the_side_that_does() {
        let m = Metres::si;
        let on_a_wall = Shape::Box { width: m(0.3), depth: m(0.1), height: m(0.2) };
        let lying = Shape::LyingCylinder { diameter: m(0.1), length: m(0.4) };
        let standing = Shape::StandingCylinder { diameter: m(0.1), height: m(0.4) };
        let cone = Shape::Cone { top: m(0.1), bottom: m(0.3), height: m(0.2) };
        let round = PI / 4.0 * 0.01;
        for (shape, side, wanted) in [
            (on_a_wall, Facing::Side, 0.06),
            (on_a_wall, Facing::Down, 0.03),
            (lying, Facing::Side, round),
            (lying, Facing::Down, 0.0),
            (standing, Facing::Down, round),
            (cone, Facing::Up, round),
            (Shape::Sphere { diameter: m(0.2) }, Facing::Down, 0.0),
        ] {
            let found = lies(&shape, side).value();
            assert!((found - wanted).abs() < 1e-12, "{shape:?} {side:?}: {found}, {wanted}");
        }
    }
}
