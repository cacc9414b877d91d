//! The states as entries of the ledger: the headline ladder, what is judged, each state, and the vents.

use crate::lamp::engine::Engine;
use crate::ledger::{Formula, Ledger};
use crate::physics::thermal::air::ATMOSPHERE;
use crate::physics::thermal::assembly::Cooler;
use crate::quantity::{Ratio, Temperature, Watts};

use super::super::drive::{ChannelSolution, by};
use super::super::feed::Feed;
use super::cooler::Parts;
use super::load::Load;
use super::states::{State, outside};
use super::{Judged, MODEL, proof};

const NETWORK: Formula = by("Σq = Q at every node of the network", MODEL);

/// The state with all on and uncapped in the warmest room.
pub(super) fn all(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    feed: &Feed,
    state: &State,
    judged: &Judged,
    parts: &Parts,
    ledger: &mut Ledger,
) {
    heat(engine, channels, feed, state, ledger);
    let room = engine.room.path.as_str();
    let from = [("Q", "heat.inside-power"), ("T_room", room), ("A", "heat.area"), ("k", "heat.wall-conductivity")];
    let mut enter = |path: &str, title: &str, t: Temperature| {
        ledger.computed(path, title, t, NETWORK, &from);
    };
    enter("heat.wall", "outer face of the wall", state.wall);
    enter("heat.inside", "air inside, warmest room", state.inside);
    if let Some(front) = state.front {
        enter("heat.front", "outer face of the front", front);
    }
    if let Some(supply) = state.supply {
        let case = if engine.supply.battery.is_some() { "case of the battery" } else { "case of the supply" };
        enter("heat.supply", case, supply);
    }
    let air = if outside(&parts.assembly.cooler) { room } else { "heat.inside" };
    let cools = engine.sink.map_or("heat.wall", |s| match &s.fins {
        Some(_) => s.size.path.as_str(),
        None => s.thermal.path.as_str(),
    });
    let inputs = [("T_air", air), ("Q", "heat.dice"), ("sink", cools)];
    ledger.computed("heat.sink", "the sink", state.sink, NETWORK, &inputs);
    let mut up = vec![("T_sink", "heat.sink"), ("Q", "heat.dice")];
    if ledger.get("heat.interface").is_some() {
        up.push(("R", "heat.interface"));
    }
    let layer = by("T = T_sink + Q·(R + R_spread)", "Fourier's law; spreading after Lee 1995 for a finned base");
    ledger.computed("heat.board", "the emitter's board", state.board, layer, &up);
    if judged.mount.is_some() {
        let (by_board, mount) =
            (matches!(parts.assembly.cooler, Cooler::Wall(_)), "what the lamp is fixed to or stands on");
        let (touches, under) = if by_board { ("heat.board", state.board) } else { ("heat.wall", state.wall) };
        let same = by("as warm as what touches it", "our model, on the warm side: the surface takes up nothing");
        ledger.computed("heat.mount", mount, under, same, &[("T", touches)]);
    }
    let rise = by("T_hot − T_cold", "definition");
    let rungs = [("T_hot", "heat.inside"), ("T_cold", room)];
    ledger.computed("heat.rise.body", "rise of the air inside above the room", state.inside - state.room, rise, &rungs);
    let rungs = [("T_hot", "heat.board"), ("T_cold", "heat.sink")];
    ledger.computed("heat.rise.layer", "rise of the board above the sink", state.board - state.sink, rise, &rungs);
    let rungs = [("T_hot", "heat.sink"), ("T_cold", "heat.inside")];
    ledger.computed("heat.rise.sink", "rise of the sink above the air inside", state.sink - state.inside, rise, &rungs);
    junctions(engine, state, ledger);
    enter_judged(judged, parts, ledger);
}

fn heat(engine: &Engine<'_>, channels: &[ChannelSolution], feed: &Feed, state: &State, ledger: &mut Ledger) {
    let paths: Vec<String> = channels
        .iter()
        .flat_map(|c| [format!("drive.{}.power", c.name), format!("drive.{}.radiant", c.name)])
        .collect();
    let symbols = ["P", "Φe"].into_iter().cycle();
    let from: Vec<(&'static str, &str)> = symbols.zip(paths.iter().map(String::as_str)).collect();
    let warm = by("Σ(P − Φe), each at its junction temperature", "conservation of power");
    ledger.computed("heat.dice", "heat of the dice, all on", state.dice, warm, &from);
    let shines = by("Σ Φe, each at its junction temperature", crate::solve::light::fading::SOURCE);
    ledger.computed("heat.radiant", "radiant power of the dice, all on and warm", state.radiant, shines, &from);
    let stays = by("Σ Φe·(1 − G·τ): radiant power that box and front take up", "conservation of power");
    let mut light: Vec<(&'static str, &str)> = from.iter().copied().filter(|(s, _)| *s == "Φe").collect();
    let ways: Vec<String> = channels.iter().map(|c| format!("light.channel.{}.on-sheet", c.name)).collect();
    if let Some(diffuser) = engine.diffuser {
        light.extend(ways.iter().map(|path| ("G", path.as_str())));
        light.push(("τ", &diffuser.transmission.path));
    }
    ledger.computed("heat.trapped-light", "light that ends as heat inside", state.trapped, stays, &light);
    let inputs: Vec<String> = channels.iter().map(|c| format!("drive.{}.input", c.name)).collect();
    let mut from: Vec<(&'static str, &str)> = inputs.iter().map(|p| ("P_in", p.as_str())).collect();
    from.extend([("Q_dice", "heat.dice"), ("Φ", "heat.trapped-light")]);
    if let Some(controller) = engine.controller {
        from.push(("P_controller", &controller.power.path));
    }
    if feed.loss.is_ok() {
        from.push(("P_supply", "feed.loss"));
    }
    let total =
        by("electrical power less the light that leaves; what stands outside adds nothing", "conservation of power");
    ledger.computed("heat.inside-power", "heat set free inside the body", state.inside_heat, total, &from);
}

fn junctions(engine: &Engine<'_>, state: &State, ledger: &mut Ledger) {
    for channel in &engine.driver.channels {
        let Some((_, Ok(hot))) = state.junctions.iter().find(|(name, _)| *name == channel.name) else { continue };
        let Some(die) = engine.die(channel) else { continue };
        let (string, light) = (format!("drive.{}.power", channel.name), format!("drive.{}.radiant", channel.name));
        let inputs = [
            ("T_board", "heat.board"),
            ("R", die.thermal.path.as_str()),
            ("P", string.as_str()),
            ("Φe", light.as_str()),
            ("n", die.count.path.as_str()),
            ("T_stated", die.stated_at.path.as_str()),
        ];
        let climbs = by("T = T_board + R·(P − Φe)/n, P and Φe at T", "Fourier's law; brought into agreement to 0.01 K");
        let path = format!("heat.junction.{}", channel.name);
        ledger.computed(path, "junction of the channel's dice", *hot, climbs, &inputs);
        if let Some((_, share)) = state.light.iter().find(|(name, _)| *name == channel.name) {
            let fades = by("e^(−r·(T_j − T_stated))", crate::solve::light::fading::SOURCE);
            let (path, junction) = (format!("heat.light.{}", channel.name), format!("heat.junction.{}", channel.name));
            let from = [("T_stated", die.stated_at.path.as_str()), ("T_j", junction.as_str())];
            ledger.computed_share(path, "radiant power once warm, by the stated one", *share, fades, &from);
        }
    }
}

fn enter_judged(judged: &Judged, parts: &Parts, ledger: &mut Ledger) {
    let exposed = by("T̂ = T_room + 1.15·(T − T_room)", "our margin for parts in the room");
    let inner = by("T̂ = T_room + 1.20·(T − T_room)", "our margin for parts inside");
    let sink = if outside(&parts.assembly.cooler) { exposed } else { inner };
    let mut enter = |what: &str, title: &str, t: Temperature, formula: Formula| {
        let (path, from) = (format!("heat.judged.{what}"), format!("heat.{what}"));
        let title = format!("{title}, with margin");
        ledger.computed(path, &title, t, formula, &[("T", from.as_str()), ("T_room", "lamp.room")]);
    };
    enter("wall", "outer face of the wall", judged.wall, exposed);
    enter("inside", "air inside", judged.inside, inner);
    enter("sink", "the sink", judged.sink, sink);
    if let Some(front) = judged.front {
        enter("front", "outer face of the front", front, exposed);
    }
    if let Some(mount) = judged.mount {
        enter("mount", "what the lamp is fixed to or stands on", mount, exposed);
    }
    if let Some(Ok(supply)) = judged.supply {
        enter("supply", "case of the supply", supply, inner);
    }
    let mut hottest: Option<(String, Temperature)> = None;
    for (name, hot) in judged.junctions.iter().filter_map(|(n, t)| Some((n, *t.as_ref().ok()?))) {
        enter(&format!("junction.{name}"), &format!("junction of {name}"), hot, sink);
        if hottest.as_ref().is_none_or(|(_, t)| hot > *t) {
            hottest = Some((format!("heat.judged.junction.{name}"), hot));
        }
    }
    if let Some((path, hot)) = hottest {
        let of = by("max T̂_j", "definition");
        ledger.computed("heat.judged.hottest", "hottest junction, with margin", hot, of, &[("T̂_j", path.as_str())]);
    }
}

/// Every state, for papers: `heat.state.NAME.sink` in the warmest room, `heat.cold.NAME.sink` in the coldest.
pub(super) fn states(engine: &Engine<'_>, warm: &[State], cold: &[State], ledger: &mut Ledger) {
    if !ledger.is_for_papers() {
        return;
    }
    let room = engine.room.path.as_str();
    for (prefix, all) in [("heat.state", warm), ("heat.cold", cold)] {
        for state in all {
            one(prefix, state, room, ledger);
        }
    }
    proof::of_all(warm, cold, ledger);
}

/// How much of a kelvin comes back as heat, because light fades: `heat.gain`.
pub(super) fn gain(loads: &[Load], state: &State, ledger: &mut Ledger) -> f64 {
    let known = state.junctions.iter().filter_map(|(name, t)| Some((name, *t.as_ref().ok()?)));
    let (name, hottest) = known.reduce(|a, b| if b.1 > a.1 { b } else { a }).unzip();
    let rise = hottest.map_or(0.0, |hot| (hot - state.room).value());
    let resistance = if state.dice > Watts::ZERO { rise / state.dice.value() } else { 0.0 };
    let gain = resistance * loads.iter().map(|load| load.feedback(hottest.unwrap_or(state.room))).sum::<f64>();
    let formula = by("g = (T_j − T_room)/Q·Σ r·Φe", "linear theory of feedback; stable below 1");
    let junction = name.map(|name| format!("heat.junction.{name}"));
    let rest = [("Q", "heat.dice"), ("T_room", "lamp.room"), ("Φe", "heat.radiant")];
    let inputs: Vec<(&'static str, &str)> = junction.iter().map(|path| ("T_j", path.as_str())).chain(rest).collect();
    ledger.computed_share("heat.gain", "share of a kelvin that comes back as heat", gain, formula, &inputs)
}

fn one(prefix: &str, state: &State, room: &str, ledger: &mut Ledger) {
    let at = |what: &str| format!("{prefix}.{}.{what}", state.name);
    let from = [("T_room", room)];
    let when = if state.name == "uncapped" { "all on, uncapped".to_owned() } else { format!("{} on", state.name) };
    let place = if prefix == "heat.cold" { "coldest room" } else { "warmest room" };
    let mut enter = |what: &str, title: &str, t: Temperature| {
        ledger.computed(at(what), &format!("{title}, {when}, {place}"), t, NETWORK, &from);
    };
    enter("wall", "wall", state.wall);
    enter("inside", "air inside", state.inside);
    enter("sink", "sink", state.sink);
    enter("board", "board", state.board);
    if let Some(supply) = state.supply {
        enter("supply", "supply", supply);
    }
    if let Some(front) = state.front {
        enter("front", "front", front);
    }
    let hottest = state.junctions.iter().filter_map(|(_, t)| t.as_ref().ok()).copied().reduce(Temperature::max);
    if let Some(hot) = hottest {
        enter("junction", "hottest junction", hot);
    }
    let dice = by("Σ(P − Φe)", "conservation of power");
    ledger.computed(at("dice"), &format!("heat of the dice, {when}, {place}"), state.dice, dice, &from);
    efficiency(&at, &format!("{when}, {place}"), state, ledger);
    if prefix == "heat.state" {
        channels(&at, &format!("{when}, {place}"), state, ledger);
    }
    proof::of_state(&at, &format!("{when}, {place}"), state, ledger);
}

/// Efficiency of each channel's drive, controller aside; what is lost beside the cycle is as at 25 °C.
fn channels(at: &dyn Fn(&str) -> String, when: &str, state: &State, ledger: &mut Ledger) {
    for drawn in &state.channels {
        let own = |figure: &str| format!("drive.{}.{figure}", drawn.name);
        let of = |figure: &str| ledger.get(&own(figure)).and_then(|e| e.value).map(Watts::si);
        let (Some(losses), Some(string), Some(input)) = (of("losses"), of("power"), of("input")) else { continue };
        // The edges of the switch and the gain resistors take their part whenever the channel runs.
        let beside =
            if drawn.input > Watts::ZERO { (losses + string - input) * (drawn.string / string) } else { losses };
        let all = drawn.input + beside;
        if !(drawn.string > Watts::ZERO && all > Watts::ZERO) {
            continue;
        }
        let (junction, name) = (at(&format!("junction.{}", drawn.name)), &drawn.name);
        let network = [("T_room", "lamp.room"), ("P_25", &own("power"))];
        ledger.computed(&junction, &format!("junction of {name}, {when}"), drawn.junction, NETWORK, &network);
        let share = by("P_string/(P_in + ΣP beside) of the circuit at this junction", "conservation of power");
        let (power, taken, lost) = (own("power"), own("input"), own("losses"));
        let from = [("T_j", junction.as_str()), ("P_25", &power), ("P_in,25", &taken), ("ΣP_25", &lost)];
        let title = format!("efficiency of the drive of {name}, {when}");
        ledger.computed_share(at(&format!("efficiency.{name}")), &title, drawn.string / all, share, &from);
    }
}

/// What the strings of a state get of what its drive and controller take, each circuit at its junction.
fn efficiency(at: &dyn Fn(&str) -> String, when: &str, state: &State, ledger: &mut Ledger) {
    let inputs: Vec<String> = state.light.iter().map(|(name, _)| format!("drive.{name}.input")).collect();
    let strings: Vec<String> = state.light.iter().map(|(name, _)| format!("drive.{name}.power")).collect();
    let from = |paths: &[String]| -> Vec<(&'static str, String)> {
        let junction = ledger.get(&at("junction")).map(|e| ("T_j", e.path.clone()));
        paths.iter().map(|path| ("P_25", path.clone())).chain(junction).collect()
    };
    let (strings, inputs) = (from(&strings), from(&inputs));
    let mut enter = |what: &str, title: String, value: Watts, formula: Formula, from: &[(&'static str, String)]| {
        let from: Vec<(&'static str, &str)> = from.iter().map(|(s, p)| (*s, p.as_str())).collect();
        ledger.computed(at(what), &title, value, formula, &from);
    };
    let warm = by("ΣP of each circuit at its junction", "conservation of power; network and circuits agree to 0.01 %");
    enter("strings", format!("power of the strings, {when}"), state.strings, warm, &strings);
    let with = by("ΣP_in of each circuit at its junction, and the controller", "conservation of power");
    enter("taken", format!("power from the supply, {when}"), state.taken, with, &inputs);
    if state.taken > Watts::ZERO {
        let (strings, taken) = (at("strings"), at("taken"));
        let share = by("P_strings/P", "conservation of power");
        let title = format!("efficiency of drive and controller, {when}");
        let from = [("P_strings", strings.as_str()), ("P", taken.as_str())];
        ledger.computed_share(at("efficiency"), &title, state.strings / state.taken, share, &from);
    }
}

/// What the vents do.
pub(super) fn vents(parts: &Parts, state: &State, ledger: &mut Ledger) -> Option<(Watts, f64)> {
    let vents = parts.assembly.vents?;
    let draught = vents.draught(state.inside, state.room, ATMOSPHERE);
    let stack =
        by("stack flow with inertia and viscous loss", "ASHRAE stack equation with Sampson and Poiseuille losses");
    let inputs = [("T_inside", "heat.inside"), ("T_room", "lamp.room")];
    ledger.computed("heat.vents", "heat that the vents carry off", draught.heat, stack, &inputs);
    let share = draught.neutral / vents.rise;
    let neutral = by("h_n/H", "as the flow divides its losses");
    ledger.computed(
        "heat.vents-neutral",
        "neutral level between the vents",
        Ratio::si(share),
        neutral,
        &[("q", "heat.vents")],
    );
    Some((draught.heat, share))
}
