//! The loop of current and warmth cut open: the network with strings that never warm, and what a watt more does to it.
//! Turns loads on a fixed voltage into the figures that their loop gain is made from, whether the loop settles or not.

use crate::lamp::engine::Engine;
use crate::ledger::Ledger;
use crate::physics::thermal::assembly::Sources;
use crate::physics::thermal::solver::steady;
use crate::quantity::{KelvinPerWatt, Temperature, Watts};
use crate::schema::words::Topology;

use super::super::drive::by;
use super::MODEL;
use super::cooler::Parts;
use super::load::{Fixed, Load, Point};
use super::settle::solve;
use super::states::{Answer, Ask, board};

/// Junctions of the strings as they are at 25 °C, all on, warmest room; the channel's name follows.
pub(in crate::solve) const JUNCTION: &str = "heat.open.junction";
/// What a watt more of the dice adds to the board.
pub(in crate::solve) const RESPONSE: &str = "heat.open.response";

/// Enters the figures for lamps whose strings hang on a voltage; nothing where even the open loop has no balance.
pub(super) fn enter(
    engine: &Engine<'_>,
    parts: &Parts,
    fixed: &Fixed,
    loads: &[Load],
    room: Temperature,
    ledger: &mut Ledger,
) {
    if engine.driver.topology.value != Some(Topology::BallastResistor) {
        return;
    }
    let Some(held) = loads.iter().map(Load::held).collect::<Option<Vec<Load>>>() else { return };
    let ask = Ask { name: "open", loads: held.iter().collect(), share: 1.0, room, near: None, first: None };
    let Ok(answer) = solve(parts, fixed, &ask) else { return };
    let Some(response) = response(parts, fixed, &held, &answer) else { return };
    let powers: Vec<String> = loads.iter().map(|load| format!("drive.{}.power", load.name)).collect();
    let mut from: Vec<(&'static str, &str)> = powers.iter().map(|path| ("P_25", path.as_str())).collect();
    from.push(("T_room", engine.room.path.as_str()));
    let network = by("network with the power of 25 °C", MODEL);
    for took in &answer.state.channels {
        let title =
            format!("junction of {} if the strings stayed as they are at 25 °C, all on, warmest room", took.name);
        ledger.computed(format!("{JUNCTION}.{}", took.name), &title, took.junction, network, &from);
    }
    let slope = by("R = ΔT_board/ΔQ of the dice, a hundredth more, all other heat as it was", MODEL);
    let title = "what a watt more of the dice adds to the board, through the whole lamp to the room";
    ledger.computed(RESPONSE, title, response, slope, &from);
}

/// The slope of the board over the heat of the dice at this answer; none where the dice make no heat.
fn response(parts: &Parts, fixed: &Fixed, loads: &[Load], answer: &Answer) -> Option<KelvinPerWatt> {
    let built = &answer.built;
    let pairs = loads.iter().zip(&answer.state.channels);
    let points: Vec<Point> = pairs.map(|(load, took)| load.at(took.junction, answer.share)).collect();
    let less = fixed.sources(&points, built.zones.len());
    let more = Sources { dice: less.dice * 1.01, ..less.clone() };
    let at = |sources: &Sources| {
        let found = steady(&built.network, &built.heat(sources), Some(&answer.steady)).ok()?;
        Some(board(parts, built, &found, sources))
    };
    let rise = at(&more)? - at(&less)?;
    (less.dice > Watts::ZERO).then(|| rise / (more.dice - less.dice))
}
