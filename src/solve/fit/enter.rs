//! Places, rooms and gaps as ledger entries.
//! Turns a finished fit into what the section and its table print; finds nothing new but the nearest wall and part.

use crate::figures::trimmed;
use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::layout::Layout;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::hollow::{Hollow, Solid, Wall, gap};
use crate::quantity::Metres;
use crate::schema::words::{Face, Word, Zone};

use super::parts::is_metal;
use super::search::is_coarse;
use super::{Before, Fit, Part, Source};

const WRITTEN: Formula = Formula { text: "as written", source: "as given" };
const BEHIND: Formula = Formula {
    text: "z = −(t + distance + die + board + depth/2), in the axis",
    source: "geometry; die 1.5 mm and board 1.6 mm are common practice, no source",
};
const FOUND: Formula = Formula {
    text: "free place on a 4 mm grid, 1 mm from other parts, deep in the body, near its axis, live parts near the cord",
    source: "our search; move it as the work asks and write `at`",
};
const FOUND_COARSE: Formula = Formula {
    text: "free place on a grid of 1/128 of the longest side, 1 mm from other parts, deep in the body, near its axis, live parts near the cord",
    source: FOUND.source,
};
const ROOM: Formula = Formula { text: "least distance to a wall, exact", source: "geometry" };
const WANTED: Formula = Formula {
    text: "wall gap, 0.3 mm more in print; bare live parts 3.5 mm from bonded metal, 6 mm from other metal",
    source: "our margin",
};
const NEAR: Formula = Formula { text: "least distance to another part, exact for boxes", source: "geometry" };
const ZONES: Formula =
    Formula { text: "least distance of an open live part and an open extra-low voltage part", source: "geometry" };
const INSIDE: Formula = Formula { text: "outside less the walls", source: "geometry" };
const FREE: Formula = Formula {
    text: "from the hole straight in to the first part in its way, else to the wall or the sheet",
    source: "geometry",
};
const OFF: Formula =
    Formula { text: "from the middle of the hole to the nearest face of the wall", source: "geometry" };
const CORD: Formula =
    Formula { text: "s + r + D", source: "geometry; bend by our margin, DIN VDE 0298-3 asks for 3 to 5 D" };

const HAND: Formula = Formula {
    text: "from its side to the first part, wall or sheet, no more than is wanted; without end where the body opens",
    source: "geometry",
};
const PASSES: Formula = Formula {
    text: "on end: the smallest side through a slot, √(a² + b²) of the two smaller ones through a round",
    source: "geometry",
};
const AIR: Formula = Formula {
    text: "from its side to the first part of metal, no more than 15 mm",
    source: "geometry; 15 mm by module makers' layout papers, from memory",
};

pub(super) fn enter(lamp: &Lamp, layout: &Layout, fit: &Fit, ledger: &mut Ledger) {
    space(lamp, &fit.hollow, ledger);
    for part in &fit.parts {
        one(lamp, layout, fit, part, ledger);
    }
    if let Some((live, low, gap)) = &fit.zones {
        let (live, low) = (format!("fit.{live}.at"), format!("fit.{low}.at"));
        let title = "gap between live and extra-low voltage parts";
        ledger.computed("fit.zone-gap", title, *gap, ZONES, &[("place", &live), ("other", &low)]);
    }
    before(&fit.hands, ("service", "room for a hand before"), HAND, ledger);
    before(&fit.antennas, ("antenna", "room free of metal before the antenna of"), AIR, ledger);
    if let Some((wall, off)) = fit.off_wall {
        let title = format!("hole of the cord off the wall it is in, {}", wall_word(wall));
        let from = [("place of the hole", "layout.entry.at"), ("space", "fit.inside")];
        ledger.computed("fit.entry-off", &title, off, OFF, &from);
    }
    if let Some(Ok(corridor)) = &fit.corridor {
        let at = [("place of the hole", "layout.entry.at")];
        ledger.computed("fit.cord-room", "free way of the cord behind its hole", corridor.free, FREE, &at);
        let from = [("s", "mains.cord.depth"), ("r", "line.bend"), ("D", "line.outer-small")];
        let title = "way the cord needs to come in and bend";
        ledger.computed("fit.cord-wanted", title, corridor.wanted.depth, CORD, &from);
    }
}

/// Room before sides of parts; the figure is called like the property that asks for it.
fn before(all: &[(String, Found<Before>)], (figure, words): (&str, &str), formula: Formula, ledger: &mut Ledger) {
    for (name, found) in all.iter().filter_map(|(name, found)| Some((name, found.as_ref().ok()?))) {
        let (at, asked) = (format!("fit.{name}.at"), format!("layout.{name}.{figure}"));
        let from = [("place", at.as_str()), ("wanted", asked.as_str())];
        ledger.computed(format!("fit.{name}.{figure}"), &format!("{words} the {name}"), found.room, formula, &from);
    }
}

fn space(lamp: &Lamp, hollow: &Hollow, ledger: &mut Ledger) {
    let body = &lamp.enclosure;
    let text = match *hollow {
        Hollow::Block { across, up, depth } => format!("{} x {} x {}", across * 2.0, up * 2.0, depth),
        Hollow::Round { back, front, depth } if back == front => format!("Ø {} x {}", back * 2.0, depth),
        Hollow::Round { back, front, depth } => format!("Ø {} to Ø {}, {} deep", back * 2.0, front * 2.0, depth),
        Hollow::Ball { radius, behind } => format!("Ø {}, {} deep", radius * 2.0, behind + radius),
    };
    let from = [("size", body.size.path.as_str()), ("wall", body.wall.path.as_str())];
    ledger.computed_text("fit.inside", "space inside the body", text, INSIDE, &from);
}

fn one(lamp: &Lamp, layout: &Layout, fit: &Fit, part: &Part, ledger: &mut Ledger) {
    let Ok(solid) = &part.solid else { return };
    let name = &part.name;
    let path = |what: &str| format!("fit.{name}.{what}");
    let given = format!("layout.{name}.at");
    let (formula, from): (Formula, Vec<(&'static str, &str)>) = match part.source {
        Source::Author => (WRITTEN, vec![("at", given.as_str())]),
        Source::Emitter => (BEHIND, vec![("distance", lamp.emitter.distance.path.as_str())]),
        Source::Program if is_coarse(&fit.hollow) => (FOUND_COARSE, vec![("space", "fit.inside")]),
        Source::Program => (FOUND, vec![("space", "fit.inside")]),
    };
    // What stands in the supply's place when a battery feeds the lamp is the battery.
    let called = if name == "supply" && lamp.supply.battery.is_some() { "battery" } else { name.as_str() };
    ledger.computed_text(path("at"), &format!("middle of the {called}"), point(&solid.centre), formula, &from);
    ledger.computed_text(path("lies"), &format!("the {called} along x, y and z"), lies(solid), formula, &from);
    let at = path("at");
    if let Some((wall, room)) = nearest_wall(fit, part, solid) {
        let title = format!("room of the {called} to the wall, {}", wall_word(wall));
        ledger.computed(path("wall"), &title, room, ROOM, &[("place", &at), ("space", "fit.inside")]);
    }
    if let Ok(wanted) = part.wall_wanted {
        let mut from = vec![("gap", layout.wall_gap.path.as_str()), ("printed", lamp.enclosure.printed.path.as_str())];
        let metal = lamp.enclosure.material.value.is_some_and(is_metal);
        if metal && part.zone == Some(Zone::Mains) && !part.closed {
            from.push(("class", "mains.class"));
        }
        ledger.computed(path("wall-wanted"), &format!("room the {called} wants to a wall"), wanted, WANTED, &from);
    }
    if lamp.enclosure.opens.value == Some(Face::Front) && lamp.enclosure.opening.is_known() {
        let title = format!("width of opening that the {called} needs to go in");
        ledger.computed(path("passes"), &title, fit.passes(solid), PASSES, &[("a, b", &path("lies"))]);
    }
    if let Some((other, room)) = nearest_part(fit, part, solid) {
        let title = format!("gap from the {called} to the {other}");
        let other = format!("fit.{other}.at");
        ledger.computed(path("near"), &title, room, NEAR, &[("place", &at), ("other", &other)]);
    }
}

/// The nearest wall that a part is not fixed to, with the room to it.
pub fn nearest_wall(fit: &Fit, part: &Part, solid: &Solid) -> Option<(Wall, Metres)> {
    let rooms = fit.hollow.rooms(solid).into_iter();
    let open = rooms.filter(|(wall, _)| part.fixed.is_none_or(|face| wall_word(*wall) != face.word()));
    open.min_by(|a, b| a.1.value().total_cmp(&b.1.value()))
}

/// The nearest other part, with the gap to it.
pub(super) fn nearest_part(fit: &Fit, part: &Part, solid: &Solid) -> Option<(String, Metres)> {
    let others = fit.standing().filter(|(other, _)| other.name != part.name);
    let gaps = others.map(|(other, place)| (other.name.clone(), gap(solid, &place)));
    gaps.min_by(|a, b| a.1.value().total_cmp(&b.1.value()))
}

/// A wall in words, as the language calls it.
pub fn wall_word(wall: Wall) -> &'static str {
    match wall {
        Wall::Left => "left",
        Wall::Right => "right",
        Wall::Bottom => "bottom",
        Wall::Top => "top",
        Wall::Back => "back",
        Wall::Front => "front",
        Wall::Round => "round",
    }
}

/// A place in millimetres.
pub fn point(at: &[Metres; 3]) -> String {
    let shown: Vec<String> = at.iter().map(|v| trimmed(v.value() * 1e3, 1)).collect();
    format!("({}) mm", shown.join(", "))
}

fn lies(solid: &Solid) -> String {
    let shown: Vec<String> = solid.half.iter().map(|h| trimmed(h.value() * 2e3, 1)).collect();
    format!("{} mm", shown.join(" x "))
}
