//! Mode ii: the switch opens at a peak current and closes again after a fixed off-time.
//! Turns delay and off-time into the steady cycle, also where the loop has lost regulation.

use super::{Regime, SwitchedCycle, SwitchedSink};
use crate::quantity::{Amperes, Seconds};

/// Times of a peak control.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PeakTiming {
    /// td: from the trip of the comparator to the open switch.
    pub delay: Seconds,
    /// From the open switch to the closed switch: recovery of the comparator, or a monostable.
    pub off_time: Seconds,
}

/// The steady cycle at the set point.
///
/// Regulated: `I_pk = ON(I_T, td)`, `I_v = max(0, OFF(I_pk, toff))`, valid if `I_v < I_T`. Otherwise the on-time is
/// the delay alone and the current finds its own level.
/// The map from one valley to the next never falls and is flatter than 1, so there is exactly one such cycle.
/// Source: exact solution of each stretch; agrees with numerical integration to 1e-13.
pub fn peak_controlled(sink: &SwitchedSink, timing: &PeakTiming) -> SwitchedCycle {
    if sink.reference.value() <= 0.0 {
        return sink.steady(Regime::Off, Amperes::ZERO);
    }
    let (on, trip) = (sink.on(), sink.trip_current());
    if trip >= sink.settled_current() {
        return sink.never_trips();
    }
    let peak = on.after(trip, timing.delay);
    let (valley, _, rest) = sink.fall(peak, timing.off_time);
    let in_reach = valley < trip || valley.value() == 0.0;
    let on_time = on.time(valley, trip).map(|rise| rise + timing.delay);
    match on_time {
        Some(on_time) if in_reach => sink.cycle(Regime::regulated(rest), valley, on_time, timing.off_time),
        _ => delay_bound(sink, timing),
    }
}

/// The fixed point with the delay as on-time. Each stretch maps a current to `e^−x·i + c`, so
/// `I_v = (c_on·e^−x2 + c_off)/(1 − e^−(x1 + x2))`. A cycle from the trip current ends above it, so the fixed point does.
fn delay_bound(sink: &SwitchedSink, timing: &PeakTiming) -> SwitchedCycle {
    let (on, off) = (sink.on(), sink.off());
    let (on_time, off_time) = (timing.delay, timing.off_time);
    let (x1, x2) = (on.decay(on_time), off.decay(off_time));
    let lift = on.after(Amperes::ZERO, on_time) * libm::exp(-x2) + off.after(Amperes::ZERO, off_time);
    sink.cycle(Regime::DelayBound, lift / -libm::expm1(-(x1 + x2)), on_time, off_time)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::hysteretic::fixture;
    use crate::physics::electrical::string::StringModel;
    use crate::quantity::{Henries, Ohms, Volts};

    fn stage() -> SwitchedSink {
        fixture::stage()
    }

    #[test]
    fn every_cycle_ends_where_it_began() {
        let mut seen = Vec::new();
        for inductance in [4.7e-6, 47e-6, 470e-6] {
            for offset in [0.0, 2.7, 9.0, 16.2, 23.0] {
                for off_time in [100e-9, 1e-6, 10e-6] {
                    let string = StringModel { offset: Volts::si(offset), slope: Ohms::si(1.0) };
                    let sink = SwitchedSink { string, inductance: Henries::si(inductance), ..stage() };
                    let timing = PeakTiming { delay: Seconds::si(300e-9), off_time: Seconds::si(off_time) };
                    let cycle = peak_controlled(&sink, &timing);
                    assert!(fixture::imbalance(&cycle).value().abs() <= 1e-12 * cycle.input_power.value());
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
        for regime in [Regime::Continuous, Regime::Discontinuous, Regime::DelayBound] {
            assert!(seen.contains(&regime), "the grid has no {regime:?}");
        }
    }

    #[test]
    fn a_supply_below_the_string_leaves_it_dark() {
        let timing = PeakTiming { delay: Seconds::si(2e-7), off_time: Seconds::si(1e-6) };
        let dark = peak_controlled(&SwitchedSink { supply: Volts::si(12.0), ..stage() }, &timing);
        assert_eq!((dark.regime, dark.mean), (Regime::NeverTrips, Amperes::ZERO));
    }
}
