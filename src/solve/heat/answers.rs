//! Limits turned round: the most current, the warmest room, the sink and the vents that would just hold them.

use std::sync::{Arc, OnceLock};

use crate::figures::{shown_above, shown_below};
use crate::ledger::Ledger;
use crate::physics::thermal::assembly::{Assembly, Cooler};
use crate::physics::thermal::faces::area;
use crate::physics::thermal::judged::{Known, Where, crossing, judged, most_near};
use crate::physics::thermal::vents::{Openings, SHARP, Vents};
use crate::quantity::{Kelvin, KelvinPerWatt, Metres, SquareMetres, Temperature, WattsPerKelvin};

use super::super::drive::by;
use super::body::Walls;
use super::cooler::Parts;
use super::load::{Fixed, Load};
use super::settle::solve;
use super::states::{Answer, Ask, State, outside};

/// How far the dice are from their limit, and what would bring them there: that is searched for when first asked.
#[derive(Debug, Clone)]
pub struct Answers {
    /// How far the hottest junction is from its limit, with its margin; above nothing it is too hot.
    pub excess: Kelvin,
    asked: Arc<Asked>,
}

#[derive(Debug)]
struct Asked {
    question: Question,
    just: OnceLock<JustDoes>,
}

/// What would just do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JustDoes {
    /// All currents by this factor keep the hottest junction at its limit; none where not even a tenth does.
    pub most_current: Option<f64>,
    /// The warmest room; none outside −20 to 80 °C.
    pub most_room: Option<Temperature>,
    /// Sink to its air, where a sink alone can do it.
    pub sink_needed: Option<KelvinPerWatt>,
    /// Open area of each of two levels, where openings alone can do it.
    pub vent_area: Option<SquareMetres>,
}

#[derive(Debug)]
struct Question {
    parts: Parts,
    fixed: Fixed,
    loads: Vec<Load>,
    place: Where,
    /// Face of the shell, and height of the space in it.
    shell: (Option<SquareMetres>, Metres),
    /// All on and uncapped, where every search starts.
    full: Answer,
    /// The lowest limit of a junction.
    limit: Temperature,
}

/// Ends of the searches: what lies beyond is no plan for these dice, nor a room for people.
const MOST_CURRENT: f64 = 3.0;
const MOST_ROOM: Temperature = Temperature::from_celsius(80.0);
const WORST_SINK: f64 = 300.0;
/// Where nothing balances the lamp is this much too hot.
const HOPELESS: f64 = 500.0;

/// Asks the questions for all channels on, uncapped; entries `heat.answer.*` where a paper is to have them.
pub(super) fn solve_all(
    (parts, fixed, loads): (Parts, Fixed, Vec<Load>),
    walls: &Walls,
    full: Answer,
    ledger: &mut Ledger,
) -> Option<Answers> {
    let place = if outside(&parts.assembly.cooler) { Where::Exposed } else { Where::Inside };
    let shell = (walls.zones.first().map(|shell| area(&shell.outer)), walls.height);
    // Where nobody gave a limit there is nothing to ask.
    let limit = loads.iter().filter_map(|load| load.limit.as_ref().ok()).copied().reduce(Temperature::min)?;
    let question = Question { parts, fixed, loads, place, shell, full, limit };
    let excess = question.excess(&question.full.state)?;
    let answers = Answers { excess, asked: Arc::new(Asked { question, just: OnceLock::new() }) };
    if ledger.is_for_papers() {
        enter(excess, answers.just(), ledger);
    }
    Some(answers)
}

impl Answers {
    /// What would just do.
    pub fn just(&self) -> &JustDoes {
        self.asked.just.get_or_init(|| self.asked.question.just(self.excess))
    }
}

impl Question {
    fn just(&self, excess: Kelvin) -> JustDoes {
        let (assembly, room) = (&self.parts.assembly, self.full.state.room);
        // Without current the dice are as warm as the room.
        let slope = (excess + (self.limit - room)).value().max(1.0);
        let known = Known { at: 1.0, value: excess.value(), slope };
        let most_current = most_near(known, (0.1, MOST_CURRENT), 1e-3, |by| self.ask(assembly, by, room));
        let known = Known { at: room.value(), value: excess.value(), slope: 1.0 };
        let by_room = |t| self.ask(assembly, 1.0, Temperature::si(t));
        let most_room = most_near(known, (253.15, MOST_ROOM.value()), 0.05, by_room).map(Temperature::si);
        let sink_needed = self.sink(room);
        let vent_area = if excess > Kelvin::ZERO { self.vents(room) } else { None };
        // What just does is printed on the side that holds: a figure rounded the other way would just not do.
        JustDoes {
            most_current: most_current.map(|share| shown_below(share, "")),
            most_room: most_room.map(|room| Temperature::si(shown_below(room.value(), "°C"))),
            sink_needed: sink_needed.map(|sink| KelvinPerWatt::si(shown_below(sink.value(), "K/W"))),
            vent_area: vent_area.map(|area| SquareMetres::si(shown_above(area.value(), "m²"))),
        }
    }

    /// The most that a junction, with its margin, is above its limit.
    fn excess(&self, state: &State) -> Option<Kelvin> {
        let each = state.junctions.iter().zip(&self.loads).filter_map(|((_, hot), load)| {
            let hot = judged(*hot.as_ref().ok()?, state.room, self.place);
            Some((hot - *load.limit.as_ref().ok()?).value())
        });
        each.reduce(f64::max).map(Kelvin::si)
    }

    /// How much too hot the dice are with the currents by this factor; `HOPELESS` where nothing balances.
    fn ask(&self, assembly: &Assembly, by: f64, room: Temperature) -> f64 {
        let parts = Parts { assembly: assembly.clone(), capacities: Ok(()), ..self.parts };
        let driven: Vec<Load> = self.loads.iter().map(|load| load.driven(by)).collect();
        let (loads, near) = (driven.iter().collect(), Some(&self.full));
        let ask = Ask { name: "", loads, share: 1.0, room, near, first: None };
        let state = solve(&parts, &self.fixed, &ask).ok().map(|answer| answer.state);
        state.and_then(|state| self.excess(&state)).map_or(HOPELESS, |excess| excess.value())
    }

    /// The worst sink that does, up to [`WORST_SINK`]. Over a sink the dice rise by their heat times its resistance.
    fn sink(&self, room: Temperature) -> Option<KelvinPerWatt> {
        if matches!(self.parts.assembly.cooler, Cooler::Wall(_)) {
            return None;
        }
        let outside = outside(&self.parts.assembly.cooler);
        let with = |resistance: f64| {
            let cooler = Cooler::Stated { conductance: WattsPerKelvin::si(1.0 / resistance), outside };
            self.ask(&Assembly { cooler, ..self.parts.assembly.clone() }, 1.0, room)
        };
        const PERFECT: f64 = 1e-3;
        let at_best = with(PERFECT);
        if at_best > 0.0 {
            return None;
        }
        let slope = (self.full.state.dice.value() * self.place.factor()).max(1e-3);
        let known = Known { at: PERFECT, value: at_best, slope };
        most_near(known, (PERFECT, WORST_SINK), 2e-3, with).map(KelvinPerWatt::si)
    }

    /// Two levels of 6 mm holes, 0.7 of the inner height apart, up to a twentieth of the shell; the search runs over
    /// the logarithm of their area.
    fn vents(&self, room: Temperature) -> Option<SquareMetres> {
        let (Some(whole), height) = self.shell else { return None };
        let with = |log: f64| {
            let level = Openings { area: whole * libm::exp(log), width: Metres::si(6e-3) };
            let rise = height * 0.7;
            let vents = Vents { rise, low: level, high: level, wall: Metres::si(2e-3), discharge: SHARP };
            let assembly = Assembly { vents: Some(vents), ..self.parts.assembly.clone() };
            -self.ask(&assembly, 1.0, room)
        };
        let (least, most) = (libm::log(1e-5), libm::log(0.05));
        crossing(least, most, 5e-3, with).map(|log| whole * libm::exp(log))
    }
}

const SEARCH: &str = "the network solved over and over";

/// The answers; a question without one gets the words for that.
fn enter(excess: Kelvin, answers: &JustDoes, ledger: &mut Ledger) {
    let inputs = [("T_j", "heat.judged.hottest"), ("T_room", "lamp.room")];
    let title = "hottest junction above its limit, with margin";
    ledger.computed("heat.answer.excess", title, excess, by("T̂_j − T_max", "our margin"), &inputs);
    let (path, title) = ("heat.answer.most-current", "most current, as a share of the set one");
    let factor =
        by("factor s on all currents at which T̂_j = T_max; string power by s·(V0 + s·Rd·I)/V, light by s^b", SEARCH);
    match answers.most_current {
        Some(share) if share >= MOST_CURRENT => ledger.computed_text(path, title, "more than 300 %", factor, &inputs),
        Some(share) => {
            ledger.computed_share(path, title, share, factor, &inputs);
        }
        None => ledger.computed_text(path, title, "not even a tenth", factor, &inputs),
    }
    let (path, title) = ("heat.answer.most-room", "warmest room the dice bear");
    let warmest = by("room at which T̂_j = T_max", SEARCH);
    match answers.most_room {
        Some(room) if room >= MOST_ROOM => ledger.computed_text(path, title, "above 80 °C", warmest, &inputs),
        Some(room) => {
            ledger.computed(path, title, room, warmest, &inputs);
        }
        None => ledger.computed_text(path, title, "none above −20 °C", warmest, &inputs),
    }
    let (path, title) = ("heat.answer.sink-needed", "worst sink that still does");
    match answers.sink_needed {
        Some(sink) if sink.value() >= WORST_SINK => {
            let any = by("R at which T̂_j = T_max", SEARCH);
            ledger.computed_text(path, title, "any: more than 300 K/W", any, &inputs);
        }
        Some(sink) => {
            ledger.computed(path, title, sink, by("R at which T̂_j = T_max", SEARCH), &inputs);
        }
        None => {
            let none = by("T̂_j > T_max with a perfect sink in the same place", SEARCH);
            ledger.computed_text(path, title, "no sink helps", none, &inputs);
        }
    }
    vents((excess, answers.vent_area), &inputs, ledger);
}

fn vents((excess, needed): (Kelvin, Option<SquareMetres>), inputs: &[(&'static str, &str)], ledger: &mut Ledger) {
    let (path, title) = ("heat.answer.vent-area", "open area needed at each level");
    let holes = by("two levels of 6 mm holes, 0.7 of the inner height apart, at which T̂_j = T_max", SEARCH);
    match needed {
        Some(vents) => {
            ledger.computed(path, title, vents, holes, inputs);
        }
        None if excess > Kelvin::ZERO => {
            ledger.computed_text(path, title, "openings alone do not help", holes, inputs);
        }
        None => ledger.computed_text(path, title, "none: the dice keep their limit as it is", holes, inputs),
    }
}
