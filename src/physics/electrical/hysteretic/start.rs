//! The first cycles of a switched sink: from no current, with the reference standing or still rising through its filter.
//! Turns stage, amplifier and delays into the highest current on the way to the steady cycle.

use super::chopped::Lag;
use super::{ChoppedTiming, SwitchedCycle, SwitchedSink};
use crate::quantity::{Amperes, Seconds, Volts};

/// What happens between the first closing of the switch and the steady cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StartUp {
    /// Highest current on the way.
    pub highest: Amperes,
    /// When it flows, from the first closing of the switch.
    pub at: Seconds,
    /// Peak of the last cycle followed.
    pub last_peak: Amperes,
    /// Cycles followed.
    pub cycles: u32,
}

/// Cycles after which the search is given up.
const MOST_CYCLES: u32 = 100_000;
/// Steps a time constant of a slow reference: it then rises by less than a step's share of the way left at a time.
const STEPS: f64 = 16.0;
/// Time constants of the reference that are followed: it is then within 0.1 % of its end.
const FOLLOWED: f64 = 7.0;

/// Follows the cycles from zero current and an amplifier at zero until peaks stand still.
///
/// `rise` is the time constant of the reference; zero for a reference that stands. Within one cycle a rising
/// reference counts as still, which is exact for a standing one. A reference far slower than the cycles is taken in
/// steps of a sixteenth of its time constant, a harsher start than its rise. Without lag (`timing.amplifier` zero) the first
/// peak is already the steady one. An amplifier that lags lets the first peak over the trip point by about slope
/// times lag; the steady peak lies over it too, so whether a start overshoots takes this working out.
/// Hysteresis is not followed: sensing in the switch's path has none.
/// `None` if the current cannot reach the trip point, or the peaks do not settle.
/// Source: exact solution of each stretch, as the steady cycle; compared with a fixed-step integration.
pub fn start_up(sink: &SwitchedSink, timing: &ChoppedTiming, rise: Seconds) -> Option<StartUp> {
    let lag = Lag { on: sink.on(), gain: sink.sense * sink.gain, tau: timing.amplifier };
    if sink.reference.value() <= 0.0 || lag.gain * sink.settled_current() <= sink.reference {
        return None;
    }
    let mut state = State { current: Amperes::ZERO, output: Volts::ZERO, time: Seconds::ZERO };
    let mut found = StartUp { highest: Amperes::ZERO, at: Seconds::ZERO, last_peak: Amperes::ZERO, cycles: 0 };
    while found.cycles < MOST_CYCLES {
        let reference = reference_at(sink.reference, state.time, rise);
        let (peak, at) = state.cycle(sink, timing, &lag, reference)?;
        if peak > found.highest {
            (found.highest, found.at) = (peak, at);
        }
        let still = (peak - found.last_peak).abs().value() <= 1e-9 * peak.value();
        found = StartUp { last_peak: peak, cycles: found.cycles + 1, ..found };
        let step = rise / STEPS;
        state.time = state.time.max(step * f64::from(found.cycles));
        let risen = rise.value() <= 0.0 || state.time.value() > FOLLOWED * rise.value();
        if risen && (still || rise.value() > 0.0) {
            return Some(found);
        }
    }
    None
}

fn reference_at(full: Volts, time: Seconds, rise: Seconds) -> Volts {
    if rise.value() <= 0.0 { full } else { full * -libm::expm1(-(time / rise)) }
}

/// Current, amplifier and time at the moment the switch closes.
struct State {
    current: Amperes,
    output: Volts,
    time: Seconds,
}

impl State {
    /// One cycle; gives the peak and its time, and leaves the state at the next closing.
    fn cycle(
        &mut self,
        sink: &SwitchedSink,
        timing: &ChoppedTiming,
        lag: &Lag,
        reference: Volts,
    ) -> Option<(Amperes, Seconds)> {
        let lags = timing.amplifier.value() > 0.0;
        let seen = if lags { self.output } else { lag.gain * self.current };
        let rise = match seen >= reference {
            true => Seconds::ZERO,
            false if lags => lag.crossing(self.current, self.output, reference, None)?.0,
            false => lag.on.time(self.current, reference / lag.gain)?,
        };
        let on_time = rise + timing.off_delay;
        let peak = lag.on.after(self.current, on_time);
        let opened = if lags { lag.at(self.current, self.output, on_time).output } else { Volts::ZERO };
        let behind = if lags && reference.value() > 0.0 { libm::log(opened / reference).max(0.0) } else { 0.0 };
        let off_time = Seconds::si(timing.amplifier.value() * behind) + timing.on_delay;
        let at = self.time + on_time;
        let (valley, _, _) = sink.fall(peak, off_time);
        self.current = valley;
        self.output = if lags { opened * libm::exp(-(off_time / timing.amplifier)) } else { Volts::ZERO };
        self.time = at + off_time;
        Some((peak, at))
    }
}

impl SwitchedSink {
    /// One cycle of the inductor's current for drawing: `points` instants a stretch, from the closing of the switch.
    pub fn wave(&self, cycle: &SwitchedCycle, points: u32) -> Vec<(Seconds, Amperes)> {
        if !cycle.period.value().is_finite() {
            return Vec::new();
        }
        let share = |k: u32| f64::from(k) / f64::from(points.max(1));
        let rise = (0..points).map(|k| {
            let t = cycle.on_time * share(k);
            (t, self.on().after(cycle.valley, t))
        });
        let fall = (0..=points).map(|k| {
            let t = cycle.fall_time * share(k);
            (cycle.on_time + t, self.off().after(cycle.peak, t).max(Amperes::ZERO))
        });
        let mut wave: Vec<(Seconds, Amperes)> = rise.chain(fall).collect();
        if cycle.zero_time.value() > 0.0 {
            wave.push((cycle.period, Amperes::ZERO));
        }
        wave
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::hysteretic::{amplifier_controlled, fixture};

    fn timing(amplifier: f64) -> ChoppedTiming {
        ChoppedTiming {
            amplifier: Seconds::si(amplifier),
            hysteresis: Volts::ZERO,
            off_delay: Seconds::si(150e-9),
            on_delay: Seconds::si(1e-6),
        }
    }

    /// Highest current of the first microseconds by small straight steps.
    fn stepped(sink: &SwitchedSink, timing: &ChoppedTiming, rise: f64, end: f64) -> f64 {
        let (dt, tau) = (1e-10, timing.amplifier.value());
        let (mut i, mut y, mut t, mut highest) = (0.0_f64, 0.0, 0.0, 0.0_f64);
        let (mut closed, mut pending) = (true, f64::INFINITY);
        while t < end {
            let volts = sink.sense.value() * sink.gain * i;
            let (m, seen) = match closed {
                true => (sink.on().slope(Amperes::si(i)).value(), volts),
                false => (sink.off().slope(Amperes::si(i)).value(), 0.0),
            };
            i = (i + m * dt).max(0.0);
            y += (seen - y) / tau * dt;
            t += dt;
            highest = highest.max(i);
            let reference = sink.reference.value() * if rise > 0.0 { 1.0 - libm::exp(-t / rise) } else { 1.0 };
            let crossed = if closed { y >= reference } else { y <= reference };
            if pending.is_infinite() && crossed {
                pending = t + if closed { timing.off_delay.value() } else { timing.on_delay.value() };
            }
            if t >= pending {
                (closed, pending) = (!closed, f64::INFINITY);
            }
        }
        highest
    }

    #[test]
    fn without_lag_the_first_peak_is_the_steady_one() {
        let sink = fixture::stage();
        let start = start_up(&sink, &timing(0.0), Seconds::ZERO).unwrap();
        let steady = amplifier_controlled(&sink, &timing(0.0)).unwrap();
        assert!((start.highest / steady.peak - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_lagging_amplifier_overshoots_as_the_steps_say() {
        let sink = fixture::stage();
        for (amplifier, rise) in [(200e-9, 0.0), (1e-6, 0.0), (1e-6, 20e-6)] {
            let end = if rise > 0.0 { FOLLOWED * rise } else { 60e-6 };
            let exact = start_up(&sink, &timing(amplifier), Seconds::si(rise)).unwrap();
            let plain = stepped(&sink, &timing(amplifier), rise, end);
            // A reference that counts as still within a cycle is worth a little more than the steps.
            let room = if rise > 0.0 { 1e-2 } else { 1e-3 };
            assert!((exact.highest.value() / plain - 1.0).abs() < room, "{amplifier}: {} and {plain}", exact.highest);
        }
    }

    #[test]
    fn the_start_ends_in_the_steady_cycle() {
        let sink = fixture::stage();
        let steady = amplifier_controlled(&sink, &timing(1e-6)).unwrap();
        let start = start_up(&sink, &timing(1e-6), Seconds::ZERO).unwrap();
        assert!((start.last_peak / steady.peak - 1.0).abs() < 1e-6);
        assert!(start.highest >= start.last_peak && start.cycles > 2, "{start:?}");
    }

    #[test]
    fn a_wave_runs_from_valley_to_valley() {
        let sink = fixture::stage();
        let cycle = amplifier_controlled(&sink, &timing(0.0)).unwrap();
        let wave = sink.wave(&cycle, 16);
        let (first, last) = (wave.first().unwrap(), wave.last().unwrap());
        assert!((first.1 - cycle.valley).abs().value() < 1e-12 && (last.1 - cycle.valley).abs().value() < 1e-12);
        assert!((last.0 / cycle.period - 1.0).abs() < 1e-12);
    }
}
