//! What needs wires and heat: voltage left for the driver, junctions of transistor and switch, the ballast's loop.
//! Comes after the ladder of temperatures and fills what `solve` had to leave open.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::parts::resistor::{DeratingCurve, rating_to_buy};
use crate::quantity::{Amperes, Temperature, Volts, Watts};
use crate::solve::heat::Ladder;
use crate::solve::wires::{Role, Wire, WireZone};

use super::desk::{Desk, by};
use super::outcome::absent;
use super::solution::{ChannelSolution, Drive, Headroom, Loading};

/// What is left in the worst corner, once wires and heat are known; also junctions of transistors and switches.
pub fn headroom(
    engine: &Engine<'_>,
    wires: &[Wire],
    heat: &Found<Ladder>,
    channels: &mut [ChannelSolution],
    ledger: &mut Ledger,
) {
    for (channel, solved) in engine.driver.channels.iter().zip(channels.iter_mut()) {
        let mut desk = Desk::new(engine, channel, ledger);
        solved.headroom = left(&mut desk, wires, solved);
        warm(&mut desk, heat, solved);
        solved.loading = loading(&mut desk, heat, solved);
    }
}

fn left(desk: &mut Desk<'_>, wires: &[Wire], solved: &ChannelSolution) -> Found<Headroom> {
    let (output, output_path) = super::outcome::supply(desk)?;
    let string = solved.string.clone()?;
    let (drop, carriers) = wire_drop(desk, wires)?;
    let carriers: Vec<(&'static str, &str)> = carriers.iter().map(|path| ("V", path.as_str())).collect();
    let lowest = output.low - drop;
    let needs = driver_drop(desk, solved)?;
    let spare = lowest - string.coldest - needs;
    let wired = by("sum of the drops of the wires that carry it", "Ohm's law");
    desk.enter("wire-drop", "voltage lost in the channel's wires", drop, wired, &carriers);
    desk.enter(
        "headroom-lowest",
        "lowest voltage at the driver",
        lowest,
        by("V = V_low − V_wires, V_low the lowest the supply gives", "Kirchhoff's voltage law"),
        &[("V_low", &output_path), ("V_wires", ".wire-drop")],
    );
    let rest = by("V = V_lowest − V_string,coldest − V_driver", "Kirchhoff's voltage law");
    desk.enter(
        "headroom",
        "voltage left in the worst corner",
        spare,
        rest,
        &[("V_lowest", ".headroom-lowest"), ("V_string", ".string-coldest"), ("V_driver", ".headroom-driver")],
    );
    Ok(Headroom { lowest, string: string.coldest, driver: needs, spare })
}

/// Drops of the supply's wires and of the channel's own, with their paths; wires of other channels and of the
/// controller do not carry this current. An extra run counts for the channel it is named after, or for all.
fn wire_drop(desk: &Desk<'_>, wires: &[Wire]) -> Found<(Volts, Vec<String>)> {
    let of = |name: &str, wire: &Wire| wire.name.strip_prefix(name).is_some_and(|rest| rest.starts_with('-'));
    let own = &desk.channel.name;
    let others = || desk.engine.driver.channels.iter().filter(|channel| channel.name != *own);
    let carries = |wire: &&Wire| {
        let wire: &Wire = wire;
        let its = match &wire.role {
            Role::StringPlus(channel) | Role::StringMinus(channel) => channel == own || of("common", wire),
            Role::Extra => of(own, wire) || !others().any(|channel| of(&channel.name, wire)),
            _ => true,
        };
        its && wire.zone == WireZone::LowVoltage && !of("controller", wire)
    };
    let (mut sum, mut paths) = (Volts::ZERO, Vec::new());
    for wire in wires.iter().filter(carries) {
        sum = sum + wire.drop.clone()?;
        paths.push(format!("wire.{}.drop", wire.name));
    }
    Ok((sum, paths))
}

/// What the driver needs beyond the string: dropout, sense, winding, switch, and the spare voltage.
fn driver_drop(desk: &mut Desk<'_>, solved: &ChannelSolution) -> Found<Volts> {
    let driver = &desk.engine.driver;
    let spare = driver.spare.nominal()?;
    let set = solved.set.clone()?;
    let on = desk.on_resistance();
    let drops = by("sum of the drops at the highest current, and the spare voltage", "Kirchhoff's voltage law");
    let (needs, current, inputs): (Volts, &str, Vec<(&'static str, &str)>) = match solved
        .drive
        .as_ref()
        .map_err(Clone::clone)?
    {
        Drive::Ballast(_) => (on * set.mean.high + spare, ".current", vec![("Ron", ".on-resistance")]),
        Drive::Linear(linear) => {
            ((linear.sense + on) * set.mean.high + spare, ".current", vec![("Rs", ".sense"), ("Ron", ".on-resistance")])
        }
        Drive::Hysteretic(hysteretic) => {
            let inductor = driver.inductor.as_ref().ok_or_else(|| absent("driver.inductor.resistance", driver.span))?;
            let all = hysteretic.sense + on + inductor.resistance.high()?;
            (
                all * hysteretic.peak + spare,
                ".peak",
                vec![("Rs", ".sense"), ("Ron", ".on-resistance"), ("RL", inductor.resistance.path.as_str())],
            )
        }
        Drive::Module(_) => {
            let module = driver.module.as_ref().ok_or_else(|| absent("driver.module.dropout", driver.span))?;
            (module.dropout.high()? + spare, ".current", vec![("V_dropout", module.dropout.path.as_str())])
        }
    };
    let all: Vec<(&'static str, &str)> =
        inputs.into_iter().chain([("I", current), ("V_spare", driver.spare.path.as_str())]).collect();
    Ok(desk.enter("headroom-driver", "what the driver needs beyond the string", needs, drops, &all))
}

fn warm(desk: &mut Desk<'_>, heat: &Found<Ladder>, solved: &mut ChannelSolution) {
    let most = solved.most_current();
    match &mut solved.drive {
        Ok(Drive::Linear(linear)) => {
            linear.junction = junction(desk, heat, LINEAR, linear.transistor_power);
        }
        Ok(Drive::Hysteretic(hysteretic)) => {
            hysteretic.switch_junction =
                hysteretic.switch_loss.clone().and_then(|loss| junction(desk, heat, SWITCH, loss));
        }
        Ok(Drive::Ballast(ballast)) => {
            let loss = most.and_then(|most| conduction(desk, most));
            ballast.switch_junction = loss.and_then(|loss| junction(desk, heat, SWITCH, loss));
        }
        _ => {}
    }
}

/// Share of its rating that a resistor should carry (our margin).
const LOADED: f64 = 0.6;

/// What the channel's resistor carries, against what it may in the air inside.
fn loading(desk: &mut Desk<'_>, heat: &Found<Ladder>, solved: &ChannelSolution) -> Found<Loading> {
    let (power, rating, figure) = match solved.drive.as_ref().map_err(Clone::clone)? {
        Drive::Ballast(b) => (b.power, &b.rating, ".ballast-rating"),
        Drive::Linear(l) => (l.sense_power, &l.sense_rating, ".sense-rating"),
        Drive::Hysteretic(h) => (h.sense_power, &h.sense_rating, ".sense-rating"),
        Drive::Module(m) => (m.set_power, &m.set_rating, ".set-rating"),
    };
    let (rating, air) = (rating.clone()?, heat.as_ref().map_err(Clone::clone)?.inside);
    let curve = DeratingCurve::FILM;
    let allowed = curve.allowed_power(rating, air) * LOADED;
    let derated = by(
        "P = 0.6·P_r·(155 °C − T)/(155 °C − 70 °C), at most 0.6·P_r",
        "0.6 is our margin; derating as IEC 60115-1 film types have it, from memory",
    );
    let inputs = [("P_r", figure), ("T", "heat.inside")];
    desk.enter("resistor-allowed", "what its resistor should carry at most", allowed, derated, &inputs);
    Ok(Loading { power, rating, allowed, larger: rating_to_buy(power, air, &curve, LOADED), air })
}

/// Figure and title of a junction, and the figure of the power that warms it.
type Warmed = (&'static str, &'static str, &'static str);
const LINEAR: Warmed = ("transistor-junction", "junction of the linear transistor", ".transistor-power");
const SWITCH: Warmed = ("switch-junction", "junction of the switch", ".switch-loss");

/// Conduction loss of a switch that carries the string's steady current, cold or hot, whichever is more.
fn conduction(desk: &mut Desk<'_>, most: Amperes) -> Found<Watts> {
    if desk.engine.driver.transistor.is_none() {
        return Err(absent("driver.transistor.on-resistance", desk.engine.driver.span));
    }
    let hot = desk.value("hot-current").is_some_and(f64::is_finite);
    let loss = desk.on_resistance().power_at(most);
    let ohm = by("P = Ron,hot·I² at the highest current, of the cold and the hot string; edges neglected", "Ohm's law");
    let from = [("Ron,hot", ".on-resistance"), ("I", ".current"), ("I_hot", ".hot-current")];
    let from = if hot { &from[..] } else { &from[..2] };
    Ok(desk.enter("switch-loss", "loss of the switch", loss, ohm, from))
}

/// A junction in the air inside at this power.
fn junction(desk: &mut Desk<'_>, heat: &Found<Ladder>, of: Warmed, power: Watts) -> Found<Temperature> {
    let (figure, title, warms) = of;
    let engine = desk.engine;
    let ladder = heat.as_ref().map_err(Clone::clone)?;
    let part =
        engine.driver.transistor.as_ref().ok_or_else(|| absent("driver.transistor.thermal", engine.driver.span))?;
    let junction = ladder.inside + power * part.thermal.high()?;
    let rises = by("T = T_inside + Rth·P", "one-dimensional, steady; our simplification");
    let inputs = [("T_inside", "heat.inside"), ("Rth", part.thermal.path.as_str()), ("P", warms)];
    Ok(desk.enter(figure, title, junction, rises, &inputs))
}
