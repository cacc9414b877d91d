//! Choosing the parts of a switched sink with constant off-time, and gating it for dimming.
//! Turns a wished current, ripple and frequency into off-time, inductance, trip current and reference.

use super::SwitchedSink;
use crate::quantity::{Amperes, AmperesPerSecond, Henries, Hertz, Seconds, Volts};

/// What a design aims at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DesignTarget {
    /// Mean current.
    pub current: Amperes,
    /// r: ripple, peak to valley, over the mean current; 0.3 is common practice.
    pub ripple: f64,
    /// Switching frequency.
    pub frequency: Hertz,
    /// td: from the trip of the comparator to the open switch.
    pub delay: Seconds,
}

/// What a design needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SinkDesign {
    /// D.
    pub duty: f64,
    /// From the open switch to the closed switch.
    pub off_time: Seconds,
    /// L.
    pub inductance: Henries,
    /// Current at which the comparator must trip.
    pub trip_current: Amperes,
    /// Vref that trips it there.
    pub reference: Volts,
}

/// Off-time, inductance and reference for a target; `None` if the supply leaves nothing across the inductor.
///
/// `Von = Vs − V0 − R1·I`, `Voff = V0 + VD0 + R2·I`, `D = Voff/(Von + Voff)`, `toff = (1 − D)/f`,
/// `L = Voff·toff/(r·I)`, `I_T = I(1 + r/2) − (Von/L)·td`, `Vref = A·Rs·I_T`.
/// `sink` gives everything but inductance and reference. The exact cycle with these parts holds the mean within
/// 0.1 % at 30 % ripple. Source: volt-second balance with straight edges.
pub fn design(sink: &SwitchedSink, target: &DesignTarget) -> Option<SinkDesign> {
    let (on, off) = (sink.on(), sink.off());
    let rising = on.drive - on.resistance * target.current;
    let falling = off.resistance * target.current - off.drive;
    let swing = target.current * target.ripple;
    if rising.value() <= 0.0 || falling.value() <= 0.0 || swing.value() <= 0.0 || target.frequency.value() <= 0.0 {
        return None;
    }
    let duty = falling / (rising + falling);
    let off_time = target.frequency.period() * (1.0 - duty);
    let inductance = falling / (swing / off_time);
    let trip_current = target.current + swing / 2.0 - rising / inductance * target.delay;
    let reference = sink.sense * sink.gain * trip_current;
    Some(SinkDesign { duty, off_time, inductance, trip_current, reference })
}

/// `L ≥ (Vs_max − V0_min)·td/(k·I_min)`: the inductance below which the delay alone adds more than the part
/// `overshoot` (k) of the least current. k = 0.1 is our margin.
pub fn delay_limited_inductance(across: Volts, delay: Seconds, least_current: Amperes, overshoot: f64) -> Henries {
    across / (least_current * overshoot / delay)
}

/// Mean current of a running sink that is gated at `duty` and `gating`, with straight edges:
/// `I_mean = D·I + f·I²/2·(1/m_f − 1/m_r)`.
///
/// Both slopes above zero. `None` if the pulse is too short to reach the set current, `D/f < I/m_r`, where the
/// formula no longer holds.
pub fn gated_mean(
    current: Amperes,
    duty: f64,
    gating: Hertz,
    rise: AmperesPerSecond,
    fall: AmperesPerSecond,
) -> Option<Amperes> {
    let (to_rise, to_fall): (Seconds, Seconds) = (current / rise, current / fall);
    let pulse = gating.period() * duty;
    let gained = (to_fall - to_rise) / gating.period() / 2.0;
    (pulse >= to_rise).then(|| current * duty + current * gained)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::electrical::hysteretic::{Sensing, fixture};

    fn stage() -> SwitchedSink {
        fixture::stage(Sensing::WhileOn)
    }

    #[test]
    fn without_voltage_to_spare_there_is_no_design() {
        let target = |current, ripple| DesignTarget {
            current: Amperes::si(current),
            ripple,
            frequency: Hertz::si(200e3),
            delay: Seconds::si(150e-9),
        };
        assert!(design(&stage(), &target(0.35, 0.3)).is_some());
        assert_eq!(design(&stage(), &target(1.8, 0.3)), None, "the stage settles at 1.753 A");
        assert_eq!(design(&stage(), &target(0.35, 0.0)), None, "no ripple needs an endless inductance");
    }

    #[test]
    fn equal_slopes_leave_the_mean_alone() {
        let slope = AmperesPerSecond::si(5e4);
        let mean = gated_mean(Amperes::si(0.3), 0.25, Hertz::si(1e3), slope, slope);
        assert!((mean.unwrap().value() - 0.075).abs() < 1e-16);
    }
}
