//! Mode iii: an amplifier with one pole between the chopped sense voltage and the comparator.
//! Turns its time constant, hysteresis and delays into the steady cycle, by exact events and iteration of cycles.

use super::peak::{PeakTiming, peak_controlled};
use super::segment::Segment;
use super::{Regime, SwitchedCycle, SwitchedSink};
use crate::quantity::{Amperes, Ohms, Seconds, Volts};

/// Amplifier, hysteresis and delays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChoppedTiming {
    /// τa = A/(2π·GBW): time constant of the amplifier with its gain set.
    pub amplifier: Seconds,
    /// Vh: full width between the comparator's thresholds.
    pub hysteresis: Volts,
    /// From the upper threshold to the open switch.
    pub off_delay: Seconds,
    /// From the lower threshold to the closed switch; a constant off-time may be put here.
    pub on_delay: Seconds,
}

/// Cycles after which the search for a steady one is given up.
const MOST_CYCLES: usize = 4000;

/// Relative change from cycle to cycle below which the last cycle counts as steady.
const SETTLED: f64 = 1e-9;

/// Below this relative change a cycle that stops shrinking has met the rounding of its crossing.
const NOISE: f64 = 1e-13;

/// The steady cycle, or `None` if the cycles do not settle.
///
/// While the switch is on the amplifier follows `A·Rs·i` with its lag; while it is off its output decays, since
/// the sense voltage is zero. The switch opens a delay after the upward crossing of `Vref + Vh/2` and closes a
/// delay after the downward crossing of `Vref − Vh/2`, so only one edge is ever pending.
/// One pole and no slew limit: check the slew rate apart. The sense resistor is taken in the switch's path.
/// Source: exact solution of each stretch; agrees with numerical integration to 2e-13.
pub fn amplifier_controlled(sink: &SwitchedSink, timing: &ChoppedTiming) -> Option<SwitchedCycle> {
    let upper = sink.reference + timing.hysteresis / 2.0;
    let lower = sink.reference - timing.hysteresis / 2.0;
    if sink.reference.value() <= 0.0 {
        return Some(sink.steady(Regime::Off, Amperes::ZERO));
    }
    if timing.amplifier.value() <= 0.0 {
        return Some(without_lag(sink, timing, upper));
    }
    let lag = Lag { on: sink.on(), gain: sink.sense * sink.gain, tau: timing.amplifier };
    if lag.gain * sink.settled_current() <= upper {
        return Some(sink.never_trips());
    }
    if lower.value() <= 0.0 {
        return Some(sink.steady(Regime::NeverRestarts, Amperes::ZERO));
    }
    let mut state = (Amperes::ZERO, Volts::ZERO);
    let (mut change, mut least, mut idle) = (f64::INFINITY, f64::INFINITY, 0);
    let mut times = (Seconds::ZERO, Seconds::ZERO, Seconds::ZERO);
    for _ in 0..MOST_CYCLES {
        let (valley, output) = state;
        let on_time = lag.crossing(valley, output, upper)? + timing.off_delay;
        let peak = lag.on.after(valley, on_time);
        let opened = lag.output(valley, output, on_time);
        let recovery = Seconds::si((timing.amplifier.value() * libm::log(opened / lower)).max(0.0));
        let off_time = recovery + timing.on_delay;
        let (next, _, rest) = sink.fall(peak, off_time);
        times = (on_time, off_time, rest);
        state = (next, opened * libm::exp(-(off_time / timing.amplifier)));
        // With a rest at zero the current repeats at once while the amplifier still settles: watch both.
        let (moved, shifted) = ((next - valley).abs() / peak, (state.1 - output).abs() / upper);
        change = moved.max(shifted);
        // The crossing is only good to a few units in the last place: a change that small, or one far below what
        // counts as settled that no longer shrinks, is noise.
        idle = if change < least { 0 } else { idle + 1 };
        least = least.min(change);
        if change <= 2e-15 || least <= NOISE && idle >= 3 {
            break;
        }
    }
    let (on_time, off_time, rest) = times;
    // Rounding grows when the reference is a small part of what the amplifier could reach, hence the wide door.
    (change <= SETTLED).then(|| sink.cycle(Regime::regulated(rest), state.0, on_time, off_time))
}

/// An amplifier without lag is peak control at the upper threshold.
fn without_lag(sink: &SwitchedSink, timing: &ChoppedTiming, upper: Volts) -> SwitchedCycle {
    let shifted = SwitchedSink { reference: upper, ..*sink };
    let times = PeakTiming { delay: timing.off_delay, off_time: timing.on_delay, least_on_time: Seconds::ZERO };
    peak_controlled(&shifted, &times)
}

/// The amplifier while the switch is on: `τa·y' = A·Rs·i − y`.
pub(super) struct Lag {
    pub(super) on: Segment,
    pub(super) gain: Ohms,
    pub(super) tau: Seconds,
}

impl Lag {
    /// `y(t)` from a current and an output at the moment of closing.
    ///
    /// `y = Y + (y0 − Y)e^−t/τa + A·Rs·(i0 − I1)·(e^−t/τ1 − e^−t/τa)/(1 − τa/τ1)`, `Y = A·Rs·I1`;
    /// written with `expm1` where the two time constants are close.
    pub(super) fn output(&self, current: Amperes, output: Volts, time: Seconds) -> Volts {
        let settled = self.gain * self.on.settled();
        let own = libm::exp(-(time / self.tau));
        let distance = self.gain * (current - self.on.settled());
        let difference = 1.0 - self.tau / self.on.time_constant();
        let z = time / self.tau * difference;
        let shape = if z.abs() < 1.0 {
            let growth = if z == 0.0 { 1.0 } else { libm::expm1(z) / z };
            own * (time / self.tau) * growth
        } else {
            (libm::exp(-self.on.decay(time)) - own) / difference
        };
        settled + (output - settled) * own + distance * shape
    }

    /// First time at which the output rises through `threshold`: Newton's method kept inside a bracket.
    pub(super) fn crossing(&self, current: Amperes, output: Volts, threshold: Volts) -> Option<Seconds> {
        let excess = |t: f64| (self.output(current, output, Seconds::si(t)) - threshold).value();
        let (mut low, mut high) = (0.0, self.tau.value());
        for _ in 0..200 {
            if excess(high) >= 0.0 {
                break;
            }
            (low, high) = (high, high * 2.0);
        }
        if excess(high) < 0.0 {
            return None;
        }
        let mut t = 0.5 * (low + high);
        for _ in 0..100 {
            let over = excess(t);
            // Nearer than rounding tells apart: further steps only wander.
            if over.abs() <= f64::EPSILON * threshold.value() {
                return Some(Seconds::si(t));
            }
            if over >= 0.0 {
                high = t
            } else {
                low = t
            }
            let y = over + threshold.value();
            let driven = (self.gain * self.on.after(current, Seconds::si(t))).value();
            let newton = t - over * self.tau.value() / (driven - y);
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - t).abs() <= f64::EPSILON * t {
                return Some(Seconds::si(next));
            }
            t = next;
        }
        Some(Seconds::si(t))
    }
}

/// k of `I_LED ≈ (Vref/(A·Rs))/k` for small ripple, with `t_c = t_on − td_off`:
/// `k = 1 − e^(−t_c/τa)·(1 − e^(−toff/τa))/(1 − e^(−T/τa))`.
///
/// 1 for a fast amplifier, which then regulates the peak; D for a slow one, which regulates the mean of the
/// chopped signal and so delivers 1/D times what was asked. Source: first-order lag in periodic steady state.
pub fn averaging_factor(cycle: &SwitchedCycle, timing: &ChoppedTiming) -> f64 {
    let tau = timing.amplifier;
    let off_time = cycle.fall_time + cycle.zero_time;
    let seen = libm::exp(-((cycle.on_time - timing.off_delay) / tau));
    1.0 - seen * libm::expm1(-(off_time / tau)) / libm::expm1(-(cycle.period / tau))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::hysteretic::{Sensing, fixture};

    fn stage() -> SwitchedSink {
        fixture::stage(Sensing::WhileOn)
    }

    fn timing(amplifier: f64, hysteresis: f64) -> ChoppedTiming {
        ChoppedTiming {
            amplifier: Seconds::si(amplifier),
            hysteresis: Volts::si(hysteresis),
            off_delay: Seconds::si(150e-9),
            on_delay: Seconds::si(1e-6),
        }
    }

    #[test]
    fn a_fast_amplifier_is_none_at_all() {
        let none = amplifier_controlled(&stage(), &timing(0.0, 0.0)).unwrap();
        let fast = amplifier_controlled(&stage(), &timing(1e-12, 0.0)).unwrap();
        assert!((fast.mean / none.mean - 1.0).abs() < 1e-6, "{} and {}", fast.mean, none.mean);
        assert!((averaging_factor(&fast, &timing(1e-12, 0.0)) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_slow_amplifier_sees_the_duty() {
        let slow = timing(1e-3, 0.0);
        let cycle = amplifier_controlled(&stage(), &slow).unwrap();
        assert!((averaging_factor(&cycle, &slow) / cycle.duty - 1.0).abs() < 0.1);
        assert!((cycle.switch_mean / stage().trip_current() - 1.0).abs() < 2e-3);
    }

    #[test]
    fn equal_time_constants_need_no_case_of_their_own() {
        let tau = stage().on().time_constant().value();
        let mean = |tau| amplifier_controlled(&stage(), &timing(tau, 0.0)).unwrap().mean.value();
        let (below, at, above) = (mean(tau * 0.999), mean(tau), mean(tau * 1.001));
        assert!((at / (0.5 * (below + above)) - 1.0).abs() < 1e-6, "{below}, {at}, {above}");
    }

    #[test]
    fn what_keeps_it_from_switching() {
        let run = |reference, hysteresis| {
            let sink = SwitchedSink { reference: Volts::si(reference), ..stage() };
            amplifier_controlled(&sink, &timing(1e-7, hysteresis)).unwrap().regime
        };
        assert_eq!(run(0.0, 0.0), Regime::Off);
        assert_eq!(run(4.4, 0.0), Regime::NeverTrips);
        assert_eq!(run(0.1, 0.2), Regime::NeverRestarts);
        assert_eq!(run(0.001, 0.0), Regime::Discontinuous);
    }
}
