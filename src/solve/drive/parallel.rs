//! Strings in parallel on one channel: who takes what, and what the others carry once one of them opens.
//! Turns the spread of the die into the shares of a lowest string among highest ones.

use crate::lamp::given::Found;
use crate::physics::electrical::parallel::share_current;
use crate::physics::electrical::string::StringModel;
use crate::quantity::{Amperes, Ohms, Volts};

use super::desk::{Desk, by};
use super::outcome::{Outcome, absent, supply};
use super::solution::{Drive, Parallel};

const SURVIVOR: &str = "current of each string once one is open";

/// `None` for a single string; `outcome` has the current all strings share.
pub(super) fn solve(desk: &mut Desk<'_>, outcome: Option<&Outcome>) -> Option<Found<Parallel>> {
    let strings = desk.channel.strings.value.unwrap_or(1);
    (strings > 1).then(|| {
        let outcome = outcome.ok_or_else(|| absent(&desk.path("current"), desk.channel.span))?;
        shared(desk, strings, outcome)
    })
}

fn shared(desk: &mut Desk<'_>, strings: u32, outcome: &Outcome) -> Found<Parallel> {
    let total = outcome.set.mean.nominal;
    let balanced = desk.channel.balanced.get()?;
    let survivor = match &outcome.drive {
        Drive::Ballast(ballast) => on_a_voltage(desk, strings, ballast.resistor, balanced)?,
        _ => held(desk, strings, total),
    };
    let most = match balanced {
        true => None,
        false => most(desk, strings, total)?,
    };
    Ok(Parallel { most, survivor })
}

/// The drive holds the sum, so that the others share it.
fn held(desk: &mut Desk<'_>, strings: u32, total: Amperes) -> Amperes {
    let count = &desk.channel.strings.path;
    let left = by("I/(strings − 1): the drive holds the sum", "Kirchhoff's current law");
    let inputs = [("I", ".current"), ("strings", count.as_str())];
    desk.enter("survivor", SURVIVOR, total / f64::from(strings - 1), left, &inputs)
}

/// On a fixed voltage nothing holds the sum: strings with a ballast each do not notice, those behind one share it.
fn on_a_voltage(desk: &mut Desk<'_>, strings: u32, together: Ohms, balanced: bool) -> Found<Amperes> {
    let of = |figure: &str| desk.value(figure).unwrap_or(0.0);
    let (supply, supply_path) = supply(desk)?;
    let (n, left) = (f64::from(strings), f64::from(strings - 1));
    let slope = Ohms::si(of("string-slope")) * (n / left);
    let resistor = if balanced { together * (n / left) } else { together };
    let around = resistor + slope + desk.on_resistance();
    let current = (supply.nominal - Volts::si(of("string-offset"))) / around / left;
    let law = match balanced {
        true => "I = (Vs − V0)/(Rb/n + n_1·Rd/n + Ron)/n, n = n_1 − 1 strings left, each with its own ballast",
        false => "I = (Vs − V0)/(Rb + n_1·Rd/n + Ron)/n, n = n_1 − 1 strings left behind one ballast",
    };
    let count = &desk.channel.strings.path;
    let inputs = [
        ("Vs", supply_path.as_str()),
        ("V0", ".string-offset"),
        ("Rd", ".string-slope"),
        ("Rb", ".ballast"),
        ("Ron", ".on-resistance"),
        ("n_1", count.as_str()),
    ];
    Ok(desk.enter("survivor", SURVIVOR, current.max(Amperes::ZERO), by(law, "Kirchhoff's laws"), &inputs))
}

/// One string of lowest dice among strings of highest: the most that the spread of the die allows.
fn most(desk: &mut Desk<'_>, strings: u32, total: Amperes) -> Found<Option<Amperes>> {
    let die = desk.die()?;
    let (forward, at) = die.forward.get()?;
    let (count, slope) = (die.count.get()?, die.slope.nominal()?);
    let line = |v| StringModel { offset: v - slope * at, slope }.in_series(count);
    let mut all = vec![line(forward.high); strings as usize];
    if let Some(first) = all.first_mut() {
        *first = line(forward.low);
    }
    let Some(share) = share_current(total, &all) else { return Ok(None) };
    let Some(most) = share.first().copied() else { return Ok(None) };
    let (spread, path, sloped) = (&die.forward.path, &desk.channel.strings.path, &die.slope.path);
    let takes = by(
        "I_1 = (V − V0_1)/R, V = (I + ΣV0/R)/(Σ1/R); the first of lowest dice, the others of highest, all at 25 °C",
        "Kirchhoff's laws; a string whose offset lies above V carries nothing",
    );
    let inputs = [("I", ".current"), ("V0", spread.as_str()), ("R", sloped.as_str()), ("strings", path.as_str())];
    desk.enter("unequal", "most that one of the parallel strings takes", most, takes, &inputs);
    Ok(Some(most))
}
