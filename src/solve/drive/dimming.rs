//! The table of perceptual dimming: even steps of lightness as shares of full and as counts of the timer.

use crate::lamp::Lamp;
use crate::ledger::Ledger;
use crate::physics::electrical::dimming::{counts_for_lightness, luminance};
use crate::quantity::Ratio;
use crate::schema::words::Reference;

use super::desk::by;

/// Lightness of the rows, from dark to full.
pub const LEVELS: [u32; 13] = [0, 1, 2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 100];

/// Enters `dimming.L.share` and `dimming.L.counts` for each lightness L; nothing where nothing dims.
pub(super) fn enter(lamp: &Lamp, ledger: &mut Ledger) {
    let bits = &lamp.driver.bits;
    let (Ok(count), Some(reference)) = (bits.get(), lamp.driver.reference.value) else { return };
    if reference == Reference::Fixed || count == 0 || count > 31 {
        return;
    }
    let full = (1_u32 << count) - 1;
    for level in LEVELS {
        let lightness = f64::from(level);
        let share = format!("dimming.{level}.share");
        let y = by("Y = ((L + 16)/116)³ above L = 8, else 27·L/24389", "CIE 15, lightness of 1976");
        ledger.computed_share(share.clone(), "share of full for this lightness", luminance(lightness), y, &[]);
        let counts = Ratio::si(f64::from(counts_for_lightness(lightness, full)));
        let whole = by("Y·(2^B − 1), to the nearest count", "definition");
        let inputs = [("Y", share.as_str()), ("B", bits.path.as_str())];
        ledger.computed_text(
            format!("dimming.{level}.counts"),
            "counts of the timer for this lightness",
            format!("{:.0}", counts.value()),
            whole,
            &inputs,
        );
    }
}
