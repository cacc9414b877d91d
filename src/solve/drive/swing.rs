//! What the stage does away from its nominal point: starting, dimmed, and with one tolerance at a time.
//! Turns the exact cycle into meter readings with bands and into parabolas.

use crate::physics::electrical::hysteretic::{ChoppedTiming, StartUp, SwitchedCycle, start_up};
use crate::physics::electrical::parts::resistor::amplifier_time_constant;
use crate::quantity::{Amperes, Seconds, Volts};
use crate::spread::Spread;

use super::desk::at;
use super::notes::Reading;
use super::stage::{Corner, Stage};

impl Stage {
    /// The first cycles at a corner, the reference rising with the time constant `rise`.
    pub(super) fn start(&self, corner: &Corner, rise: Seconds) -> Option<StartUp> {
        let scale = at(&self.sense, -corner.trip) * self.gain(corner.trip);
        let sink = self.sink(corner, scale * self.trip(corner.trip));
        let lag = self.bandwidth.map_or(Seconds::ZERO, |b| amplifier_time_constant(sink.gain, b));
        let (delay, off_time) = (at(&self.delay, corner.delay), at(&self.off_time, corner.off_time));
        let timing = ChoppedTiming { amplifier: lag, hysteresis: Volts::ZERO, off_delay: delay, on_delay: off_time };
        start_up(&sink, &timing, rise)
    }

    /// The nominal cycle as points for drawing.
    pub(super) fn wave(&self, cycle: &SwitchedCycle) -> Vec<(Seconds, Amperes)> {
        self.sink(&Corner::NOMINAL, self.level.nominal).wave(cycle, 12)
    }

    /// Mean current and meter voltage over the sense resistor with the reference at a share of full, all corners; `None`
    /// where the nominal cycle does not settle.
    pub(super) fn reading(&self, share: f64) -> Option<Reading> {
        let dimmed = Self { level: self.level.map(|v| v * share), ..*self };
        let nominal = dimmed.cycle(&Corner::NOMINAL)?;
        let corners: Vec<_> = self.corners().iter().filter_map(|c| Some((*c, dimmed.cycle(c)?))).collect();
        Some(self.read(&nominal, &corners))
    }

    /// What meters show of cycles that are already solved.
    pub(super) fn read(&self, nominal: &SwitchedCycle, corners: &[(Corner, SwitchedCycle)]) -> Reading {
        let meter = |trip: f64, cycle: &SwitchedCycle| at(&self.sense, -trip) * cycle.switch_mean;
        let (mut current, mut sense) = (Spread::exact(nominal.mean), Spread::exact(meter(0.0, nominal)));
        for (corner, cycle) in corners {
            let volts = meter(corner.trip, cycle);
            (current.low, current.high) = (current.low.min(cycle.mean), current.high.max(cycle.mean));
            (sense.low, sense.high) = (sense.low.min(volts), sense.high.max(volts));
        }
        Reading { reference: None, current, sense }
    }

    /// Change of the mean current for each ampere of trip current: about 1, since delays and ripple hardly move.
    pub(super) fn follow(&self) -> f64 {
        let mean = |trip| self.cycle(&Corner { trip, ..Corner::NOMINAL }).map(|c| c.mean);
        match (mean(1.0), mean(-1.0)) {
            (Some(high), Some(low)) => (high - low) / (self.trip(1.0) - self.trip(-1.0)),
            _ => 1.0,
        }
    }

    /// Change of the mean current along each tolerance that the trip current does not see: straight part and bend.
    ///
    /// `ΔI = s·x + c·x²` through both ends and the nominal point, x from −1 to 1. Without the bend the low limit of
    /// many samples comes out 0.2 % of the current too high.
    pub(super) fn bends(&self, nominal: Amperes) -> [(Amperes, Amperes); 5] {
        let mean = |corner: Corner| self.cycle(&corner).map_or(nominal, |c| c.mean);
        let n = Corner::NOMINAL;
        let bend = |set: fn(Corner, f64) -> Corner| {
            let (high, low) = (mean(set(n, 1.0)), mean(set(n, -1.0)));
            ((high - low) / 2.0, (high + low) / 2.0 - nominal)
        };
        [
            bend(|c, e| Corner { supply: e, ..c }),
            bend(|c, e| Corner { string: e, ..c }),
            bend(|c, e| Corner { inductance: e, ..c }),
            bend(|c, e| Corner { delay: e, ..c }),
            bend(|c, e| Corner { off_time: e, ..c }),
        ]
    }
}

#[cfg(test)]
pub(super) use tests::stage as stage_of_a_red_channel;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::sampling::SplitMix64;
    use crate::physics::electrical::string::StringModel;
    use crate::quantity::{Henries, Hertz, Ohms, Ratio};
    use crate::solve::drive::string::Lines;

    /// A red channel of a 12 V lamp: one die, 320 mA, a 3.3 V level with drift, 1 % resistors.
    pub(in crate::solve::drive) fn stage() -> Stage {
        let line = |offset| StringModel { offset: Volts::si(offset), slope: Ohms::si(0.7) };
        Stage {
            supply: Spread::within(Volts::si(12.0), 0.03),
            lines: Lines { low: line(1.49), typical: line(1.905), high: line(2.285) },
            inductance: Spread::within(Henries::si(150e-6), 0.2),
            winding: Ohms::si(0.38),
            on_resistance: Ohms::si(0.06),
            diode: Volts::si(0.4),
            sense: Spread::within(Ohms::si(0.82), 0.0135),
            gain: Spread { low: Ratio::si(11.41), nominal: Ratio::si(11.7), high: Ratio::si(12.0) },
            level: Spread::within(Volts::si(3.3), 0.0235),
            amplifier_offset: Volts::si(1.35e-3),
            open_gain: f64::INFINITY,
            output_low: Volts::si(0.01),
            comparator_offset: Volts::si(3.35e-3),
            bandwidth: Some(Hertz::si(200e6)),
            delay: Spread::within(Seconds::si(60e-9), 0.3),
            off_time: Spread::within(Seconds::si(3.5e-6), 0.05),
        }
    }

    /// The samples of `notes` move the exact nominal along a parabola for each tolerance. Here each sample is a whole cycle of its own.
    #[test]
    fn samples_along_parabolas_stay_beside_exact_cycles() {
        let stage = stage();
        let nominal = stage.cycle(&Corner::NOMINAL).unwrap().mean;
        let (follow, bends, trip) = (stage.follow(), stage.bends(nominal), stage.trip(0.0));
        let mut random = SplitMix64::new(1);
        let (mut exact, mut quick, mut farthest) = (Vec::new(), Vec::new(), 0.0_f64);
        for _ in 0..2000 {
            let mut x = || 2.0 * random.next_unit() - 1.0;
            let corner = Corner { trip: x(), supply: x(), string: x(), inductance: x(), delay: x(), off_time: x() };
            let rest = [corner.supply, corner.string, corner.inductance, corner.delay, corner.off_time];
            let rest: Amperes = bends.iter().zip(rest).map(|((s, c), x)| *s * x + *c * (x * x)).sum();
            let along = nominal + (stage.trip(corner.trip) - trip) * follow + rest;
            let cycle = stage.cycle(&corner).unwrap().mean;
            farthest = farthest.max(((along - cycle) / nominal).abs());
            exact.push(cycle.value());
            quick.push(along.value());
        }
        assert!(farthest < 8e-3, "one sample is off by {farthest:e} of the current");
        exact.sort_by(f64::total_cmp);
        quick.sort_by(f64::total_cmp);
        for rank in [50, 1000, 1950] {
            let off = (quick[rank] / exact[rank] - 1.0).abs();
            assert!(off < 2e-3, "rank {rank}: {} A along parabolas, {} A exact", quick[rank], exact[rank]);
        }
    }
}
