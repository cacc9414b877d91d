//! One state of the lamp in one room to its temperatures: network and junctions brought into agreement to 0.01 K.

use crate::lamp::given::Found;
use crate::physics::thermal::air::ATMOSPHERE;
use crate::physics::thermal::assembly::{Assembly, Built, Cooler, STIFF, Sources};
use crate::physics::thermal::convection::Law;
use crate::physics::thermal::faces;
use crate::physics::thermal::network::{End, Law as WayLaw, Room};
use crate::physics::thermal::sink::Standing;
use crate::physics::thermal::solver::{NoBalance, Steady, steady};
use crate::physics::thermal::spreading::{self, Spread};
use crate::quantity::{Kelvin, KelvinPerWatt, Temperature, Watts, WattsPerSquareMetreKelvin};

use super::cooler::Parts;
use super::load::{Fixed, Load, Point, rise};

/// How near two passes must come.
pub(super) const AGREEMENT: Kelvin = Kelvin::si(0.01);
/// A loop whose gain is near 1 takes many; the fading of light ends, so that even then they come together.
const PASSES: u32 = 400;

/// One state in one room.
#[derive(Debug, Clone)]
pub struct State {
    /// A word for it: a channel's name, `all`, `uncapped`.
    pub name: String,
    /// The room.
    pub room: Temperature,
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
    /// Inner face of the shell.
    pub wall_inside: Temperature,
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
    /// From board to the air the sink stands in.
    pub own_resistance: KelvinPerWatt,
    /// Junction of each channel that is on.
    pub junctions: Vec<(String, Found<Temperature>)>,
    /// Radiant power of each channel that is on, by that at the temperature it is stated at.
    pub light: Vec<(String, f64)>,
    /// Radiant power of the dice.
    pub radiant: Watts,
    /// The most that any node is short of.
    pub residual: Watts,
    /// How far the junctions of the last two passes of network and dice are apart.
    pub apart: Kelvin,
    /// Passes of network and junctions together.
    pub passes: u32,
}

/// What is asked: which channels, at which level, in which room.
pub(super) struct Ask<'a> {
    pub(super) name: &'a str,
    pub(super) loads: Vec<&'a Load>,
    pub(super) share: f64,
    pub(super) room: Temperature,
    /// An answer to start from: the nearer, the quicker; it does not change what is found.
    pub(super) near: Option<&'a Answer>,
}

/// The answer with what it was found from.
pub(super) struct Answer {
    pub(super) state: State,
    pub(super) built: Built,
    pub(super) heat: Vec<Watts>,
    pub(super) steady: Vec<Temperature>,
    /// What each load took in the last pass, and the junction that came of it.
    pub(super) took: Vec<Took>,
    /// Level of the channels.
    pub(super) share: f64,
}

/// A load as the network had it.
pub(super) struct Took {
    pub(super) name: String,
    pub(super) junction: Temperature,
    pub(super) string: Watts,
    pub(super) input: Watts,
}

impl Ask<'_> {
    /// First guess of the nodes.
    fn nodes(&self, count: usize) -> Option<Vec<Temperature>> {
        let near = self.near.filter(|near| near.steady.len() == count)?;
        let warmer = self.room - near.state.room;
        Some(near.steady.iter().map(|t| *t + warmer).collect())
    }

    /// First guess of the junctions.
    fn junctions(&self) -> Vec<Temperature> {
        let guess = |load: &&Load| {
            let near = self.near?;
            let took = near.took.iter().find(|took| took.name == load.name)?;
            Some(took.junction + (self.room - near.state.room))
        };
        self.loads.iter().map(|load| guess(load).unwrap_or(self.room + Kelvin::si(40.0))).collect()
    }
}

/// Solves one state.
pub(super) fn solve(parts: &Parts, fixed: &Fixed, ask: &Ask<'_>) -> Result<Answer, NoBalance> {
    let room = Room { air: ask.room, walls: ask.room, pressure: ATMOSPHERE };
    let built = parts.assembly.network(room, STIFF);
    let mut junctions = ask.junctions();
    let mut start = ask.nodes(built.network.nodes.len());
    let mut inner = 0;
    for pass in 1..=PASSES {
        let points: Vec<Point> = ask.loads.iter().zip(&junctions).map(|(load, t)| load.at(*t, ask.share)).collect();
        let sources = fixed.sources(&points, built.zones.len());
        let heat = built.heat(&sources);
        let found = steady(&built.network, &heat, start.as_deref())?;
        inner += found.passes;
        let board = board(parts, &built, &found, &sources);
        let next: Vec<Temperature> = ask.loads.iter().zip(&points).map(|(l, p)| board + rise(l, p)).collect();
        let apart = next.iter().zip(&junctions).fold(0.0, |m: f64, (a, b)| m.max((*a - *b).value().abs()));
        junctions = next;
        if apart < AGREEMENT.value() {
            let met = (pass + inner, Kelvin::si(apart));
            let state = state(parts, &built, &found, &sources, ask, board, &points, fixed.controller, met);
            let took = ask.loads.iter().zip(&points).zip(junctions).map(|((load, point), junction)| {
                let (string, input) = (point.string, point.input);
                Took { name: load.name.clone(), junction, string, input }
            });
            let (took, share) = (took.collect(), ask.share);
            return Ok(Answer { state, heat, steady: found.temperatures, built, took, share });
        }
        start = Some(found.temperatures);
    }
    Err(NoBalance { node: "junction".into(), short: Watts::ZERO, passes: inner })
}

/// From the node the emitter sits on up to its board: the layer, and what spreading adds.
fn board(parts: &Parts, built: &Built, found: &Steady, sources: &Sources) -> Temperature {
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
            spreading::thick(&Spread { source, plate, thickness, conductivity, transfer }).hottest
        }
        (Cooler::Wall(zone), Some((thickness, conductivity))) => {
            let Some(zone) = zones.get(*zone) else { return KelvinPerWatt::ZERO };
            let plate = faces::area(&zone.outer);
            let rise = (node(found, built.seat()) - built.network.room.air).value().max(0.1);
            let gives = sources.dice.value() / (plate.value() * rise);
            let transfer = WattsPerSquareMetreKelvin::si(gives.max(0.5));
            spreading::thin(&Spread { source, plate, thickness, conductivity, transfer }).excess
        }
        _ => KelvinPerWatt::ZERO,
    }
}

#[allow(clippy::too_many_arguments, reason = "the one place that turns a solved network into a state")]
fn state(
    parts: &Parts,
    built: &Built,
    found: &Steady,
    sources: &Sources,
    ask: &Ask<'_>,
    board: Temperature,
    points: &[Point],
    controller: Watts,
    (passes, apart): (u32, Kelvin),
) -> State {
    let outside = outside(&parts.assembly.cooler);
    let (inside, room) = (node(found, built.air), ask.room);
    let zone = |n: usize| built.zones.get(n).map(|(i, o)| (node(found, *i), node(found, *o)));
    let (wall_inside, wall) = zone(0).unwrap_or((room, room));
    let around = if outside { room } else { inside };
    let trapped: Watts = sources.zones.iter().copied().sum();
    let own = if sources.dice > Watts::ZERO { (board - around) / sources.dice } else { KelvinPerWatt::ZERO };
    let rest = sources.supply + sources.air + trapped;
    let pairs = || ask.loads.iter().zip(points);
    let junction = |load: &Load, point: &Point| load.to_board.clone().map(|_| board + rise(load, point));
    State {
        name: ask.name.to_owned(),
        room,
        strings: points.iter().map(|p| p.string).sum(),
        taken: points.iter().map(|p| p.input).sum::<Watts>() + controller,
        dice: sources.dice,
        inside_heat: if outside { rest } else { rest + sources.dice },
        trapped,
        wall,
        wall_inside,
        front: zone(1).map(|(_, outer)| outer),
        inside,
        supply: built.supply.map(|n| node(found, n)),
        sink: node(found, built.seat()),
        board,
        own_resistance: own,
        junctions: pairs().map(|(l, p)| (l.name.clone(), junction(l, p))).collect(),
        light: pairs().map(|(l, p)| (l.name.clone(), l.light(board + rise(l, p)))).collect(),
        radiant: points.iter().map(|p| p.radiant).sum(),
        residual: found.residual,
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
