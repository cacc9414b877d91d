//! Topology c: a switched low-side sink of comparator, inductor and freewheel diode, in exact steady state.
//! The parts of the stage and what one cycle yields; the modes of control stand in the files below this one.

mod chopped;
mod design;
mod peak;
mod segment;
mod start;

pub use chopped::{ChoppedTiming, amplifier_controlled};
pub use design::{DesignTarget, SinkDesign, design};
pub use peak::{PeakTiming, peak_controlled};
pub use start::{StartUp, start_up};

use super::string::StringModel;
use crate::quantity::{AmpereSquareSeconds, Amperes, Coulombs, Henries, Hertz, Ohms, Seconds, Volts, Watts};
use segment::Segment;

/// Forward drop of the freewheel diode, `V = VD0 + RD·i`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiodeDrop {
    /// VD0.
    pub offset: Volts,
    /// RD.
    pub slope: Ohms,
}

/// The power stage and its set point.
///
/// Supply → string → inductor → switch → sense resistor → 0 V, the diode from the switch back to the supply.
/// So the loop that freewheels is inductor, diode and string, and the supply feeds it only while the switch is on.
/// Valid for at least one resistance above zero in the loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwitchedSink {
    /// Vs: supply at the driver's terminals.
    pub supply: Volts,
    /// The string.
    pub string: StringModel,
    /// L.
    pub inductance: Henries,
    /// RL: the inductor's winding.
    pub winding: Ohms,
    /// Ron: the switch fully on, hot.
    pub on_resistance: Ohms,
    /// Rs: the sense resistor, in the switch's path: it sees current only while the switch is on.
    pub sense: Ohms,
    /// The freewheel diode.
    pub diode: DiodeDrop,
    /// A: gain of the sense amplifier, 1 without one.
    pub gain: f64,
    /// Vref: reference at the comparator.
    pub reference: Volts,
}

/// How the loop behaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Regime {
    /// Regulated, the current never falls to zero.
    Continuous,
    /// Regulated, the current rests at zero in each cycle.
    Discontinuous,
    /// The delay alone adds more than the off-time takes away: open loop at a fixed duty.
    DelayBound,
    /// The supply cannot push the current to the trip point: the switch stays on.
    NeverTrips,
    /// The lower threshold is at or below zero: the switch opens once and stays open.
    NeverRestarts,
    /// The reference is at or below zero.
    Off,
}

impl Regime {
    fn regulated(at_rest: Seconds) -> Self {
        if at_rest.value() > 0.0 { Self::Discontinuous } else { Self::Continuous }
    }
}

/// One steady cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwitchedCycle {
    /// How the loop behaves.
    pub regime: Regime,
    /// Largest current.
    pub peak: Amperes,
    /// Smallest current.
    pub valley: Amperes,
    /// Peak minus valley.
    pub ripple: Amperes,
    /// Mean current of string and inductor.
    pub mean: Amperes,
    /// Its rms.
    pub rms: Amperes,
    /// Mean current of the switch, which is the supply's.
    pub switch_mean: Amperes,
    /// Its rms.
    pub switch_rms: Amperes,
    /// Mean current of the diode.
    pub diode_mean: Amperes,
    /// Its rms.
    pub diode_rms: Amperes,
    /// Time the switch is on; infinite if it never opens.
    pub on_time: Seconds,
    /// Time the diode conducts.
    pub fall_time: Seconds,
    /// Time at zero current.
    pub zero_time: Seconds,
    /// Sum of the three.
    pub period: Seconds,
    /// 1/period; zero if nothing switches.
    pub frequency: Hertz,
    /// On-time over period.
    pub duty: f64,
    /// Power from the supply.
    pub input_power: Watts,
    /// Power in the string.
    pub led_power: Watts,
    /// Power in the sense resistor.
    pub sense_power: Watts,
    /// Conduction loss of the switch.
    pub switch_power: Watts,
    /// Loss of the winding.
    pub winding_power: Watts,
    /// Loss of the diode.
    pub diode_power: Watts,
}

impl SwitchedSink {
    /// `I_T = Vref/(A·Rs)`: the current that the reference asks for.
    pub fn trip_current(&self) -> Amperes {
        self.reference / (self.sense * self.gain)
    }

    /// `I1 = (Vs − V0)/R1`: the current with the switch held on; zero if the supply is below V0.
    pub fn settled_current(&self) -> Amperes {
        self.on().settled().max(Amperes::ZERO)
    }

    fn on(&self) -> Segment {
        let resistance = self.string.slope + self.winding + self.on_resistance + self.sense;
        Segment { drive: self.supply - self.string.offset, resistance, inductance: self.inductance }
    }

    fn off(&self) -> Segment {
        let resistance = self.string.slope + self.winding + self.diode.slope;
        Segment { drive: -(self.string.offset + self.diode.offset), resistance, inductance: self.inductance }
    }

    /// Falls from `peak` for `time`, resting at zero: the valley, the time spent falling, the time at rest.
    fn fall(&self, peak: Amperes, time: Seconds) -> (Amperes, Seconds, Seconds) {
        let off = self.off();
        let valley = off.after(peak, time);
        match off.time(peak, Amperes::ZERO) {
            Some(falling) if falling < time => (Amperes::ZERO, falling, time - falling),
            _ => (valley.max(Amperes::ZERO), time, Seconds::ZERO),
        }
    }

    fn cycle(&self, regime: Regime, valley: Amperes, on_time: Seconds, off_time: Seconds) -> SwitchedCycle {
        let (on, off) = (self.on(), self.off());
        let peak = on.after(valley, on_time);
        let (_, fall_time, zero_time) = self.fall(peak, off_time);
        let period = on_time + fall_time + zero_time;
        let (q_on, q_off) = (on.charge(valley, on_time), off.charge(peak, fall_time));
        let (s_on, s_off) = (on.square(valley, on_time), off.square(peak, fall_time));
        let integrals = Integrals { q_on, q_off, s_on, s_off, period };
        SwitchedCycle {
            regime,
            peak,
            valley,
            ripple: peak - valley,
            on_time,
            fall_time,
            zero_time,
            period,
            frequency: period.frequency(),
            duty: on_time / period,
            ..self.steady(Regime::Off, Amperes::ZERO).with(self, &integrals)
        }
    }

    /// A cycle in which nothing switches: the switch closed at `current`, or open at zero.
    fn steady(&self, regime: Regime, current: Amperes) -> SwitchedCycle {
        let closed = regime == Regime::NeverTrips;
        SwitchedCycle {
            regime,
            peak: current,
            valley: current,
            ripple: Amperes::ZERO,
            mean: current,
            rms: current,
            switch_mean: current,
            switch_rms: current,
            diode_mean: Amperes::ZERO,
            diode_rms: Amperes::ZERO,
            on_time: Seconds::si(if closed { f64::INFINITY } else { 0.0 }),
            fall_time: Seconds::ZERO,
            zero_time: Seconds::si(if closed { 0.0 } else { f64::INFINITY }),
            period: Seconds::si(f64::INFINITY),
            frequency: Hertz::ZERO,
            duty: if closed { 1.0 } else { 0.0 },
            input_power: self.supply * current,
            led_power: self.string.power(current, current),
            sense_power: self.sense.power_at(current),
            switch_power: self.on_resistance.power_at(current),
            winding_power: self.winding.power_at(current),
            diode_power: Watts::ZERO,
        }
    }

    fn never_trips(&self) -> SwitchedCycle {
        self.steady(Regime::NeverTrips, self.settled_current())
    }
}

/// Charges and current-square integrals of both stretches of a cycle.
struct Integrals {
    q_on: Coulombs,
    q_off: Coulombs,
    s_on: AmpereSquareSeconds,
    s_off: AmpereSquareSeconds,
    period: Seconds,
}

impl Integrals {
    fn rms(&self, square: AmpereSquareSeconds) -> Amperes {
        Amperes::si((square.value() / self.period.value()).sqrt())
    }
}

impl SwitchedCycle {
    /// Means, rms values and powers from the integrals of a cycle.
    fn with(self, sink: &SwitchedSink, integrals: &Integrals) -> Self {
        let Integrals { q_on, q_off, s_on, s_off, period } = *integrals;
        let (mean, rms) = ((q_on + q_off) / period, integrals.rms(s_on + s_off));
        let (switch_mean, switch_rms) = (q_on / period, integrals.rms(s_on));
        let (diode_mean, diode_rms) = (q_off / period, integrals.rms(s_off));
        Self {
            mean,
            rms,
            switch_mean,
            switch_rms,
            diode_mean,
            diode_rms,
            input_power: sink.supply * switch_mean,
            led_power: sink.string.power(mean, rms),
            sense_power: sink.sense.power_at(switch_rms),
            switch_power: sink.on_resistance.power_at(switch_rms),
            winding_power: sink.winding.power_at(rms),
            diode_power: sink.diode.offset * diode_mean + sink.diode.slope.power_at(diode_rms),
            ..self
        }
    }
}

#[cfg(test)]
mod fixture {
    use super::*;

    /// Six white LEDs on 24 V, 0.35 A; full on it would settle at 1.753 A.
    pub(super) fn stage() -> SwitchedSink {
        SwitchedSink {
            supply: Volts::si(24.0),
            string: StringModel { offset: Volts::si(16.2), slope: Ohms::si(3.6) },
            inductance: Henries::si(220e-6),
            winding: Ohms::si(0.3),
            on_resistance: Ohms::si(0.05),
            sense: Ohms::si(0.5),
            diode: DiodeDrop { offset: Volts::si(0.4), slope: Ohms::si(0.05) },
            gain: 5.0,
            reference: Volts::si(0.875),
        }
    }

    /// `P_in − (P_LED + P_Rs + P_switch + P_winding + P_D)`: zero but for rounding, whatever the mode.
    pub(super) fn imbalance(cycle: &SwitchedCycle) -> Watts {
        let spent = cycle.led_power + cycle.sense_power + cycle.switch_power + cycle.winding_power + cycle.diode_power;
        cycle.input_power - spent
    }
}
