//! Mode i: two thresholds around the reference, and a sense resistor that sees the current all the time.
//! Turns hysteresis and the two delays into the steady cycle, exactly.

use super::{Regime, SwitchedCycle, SwitchedSink};
use crate::quantity::{Amperes, Seconds, Volts};

/// Hysteresis and delays of a two-threshold control.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandTiming {
    /// Vh: full width between the thresholds, at the comparator.
    pub hysteresis: Volts,
    /// From the upper threshold to the open switch.
    pub off_delay: Seconds,
    /// From the lower threshold to the closed switch.
    pub on_delay: Seconds,
}

/// The steady cycle between `(Vref + Vh/2)/(A·Rs)` and `(Vref − Vh/2)/(A·Rs)`, stretched by the delays.
///
/// Only for continuous sensing: a sense resistor in the switch's path sees nothing while the switch is off, and
/// explicit hysteresis then hardly changes the ripple (use [`super::amplifier_controlled`]).
/// Source: exact solution of each stretch; agrees with numerical integration to 1e-13.
pub fn band_controlled(sink: &SwitchedSink, timing: &BandTiming) -> SwitchedCycle {
    let volts_per_ampere = sink.sense * sink.gain;
    let upper = (sink.reference + timing.hysteresis / 2.0) / volts_per_ampere;
    let lower = (sink.reference - timing.hysteresis / 2.0) / volts_per_ampere;
    if sink.reference.value() <= 0.0 {
        return sink.steady(Regime::Off, Amperes::ZERO);
    }
    let (on, off) = (sink.on(), sink.off());
    if upper >= sink.settled_current() {
        return sink.never_trips();
    }
    if lower.value() <= 0.0 {
        return sink.steady(Regime::NeverRestarts, Amperes::ZERO);
    }
    let peak = on.after(upper, timing.off_delay);
    let Some(to_lower) = off.time(peak, lower) else {
        return sink.steady(Regime::NeverRestarts, Amperes::ZERO);
    };
    let off_time = to_lower + timing.on_delay;
    let (valley, _, rest) = sink.fall(peak, off_time);
    match on.time(valley, upper) {
        Some(rise) => sink.cycle(Regime::regulated(rest), valley, rise + timing.off_delay, off_time),
        None => sink.never_trips(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::hysteretic::{Sensing, fixture};

    fn stage() -> SwitchedSink {
        fixture::stage(Sensing::Continuous)
    }

    fn band(hysteresis: f64) -> BandTiming {
        BandTiming { hysteresis: Volts::si(hysteresis), off_delay: Seconds::si(250e-9), on_delay: Seconds::si(180e-9) }
    }

    #[test]
    fn what_keeps_the_band_from_switching() {
        // Full on, the stage settles at 7.8 V over 4.45 Ω = 1.753 A, which shows as 4.38 V at the comparator.
        let rows = [
            (0.875, 0.175, Regime::Continuous),
            (0.0, 0.175, Regime::Off),
            (4.4, 0.175, Regime::NeverTrips),
            (0.875, 1.75, Regime::NeverRestarts),
        ];
        for (reference, hysteresis, regime) in rows {
            let cycle =
                band_controlled(&SwitchedSink { reference: Volts::si(reference), ..stage() }, &band(hysteresis));
            assert_eq!(cycle.regime, regime, "{reference} V with {hysteresis} V");
            assert!(cycle.imbalance().value().abs() < 1e-12);
        }
    }

    #[test]
    fn delays_widen_the_band_by_slope_times_time() {
        let cycle = band_controlled(&stage(), &band(0.175));
        let (upper, lower) = (Amperes::si(0.385), Amperes::si(0.315));
        let over = stage().rise_slope(upper) * Seconds::si(250e-9);
        let under = stage().fall_slope(lower) * Seconds::si(180e-9);
        assert!(((cycle.peak - upper) / over - 1.0).abs() < 5e-3);
        assert!(((lower - cycle.valley) / under - 1.0).abs() < 5e-3);
    }
}
