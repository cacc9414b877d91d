//! Mode ii: the switch opens at a peak current and closes again after a fixed off-time.
//! Turns delay, off-time and shortest on-time into the steady cycle, also where the loop has lost regulation.

use super::{Regime, SwitchedCycle, SwitchedSink};
use crate::quantity::{Amperes, Seconds};

/// Times of a peak control.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PeakTiming {
    /// td: from the trip of the comparator to the open switch.
    pub delay: Seconds,
    /// From the open switch to the closed switch: recovery of the comparator, or a monostable.
    pub off_time: Seconds,
    /// Shortest on-time beyond the delay itself, such as blanking; zero if none.
    pub least_on_time: Seconds,
}

impl PeakTiming {
    fn shortest_on(&self) -> Seconds {
        self.least_on_time.max(self.delay)
    }
}

/// The steady cycle at the set point.
///
/// Regulated: `I_pk = ON(I_T, td)`, `I_v = max(0, OFF(I_pk, toff))`, valid if `I_v < I_T` and the on-time is not
/// below the shortest. Otherwise the on-time is the shortest and the current finds its own level.
/// The map from one valley to the next never falls and is flatter than 1, so there is exactly one such cycle.
/// Source: exact solution of each stretch; agrees with numerical integration to 1e-13.
pub fn peak_controlled(sink: &SwitchedSink, timing: &PeakTiming) -> SwitchedCycle {
    if sink.reference.value() <= 0.0 {
        return sink.steady(Regime::Off, Amperes::ZERO);
    }
    cycle_at(sink, timing, sink.trip_current())
}

/// The cycle left when the reference comes down to just above zero: the least current that can be dimmed to.
///
/// Even then the switch is on for the delay in every cycle, so the peak is `ON(0, td)`.
pub fn zero_reference_floor(sink: &SwitchedSink, timing: &PeakTiming) -> SwitchedCycle {
    cycle_at(sink, timing, Amperes::ZERO)
}

fn cycle_at(sink: &SwitchedSink, timing: &PeakTiming, trip: Amperes) -> SwitchedCycle {
    let on = sink.on();
    if trip >= sink.settled_current() {
        return sink.never_trips();
    }
    let peak = on.after(trip, timing.delay);
    let (valley, _, rest) = sink.fall(peak, timing.off_time);
    let in_reach = valley < trip || valley.value() == 0.0;
    let on_time = on.time(valley, trip).map(|rise| rise + timing.delay);
    match on_time {
        Some(on_time) if in_reach && on_time >= timing.shortest_on() => {
            sink.cycle(Regime::regulated(rest), valley, on_time, timing.off_time)
        }
        _ => delay_bound(sink, timing),
    }
}

/// The fixed point with the on-time at its shortest. Each stretch maps a current to `e^−x·i + c`, so
/// `I_v = (c_on·e^−x2 + c_off)/(1 − e^−(x1 + x2))`, or zero if that is negative.
fn delay_bound(sink: &SwitchedSink, timing: &PeakTiming) -> SwitchedCycle {
    let (on, off) = (sink.on(), sink.off());
    let (on_time, off_time) = (timing.shortest_on(), timing.off_time);
    let (x1, x2) = (on.decay(on_time), off.decay(off_time));
    let lift = on.after(Amperes::ZERO, on_time) * libm::exp(-x2) + off.after(Amperes::ZERO, off_time);
    let valley = (lift / -libm::expm1(-(x1 + x2))).max(Amperes::ZERO);
    let (_, _, rest) = sink.fall(on.after(valley, on_time), off_time);
    sink.cycle(Regime::delay_bound(rest), valley, on_time, off_time)
}

/// Whether the loop has lost its regulation: `OFF(ON(I_T, td), toff) ≥ I_T`.
///
/// Then the delay alone raises the current by more than the off-time lowers it. To a first approximation
/// `m_r·td ≥ m_f·toff`; with equal times, any string below about half the supply.
pub fn loses_regulation(sink: &SwitchedSink, timing: &PeakTiming) -> bool {
    let trip = sink.trip_current();
    let peak = sink.on().after(trip, timing.delay);
    sink.off().after(peak, timing.off_time) >= trip
}

/// Open-loop current of a delay-bound cycle for small ripple, with `D = t_on/(t_on + toff)`:
/// `I = (D(Vs − V0) − (1 − D)(V0 + VD0))/(Rd + RL + D(Ron + Rs) + (1 − D)RD)`.
///
/// For explaining; the exact value is in the cycle. Source: volt-second balance of the inductor.
pub fn delay_bound_current(sink: &SwitchedSink, timing: &PeakTiming) -> Amperes {
    let on_time = timing.shortest_on();
    let d = on_time / (on_time + timing.off_time);
    let drive = (sink.supply - sink.string.offset) * d - (sink.string.offset + sink.diode.offset) * (1.0 - d);
    let switched = (sink.on_resistance + sink.sense) * d + sink.diode.slope * (1.0 - d);
    drive / (sink.string.slope + sink.winding + switched)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::hysteretic::{Sensing, fixture};
    use crate::physics::electrical::string::StringModel;
    use crate::quantity::{Henries, Ohms, Volts};

    fn stage() -> SwitchedSink {
        fixture::stage(Sensing::WhileOn)
    }

    #[test]
    fn every_cycle_ends_where_it_began() {
        let mut seen = Vec::new();
        for inductance in [4.7e-6, 47e-6, 470e-6] {
            for offset in [0.0, 2.7, 9.0, 16.2, 23.0] {
                for off_time in [100e-9, 1e-6, 10e-6] {
                    let string = StringModel { offset: Volts::si(offset), slope: Ohms::si(1.0) };
                    let sink = SwitchedSink { string, inductance: Henries::si(inductance), ..stage() };
                    let (delay, least) = (Seconds::si(200e-9), Seconds::si(300e-9));
                    let timing = PeakTiming { delay, off_time: Seconds::si(off_time), least_on_time: least };
                    let cycle = peak_controlled(&sink, &timing);
                    assert!(cycle.imbalance().value().abs() <= 1e-12 * cycle.input_power.value());
                    seen.push(cycle.regime);
                    if cycle.regime == Regime::NeverTrips {
                        continue;
                    }
                    let peak = sink.on().after(cycle.valley, cycle.on_time);
                    let (next, _, _) = sink.fall(peak, timing.off_time);
                    assert!((next - cycle.valley).value().abs() <= 1e-13 * cycle.peak.value(), "{sink:?}");
                }
            }
        }
        use Regime::{Continuous, DelayBoundContinuous, DelayBoundDiscontinuous, Discontinuous};
        for regime in [Continuous, Discontinuous, DelayBoundContinuous, DelayBoundDiscontinuous] {
            assert!(seen.contains(&regime), "the grid has no {regime:?}");
        }
    }

    #[test]
    fn a_supply_below_the_string_leaves_it_dark() {
        let timing = PeakTiming { delay: Seconds::si(2e-7), off_time: Seconds::si(1e-6), least_on_time: Seconds::ZERO };
        let dark = peak_controlled(&SwitchedSink { supply: Volts::si(12.0), ..stage() }, &timing);
        assert_eq!((dark.regime, dark.mean), (Regime::NeverTrips, Amperes::ZERO));
    }
}
