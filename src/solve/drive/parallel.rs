//! Strings in parallel on one channel: who takes what, and what the others carry once one of them opens.
//! Turns the spread of the die into the shares of a lowest string among highest ones.

use crate::lamp::given::Found;
use crate::physics::electrical::parallel::share_current;
use crate::physics::electrical::string::StringModel;
use crate::quantity::Amperes;

use super::desk::{Desk, by};
use super::outcome::absent;
use super::solution::Parallel;

/// `None` for a single string; `total` is the current all strings share.
pub(super) fn solve(desk: &mut Desk<'_>, total: Option<Amperes>) -> Option<Found<Parallel>> {
    let strings = desk.channel.strings.value.unwrap_or(1);
    (strings > 1).then(|| {
        let total = total.ok_or_else(|| absent(&desk.path("current"), desk.channel.span))?;
        shared(desk, strings, total)
    })
}

fn shared(desk: &mut Desk<'_>, strings: u32, total: Amperes) -> Found<Parallel> {
    let count = desk.channel.strings.path.clone();
    let survivor = total / f64::from(strings - 1);
    let left = by("I/(strings − 1): the drive holds the sum", "Kirchhoff's current law");
    desk.enter(
        "survivor",
        "current of each string once one is open",
        survivor,
        left,
        &[("I", ".current"), ("strings", &count)],
    );
    let most = match desk.channel.balanced.get()? {
        true => None,
        false => most(desk, strings, total)?,
    };
    Ok(Parallel { most, survivor })
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
    let Some(most) = share.currents.first().copied() else { return Ok(None) };
    let (spread, path, sloped) = (die.forward.path.clone(), desk.channel.strings.path.clone(), die.slope.path.clone());
    let takes = by(
        "I_1 = (V − V0_1)/R, V = (I + ΣV0/R)/(Σ1/R); the first of lowest dice, the others of highest, all at 25 °C",
        "Kirchhoff's laws; a string whose offset lies above V carries nothing",
    );
    let inputs = [("I", ".current"), ("V0", spread.as_str()), ("R", sloped.as_str()), ("strings", path.as_str())];
    desk.enter("unequal", "most that one of the parallel strings takes", most, takes, &inputs);
    Ok(Some(most))
}
