//! Power and body to temperatures: the network of the lamp in every state, in the coldest and in the warmest room.
//! What is held against limits carries the margin of its place; nominal values and margins both are in the ledger.

mod answers;
mod body;
mod cooler;
mod electric;
mod enter;
mod life;
mod load;
mod open;
mod proof;
mod settle;
mod soak;
mod states;

pub use answers::{Answers, JustDoes};
pub use life::hours;
pub(in crate::solve) use open::{JUNCTION as OPEN_JUNCTION, RESPONSE as OPEN_RESPONSE};
pub use soak::{Curve, MOMENTS, Soak};
pub use states::{Drawn, State, Strayed};

use crate::lamp::engine::Engine;
use crate::lamp::given::{Found, Missing};
use crate::ledger::Ledger;
use crate::physics::thermal::assembly::Cooler;
use crate::physics::thermal::judged::{Where, judged};
use crate::physics::thermal::sink::{Convection, PlateFins, Standing};
use crate::quantity::{Kelvin, Metres, Seconds, Temperature, Watts, WattsPerKelvin};
use crate::spread::Spread;

use super::drive::{ChannelSolution, by};
use super::feed::Feed;
use cooler::Parts;
use load::{Fixed, Load};
use settle::Unsettled;
use states::{Answer, Ask};

/// Steady temperatures, all channels on and uncapped, in the warmest room; ledger entries under `heat.`.
#[derive(Debug, Clone)]
pub struct Ladder {
    /// The warmest room.
    pub room: Temperature,
    /// All heat set free inside the body.
    pub inside_heat: Watts,
    /// Heat of the dice alone.
    pub die_heat: Watts,
    /// Radiant power of the dice.
    pub radiant: Watts,
    /// Outer face of the wall.
    pub wall: Temperature,
    /// Air inside.
    pub inside: Temperature,
    /// The sink.
    pub sink: Temperature,
    /// The emitter's board.
    pub board: Temperature,
    /// Junction of each channel's die, by channel; missing where its thermal resistance is.
    pub junctions: Vec<(String, Found<Temperature>)>,
    /// Every state in the warmest room, this one last.
    pub states: Vec<State>,
    /// Every state in the coldest room.
    pub coldest: Vec<State>,
    /// What is held against limits.
    pub judged: Judged,
    /// How the fins work, where they are described.
    pub fins: Option<FinsWork>,
    /// Heat that the vents carry off, where there are two levels, with the height of the neutral level as a share.
    pub vents: Option<(Watts, f64)>,
    /// Whether a part of the body lies against wall, ceiling or table.
    pub covered: bool,
    /// Laws of convection used outside their range, in any state and room.
    pub strayed: Vec<Strayed>,
    /// Share of a kelvin at the junctions that comes back as heat, because light fades.
    pub gain: f64,
    /// The warm-up.
    pub soak: Found<Soak>,
    /// Life of the supply's capacitors; none where it stands outside.
    pub supply_life: Option<Found<Seconds>>,
    /// Limits turned round; none where no junction is known.
    pub answers: Option<Answers>,
}

/// Temperatures with the margin of their place.
#[derive(Debug, Clone)]
pub struct Judged {
    /// What the lamp is fixed to or stands on, where a side of the body lies against it.
    pub mount: Option<Temperature>,
    /// Outer face of the wall.
    pub wall: Temperature,
    /// Outer face of the front sheet.
    pub front: Option<Temperature>,
    /// Air inside.
    pub inside: Temperature,
    /// The supply's case; missing where its size is, which would tell how warm its own heat makes it; none where it stands
    /// outside.
    pub supply: Option<Found<Temperature>>,
    /// The sink.
    pub sink: Temperature,
    /// Junctions by channel.
    pub junctions: Vec<(String, Found<Temperature>)>,
}

/// The fins at the temperatures found.
#[derive(Debug, Clone)]
pub struct FinsWork {
    /// Gap between them.
    pub gap: Metres,
    /// The best gap; none where the sink is as cool as its air.
    pub best: Found<Metres>,
    /// Conductance as they stand.
    pub now: Convection,
    /// Conductance if they stood upright.
    pub upright: WattsPerKelvin,
    /// ε·A σ-part: heat they radiate at this state, and what they would with ε 0.85.
    pub sink: PlateFins,
    /// How they stand.
    pub standing: Standing,
}

const MODEL: &str =
    "steady network of lumped bodies: free convection and radiation by correlations, good for 15 to 30 %";

/// Solves every state.
pub fn solve(engine: &Engine<'_>, channels: &[ChannelSolution], feed: &Feed, ledger: &mut Ledger) -> Found<Ladder> {
    let rooms = engine.room.known()?;
    let walls = body::walls(engine, ledger)?;
    let parts = cooler::assemble(engine, &walls, ledger)?;
    let (mut loads, fixed) = (load::loads(engine, channels, ledger)?, load::fixed(engine)?);
    open::enter(engine, &parts, &fixed, &loads, rooms.high, ledger);
    let Together { warmest: mut answers, coldest, apart, turns } =
        together(engine, &parts, &fixed, &mut loads, None, ledger)?;
    proof::electrics(apart, turns, ledger);
    let Some(full) = answers.pop() else { return Err(engine.driver.topology.missing()) };
    let judged = judge(engine, &parts, &fixed, &full.state, walls.covered);
    enter::all(engine, channels, feed, &full.state, &judged, &parts, ledger);
    let supply_life = judged.supply.clone().map(|hot| life::supply_life(engine, hot?, ledger));
    let strayed = states::strayed(answers.iter().chain([&full]).chain(&coldest));
    let states: Vec<State> = answers.iter().map(|a| a.state.clone()).chain([full.state.clone()]).collect();
    let coldest: Vec<State> = coldest.into_iter().map(|a| a.state).collect();
    let gain = enter::gain(&loads, &full.state, ledger);
    enter::states(engine, &states, &coldest, ledger);
    let soak = soak::solve(&parts, &full, &loads, engine.enclosure.span, ledger);
    let at = engine.sink.map_or(engine.emitter.span, |sink| sink.span);
    let (fins, vents) =
        (cooler::enter_fins(&parts, &full.state, at, ledger), enter::vents(&parts, &full.state, ledger));
    let (state, covered) = (full.state.clone(), walls.covered);
    let found = answers::solve_all((parts, fixed, loads), &walls, full, ledger);
    Ok(Ladder {
        room: state.room,
        inside_heat: state.inside_heat,
        die_heat: state.dice,
        radiant: state.radiant,
        wall: state.wall,
        inside: state.inside,
        sink: state.sink,
        board: state.board,
        junctions: state.junctions,
        strayed,
        gain,
        states,
        coldest,
        judged,
        fins,
        vents,
        covered,
        soak,
        supply_life,
        answers: found,
    })
}

/// The states alone, warmest room first: without soak, answers and most of the entries.
///
/// With `first` every state is begun anew, with every part of the lamp so far above the room; without, each begins
/// where its neighbour ended. What is found must not depend on it. The ledger is that of the solved lamp: the circuits
/// read the hot on-resistance there that the drive entered, and a lamp without a balance leaves its message in it.
///
/// # Errors
/// What is missing, or `heat.balance` where there is none.
pub fn every_state(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    first: Option<Kelvin>,
    ledger: &mut Ledger,
) -> Found<Vec<State>> {
    let walls = body::walls(engine, ledger)?;
    let parts = cooler::assemble(engine, &walls, ledger)?;
    let (mut loads, fixed) = (load::loads(engine, channels, ledger)?, load::fixed(engine)?);
    let both = together(engine, &parts, &fixed, &mut loads, first, ledger)?;
    Ok(both.warmest.into_iter().chain(both.coldest).map(|answer| answer.state).collect())
}

/// Every state in both rooms, network and circuits in agreement.
struct Together {
    warmest: Vec<Answer>,
    coldest: Vec<Answer>,
    /// The most that they are apart in any state, as a share.
    apart: f64,
    turns: u32,
}

/// Network and circuits in turn, until what the network took is what the circuits take at its junctions.
fn together(
    engine: &Engine<'_>,
    parts: &Parts,
    fixed: &Fixed,
    loads: &mut [Load],
    first: Option<Kelvin>,
    ledger: &mut Ledger,
) -> Found<Together> {
    let rooms = engine.room.known()?;
    let cap = engine.driver.cap.nominal().ok();
    let mut apart = 0.0;
    for turns in 1..=electric::TURNS {
        let asked = Asked { parts, fixed, loads, cap, first };
        let mut warmest = asked.every(rooms.high, None).map_err(|none| unsolved(engine, &none, ledger))?;
        let mut coldest = asked.every(rooms.low, Some(&warmest)).map_err(|none| unsolved(engine, &none, ledger))?;
        apart = 0.0;
        for answer in warmest.iter_mut().chain(&mut coldest) {
            answer.state.electrics = electric::apart(loads, answer);
            apart = f64::max(apart, answer.state.electrics);
        }
        if apart < electric::AGREEMENT {
            return Ok(Together { warmest, coldest, apart, turns });
        }
        if electric::anew(loads, warmest.iter().chain(&coldest)).is_none() {
            break;
        }
    }
    Err(proof::disagree(engine, apart, ledger))
}

struct Asked<'a> {
    parts: &'a Parts,
    fixed: &'a Fixed,
    loads: &'a [Load],
    cap: Option<Watts>,
    first: Option<Kelvin>,
}

impl Asked<'_> {
    /// Each channel alone, all with the cap where there is one, all without; each from the same one in another room.
    fn every(&self, room: Temperature, near: Option<&[Answer]>) -> Result<Vec<Answer>, Unsettled> {
        let mut found: Vec<Answer> = Vec::new();
        let one = |name: &str, loads: Vec<&Load>, capped: bool, found: &mut Vec<Answer>| -> Result<(), Unsettled> {
            let full: Watts = loads.iter().map(|l| l.full()).sum();
            let share = self.cap.filter(|cap| capped && full > *cap).map_or(1.0, |cap| cap / full);
            let near = near.map_or(found.last(), |near| near.get(found.len())).filter(|_| self.first.is_none());
            let ask = Ask { name, loads, share, room, near, first: self.first };
            let answer = settle::solve(self.parts, self.fixed, &ask)?;
            found.push(answer);
            Ok(())
        };
        if self.loads.len() > 1 {
            for load in self.loads {
                one(&load.name, vec![load], true, &mut found)?;
            }
        }
        if self.cap.is_some() {
            one("all", self.loads.iter().collect(), true, &mut found)?;
        }
        one("uncapped", self.loads.iter().collect(), false, &mut found)?;
        Ok(found)
    }
}

/// A lamp whose network has no balance: the message is an entry, and every rule that needs heat says not checked.
fn unsolved(engine: &Engine<'_>, none: &Unsettled, ledger: &mut Ledger) -> Missing {
    let runs = by("the light that fades with heat gives more heat, without end", MODEL);
    ledger.computed_text("heat.balance", "balance of heat", none.to_string(), runs, &[]);
    Missing { path: "heat.balance".into(), span: engine.enclosure.span, unknown: false }
}

fn judge(engine: &Engine<'_>, parts: &Parts, fixed: &Fixed, state: &State, covered: bool) -> Judged {
    let sink_place = if states::outside(&parts.assembly.cooler) { Where::Exposed } else { Where::Inside };
    let at = |t: Temperature, place| judged(t, state.room, place);
    let junctions = state.junctions.iter();
    let inside = fixed.supply.is_some();
    // Under an emitter that sits on the wall the surface is as warm as its board.
    let under = if matches!(parts.assembly.cooler, Cooler::Wall(_)) { state.board } else { state.wall };
    Judged {
        mount: covered.then(|| at(under, Where::Exposed)),
        wall: at(state.wall, Where::Exposed),
        front: state.front.map(|t| at(t, Where::Exposed)),
        inside: at(state.inside, Where::Inside),
        supply: inside.then(|| state.supply.map(|t| at(t, Where::Inside)).ok_or_else(|| engine.supply.size.missing())),
        sink: at(state.sink, sink_place),
        junctions: junctions.map(|(n, t)| (n.clone(), t.clone().map(|t| at(t, sink_place)))).collect(),
    }
}

impl Ladder {
    /// The room as a band, coldest to warmest.
    pub fn rooms(&self) -> Spread<Temperature> {
        let cold = self.coldest.last().map_or(self.room, |s| s.room);
        Spread { low: cold, nominal: self.room, high: self.room }
    }
}
