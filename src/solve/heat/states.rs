//! One state of the lamp in one room: what is asked, what is found, and the temperatures a solved network stands for.

use crate::lamp::given::Found;
use crate::physics::thermal::air::ATMOSPHERE;
use crate::physics::thermal::assembly::{Assembly, Built, Cooler, Sources};
use crate::physics::thermal::convection::Law;
use crate::physics::thermal::faces;
use crate::physics::thermal::network::{End, Law as WayLaw};
use crate::physics::thermal::sink::Standing;
use crate::physics::thermal::solver::Steady;
use crate::physics::thermal::spreading::{self, Spread};
use crate::quantity::{Kelvin, KelvinPerWatt, Temperature, Watts, WattsPerSquareMetreKelvin};

use super::cooler::Parts;
use super::load::{Fixed, Load, Point, rise};

/// How near the junctions must be to where the passes lead.
pub(super) const AGREEMENT: Kelvin = Kelvin::si(0.01);
/// First guess of the junctions over the room.
const FIRST: Kelvin = Kelvin::si(40.0);

/// One state in one room.
#[derive(Debug, Clone)]
pub struct State {
    /// A word for it: a channel's name, `all`, `uncapped`.
    pub name: String,
    /// The room.
    pub room: Temperature,
    /// What each channel that is on does.
    pub channels: Vec<Drawn>,
    /// Power of the strings.
    pub strings: Watts,
    /// What drive and controller take from the supply.
    pub taken: Watts,
    /// Heat of the dice.
    pub dice: Watts,
    /// Heat set free inside the body, dice included where their sink is inside.
    pub inside_heat: Watts,
    /// Light that ends as heat.
    pub trapped: Watts,
    /// Outer face of the shell.
    pub wall: Temperature,
    /// Outer face of the front sheet.
    pub front: Option<Temperature>,
    /// Air inside.
    pub inside: Temperature,
    /// The supply's case.
    pub supply: Option<Temperature>,
    /// The sink, or the wall the emitter sits on.
    pub sink: Temperature,
    /// The emitter's board.
    pub board: Temperature,
    /// Junction of each channel that is on.
    pub junctions: Vec<(String, Found<Temperature>)>,
    /// Radiant power of each channel that is on, by that at the temperature it is stated at.
    pub light: Vec<(String, f64)>,
    /// Radiant power of the dice.
    pub radiant: Watts,
    /// All heat set free in the network.
    pub heat: Watts,
    /// Light that leaves the lamp.
    pub leaves: Watts,
    /// The most that any node is short of.
    pub residual: Watts,
    /// Heat set free less heat that reaches the room.
    pub imbalance: Watts,
    /// How far network and circuits are apart, as a share of what a channel draws; set once all states are known.
    pub electrics: f64,
    /// How far the junctions are, at most, from where the passes of network and dice lead.
    pub apart: Kelvin,
    /// Passes of network and junctions together.
    pub passes: u32,
}

/// A channel in a state: its junction, and the power of its string and of the drive with it.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// The channel.
    pub name: String,
    /// Hottest junction of its dice.
    pub junction: Temperature,
    /// Power of its string.
    pub string: Watts,
    /// What it takes from the supply.
    pub input: Watts,
}

/// What is asked: which channels, at which level, in which room.
pub(super) struct Ask<'a> {
    pub(super) name: &'a str,
    pub(super) loads: Vec<&'a Load>,
    pub(super) share: f64,
    pub(super) room: Temperature,
    /// An answer to start from: the nearer, the quicker; it does not change what is found.
    pub(super) near: Option<&'a Answer>,
    /// How far above the room everything is taken to be where there is none.
    pub(super) first: Option<Kelvin>,
}

/// The answer with what it was found from.
#[derive(Debug)]
pub(super) struct Answer {
    pub(super) state: State,
    pub(super) built: Built,
    pub(super) heat: Vec<Watts>,
    pub(super) steady: Vec<Temperature>,
    /// Level of the channels.
    pub(super) share: f64,
}

impl Ask<'_> {
    /// First guess of the nodes.
    pub(super) fn nodes(&self, count: usize) -> Option<Vec<Temperature>> {
        if let Some(above) = self.first {
            return Some(vec![self.room + above; count]);
        }
        let near = self.near.filter(|near| near.steady.len() == count)?;
        let warmer = self.room - near.state.room;
        Some(near.steady.iter().map(|t| *t + warmer).collect())
    }

    /// First guess of the junctions.
    pub(super) fn junctions(&self) -> Vec<Temperature> {
        let guess = |load: &&Load| {
            let near = self.near?;
            let took = near.state.channels.iter().find(|took| took.name == load.name)?;
            Some(took.junction + (self.room - near.state.room))
        };
        let first = self.first.unwrap_or(FIRST);
        self.loads.iter().map(|load| guess(load).unwrap_or(self.room + first)).collect()
    }
}

/// From the node the emitter sits on up to its board: the layer, and what spreading adds.
pub(super) fn board(parts: &Parts, built: &Built, found: &Steady, sources: &Sources) -> Temperature {
    let seat = node(found, built.seat());
    seat + sources.dice * (parts.seat.layer + spreading(parts, built, found, sources))
}

fn spreading(parts: &Parts, built: &Built, found: &Steady, sources: &Sources) -> KelvinPerWatt {
    let Assembly { cooler, zones, .. } = &parts.assembly;
    let source = parts.seat.source;
    match (cooler, parts.sheet) {
        (Cooler::Fins { sink, outside, .. }, _) => {
            let air = if *outside { built.network.room.air } else { node(found, built.air) };
            let rise = (node(found, built.seat()) - air).value().max(0.1);
            let plate = sink.length * sink.width;
            let transfer = WattsPerSquareMetreKelvin::si(sources.dice.value() / (plate.value() * rise));
            let (thickness, conductivity) = (sink.base, sink.conductivity);
            spreading::thick(&Spread { source, plate, thickness, conductivity, transfer })
        }
        (Cooler::Wall(zone), Some((thickness, conductivity))) => {
            let Some(zone) = zones.get(*zone) else { return KelvinPerWatt::ZERO };
            let plate = faces::area(&zone.outer);
            let rise = (node(found, built.seat()) - built.network.room.air).value().max(0.1);
            let gives = sources.dice.value() / (plate.value() * rise);
            let transfer = WattsPerSquareMetreKelvin::si(gives.max(0.5));
            spreading::thin(&Spread { source, plate, thickness, conductivity, transfer })
        }
        _ => KelvinPerWatt::ZERO,
    }
}

#[allow(clippy::too_many_arguments, reason = "the one place that turns a solved network into a state")]
pub(super) fn state(
    parts: &Parts,
    built: &Built,
    found: &Steady,
    sources: &Sources,
    ask: &Ask<'_>,
    board: Temperature,
    points: &[Point],
    fixed: &Fixed,
    (passes, apart): (u32, Kelvin),
) -> State {
    let outside = outside(&parts.assembly.cooler);
    let (inside, room) = (node(found, built.air), ask.room);
    let face = |n: usize| built.zones.get(n).map(|(_, outer)| node(found, *outer));
    let trapped: Watts = sources.zones.iter().copied().sum();
    let rest = sources.supply + sources.air + trapped;
    let pairs = || ask.loads.iter().zip(points);
    let junction = |load: &Load, point: &Point| load.to_board.clone().map(|_| board + rise(load, point));
    State {
        name: ask.name.to_owned(),
        room,
        channels: pairs()
            .map(|(load, point)| Drawn {
                name: load.name.clone(),
                junction: board + rise(load, point),
                string: point.string,
                input: point.input,
            })
            .collect(),
        strings: points.iter().map(|p| p.string).sum(),
        taken: points.iter().map(|p| p.input).sum::<Watts>() + fixed.controller,
        dice: sources.dice,
        inside_heat: if outside { rest } else { rest + sources.dice },
        trapped,
        wall: face(0).unwrap_or(room),
        front: face(1),
        inside,
        supply: built.supply.map(|n| node(found, n)),
        sink: node(found, built.seat()),
        board,
        junctions: pairs().map(|(l, p)| (l.name.clone(), junction(l, p))).collect(),
        light: pairs().map(|(l, p)| (l.name.clone(), l.light(board + rise(l, p)))).collect(),
        radiant: points.iter().map(|p| p.radiant).sum(),
        heat: built.heat(sources).into_iter().sum(),
        leaves: fixed.leaves(points),
        residual: found.residual,
        imbalance: found.imbalance,
        electrics: 0.0,
        apart,
        passes,
    }
}

/// Whether the dice's heat goes straight to the room.
pub(super) const fn outside(cooler: &Cooler) -> bool {
    matches!(cooler, Cooler::Fins { outside: true, .. } | Cooler::Stated { outside: true, .. })
}

fn node(found: &Steady, at: usize) -> Temperature {
    found.temperatures.get(at).copied().unwrap_or(Temperature::si(f64::NAN))
}

/// A law of convection used outside the range it was made for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strayed {
    /// The body it describes.
    pub body: &'static str,
    /// The Rayleigh number it was used at.
    pub rayleigh: f64,
    /// Lowest and highest it was made for.
    pub range: (f64, f64),
}

/// Laws outside their range in any of these states, each once.
pub(super) fn strayed<'a>(answers: impl IntoIterator<Item = &'a Answer>) -> Vec<Strayed> {
    let mut found: Vec<Strayed> = Vec::new();
    for answer in answers {
        for (law, rayleigh) in laws(&answer.built, &answer.steady) {
            let validity = law.validity();
            if !law.covers(rayleigh) && !found.iter().any(|s| s.body == validity.body) {
                found.push(Strayed { body: validity.body, rayleigh, range: validity.rayleigh });
            }
        }
    }
    found
}

/// Every law in use, with its Rayleigh number.
fn laws(built: &Built, steady: &[Temperature]) -> Vec<(Law, f64)> {
    let at = |end: End| match end {
        End::Node(n) => steady.get(n).copied().unwrap_or(built.network.room.air),
        End::Air | End::Walls => built.network.room.air,
    };
    let mut found = Vec::new();
    for way in &built.network.ways {
        let (surface, air) = (at(way.from), at(way.to));
        // Nearly equal temperatures carry next to nothing, so what their law says does not matter.
        if (surface - air).value().abs() < 1.0 {
            continue;
        }
        match &way.law {
            WayLaw::Faces(all, _) => {
                let regimes = all.iter().map(|face| face.follows(surface, air, ATMOSPHERE));
                found.extend(regimes.map(|regime| (regime.law, regime.rayleigh)));
            }
            WayLaw::Fins(sink, standing, _) => {
                let by = sink.convection(*standing, surface, air, ATMOSPHERE);
                if matches!(standing, Standing::Up) && by.by_fins >= by.by_envelope {
                    found.push((Law::FinsUp, by.number));
                }
            }
            _ => {}
        }
    }
    found
}
