//! Strings on a voltage: the gain of the loop of current, heat and temperature, and the current it settles at.
//! All strings warm one board, so each loop has its own part and the one that all share; worst case of every tolerance.
//!
//! With s_j = h·(Vs − 2·Rb·I)·k/(Rb + Rd) + f_j, the heat that a kelvin adds to string j by its current and, as
//! f = P·η·r, by its fading light; r_i from junction to board, R from board to room: small disturbances grow if an
//! eigenvalue of diag(r_i·s_i) + R·1·sᵀ reaches 1. The sum G_i = r_i·s_i + R·Σ s_j is exact where the strings are
//! alike, and its largest is never below that eigenvalue.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::ballast::Ballast as Branch;
use crate::physics::electrical::runaway::VoltageDriven;
use crate::quantity::{Amperes, KelvinPerWatt, Quantity, Ratio, Temperature, VoltsPerKelvin, Watts};
use crate::solve::heat::{Ladder, OPEN_JUNCTION, OPEN_RESPONSE};
use crate::solve::light::fading::Fading;

use super::circuit::STATED;
use super::desk::{Desk, by};
use super::outcome::absent;
use super::solution::{Ballast, ChannelSolution, Drive, StringVoltage};

/// One string's loop before the others are counted in.
struct Loop {
    /// As it is at 25 °C, every tolerance towards more; its path is that from junction to board.
    driven: VoltageDriven,
    /// Its junction in the open network.
    junction: Temperature,
    /// Heat of its dice there, nominal.
    held: Watts,
    /// Heat that a kelvin adds by current.
    current: f64,
    /// Heat that a kelvin adds by fading light.
    fading: f64,
}

/// Gain and hot current of every ballast channel; entries `drive.NAME.loop-gain` and `drive.NAME.hot-current`.
pub fn enter(engine: &Engine<'_>, heat: &Found<Ladder>, channels: &mut [ChannelSolution], ledger: &mut Ledger) {
    let pairs = || engine.driver.channels.iter();
    let loops: Vec<Option<Found<Loop>>> = pairs()
        .zip(channels.iter())
        .map(|(channel, solved)| {
            let Ok(Drive::Ballast(ballast)) = &solved.drive else { return None };
            let desk = Desk::new(engine, channel, ledger);
            Some(solved.string.clone().and_then(|string| open(&desk, heat, &string, ballast)))
        })
        .collect();
    // A string whose slope is not known keeps the shared part, and with it every gain, unknown.
    let sum = |what: fn(&Loop) -> f64| -> Found<f64> {
        loops.iter().flatten().map(|one| one.as_ref().map(what).map_err(Clone::clone)).sum()
    };
    let (currents, fadings) = (sum(|one| one.current), sum(|one| one.fading));
    for ((channel, solved), own) in pairs().zip(channels.iter_mut()).zip(loops) {
        let (Ok(Drive::Ballast(ballast)), Some(own)) = (&mut solved.drive, own) else { continue };
        let mut desk = Desk::new(engine, channel, ledger);
        let found = own.and_then(|own| closed(&mut desk, heat, &own, (currents.clone()?, fadings.clone()?)));
        ballast.loop_gain = found.clone().map(|(gain, _)| gain);
        if let Ok((_, current)) = found {
            ballast.power = carried(&mut desk, ballast, current);
        }
        ballast.hot = found.map(|(_, current)| current);
    }
}

fn open(desk: &Desk<'_>, heat: &Found<Ladder>, string: &StringVoltage, ballast: &Ballast) -> Found<Loop> {
    let die = desk.die()?;
    let (efficiency, drift, fade) = (die.efficiency.get()?, die.drift.low()?, Fading::of(die)?);
    let dice = f64::from(die.count.get()?) * f64::from(desk.channel.strings.get()?.max(1));
    let junction: Temperature = figure(desk, heat, &format!("{OPEN_JUNCTION}.{}", desk.channel.name))?;
    let power = Watts::si(desk.value("power").ok_or_else(|| desk.channel.current.missing())?);
    let branch = worst_branch(desk, string, ballast)?;
    let light = efficiency * libm::exp(-fade.radiant_rate() * (junction - fade.stated_at()).value());
    let driven = VoltageDriven {
        supply: branch.supply,
        resistance: branch.resistor + branch.other,
        string: branch.string,
        fall: VoltsPerKelvin::si(drift.value().abs() * f64::from(string.count)),
        thermal_resistance: die.thermal.high()? / dice,
        heat_fraction: (1.0 - light).clamp(0.0, 1.0),
    };
    let unit = VoltageDriven { thermal_resistance: KelvinPerWatt::si(1.0), ..driven };
    let current = unit.loop_gain(unit.cold_current()).max(0.0);
    let fading = branch.led_power().value().max(0.0) * light * fade.radiant_rate();
    Ok(Loop { driven, junction, held: power * driven.heat_fraction, current, fading })
}

/// The loop closed through the network, the other strings' answer counted in.
fn closed(
    desk: &mut Desk<'_>,
    heat: &Found<Ladder>,
    own: &Loop,
    (currents, fadings): (f64, f64),
) -> Found<(Ratio, Amperes)> {
    let response: KelvinPerWatt = figure(desk, heat, OPEN_RESPONSE)?;
    let path = own.driven.thermal_resistance;
    // For each watt that this string adds, the others add theirs in proportion to their slopes.
    let others = if own.current > 0.0 { currents / own.current } else { 1.0 };
    let by_fading = path.value() * own.fading + response.value() * fadings;
    let by_current = path.value() * own.current + response.value() * currents;
    // Fading light makes each watt count for more, without end from a gain of one on.
    let more = if by_fading < 1.0 { 1.0 / (1.0 - by_fading) } else { f64::INFINITY };
    let whole = (path + response * others) * more;
    let around = own.junction - whole * own.held;
    let driven = VoltageDriven {
        string: own.driven.string.warmed(-own.driven.fall, around - STATED),
        thermal_resistance: whole,
        ..own.driven
    };
    let settled = if by_fading < 1.0 { driven.hot_current() } else { None };
    let current = settled.unwrap_or(Amperes::si(f64::INFINITY));
    // A switch's own resistance always stops the rise somewhere, at an absurd current; what tells a runaway is the
    // gain where the string starts.
    let gain = by_current + by_fading;
    let die = desk.die()?;
    let settles = by(
        "I with T = T_j + (r + R·Σs/s)/(1 − G_f)·ΔQ and V0 falling by k·T, G_f the part of fading light; highest supply, lowest string, least resistor",
        "current, heat and temperature closed in a loop; derived by us",
    );
    let junction = format!("{OPEN_JUNCTION}.{}", desk.channel.name);
    let inputs = [
        ("k", die.drift.path.as_str()),
        ("r", die.thermal.path.as_str()),
        ("Rb", ".ballast"),
        ("Rd", ".string-slope"),
        ("R", OPEN_RESPONSE),
        ("T_j", &junction),
    ];
    desk.enter("hot-current", "current once the string is hot, worst case", current, settles, &inputs);
    let product = by(
        "G = r·s + R·Σs, s = h·(Vs − 2·Rb·I)·k/(Rb + Rd) + P·η·r_f at the current before it warms; Σ over all strings",
        "product of the slopes round the loop, derived by us",
    );
    desk.enter("loop-gain", "gain of the loop from temperature to current and back", Ratio::si(gain), product, &inputs);
    Ok((Ratio::si(gain), current))
}

/// The ballast's power at the hot current, where that is more than what the cold string sends through it. A current
/// without end is the runaway's matter.
fn carried(desk: &mut Desk<'_>, ballast: &Ballast, hot: Amperes) -> Watts {
    let strings = desk.channel.strings.value.unwrap_or(1).max(1);
    let shares = if desk.channel.balanced.value == Some(true) { f64::from(strings) } else { 1.0 };
    // What the channel sees is a share of each resistor, and the hot current was found with the least of them.
    let power = ballast.least.power_at(hot) / shares;
    if !hot.value().is_finite() || power <= ballast.power {
        return ballast.power;
    }
    let how = if shares > 1.0 { "P = (I/strings)²·Rb, of each" } else { "P = I²·Rb" };
    let path = &desk.channel.strings.path;
    desk.enter(
        "ballast-power",
        "power of the ballast resistor at the worst current, once the string is hot",
        power,
        by(how, "Ohm's law; the hot current is above the cold one's band"),
        &[("I", ".hot-current"), ("Rb", ".ballast"), ("strings", path)],
    )
}

/// A figure of the open network; what keeps it unknown is what keeps the heat unknown.
fn figure<Q: Quantity>(desk: &Desk<'_>, heat: &Found<Ladder>, path: &str) -> Found<Q> {
    let value = desk.ledger.get(path).and_then(|entry| entry.value);
    // Where no string carries a current there is no loop to open.
    let dark = desk.value("current") == Some(0.0);
    let none = || absent(&if dark { desk.path("current") } else { path.to_owned() }, desk.engine.emitter.span);
    let lacks = || heat.as_ref().err().cloned().unwrap_or_else(none);
    value.map(Q::si).ok_or_else(lacks)
}

fn worst_branch(desk: &Desk<'_>, string: &StringVoltage, ballast: &Ballast) -> Found<Branch> {
    let wanted = desk.channel.current.nominal()?;
    Ok(Branch {
        supply: desk.engine.supply.output.high()?,
        string: string.through(string.at_current.low, wanted),
        resistor: ballast.least,
        other: desk.on_resistance(),
    })
}
