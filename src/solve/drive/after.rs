//! What needs wires and heat: voltage left for the driver, junctions of transistor and switch, the ballast's loop.
//! Comes after the ladder of temperatures and fills what `solve` had to leave open.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Amperes, Ohms, Temperature, Volts, Watts};
use crate::solve::heat::Ladder;
use crate::solve::wires::{Wire, WireZone};

use super::desk::{Desk, by};
use super::outcome::absent;
use super::solution::{ChannelSolution, Drive, Headroom};

/// What is left in the worst corner, once wires and heat are known; also the linear transistor's junction.
pub fn headroom(
    lamp: &Lamp,
    wires: &[Wire],
    heat: &Found<Ladder>,
    channels: &mut [ChannelSolution],
    ledger: &mut Ledger,
) {
    // A hot string on a voltage takes more, which its ballast and its switch then carry.
    super::warmth::enter(lamp, heat, channels, ledger);
    for (channel, solved) in lamp.driver.channels.iter().zip(channels.iter_mut()) {
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
        }
        _ => {}
    }
}

/// Conduction loss of a switch that carries the string's steady current, cold or hot, whichever is more.
fn conduction(desk: &mut Desk<'_>) -> Found<Watts> {
    let of = |figure: &str| desk.ledger.get(&desk.path(figure)).cloned();
    let missing = || absent("driver.transistor.on-resistance", desk.lamp.driver.span);
    let on = of("on-resistance").and_then(|e| e.value).ok_or_else(missing)?;
    let current = of("current").ok_or_else(missing)?;
    let most = current.band.map(|b| b.1).or(current.value).ok_or_else(missing)?;
    let hot = of("hot-current").and_then(|e| e.value).filter(|hot| hot.is_finite());
    let loss = Ohms::si(on).power_at(Amperes::si(hot.map_or(most, |hot| hot.max(most))));
    let ohm = by("P = Ron,hot·I² at the highest current, of the cold and the hot string; edges neglected", "Ohm's law");
    let from = [("Ron,hot", ".on-resistance"), ("I", ".current"), ("I_hot", ".hot-current")];
    let from = if hot.is_some() { &from[..] } else { &from[..2] };
    Ok(desk.enter("switch-loss", "loss of the switch", loss, ohm, from))
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
