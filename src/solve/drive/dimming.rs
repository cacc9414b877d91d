//! The table of perceptual dimming: even steps of lightness as shares of light, as levels and as counts of the timer.
//! A dimmed current gives light by a power of itself; a gated one in proportion.

use crate::lamp::Lamp;
use crate::ledger::Ledger;
use crate::physics::electrical::dimming::luminance;
use crate::schema::words::Reference;

use super::desk::by;

/// Lightness of the rows, from dark to full.
pub const LEVELS: [u32; 13] = [0, 1, 2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 100];

/// Enters `dimming.L.share`, `.level` and `.counts` for each lightness L; nothing where nothing dims.
pub(super) fn enter(lamp: &Lamp, ledger: &mut Ledger) {
    let bits = &lamp.driver.bits;
    let (Ok(count), Some(reference)) = (bits.get(), lamp.driver.reference.value) else { return };
    if reference == Reference::Fixed || count == 0 || count > 31 {
        return;
    }
    let full = (1_u32 << count) - 1;
    let (bend, droops) = bend(lamp);
    for level in LEVELS {
        let lightness = f64::from(level);
        let share = format!("dimming.{level}.share");
        let y = by("Y = ((L + 16)/116)³ above L = 8, else 27·L/24389", "CIE 15, lightness of 1976");
        let light = luminance(lightness);
        ledger.computed_share(share.clone(), "share of full light for this lightness", light, y, &[]);
        let level_path = format!("dimming.{level}.level");
        let mut inputs = vec![("Y", share.as_str())];
        inputs.extend(droops.iter().map(|path| ("b", path.as_str())));
        let (how, source) = match bend == 1.0 {
            true => ("Y: gated light follows the level", "definition"),
            false => {
                ("Y^(1/b), b the mean of the channels", "power law of the dice's light over current; as the targets")
            }
        };
        let at = libm::pow(light, 1.0 / bend);
        ledger.computed_share(level_path.as_str(), "level for this lightness", at, by(how, source), &inputs);
        let whole = by("level·(2^B − 1), to the nearest count", "definition");
        let inputs = [("level", level_path.as_str()), ("B", bits.path.as_str())];
        ledger.computed_text(
            format!("dimming.{level}.counts"),
            "counts of the timer for this lightness",
            format!("{:.0}", libm::round(at * f64::from(full))),
            whole,
            &inputs,
        );
    }
}

/// Exponent of light over level, with what it comes from: the mean droop of the channels' dice where their current is
/// dimmed, 1 where it is gated.
fn bend(lamp: &Lamp) -> (f64, Vec<String>) {
    if lamp.driver.reference.value != Some(Reference::FilteredPwm) {
        return (1.0, Vec::new());
    }
    let dice = lamp.driver.channels.iter().filter_map(|channel| lamp.die(channel));
    let known: Vec<(f64, String)> = dice.filter_map(|d| Some((d.droop.get().ok()?, d.droop.path.clone()))).collect();
    let mean = known.iter().map(|(b, _)| b).sum::<f64>() / known.len().max(1) as f64;
    (if mean > 0.0 { mean } else { 1.0 }, known.into_iter().map(|(_, path)| path).collect())
}
