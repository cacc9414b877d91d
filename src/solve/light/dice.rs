//! The dice of a channel: how many, where they sit, how bright one is, and what of the spec that follows from.
//! Turns count, strings, first place and steps into points of light.

use crate::lamp::driver::Channel;
use crate::lamp::emitter::Die;
use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::physics::light::beam::{Source, exponent};
use crate::physics::light::face::mean_luminance;
use crate::quantity::{CandelasPerSquareMetre, Lumens, Metres};
use crate::solve::drive::absent;

/// Most dice of a channel that are looked at one by one: every one is seen against every other.
const MOST: u32 = 2000;

/// Dice of a channel in all strings; none where they are too many to look at.
pub(super) fn count(channel: &Channel, die: &Die) -> Found<u32> {
    let count = die.count.get()?.saturating_mul(channel.strings.get()?.max(1));
    let many = || absent(&format!("light.channel.{}.dice", channel.name), die.count.span);
    if count > MOST { Err(many()) } else { Ok(count) }
}

/// Where the dice of a channel sit, from the middle of the sheet.
pub fn places(engine: &Engine<'_>, channel: &Channel) -> Found<Vec<(Metres, Metres)>> {
    let die = engine.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let count = count(channel, die)?;
    let point = |v: &[Metres]| (v.first().copied().unwrap_or(Metres::ZERO), v.get(1).copied().unwrap_or(Metres::ZERO));
    let first = point(die.first.known()?);
    let none = (Metres::ZERO, Metres::ZERO);
    let step = if count > 1 { point(die.step.known()?) } else { none };
    let row = die.row.get().unwrap_or(count).max(1);
    let row_step = if count > row { point(die.row_step.known()?) } else { none };
    let place = |k: u32| {
        let (along, up) = (f64::from(k % row), f64::from(k / row));
        (first.0 + step.0 * along + row_step.0 * up, first.1 + step.1 * along + row_step.1 * up)
    };
    Ok((0..count).map(place).collect())
}

/// The dice of a channel, each with its share of the light.
pub(super) fn sources(engine: &Engine<'_>, channel: &Channel, flux: Lumens) -> Found<Vec<Source>> {
    let die = engine.die(channel).ok_or_else(|| channel.feeds.missing())?;
    let places = places(engine, channel)?;
    let exponent = exponent(die.beam.nominal()? / 2.0);
    let share = flux / places.len().max(1) as f64;
    Ok(places.into_iter().map(|(x, y)| Source { x, y, flux: share, exponent }).collect())
}

/// Luminance of one bare die where all of the channel give this light: L = Φ/(n·π·a²), a the side of its lit face.
pub(super) fn luminance(channel: &Channel, die: &Die, flux: Lumens) -> Found<CandelasPerSquareMetre> {
    let side = die.lit.nominal()?;
    Ok(mean_luminance(flux / f64::from(count(channel, die)?), side * side))
}

/// What that luminance follows from, as inputs of an entry; n is the product of both where strings are parallel.
pub(super) fn brightness(engine: &Engine<'_>, channel: &Channel) -> Vec<(&'static str, String)> {
    let mut all = vec![("Φ", format!("light.channel.{}", channel.name))];
    if let Some(die) = engine.die(channel) {
        all.push(("n", die.count.path.clone()));
        all.extend(channel.strings.value.filter(|n| *n > 1).map(|_| ("n", channel.strings.path.clone())));
        all.push(("a", die.lit.path.clone()));
    }
    all
}

/// What the light of a channel's dice on the sheet follows from, as inputs of an entry.
pub(super) fn geometry(engine: &Engine<'_>, channel: &Channel) -> Vec<(&'static str, String)> {
    let mut all = vec![("h", engine.emitter.distance.path.clone())];
    if let Some(die) = engine.die(channel) {
        let given = [
            ("x₀", die.first.is_known(), &die.first.path),
            ("Δx", die.step.is_known(), &die.step.path),
            ("row", die.row.is_known(), &die.row.path),
            ("Δrow", die.row_step.is_known(), &die.row_step.path),
            ("θ", die.beam.is_known(), &die.beam.path),
        ];
        all.extend(super::known(&given).into_iter().map(|(symbol, path)| (symbol, path.to_owned())));
    }
    all
}
