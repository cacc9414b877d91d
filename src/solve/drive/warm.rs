//! Every channel at the temperature it works at: string, current, power, loss and efficiency once the lamp is warm.
//! Turns the junctions of the network into what meters show after the soak; entries `drive.NAME.warm-*` and `feed.warm`.

use crate::lamp::driver::Channel;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::Watts;
use crate::solve::heat::Ladder;

use super::circuit::{Circuit, Running};
use super::desk::{Desk, by};
use super::outcome::absent;
use super::solution::ChannelSolution;

const BALANCE: &str = "conservation of power";

/// Works every channel out at its junction, and what they take from the supply together.
///
/// # Errors
/// The figure that is missing for one of them.
pub fn warm(
    engine: &Engine<'_>,
    heat: &Found<Ladder>,
    channels: &[ChannelSolution],
    ledger: &mut Ledger,
) -> Found<Watts> {
    let pairs = engine.driver.channels.iter().zip(channels);
    let one = |(channel, solved): (&Channel, &ChannelSolution), ledger: &mut Ledger| {
        let mut desk = Desk::new(engine, channel, ledger);
        enter(&mut desk, heat, solved)
    };
    let inputs: Vec<Found<Watts>> = pairs.map(|pair| one(pair, ledger)).collect();
    budget(engine, &inputs, ledger)
}

/// Enters what a channel does at its junction with all channels on; gives the power it takes from the supply.
fn enter(desk: &mut Desk<'_>, heat: &Found<Ladder>, solved: &ChannelSolution) -> Found<Watts> {
    let ladder = heat.as_ref().map_err(Clone::clone)?;
    let own = ladder.junctions.iter().find(|(name, _)| *name == solved.name);
    let junction = own.ok_or_else(|| absent("heat.junction", solved.span))?.1.clone()?;
    let string = solved.string.clone()?;
    let drift = &desk.die()?.drift;
    let fall = drift.nominal()? * f64::from(string.count);
    let circuit = Circuit::of(desk.engine, solved, fall, desk.ledger)?;
    let (line, running) = (circuit.line(junction), circuit.at(junction));
    let running = running.ok_or_else(|| desk.engine.driver.off_time.missing())?;
    let (drift, at) = (&drift.path, format!("heat.junction.{}", solved.name));
    let inputs = [("V0", ".string-offset"), ("Rd", ".string-slope"), ("k", drift.as_str()), ("T_j", at.as_str())];
    let warmed = by("V = V0 + n·k·(T_j − 25 °C) + Rd·I", "linear drift of the forward voltage, data-sheet practice");
    desk.enter("warm-string", "string once warm, all on", line.forward_voltage(running.current), warmed, &inputs);
    let again = by("the same circuit with the warm string", "Kirchhoff's laws; all on, warmest room");
    let from = [("V", ".warm-string"), ("I_25", ".current")];
    desk.enter("warm-current", "current at full once warm, all on", running.current, again, &from);
    powers(desk, &running);
    Ok(running.input)
}

fn powers(desk: &mut Desk<'_>, running: &Running) {
    let string = by("P = V·I", BALANCE);
    desk.enter(
        "warm-power",
        "power of the string at full once warm",
        running.string,
        string,
        &[("V", ".warm-string"), ("I", ".warm-current")],
    );
    let taken = by("what the same circuit takes with the warm string", BALANCE);
    let from = [("P_string", ".warm-power"), ("P_25", ".input")];
    desk.enter("warm-input", "power taken from the supply at full once warm", running.input, taken, &from);
    if desk.ledger.get(&desk.path("losses")).is_none() {
        return;
    }
    let loss = running.input - running.string;
    let rest = by("P_in − P_string", BALANCE);
    let from = [("P_in", ".warm-input"), ("P_string", ".warm-power")];
    desk.enter("warm-losses", "losses of the drive at full once warm", loss, rest, &from);
    if running.input > Watts::ZERO {
        let share = by("P_string/(P_string + ΣP)", BALANCE);
        let from = [("P_string", ".warm-power"), ("ΣP", ".warm-losses")];
        desk.enter_share(
            "warm-efficiency",
            "efficiency of the drive at full once warm",
            running.string / running.input,
            share,
            &from,
        );
    }
}

/// Enters what the supply gives once all channels are warm.
fn budget(engine: &Engine<'_>, inputs: &[Found<Watts>], ledger: &mut Ledger) -> Found<Watts> {
    let mut sum = engine.controller.map_or(Ok(Watts::ZERO), |c| c.power.nominal())?;
    for input in inputs {
        sum = sum + input.clone()?;
    }
    let paths: Vec<String> = engine.driver.channels.iter().map(|c| format!("drive.{}.warm-input", c.name)).collect();
    let mut from: Vec<(&'static str, &str)> = paths.iter().map(|p| ("P", p.as_str())).collect();
    from.extend(engine.controller.map(|c| ("P_controller", c.power.path.as_str())));
    let all = by("sum of all warm channels at full and the controller; the firmware's cap ignored", BALANCE);
    Ok(ledger.computed("feed.warm", "power from the supply once warm, all on and uncapped", sum, all, &from))
}
