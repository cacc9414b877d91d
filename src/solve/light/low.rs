//! The dark end: how little light the lamp can hold, and how large the first step up from there looks.
//! Low currents are cool and efficient, so that the light does not fall as far as the level does.

use crate::lamp::driver::Channel;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::physics::electrical::dimming::lightness;
use crate::quantity::Lumens;
use crate::schema::words::Reference;
use crate::solve::drive::{ChannelSolution, absent, by};

use super::Budget;
use super::fading::{COLD, Fading, SOURCE};

/// A channel at the lowest level it holds; ledger entries under `light.low.NAME.`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Low {
    /// The level, a share of full: the drive's floor, one step of the modulation at least.
    pub level: f64,
    /// It is one step; the drive could hold less.
    pub by_step: bool,
    /// Its light by that at full, hot.
    pub share: f64,
    /// Light out of the lamp.
    pub flux: Lumens,
    /// Lightness that one count more adds, L*.
    pub step: f64,
}

/// Every channel that is dimmed; nothing of those that are not.
pub(super) fn solve(
    engine: &Engine<'_>,
    channels: &[ChannelSolution],
    light: &Found<Budget>,
    ledger: &mut Ledger,
) -> Vec<(String, Found<Low>)> {
    if engine.driver.reference.value == Some(Reference::Fixed) {
        return Vec::new();
    }
    let pairs = engine.driver.channels.iter().zip(channels);
    let found: Vec<(String, Found<Low>)> =
        pairs.map(|(channel, solved)| (channel.name.clone(), of(engine, channel, solved, light, ledger))).collect();
    let known: Option<Vec<Lumens>> = found.iter().map(|(_, low)| low.as_ref().ok().map(|low| low.flux)).collect();
    if let Some(all) = known.filter(|all| !all.is_empty()) {
        let paths: Vec<String> = found.iter().map(|(name, _)| format!("light.low.{name}.flux")).collect();
        let inputs: Vec<(&'static str, &str)> = paths.iter().map(|p| ("Φ", p.as_str())).collect();
        let least = all.into_iter().reduce(Lumens::min).unwrap_or(Lumens::ZERO);
        let one = by("min Φ", "one channel alone at its lowest level");
        ledger.computed("light.low.flux", "least light the lamp can hold", least, one, &inputs);
    }
    found
}

fn of(
    engine: &Engine<'_>,
    channel: &Channel,
    solved: &ChannelSolution,
    light: &Found<Budget>,
    ledger: &mut Ledger,
) -> Found<Low> {
    let die = engine.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let name = &channel.name;
    let none = || absent(&format!("drive.{name}.modulation"), channel.span);
    let modulation = solved.modulation.clone().ok_or_else(none)??;
    let held = solved.floor.clone()?;
    let (floor, figure) = (held.map_or(0.0, |floor| floor.share), held.map(|floor| floor.figure));
    let one = modulation.step.value();
    let level = floor.max(one).min(1.0);
    let budget = light.as_ref()?;
    let hot = budget.channels.iter().find(|(n, _)| n == name).map(|(_, flux)| *flux).ok_or_else(none)?;
    if hot <= Lumens::ZERO {
        return Err(absent(&format!("light.channel.{name}"), channel.span));
    }
    let stated = budget.stated.iter().find(|(n, _)| n == name).map(|(_, flux)| *flux).ok_or_else(none)?;
    // Gated light is full light for a while; a lower current is also more efficient. Both leave the dice cool.
    let gated = solved.filter.is_none();
    let droop = die.droop.get()?;
    let cool = stated * Fading::of(die)?.light(COLD) / hot;
    let share_of = |current: f64| (cool * if gated { current } else { libm::pow(current, droop) }).min(1.0);
    // Where the drive's floor decides, it is a current already; a step of the timer first has to become one.
    let transfer = solved.transfer();
    let held = transfer.share(level).max(floor).min(1.0);
    let share = share_of(held);
    let place = budget.channels.iter().position(|(n, _)| n == name).ok_or_else(none)?;
    let flux = budget.out_of(place) * share;
    let next = transfer.share((transfer.level(held) + one).min(1.0));
    let step = lightness(share_of(next.max(held))) - lightness(share);
    let low = Low { level, by_step: floor <= one, share, flux, step };
    enter(channel, &low, figure, (gated, transfer.proportional()), engine, ledger);
    Ok(low)
}

fn enter(
    channel: &Channel,
    low: &Low,
    figure: Option<&str>,
    (gated, proportional): (bool, bool),
    engine: &Engine<'_>,
    ledger: &mut Ledger,
) {
    let name = &channel.name;
    let path = |what: &str| format!("light.low.{name}.{what}");
    let held = figure.map(|figure| format!("drive.{name}.{figure}"));
    let step = format!("drive.{name}.step");
    let mut inputs = vec![("step", step.as_str())];
    inputs.extend(held.as_deref().map(|held| ("floor", held)));
    let level = by("max(floor, step)", "definition");
    ledger.computed_share(path("level"), "lowest level that is held, a share of full", low.level, level, &inputs);
    let (at, hot) = (path("level"), format!("light.channel.{name}"));
    let cold = format!("light.channel.{name}.cold");
    let mut from = vec![("l", at.as_str()), ("Φ", hot.as_str()), ("Φ_cold", cold.as_str())];
    from.extend(engine.die(channel).filter(|_| !gated).map(|die| ("b", die.droop.path.as_str())));
    let text = match (gated, proportional) {
        (true, _) => "l·Φ(25 °C)/Φ(hot)",
        (false, true) => "l^b·Φ(25 °C)/Φ(hot)",
        (false, false) => "i^b·Φ(25 °C)/Φ(hot), i the floor or the current at l, by that at full, whichever is more",
    };
    ledger.computed_share(path("share"), "light there, by that at full", low.share, by(text, SOURCE), &from);
    let share = path("share");
    let full = format!("light.channel.{name}.out");
    let from = [("share", share.as_str()), ("Φ_out", full.as_str())];
    let out = by("share·Φ_out", "conservation of light");
    ledger.computed(path("flux"), "light there, out of the lamp", low.flux, out, &from);
    let jump = by("L*(l + 1 count) − L*(l)", "CIE 15, lightness of 1976; a step of 1 is just seen, from memory");
    ledger.computed_number(path("step"), "first step up, in lightness L*", (low.step, 2), jump, &from);
}
