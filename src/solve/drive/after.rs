//! What needs wires and heat: voltage left for the driver, the linear transistor's junction, the ballast's hot current.
//! Comes after the ladder of temperatures and fills what `solve` had to leave open.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::ballast::Ballast as Branch;
use crate::physics::electrical::runaway::VoltageDriven;
use crate::quantity::{Amperes, Ohms, Ratio, Temperature, Volts, VoltsPerKelvin, Watts};
use crate::solve::heat::Ladder;
use crate::solve::wires::{Wire, WireZone};

use super::desk::{Desk, by};
use super::outcome::absent;
use super::solution::{Ballast, ChannelSolution, Drive, Headroom, StringVoltage};

/// What is left in the worst corner, once wires and heat are known; also the linear transistor's junction.
pub fn headroom(
    lamp: &Lamp,
    wires: &[Wire],
    heat: &Found<Ladder>,
    channels: &mut [ChannelSolution],
    ledger: &mut Ledger,
) {
    for (channel, solved) in lamp.driver.channels.iter().zip(channels) {
        let mut desk = Desk { lamp, channel, ledger, components: Vec::new(), notes: super::notes::Notes::default() };
        solved.headroom = left(&mut desk, wires, solved);
        warm(&mut desk, heat, solved);
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
/// controller do not carry this current.
fn wire_drop(desk: &Desk<'_>, wires: &[Wire]) -> Found<(Volts, Vec<String>)> {
    let others: Vec<String> = desk.lamp.driver.channels.iter().map(|c| format!("{}-", c.name)).collect();
    let own = format!("{}-", desk.channel.name);
    let carries = |w: &&Wire| {
        w.zone == WireZone::LowVoltage
            && !w.name.starts_with("controller-")
            && (w.name.starts_with(&own) || !others.iter().any(|o| w.name.starts_with(o)))
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
    let driver = &desk.lamp.driver;
    let spare = driver.spare.nominal()?;
    let spare_path = driver.spare.path.clone();
    let set = solved.set.clone()?;
    let on = desk.ledger.get(&desk.path("on-resistance")).and_then(|e| e.value).map_or(Ohms::ZERO, Ohms::si);
    let drops = by("sum of the drops at the highest current, and the spare voltage", "Kirchhoff's voltage law");
    let (needs, inputs): (Volts, Vec<(&'static str, String)>) = match solved.drive.as_ref().map_err(Clone::clone)? {
        Drive::Ballast(_) => (on * set.mean.high + spare, vec![("Ron", ".on-resistance".into())]),
        Drive::Linear(linear) => (
            (linear.sense + on) * set.mean.high + spare,
            vec![("Rs", ".sense".into()), ("Ron", ".on-resistance".into())],
        ),
        Drive::Hysteretic(hysteretic) => {
            let inductor = driver.inductor.as_ref().ok_or_else(|| absent("driver.inductor.resistance", driver.span))?;
            let all = hysteretic.sense + on + inductor.resistance.high()?;
            (
                all * hysteretic.peak + spare,
                vec![
                    ("Rs", ".sense".into()),
                    ("Ron", ".on-resistance".into()),
                    ("RL", inductor.resistance.path.clone()),
                ],
            )
        }
        Drive::Module(_) => {
            let module = driver.module.as_ref().ok_or_else(|| absent("driver.module.dropout", driver.span))?;
            (module.dropout.high()? + spare, vec![("V_dropout", module.dropout.path.clone())])
        }
    };
    let mut given: Vec<(&'static str, &str)> = inputs.iter().map(|(s, p)| (*s, p.as_str())).collect();
    given.extend([("I", ".current"), ("V_spare", spare_path.as_str())]);
    Ok(desk.enter("headroom-driver", "what the driver needs beyond the string", needs, drops, &given))
}

fn warm(desk: &mut Desk<'_>, heat: &Found<Ladder>, solved: &mut ChannelSolution) {
    let string = solved.string.clone();
    match &mut solved.drive {
        Ok(Drive::Linear(linear)) => {
            linear.junction = transistor_junction(desk, heat, linear.transistor_power);
        }
        Ok(Drive::Hysteretic(hysteretic)) => {
            hysteretic.switch_junction =
                hysteretic.switch_loss.clone().and_then(|loss| switch_junction(desk, heat, loss));
        }
        Ok(Drive::Ballast(ballast)) => {
            ballast.switch_junction = conduction(desk).and_then(|loss| switch_junction(desk, heat, loss));
            let hot = string.and_then(|s| hot_loop(desk, heat, &s, ballast));
            ballast.loop_gain = hot.clone().map(|(gain, _)| gain);
            ballast.hot = hot.map(|(_, current)| current);
        }
        _ => {}
    }
}

/// Conduction loss of a switch that carries the string's steady current.
fn conduction(desk: &mut Desk<'_>) -> Found<Watts> {
    let of = |figure: &str| desk.ledger.get(&desk.path(figure)).cloned();
    let missing = || absent("driver.transistor.on-resistance", desk.lamp.driver.span);
    let on = of("on-resistance").and_then(|e| e.value).ok_or_else(missing)?;
    let current = of("current").ok_or_else(missing)?;
    let most = current.band.map(|b| b.1).or(current.value).ok_or_else(missing)?;
    let loss = Ohms::si(on).power_at(Amperes::si(most));
    let ohm = by("P = Ron,hot·I² at the highest current; edges neglected", "Ohm's law");
    Ok(desk.enter("switch-loss", "loss of the switch", loss, ohm, &[("Ron,hot", ".on-resistance"), ("I", ".current")]))
}

fn switch_junction(desk: &mut Desk<'_>, heat: &Found<Ladder>, loss: Watts) -> Found<Temperature> {
    let lamp = desk.lamp;
    let ladder = heat.as_ref().map_err(Clone::clone)?;
    let part = lamp.driver.transistor.as_ref().ok_or_else(|| absent("driver.transistor.thermal", lamp.driver.span))?;
    let junction = ladder.inside + loss * part.thermal.high()?;
    let rises = by("T = T_inside + Rth·P", "one-dimensional, steady; our simplification");
    Ok(desk.enter(
        "switch-junction",
        "junction of the switch",
        junction,
        rises,
        &[("T_inside", "heat.inside"), ("Rth", &part.thermal.path), ("P", ".switch-loss")],
    ))
}

fn transistor_junction(desk: &mut Desk<'_>, heat: &Found<Ladder>, power: Watts) -> Found<Temperature> {
    let lamp = desk.lamp;
    let ladder = heat.as_ref().map_err(Clone::clone)?;
    let part = lamp.driver.transistor.as_ref().ok_or_else(|| absent("driver.transistor.thermal", lamp.driver.span))?;
    let junction = ladder.inside + power * part.thermal.high()?;
    let rises = by("T = T_inside + Rth·P", "one-dimensional, steady; our simplification");
    Ok(desk.enter(
        "transistor-junction",
        "junction of the linear transistor",
        junction,
        rises,
        &[("T_inside", "heat.inside"), ("Rth", &part.thermal.path), ("P", ".transistor-power")],
    ))
}

/// Gain of the loop and the current it settles at, every tolerance towards more; an endless rise is infinite.
fn hot_loop(
    desk: &mut Desk<'_>,
    heat: &Found<Ladder>,
    string: &StringVoltage,
    ballast: &Ballast,
) -> Found<(Ratio, Amperes)> {
    let ladder = heat.as_ref().map_err(Clone::clone)?;
    let die = desk.die()?;
    let (efficiency, drift) = (die.efficiency.get()?, die.drift.low()?);
    let dice = f64::from(die.count.get()?) * f64::from(desk.channel.strings.get()?.max(1));
    let own = ladder.own_resistance + die.thermal.high()? / dice;
    let branch = worst_branch(desk, string, ballast)?;
    let around = ladder.board - (ladder.own_resistance * own_heat(desk, efficiency)?);
    let fall = VoltsPerKelvin::si(drift.value().abs() * f64::from(string.count));
    let warmed = branch.string.warmed(-fall, around - Temperature::from_celsius(25.0));
    let driven = VoltageDriven {
        supply: branch.supply,
        resistance: branch.resistor + branch.other,
        string: warmed,
        fall,
        thermal_resistance: own,
        heat_fraction: 1.0 - efficiency,
    };
    let point = driven.hot_point();
    let current = point.map_or(Amperes::si(f64::INFINITY), |p| p.current);
    // A switch's own resistance always stops the rise somewhere, at an absurd current; what tells a runaway is the
    // gain where the string starts.
    let gain = driven.loop_gain(driven.cold_current()).max(point.map_or(0.0, |p| p.gain));
    enter_loop(desk, current, Ratio::si(gain), &die.drift.path, &die.thermal.path);
    Ok((Ratio::si(gain), current))
}

fn enter_loop(desk: &mut Desk<'_>, current: Amperes, gain: Ratio, drift: &str, thermal: &str) {
    let settles = by(
        "I with T = T_board + Rth·h·V·I and V0 falling by k·T; highest supply, lowest string, least resistor",
        "current, heat and temperature closed in a loop; derived by us",
    );
    let inputs = [("k", drift), ("Rth", thermal), ("Rb", ".ballast"), ("Rd", ".string-slope"), ("T", "heat.board")];
    desk.enter("hot-current", "current once the string is hot, worst case", current, settles, &inputs);
    let product = by(
        "G = Rth·h·(Vs − 2·Rb·I)·k/(Rb + Rd) at the current before it warms",
        "product of the slopes round the loop, derived by us",
    );
    desk.enter("loop-gain", "gain of the loop from temperature to current and back", gain, product, &inputs);
}

fn worst_branch(desk: &Desk<'_>, string: &StringVoltage, ballast: &Ballast) -> Found<Branch> {
    let (_, tolerance) = desk.resistors()?;
    let pinned = desk.channel.ballast.value.filter(|r| !r.is_exact()).map(|r| r.low);
    let wanted = desk.channel.current.nominal()?;
    let on = desk.ledger.get(&desk.path("on-resistance")).and_then(|e| e.value).map_or(Ohms::ZERO, Ohms::si);
    Ok(Branch {
        supply: desk.lamp.supply.output.high()?,
        string: string.through(string.at_current.low, wanted),
        resistor: pinned.unwrap_or(ballast.resistor * (1.0 - tolerance)),
        other: on,
    })
}

fn own_heat(desk: &Desk<'_>, efficiency: f64) -> Found<Watts> {
    let power = desk.ledger.get(&desk.path("power")).and_then(|e| e.value);
    let power = power.ok_or_else(|| desk.channel.current.missing())?;
    Ok(Watts::si(power * (1.0 - efficiency)))
}
