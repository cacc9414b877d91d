//! What stands where in the body: each part's place, its room to walls, to other parts and to the other zone, and the
//! move that would help. Coordinates are the lamp's: z out through the diffuser, the front opening at z = 0.

mod balance;
mod corridor;
mod enter;
mod judge;
mod light;
mod parts;
mod rooms;
mod search;
mod space;

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::given::{Found, Missing};
use crate::lamp::layout::Layout;
use crate::ledger::Ledger;
use crate::physics::mechanics::hollow::{Hollow, Solid, Wall};
use crate::quantity::{Kilograms, Metres};
use crate::schema::words::{Face, Turn, Zone};

use super::line::Line;

pub use balance::{Balance, Heavy, solve as balance, tilt};
pub use corridor::{Corridor, keep_out};
pub use enter::{nearest_wall, point, wall_word};
pub use light::Kept;
pub use parts::{BOARD, DIE};
pub use rooms::{ANTENNA_ROOM, Before};
pub use space::{inside, opening, outside};

use judge::Need;

/// Everything in the body; ledger entries under `fit.`.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The space inside.
    pub hollow: Hollow,
    /// The outside, and how far its front plane lies before the origin.
    pub outer: (Hollow, Metres),
    /// Sheet and light, which no part may reach into.
    pub kept: Kept,
    /// Each part, in the order of the layout, then those that it does not name.
    pub parts: Vec<Part>,
    /// Where the cord comes in: the middle of its hole.
    pub entry: Option<[Metres; 3]>,
    /// The wall nearest to that hole, and how far the hole's middle is off it.
    pub off_wall: Option<(Wall, Metres)>,
    /// The cord behind its hole; none without a cord or a place of its hole.
    pub corridor: Option<Found<Corridor>>,
    /// Least gap between a live part and an extra-low voltage part, with their names; none without such a pair.
    pub zones: Option<(String, String, Metres)>,
    /// Room before each part that asks for a hand's, by its name.
    pub hands: Vec<(String, Found<Before>)>,
    /// Room free of metal before each antenna, by the part's name.
    pub antennas: Vec<(String, Found<Before>)>,
}

/// Who says where a part stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The spec.
    Author,
    /// The emitter's distance from the sheet.
    Emitter,
    /// The program.
    Program,
}

/// One part in the body.
#[derive(Debug, Clone)]
pub struct Part {
    /// Its name; `supply`, `controller`, `driver`, `sink`, `fuse` and `switch` are those of the wiring sheet.
    pub name: String,
    /// Where the spec speaks of it.
    pub span: Span,
    /// Its sizes, not turned.
    pub size: Found<Vec<Metres>>,
    /// A cylinder.
    pub round: bool,
    /// How it lies, where the author says so.
    pub turn: Option<Turn>,
    /// Where it stands; what is missing where that is not known.
    pub solid: Found<Solid>,
    /// Who says so.
    pub source: Source,
    /// What it carries; none where the author says that nobody knows.
    pub zone: Option<Zone>,
    /// Insulated all round on its own.
    pub closed: bool,
    /// Wall it is fixed to.
    pub fixed: Option<Face>,
    /// Shades an antenna.
    pub metal: bool,
    /// Its mass.
    pub mass: Found<Kilograms>,
    /// Room it wants to a wall it is not fixed to.
    pub wall_wanted: Found<Metres>,
    /// What is lacking around it, worst first.
    pub lacks: Vec<Lack>,
    /// The move that would help; none where nothing is lacking, or nothing helps.
    pub advice: Option<Advice>,
}

/// Room that is missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Lack {
    /// Against what.
    pub against: Against,
    /// Room there is; negative where one reaches into the other.
    pub room: Metres,
    /// Room wanted.
    pub wanted: Metres,
    /// The axis it is missing on.
    pub along: &'static str,
}

/// What a part stands against.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Against {
    /// A wall.
    Wall(Wall),
    /// Another part: they may touch but not run into each other.
    Part(String),
    /// A part of the other zone.
    Zone(String),
    /// The sheet.
    Sheet,
    /// The light between dice and sheet.
    Light,
}

/// A move that helps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Advice {
    /// Along x, y and z.
    By([Metres; 3]),
    /// To another place, lying this way, where no short move is enough.
    To([Metres; 3], Turn),
}

impl Lack {
    /// How much is missing.
    pub fn short(&self) -> Metres {
        self.wanted - self.room
    }
}

impl Fit {
    /// Middle of a part, or of the cord's hole; none where the lamp does not say and the program found no place.
    pub fn point(&self, name: &str) -> Option<[Metres; 3]> {
        if name == "entry" {
            return self.entry;
        }
        self.part(name)?.solid.as_ref().ok().map(|solid| solid.centre)
    }
    /// The wall that the cord comes in by.
    pub fn entry_wall(&self) -> Option<Wall> {
        corridor::nearest(&self.hollow, self.entry?)
    }
    /// A part by its name.
    pub fn part(&self, name: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.name == name)
    }
    /// Width that an opening needs to let a part in: on end, its two smaller sides pass side by side through a slot, and
    /// corner to corner through a round.
    pub fn passes(&self, solid: &Solid) -> Metres {
        let mut sides = solid.half.map(|half| half * 2.0);
        sides.sort_by(|a, b| a.value().total_cmp(&b.value()));
        let [least, middle, _] = sides;
        let round = !matches!(self.hollow, Hollow::Block { .. });
        if round { Metres::si(libm::hypot(least.value(), middle.value())) } else { least }
    }
    /// Parts that stand somewhere, with their solids.
    pub fn standing(&self) -> impl Iterator<Item = (&Part, Solid)> {
        self.parts.iter().filter_map(|part| part.solid.as_ref().ok().map(|solid| (part, *solid)))
    }
}

/// Finds every place; what is missing where the body's sizes are not known.
pub fn solve(lamp: &Lamp, layout: &Layout, line: Option<&Line>, ledger: &mut Ledger) -> Found<Fit> {
    let hollow = space::inside(lamp)?;
    let outer = space::outside(&lamp.enclosure)?;
    let between = layout.zone_gap.nominal()?;
    let entry = layout.place("entry").and_then(|place| match place.at.value.as_deref() {
        Some([x, y, z]) => Some([*x, *y, *z]),
        _ => None,
    });
    let mut parts = parts::all(lamp, layout);
    let kept = light::kept(lamp);
    let face = kept.inner_face();
    let cord = entry.and_then(|entry| corridor::way_in(lamp, line, (&hollow, &face), entry));
    let room = Room { lamp, layout, hollow: &hollow, kept: &kept, between };
    let hole = entry.zip(cord);
    place_the_rest(&room, hole, &mut parts);
    let lacks: Vec<_> = parts.iter().map(|part| lacking(&room, part, hole, &parts)).collect();
    for (part, (lacks, advice)) in parts.iter_mut().zip(lacks) {
        part.lacks = lacks;
        part.advice = advice;
    }
    let zones = zones(&parts);
    let (hands, antennas) = (rooms::hands(&room, &parts), rooms::antennas(&room, &parts));
    let corridor = entry.and_then(|entry| corridor::behind(lamp, line?, (&hollow, &face), entry, &parts));
    let wall = lamp.enclosure.wall.nominal()?;
    let off_wall = entry.and_then(|entry| corridor::off_wall(&hollow, entry, wall));
    let fit = Fit { hollow, outer, kept, parts, entry, off_wall, corridor, zones, hands, antennas };
    enter::enter(lamp, layout, &fit, ledger);
    Ok(fit)
}

/// What the program keeps to when it places a part.
struct Room<'a> {
    lamp: &'a Lamp,
    layout: &'a Layout,
    hollow: &'a Hollow,
    kept: &'a Kept,
    between: Metres,
}

/// Gap that the program leaves between two parts (our margin: sizes on data sheets leave out burrs, labels and glue).
const BESIDE: Metres = Metres::si(1e-3);

/// Live parts first, near the cord; then the largest first.
fn place_the_rest(room: &Room<'_>, cord: Option<([Metres; 3], Solid)>, parts: &mut [Part]) {
    let Room { lamp, hollow, kept, between, .. } = *room;
    // Nothing may stand in the light: the program keeps behind the emitter's board where its place is known.
    let front = parts::emitter_back(lamp).unwrap_or(Metres::ZERO);
    let volume = |part: &Part| part.size.as_ref().map_or(0.0, |s| s.iter().map(|side| side.value()).product());
    let open = |part: &Part| part.source == Source::Program && part.size.is_ok();
    let mut order: Vec<usize> = (0..parts.len()).filter(|n| parts.get(*n).is_some_and(open)).collect();
    order.sort_by(|a, b| match (parts.get(*a), parts.get(*b)) {
        (Some(a), Some(b)) => (a.zone == Some(Zone::LowVoltage))
            .cmp(&(b.zone == Some(Zone::LowVoltage)))
            .then(volume(b).total_cmp(&volume(a)))
            .then(a.name.cmp(&b.name)),
        _ => std::cmp::Ordering::Equal,
    });
    for at in order {
        let found = parts.get(at).and_then(|part| {
            let mut need = Need::of(part, (hollow, kept), between, parts)?;
            need.beside = BESIDE;
            need.others.extend(cord.map(|(_, way)| ("cord", way, Some(Zone::Mains), true)));
            let rooms = rooms::Rooms::of(room, part, parts);
            let hole = cord.map(|(hole, _)| hole);
            // Room for hands and antenna where there is a place with it; the rules say where there is none.
            search::place(part, &need, front, hole, |solid| rooms.stay_free(solid))
                .or_else(|| search::place(part, &need, front, hole, |_| true))
        });
        if let (Some(solid), Some(part)) = (found, parts.get_mut(at)) {
            part.solid = Ok(solid.0);
        }
    }
}

/// What a part lacks, and the move that would help. The place of a sink follows from the emitter, so that it is not
/// moved: what meets it is.
fn lacking(
    room: &Room<'_>,
    part: &Part,
    cord: Option<([Metres; 3], Solid)>,
    parts: &[Part],
) -> (Vec<Lack>, Option<Advice>) {
    let (Some(mut need), Ok(solid)) = (Need::of(part, (room.hollow, room.kept), room.between, parts), &part.solid)
    else {
        return (Vec::new(), None);
    };
    let mut lacks = need.lacks(solid);
    lacks.sort_by(|a, b| b.short().value().total_cmp(&a.short().value()));
    if lacks.is_empty() || part.source == Source::Emitter {
        return (lacks, None);
    }
    let short = need.advice(solid);
    let advice = short.or_else(|| {
        need.beside = BESIDE;
        need.others.extend(cord.map(|(_, way)| ("cord", way, Some(Zone::Mains), true)));
        let rooms = rooms::Rooms::of(room, part, parts);
        let front = parts::emitter_back(room.lamp).unwrap_or(Metres::ZERO);
        // A part that cannot stay where it is may lie another way too.
        let turned = Part { turn: None, ..part.clone() };
        let hole = cord.map(|(hole, _)| hole);
        let found = search::place(&turned, &need, front, hole, |solid| rooms.stay_free(solid));
        found.map(|(solid, turn)| Advice::To(rounded(&need, &solid), turn))
    });
    (lacks, advice)
}

/// The middle of a part to a tenth of a millimetre, as it is written: rounded the way that still fits.
fn rounded(need: &Need<'_>, solid: &Solid) -> [Metres; 3] {
    const STEP: f64 = 1e-4;
    let near = solid.centre.map(|v| libm::round(v.value() / STEP));
    for x in [0.0, 1.0, -1.0] {
        for y in [0.0, 1.0, -1.0] {
            for z in [0.0, 1.0, -1.0] {
                let centre = [near[0] + x, near[1] + y, near[2] + z].map(|v| Metres::si(v * STEP));
                if need.lacks(&Solid { centre, ..*solid }).is_empty() {
                    return centre;
                }
            }
        }
    }
    solid.centre
}

/// The pair of open parts of both zones that stands nearest.
fn zones(parts: &[Part]) -> Option<(String, String, Metres)> {
    let of = |zone: Zone| {
        let open = parts.iter().filter(move |part| part.zone == Some(zone) && !part.closed);
        open.filter_map(|part| part.solid.as_ref().ok().map(|solid| (&part.name, solid)))
    };
    let pairs = of(Zone::Mains).flat_map(|(live, a)| {
        let gap = crate::physics::mechanics::hollow::gap;
        of(Zone::LowVoltage).map(move |(low, b)| (live.clone(), low.clone(), gap(a, b)))
    });
    pairs.min_by(|a, b| a.2.value().total_cmp(&b.2.value()))
}

/// Whether a part found no place: nothing is missing of its figures, only room.
pub fn homeless(part: &Part) -> Option<&Missing> {
    part.solid.as_ref().err().filter(|_| part.source == Source::Program && part.size.is_ok())
}
