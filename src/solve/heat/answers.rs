//! Limits turned round: the most current, the warmest room, the sink and the vents that would just hold them.

use crate::ledger::Ledger;
use crate::physics::thermal::assembly::{Assembly, Cooler};
use crate::physics::thermal::faces::area;
use crate::physics::thermal::judged::{Where, crossing, judged, most};
use crate::physics::thermal::vents::{Openings, SHARP, Vents};
use crate::quantity::{Kelvin, KelvinPerWatt, Metres, SquareMetres, Temperature, WattsPerKelvin};

use super::super::drive::by;
use super::body::Walls;
use super::cooler::{Parts, Seat};
use super::load::{Fixed, Load};
use super::states::{Ask, State, outside, solve};

/// What would just do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Answers {
    /// All currents by this factor keep the hottest junction at its limit; none where not even a tenth does.
    pub most_current: Option<f64>,
    /// The warmest room; none outside −20 to 80 °C.
    pub most_room: Option<Temperature>,
    /// Sink to its air, where a sink alone can do it.
    pub sink_needed: Option<KelvinPerWatt>,
    /// Open area of each of two levels, where openings alone can do it.
    pub vent_area: Option<SquareMetres>,
    /// How far the hottest junction is from its limit, with its margin; above nothing it is too hot.
    pub excess: Kelvin,
}

struct Question<'a> {
    parts: &'a Parts,
    fixed: &'a Fixed,
    loads: &'a [Load],
    place: Where,
}

/// Answers the questions for all channels on, uncapped; entries `heat.answer.*`.
pub(super) fn solve_all(
    parts: &Parts,
    fixed: &Fixed,
    loads: &[Load],
    walls: &Walls,
    full: &State,
    ledger: &mut Ledger,
) -> Option<Answers> {
    let place = if outside(&parts.assembly.cooler) { Where::Exposed } else { Where::Inside };
    let asked = Question { parts, fixed, loads, place };
    let excess = asked.excess(full)?;
    let room = full.room;
    let most_current = most(0.1, 3.0, 1e-3, |share| asked.ask(&parts.assembly, share, room));
    let most_room =
        most(253.15, 353.15, 0.05, |t| asked.ask(&parts.assembly, 1.0, Temperature::si(t))).map(Temperature::si);
    let sink_needed = asked.sink(room);
    let vent_area = if excess > Kelvin::ZERO { asked.vents(walls, room) } else { None };
    let answers = Answers { most_current, most_room, sink_needed, vent_area, excess };
    enter(&answers, ledger);
    Some(answers)
}

impl Question<'_> {
    /// The most that a junction, with its margin, is above its limit.
    fn excess(&self, state: &State) -> Option<Kelvin> {
        let each = state.junctions.iter().zip(self.loads).filter_map(|((_, hot), load)| {
            let hot = judged(*hot.as_ref().ok()?, state.room, self.place);
            Some((hot - *load.limit.as_ref().ok()?).value())
        });
        each.reduce(f64::max).map(Kelvin::si)
    }

    fn ask(&self, assembly: &Assembly, share: f64, room: Temperature) -> Option<f64> {
        let Seat { layer, source } = self.parts.seat;
        let parts = Parts {
            assembly: assembly.clone(),
            seat: Seat { layer, source },
            sheet: self.parts.sheet,
            capacities: self.parts.capacities.clone(),
        };
        let ask = Ask { name: "", loads: self.loads.iter().collect(), share, room };
        let state = solve(&parts, self.fixed, &ask).ok()?.state;
        Some(self.excess(&state)?.value())
    }

    /// Excess falls as the sink gets better, so the search runs over its logarithm, upwards from a perfect one by
    /// doubling: a hopeless sink takes the solver longest, and one is enough.
    fn sink(&self, room: Temperature) -> Option<KelvinPerWatt> {
        if matches!(self.parts.assembly.cooler, Cooler::Wall(_)) {
            return None;
        }
        let outside = outside(&self.parts.assembly.cooler);
        let with = |log: f64| {
            let conductance = WattsPerKelvin::si(1.0 / libm::exp(log));
            let cooler = Cooler::Stated { conductance, outside };
            // A sink so bad that nothing balances is worse than any limit.
            self.ask(&Assembly { cooler, ..self.parts.assembly.clone() }, 1.0, room).or(Some(500.0))
        };
        if with(libm::log(1e-3))? > 0.0 {
            return None;
        }
        let (mut good, worst) = (libm::log(0.25), libm::log(300.0));
        let mut bad = good + core::f64::consts::LN_2;
        while bad < worst && with(bad)? <= 0.0 {
            (good, bad) = (bad, bad + core::f64::consts::LN_2);
        }
        let log = if bad >= worst { worst } else { crossing(good, bad, 2e-3, with)? };
        Some(KelvinPerWatt::si(libm::exp(log)))
    }

    /// Two levels of 6 mm holes, 0.7 of the inner height apart, up to a twentieth of the shell.
    fn vents(&self, walls: &Walls, room: Temperature) -> Option<SquareMetres> {
        let whole = walls.zones.first().map(|shell| area(&shell.outer))?;
        let with = |share: f64| {
            let level = Openings { area: whole * share, width: Metres::si(6e-3) };
            let rise = walls.height * 0.7;
            let vents = Vents { rise, low: level, high: level, wall: Metres::si(2e-3), discharge: SHARP };
            let assembly = Assembly { vents: Some(vents), ..self.parts.assembly.clone() };
            self.ask(&assembly, 1.0, room).map(|excess| -excess)
        };
        most(1e-5, 0.05, 1e-4, with).map(|share| whole * share)
    }
}

fn enter(answers: &Answers, ledger: &mut Ledger) {
    const SEARCH: &str = "the network solved over and over";
    let inputs = [("T_j", "heat.judged.hottest"), ("T_room", "lamp.room")];
    let title = "hottest junction above its limit, with margin";
    ledger.computed("heat.answer.excess", title, answers.excess, by("T̂_j − T_max", "our margin"), &inputs);
    if let Some(share) = answers.most_current {
        let factor = by("factor on all currents at which T̂_j = T_max", SEARCH);
        let title = "most current, as a share of the set one";
        ledger.computed_share("heat.answer.most-current", title, share, factor, &inputs);
    }
    if let Some(room) = answers.most_room {
        let warmest = by("room at which T̂_j = T_max", SEARCH);
        ledger.computed("heat.answer.most-room", "warmest room the dice bear", room, warmest, &inputs);
    }
    match answers.sink_needed {
        Some(sink) => {
            let worst = by("R at which T̂_j = T_max", SEARCH);
            ledger.computed("heat.answer.sink-needed", "worst sink that still does", sink, worst, &inputs);
        }
        None => {
            let none = by("T̂_j > T_max with a perfect sink in the same place", SEARCH);
            ledger.computed_text(
                "heat.answer.sink-needed",
                "worst sink that still does",
                "no sink helps",
                none,
                &inputs,
            );
        }
    }
    if let Some(vents) = answers.vent_area {
        let holes = by("two levels of 6 mm holes, 0.7 of the inner height apart, at which T̂_j = T_max", SEARCH);
        ledger.computed("heat.answer.vent-area", "open area needed at each level", vents, holes, &inputs);
    }
}
