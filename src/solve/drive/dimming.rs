//! The table of perceptual dimming: even steps of lightness as shares of light, as levels and as counts of the timer.
//! A dimmed current gives light by a power of itself; a gated one in proportion; a held peak takes more level than that.

use crate::lamp::driver::Channel;
use crate::lamp::engine::Engine;
use crate::ledger::Ledger;
use crate::physics::electrical::dimming::luminance;
use crate::schema::words::Reference;

use super::desk::by;
use super::solution::ChannelSolution;

/// Lightness of the rows, from dark to full.
pub const LEVELS: [u32; 13] = [0, 1, 2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 100];

/// Enters, for papers, `dimming.L.share` for each lightness L, and `dimming.L.NAME.level` and `.counts` for each channel; nothing
/// where nothing dims.
pub(super) fn enter(engine: &Engine<'_>, channels: &[ChannelSolution], ledger: &mut Ledger) {
    if !ledger.is_for_papers() {
        return;
    }
    let bits = &engine.driver.bits;
    let (Ok(count), Some(reference)) = (bits.get(), engine.driver.reference.value) else { return };
    if reference == Reference::Fixed || count == 0 || count > 31 {
        return;
    }
    let full = (1_u32 << count) - 1;
    for lightness in LEVELS {
        let y = by("Y = ((L + 16)/116)³ above L = 8, else 27·L/24389", "CIE 15, lightness of 1976");
        let light = luminance(f64::from(lightness));
        let title = "share of full light for this lightness";
        ledger.computed_share(format!("dimming.{lightness}.share"), title, light, y, &[]);
        for (channel, solved) in engine.driver.channels.iter().zip(channels) {
            row(engine, (channel, solved), (lightness, light, full), ledger);
        }
    }
}

/// One channel at one lightness.
fn row(
    engine: &Engine<'_>,
    (channel, solved): (&Channel, &ChannelSolution),
    (lightness, light, full): (u32, f64, u32),
    ledger: &mut Ledger,
) {
    let path = |figure: &str| format!("dimming.{lightness}.{}.{figure}", channel.name);
    let droop = engine.die(channel).map(|die| &die.droop).filter(|_| solved.filter.is_some());
    let bend = droop.and_then(|b| b.get().ok()).filter(|b| *b > 0.0);
    let transfer = solved.transfer();
    let level = transfer.level(libm::pow(light, 1.0 / bend.unwrap_or(1.0)));
    let (how, source) = match (transfer.proportional(), bend) {
        (true, None) => ("Y: gated light follows the level", "definition"),
        (true, Some(_)) => ("Y^(1/b)", "power law of the dice's light over current; as the targets"),
        (false, _) => (
            "level at which the mean of the cycle is Y^(1/b) of full: the reference holds the peak, not the mean",
            super::hysteretic::EXACT,
        ),
    };
    let (share, at) = (format!("dimming.{lightness}.share"), path("level"));
    let own = |figure: &str| format!("drive.{}.{figure}", channel.name);
    let cycle = [("V_full", own("reference")), ("A", own("gain")), ("Rs", own("sense")), ("L", own("inductance"))];
    let mut inputs = vec![("Y", share.as_str())];
    inputs.extend(bend.and(droop).map(|given| ("b", given.path.as_str())));
    if !transfer.proportional() {
        inputs.extend(cycle.iter().map(|(symbol, path)| (*symbol, path.as_str())));
    }
    ledger.computed_share(at.as_str(), "level for this lightness", level, by(how, source), &inputs);
    let whole = by("level·(2^B − 1), to the nearest count", "definition");
    let inputs = [("level", at.as_str()), ("B", engine.driver.bits.path.as_str())];
    let counts = format!("{:.0}", libm::round(level * f64::from(full)));
    ledger.computed_text(path("counts"), "counts of the timer for this lightness", counts, whole, &inputs);
}
