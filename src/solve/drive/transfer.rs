//! What a level of the modulation makes of a channel's current, and the level that a current takes.
//! A switched sink holds the peak: under a filtered reference its mean falls faster than its level.

use crate::quantity::{Amperes, Volts};

use super::solution::ChannelSolution;
use super::stage::{Corner, Stage};

/// A level below which the comparator's delay alone sets the current: what is less than that has no level.
const LEAST: f64 = 1e-4;
/// How near a current is met, as a share of full: far below the step of any timer.
const NEAR: f64 = 1e-12;

/// Current over level of one channel, both by full, parts as they are nominally.
#[derive(Debug, Clone, Copy)]
pub struct Transfer<'a> {
    /// The stage whose peak the reference sets, with its mean at full; none where the current follows the level.
    stage: Option<(&'a Stage, Amperes)>,
}

impl ChannelSolution {
    /// How this channel's current follows its level.
    pub fn transfer(&self) -> Transfer<'_> {
        let full = self.set.as_ref().map_or(Amperes::ZERO, |set| set.mean.nominal);
        let held = self.notes.stage.as_ref().filter(|_| self.filter.is_some() && full > Amperes::ZERO);
        Transfer { stage: held.map(|stage| (stage, full)) }
    }
}

impl Transfer<'_> {
    /// Whether the current is in proportion to the level.
    pub const fn proportional(&self) -> bool {
        self.stage.is_none()
    }

    /// Share of the full current at this level: the exact cycle with so much of the reference.
    pub fn share(&self, level: f64) -> f64 {
        let Some((stage, full)) = self.stage else { return level };
        if level >= 1.0 {
            return 1.0;
        }
        let level: Volts = stage.level.nominal * level.max(0.0);
        stage.cycle_at(&Corner::NOMINAL, level).map_or(0.0, |cycle| (cycle.mean / full).clamp(0.0, 1.0))
    }

    /// The level that gives this share of the full current; none, which is off, where the drive cannot hold so little.
    pub fn level(&self, share: f64) -> f64 {
        if self.proportional() || share <= 0.0 || share >= 1.0 {
            return share.clamp(0.0, 1.0);
        }
        if share <= self.share(LEAST) {
            return 0.0;
        }
        // Regula falsi with halving (Illinois): the curve bends only gently, so that a few cycles do.
        let (mut low, mut high) = ((0.0, -share), (1.0, 1.0 - share));
        let mut side = 0;
        for _ in 0..80 {
            let weighed = (low.0 * high.1 - high.0 * low.1) / (high.1 - low.1);
            let level = if weighed > low.0 && weighed < high.0 { weighed } else { 0.5 * (low.0 + high.0) };
            let off = self.share(level) - share;
            if off.abs() <= NEAR {
                return level;
            }
            if off < 0.0 {
                low = (level, off);
                high.1 *= if side == -1 { 0.5 } else { 1.0 };
                side = -1;
            } else {
                high = (level, off);
                low.1 *= if side == 1 { 0.5 } else { 1.0 };
                side = 1;
            }
        }
        0.5 * (low.0 + high.0)
    }

    /// By how many parts the current changes where the level changes by one part; 1 where it follows.
    pub fn steepness(&self, level: f64) -> f64 {
        let (below, above) = (level * 0.98, (level * 1.02).min(1.0));
        let (low, high) = (self.share(below), self.share(above));
        if self.proportional() || low <= 0.0 || above <= below {
            return 1.0;
        }
        libm::log(high / low) / libm::log(above / below)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_follows_its_level_follows_it_both_ways() {
        let plain = Transfer { stage: None };
        for x in [0.0, 0.004, 0.5, 1.0] {
            assert_eq!((plain.share(x), plain.level(x), plain.steepness(x)), (x, x, 1.0));
        }
    }

    #[test]
    fn a_held_peak_is_turned_round_to_the_mean() {
        let stage = super::super::swing::stage_of_a_red_channel();
        let full = stage.cycle(&Corner::NOMINAL).unwrap().mean;
        let held = Transfer { stage: Some((&stage, full)) };
        for share in [0.01, 0.05, 0.2, 0.5, 0.9] {
            let level = held.level(share);
            // Half the ripple lies below the peak at every level, which is the more of a small one.
            assert!(level > share && level < share + 0.06, "{share}: {level}");
            assert!((held.share(level) - share).abs() < 1e-6, "{share}: {}", held.share(level));
            assert!(held.steepness(level) > 1.0);
        }
        assert_eq!((held.level(0.0), held.level(1.0), held.share(1.0)), (0.0, 1.0, 1.0));
    }
}
