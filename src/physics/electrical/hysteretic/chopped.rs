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

/// A step of the crossing this small, relative to the time, leaves an error below rounding: errors go with its square.
const NEAR: f64 = 1e-9;

/// Newton's steps towards the valley that repeats; cycles that need more are followed one by one.
const MOST_STEPS: usize = 20;

/// A valley that returns this much of its change damps slowly: the cycles themselves then say whether they settle.
const DAMPED: f64 = 0.9;

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
    let map = Map { sink, timing, lag, upper, lower };
    let steady = map.repeating().or_else(|| map.followed())?;
    Some(sink.cycle(Regime::regulated(steady.rest), steady.next, steady.on_time, steady.off_time))
}

/// One cycle as a map from a valley to the next.
struct Map<'a> {
    sink: &'a SwitchedSink,
    timing: &'a ChoppedTiming,
    lag: Lag,
    upper: Volts,
    lower: Volts,
}

/// What a cycle from a given valley leaves behind.
struct Turn {
    /// From the closing of the switch to the upper crossing.
    crossing: Seconds,
    on_time: Seconds,
    off_time: Seconds,
    rest: Seconds,
    peak: Amperes,
    /// The next valley, and the amplifier's output there.
    next: Amperes,
    output: Volts,
    /// ∂next/∂valley.
    slope: f64,
}

impl Map<'_> {
    fn turn(&self, valley: Amperes, output: Volts, guess: Option<Seconds>) -> Option<Turn> {
        let (lag, tau) = (&self.lag, self.timing.amplifier);
        let (crossing, crossed) = lag.crossing(valley, output, self.upper, guess)?;
        let on_time = crossing + self.timing.off_delay;
        let peak = lag.on.after(valley, on_time);
        let opened = lag.at(valley, output, on_time);
        let recovery = Seconds::si((tau.value() * libm::log(opened.output / self.lower)).max(0.0));
        let off_time = recovery + self.timing.on_delay;
        let (next, _, rest) = self.sink.fall(peak, off_time);
        let output = opened.output * libm::exp(-(off_time / tau));
        let mut turn = Turn { crossing, on_time, off_time, rest, peak, next, output, slope: 0.0 };
        if rest.value() <= 0.0 {
            turn.slope = self.slope(&turn, &crossed, &opened);
        }
        Some(turn)
    }

    /// `dI_v'/dI_v = e^−x2·(∂i/∂i0 + i'·dt) + i_off'·τa·(∂y/∂i0 + y'·dt)/y` at the opening, with
    /// `dt = −(∂y/∂i0)/y'` at the crossing: a higher valley is crossed earlier.
    fn slope(&self, turn: &Turn, crossed: &Moment, opened: &Moment) -> f64 {
        let earlier = -crossed.follows.value() / crossed.rate;
        let rising = self.lag.on.slope(turn.peak).value();
        let peak = opened.remains + rising * earlier;
        let output = (opened.follows.value() + opened.rate * earlier) / opened.output.value();
        let off = self.sink.off();
        let tau = self.timing.amplifier.value();
        libm::exp(-off.decay(turn.off_time)) * peak + off.slope(turn.next).value() * tau * output
    }

    /// The valley that repeats, by Newton's method; `None` where it does not get there or damps too slowly.
    ///
    /// While the switch is off the output falls through the lower threshold and then for a fixed time, so each cycle
    /// begins at the same output and the valley alone is unknown.
    fn repeating(&self) -> Option<Turn> {
        let (tau, delays) = (self.timing.amplifier, (self.timing.off_delay, self.timing.on_delay));
        let output = self.lower * libm::exp(-(delays.1 / tau));
        // A ramp leaves the amplifier behind by its time constant.
        let trip = self.upper / self.lag.gain;
        let (mut valley, _, _) = self.sink.fall(self.lag.on.after(trip, delays.0 + tau), delays.1);
        let mut guess = None;
        for _ in 0..MOST_STEPS {
            let turn = self.turn(valley, output, guess)?;
            let miss = turn.next - valley;
            let met = miss.abs().value() <= 4.0 * f64::EPSILON * turn.peak.value();
            let rests = turn.rest.value() > 0.0 && valley.value() == 0.0;
            if met || rests {
                return (turn.slope.abs() < DAMPED).then_some(turn);
            }
            let step = miss / (1.0 - turn.slope);
            guess = Some(turn.crossing);
            let small = step.abs().value() <= 1e-12 * turn.peak.value();
            valley = (valley + step).max(Amperes::ZERO);
            if small {
                // The step's own error is below rounding, and the crossing is no better than that.
                return self.turn(valley, output, guess).filter(|t| t.slope.abs() < DAMPED);
            }
        }
        None
    }

    /// Follows the cycles from no current until they repeat.
    fn followed(&self) -> Option<Turn> {
        let mut state = (Amperes::ZERO, Volts::ZERO);
        let (mut least, mut idle) = (f64::INFINITY, 0);
        let mut last = None;
        for _ in 0..MOST_CYCLES {
            let (valley, output) = state;
            let turn = self.turn(valley, output, None)?;
            state = (turn.next, turn.output);
            // With a rest at zero the current repeats at once while the amplifier still settles: watch both.
            let (moved, shifted) = ((turn.next - valley).abs() / turn.peak, (turn.output - output).abs() / self.upper);
            let change = moved.max(shifted);
            // The crossing is only good to a few units in the last place: a change that small, or one far below what
            // counts as settled that no longer shrinks, is noise.
            idle = if change < least { 0 } else { idle + 1 };
            least = least.min(change);
            last = Some((turn, change));
            if change <= 2e-15 || least <= NOISE && idle >= 3 {
                break;
            }
        }
        // Rounding grows when the reference is a small part of what the amplifier could reach, hence the wide door.
        last.filter(|(_, change)| *change <= SETTLED).map(|(turn, _)| turn)
    }
}

/// An amplifier without lag is peak control at the upper threshold.
fn without_lag(sink: &SwitchedSink, timing: &ChoppedTiming, upper: Volts) -> SwitchedCycle {
    let shifted = SwitchedSink { reference: upper, ..*sink };
    let times = PeakTiming { delay: timing.off_delay, off_time: timing.on_delay };
    peak_controlled(&shifted, &times)
}

/// The amplifier while the switch is on: `τa·y' = A·Rs·i − y`.
pub(super) struct Lag {
    pub(super) on: Segment,
    pub(super) gain: Ohms,
    pub(super) tau: Seconds,
}

/// Current and amplifier some time after the switch closed.
pub(super) struct Moment {
    /// y.
    pub(super) output: Volts,
    /// `y' = (A·Rs·i − y)/τa`, in volts each second.
    rate: f64,
    /// ∂y/∂i0.
    follows: Ohms,
    /// `∂i/∂i0 = e^−t/τ1`.
    remains: f64,
}

impl Lag {
    /// The moment `time` after the closing, from a current and an output at the closing.
    ///
    /// `y = Y + (y0 − Y)e^−t/τa + A·Rs·(i0 − I1)·(e^−t/τ1 − e^−t/τa)/(1 − τa/τ1)`, `Y = A·Rs·I1`;
    /// written with `expm1` where the two time constants are close.
    pub(super) fn at(&self, current: Amperes, output: Volts, time: Seconds) -> Moment {
        let settled = self.on.settled();
        let (own, remains) = (libm::exp(-(time / self.tau)), libm::exp(-self.on.decay(time)));
        let distance = current - settled;
        let difference = 1.0 - self.tau / self.on.time_constant();
        let z = time / self.tau * difference;
        let shape = if z.abs() < 1.0 {
            let growth = if z == 0.0 { 1.0 } else { libm::expm1(z) / z };
            own * (time / self.tau) * growth
        } else {
            (remains - own) / difference
        };
        let reach = self.gain * settled;
        let y = reach + (output - reach) * own + self.gain * distance * shape;
        let driven = self.gain * (settled + distance * remains);
        Moment { output: y, rate: (driven - y).value() / self.tau.value(), follows: self.gain * shape, remains }
    }

    /// First time at which the output rises through `threshold`, and the moment there: Newton's method from the
    /// guess, else from the time at which the current itself gets there and the lag.
    ///
    /// The output starts below the threshold and falls at most once before it rises, so there is one crossing.
    pub(super) fn crossing(
        &self,
        current: Amperes,
        output: Volts,
        threshold: Volts,
        guess: Option<Seconds>,
    ) -> Option<(Seconds, Moment)> {
        let reached = || self.on.time(current, threshold / self.gain).unwrap_or(Seconds::ZERO) + self.tau;
        let mut t = guess.unwrap_or_else(reached);
        for _ in 0..12 {
            let moment = self.at(current, output, t);
            let step = -(moment.output - threshold).value() / moment.rate;
            let next = Seconds::si(t.value() + step);
            // Also what is not a number ends here.
            if !(moment.rate > 0.0 && next.value() > 0.0) {
                break;
            }
            if step.abs() <= NEAR * t.value() {
                return Some((next, moment));
            }
            t = next;
        }
        let t = self.halved(current, output, threshold)?;
        Some((t, self.at(current, output, t)))
    }

    /// The crossing by Newton's method kept inside a bracket.
    fn halved(&self, current: Amperes, output: Volts, threshold: Volts) -> Option<Seconds> {
        let (mut low, mut high) = (0.0, self.tau.value());
        let at = |t: f64| self.at(current, output, Seconds::si(t));
        for _ in 0..200 {
            if at(high).output >= threshold {
                break;
            }
            (low, high) = (high, high * 2.0);
        }
        if at(high).output < threshold {
            return None;
        }
        let mut t = 0.5 * (low + high);
        for _ in 0..100 {
            let moment = at(t);
            let over = (moment.output - threshold).value();
            // Nearer than rounding tells apart: further steps only wander.
            if over.abs() <= f64::EPSILON * threshold.value() {
                return Some(Seconds::si(t));
            }
            if over >= 0.0 {
                high = t
            } else {
                low = t
            }
            let newton = t - over / moment.rate;
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - t).abs() <= f64::EPSILON * t {
                return Some(Seconds::si(next));
            }
            t = next;
        }
        Some(Seconds::si(t))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::hysteretic::fixture;
    use crate::physics::electrical::string::StringModel;

    fn stage() -> SwitchedSink {
        fixture::stage()
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
    }

    #[test]
    fn a_slow_amplifier_holds_the_mean_of_what_it_sees() {
        let slow = timing(1e-3, 0.0);
        let cycle = amplifier_controlled(&stage(), &slow).unwrap();
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
    fn the_repeating_valley_is_where_the_cycles_settle() {
        for offset in [2.7, 9.0, 16.2, 22.5] {
            for tau in [2e-8, 2e-7, 1e-6, 5e-6] {
                for reference in [0.01, 0.2, 0.875, 2.0] {
                    let string = StringModel { offset: Volts::si(offset), ..stage().string };
                    let sink = SwitchedSink { string, reference: Volts::si(reference), ..stage() };
                    let (timing, lag) =
                        (timing(tau, 0.0), Lag { on: sink.on(), gain: sink.sense * sink.gain, tau: Seconds::si(tau) });
                    if lag.gain * sink.settled_current() <= sink.reference {
                        continue;
                    }
                    let map = Map { sink: &sink, timing: &timing, lag, upper: sink.reference, lower: sink.reference };
                    let (Some(found), Some(followed)) = (map.repeating(), map.followed()) else { continue };
                    let off = (found.next - followed.next).abs() / followed.peak;
                    assert!(off < 1e-12, "offset {offset}, lag {tau}, reference {reference}: {off:e}");
                    let nudge = Amperes::si(1e-6 * found.peak.value());
                    let out = map.lower * libm::exp(-(timing.on_delay / timing.amplifier));
                    let from = |valley| map.turn(valley, out, None).unwrap().next;
                    if found.next > nudge {
                        let slope = (from(found.next + nudge) - from(found.next - nudge)) / (nudge * 2.0);
                        assert!((slope - found.slope).abs() < 1e-5, "slope {slope}, {}", found.slope);
                    }
                }
            }
        }
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
