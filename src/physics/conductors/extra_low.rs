//! Extra-low voltage: when a circuit may be touched, and when a supply counts as a limited power source.
//! The open-circuit maximum of the supply decides, never the voltage of the string.

use crate::quantity::{Amperes, VoltAmperes, Volts};

/// Upper bounds of a safety extra-low voltage circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExtraLowLimit {
    /// Greatest alternating voltage, rms.
    pub alternating: Volts,
    /// Greatest ripple-free direct voltage.
    pub direct: Volts,
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

/// Bounds of SELV as such: above them nothing is extra-low.
pub const EXTRA_LOW: ExtraLowLimit = ExtraLowLimit {
    alternating: Volts::si(50.0),
    direct: Volts::si(120.0),
    source: "IEC 61140, IEC 60364-4-41; definition in IEC 60050-826-12-31",
    from_memory: false,
};
/// Bare parts of an ordinary lamp that may be touched under load.
pub const TOUCHABLE: ExtraLowLimit = ExtraLowLimit {
    alternating: Volts::si(25.0),
    direct: Volts::si(60.0),
    source: "IEC 60598-1, 8.2.3",
    from_memory: false,
};
/// Bare parts of a lamp for damp places that may be touched.
pub const TOUCHABLE_DAMP: ExtraLowLimit = ExtraLowLimit {
    alternating: Volts::si(12.0),
    direct: Volts::si(30.0),
    source: "IEC 60598-1, 8.2.3",
    from_memory: false,
};
/// Greatest peak without load on bare parts that may be touched, alternating supplies (IEC 60598-1, 8.2.3).
pub const TOUCHABLE_NO_LOAD_PEAK: Volts = Volts::si(35.0);
/// Greatest rms ripple of a ripple-free direct voltage, as a part of it (IEC 60050-826).
pub const RIPPLE_FREE: f64 = 0.10;

/// Voltages of an isolated low-voltage side at their highest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LowSide {
    /// Alternating, rms, and the peak without load.
    Alternating {
        /// Greatest rms voltage.
        rms: Volts,
        /// Greatest peak without load.
        no_load_peak: Volts,
    },
    /// Direct: the open-circuit maximum and the rms ripple on it.
    Direct {
        /// Greatest voltage without load.
        open_circuit: Volts,
        /// Ripple, rms.
        ripple: Volts,
    },
}

/// What a low side is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Bare parts may be touched.
    Touchable,
    /// Extra-low, but needs covering.
    Covered,
    /// Above the bounds of extra-low voltage.
    NotExtraLow,
}

/// Peak of a direct voltage that is not ripple-free: mean and √2 ripple, counted as an alternating peak.
fn direct_peak(open_circuit: Volts, ripple: Volts) -> Volts {
    open_circuit + ripple * std::f64::consts::SQRT_2
}

/// What the voltages allow; the isolation from mains is judged elsewhere.
///
/// A direct voltage with more than 10 % ripple counts by its peak against √2 times the alternating bound: the
/// stricter reading (our guideline). `damp` takes the bounds for other than ordinary lamps.
pub fn reach(side: LowSide, damp: bool) -> Reach {
    let touch = if damp { TOUCHABLE_DAMP } else { TOUCHABLE };
    let (under_touch, under_bound) = match side {
        LowSide::Alternating { rms, no_load_peak } => {
            let quiet = damp || no_load_peak <= TOUCHABLE_NO_LOAD_PEAK;
            (rms <= touch.alternating && quiet, rms <= EXTRA_LOW.alternating)
        }
        LowSide::Direct { open_circuit, ripple } if ripple <= open_circuit * RIPPLE_FREE => {
            (open_circuit <= touch.direct, open_circuit <= EXTRA_LOW.direct)
        }
        LowSide::Direct { open_circuit, ripple } => {
            let peak = direct_peak(open_circuit, ripple) / std::f64::consts::SQRT_2;
            (peak <= touch.alternating, peak <= EXTRA_LOW.alternating)
        }
    };
    match (under_touch, under_bound) {
        (true, _) => Reach::Touchable,
        (_, true) => Reach::Covered,
        _ => Reach::NotExtraLow,
    }
}

/// Limits of a limited power source at an open-circuit voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitedSource {
    /// Greatest current of an inherently limited source.
    pub inherent_current: Amperes,
    /// Greatest apparent power of an inherently limited source.
    pub inherent_power: VoltAmperes,
    /// Greatest current of a source behind a fuse.
    pub fused_current: Amperes,
    /// Greatest apparent power of a source behind a fuse.
    pub fused_power: VoltAmperes,
    /// Greatest rating of that fuse.
    pub fuse: Amperes,
    /// Where it stands.
    pub source: &'static str,
    /// Whether it is from memory.
    pub from_memory: bool,
}

/// Limited power source at open-circuit voltage U_oc, direct: to 30 V 8 A, above 150/U A, both 100 VA; with a fuse
/// 1000/U A, 250 VA, fuse 5 A to 20 V and 100/U A above (IEC 62368-1 annex Q, from memory). `None` above 60 V.
pub fn limited_source(open_circuit: Volts) -> Option<LimitedSource> {
    let u = open_circuit.value();
    if u <= 0.0 || u > 60.0 {
        return None;
    }
    Some(LimitedSource {
        inherent_current: Amperes::si(if u <= 30.0 { 8.0 } else { 150.0 / u }),
        inherent_power: VoltAmperes::si(100.0),
        fused_current: Amperes::si(1000.0 / u),
        fused_power: VoltAmperes::si(250.0),
        fuse: Amperes::si(if u <= 20.0 { 5.0 } else { 100.0 / u }),
        source: "IEC 62368-1, annex Q; from memory",
        from_memory: true,
    })
}

/// Whether an inherently limited supply stays within the limits of a limited power source.
pub fn is_limited(open_circuit: Volts, short_circuit: Amperes, greatest: VoltAmperes) -> Option<bool> {
    limited_source(open_circuit)
        .map(|limits| short_circuit <= limits.inherent_current && greatest <= limits.inherent_power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_open_circuit_decides() {
        // A string of 16 at 3.3 V is 52.8 V, but its driver idles at 90 V.
        let driver = LowSide::Direct { open_circuit: Volts::si(90.0), ripple: Volts::ZERO };
        assert_eq!(reach(driver, false), Reach::Covered);
        let string = LowSide::Direct { open_circuit: Volts::si(52.8), ripple: Volts::si(1.0) };
        assert_eq!(reach(string, false), Reach::Touchable);
        assert_eq!(reach(string, true), Reach::Covered);
    }

    #[test]
    fn ripple_makes_a_direct_voltage_an_alternating_one() {
        let rough = LowSide::Direct { open_circuit: Volts::si(48.0), ripple: Volts::si(6.0) };
        // (48 + 8.49)/√2 = 39.9 V: above 25, below 50.
        assert_eq!(reach(rough, false), Reach::Covered);
        let worse = LowSide::Direct { open_circuit: Volts::si(118.0), ripple: Volts::si(20.0) };
        assert_eq!(reach(worse, false), Reach::NotExtraLow);
    }

    #[test]
    fn an_alternating_side_is_judged_idle_too() {
        let side = |rms, peak| LowSide::Alternating { rms: Volts::si(rms), no_load_peak: Volts::si(peak) };
        assert_eq!(reach(side(24.0, 34.0), false), Reach::Touchable);
        assert_eq!(reach(side(24.0, 38.0), false), Reach::Covered);
        assert_eq!(reach(side(51.0, 73.0), false), Reach::NotExtraLow);
    }

    #[test]
    fn a_limited_source_keeps_both_limits() {
        assert_eq!(is_limited(Volts::si(24.0), Amperes::si(4.0), VoltAmperes::si(96.0)), Some(true));
        assert_eq!(is_limited(Volts::si(48.0), Amperes::si(4.0), VoltAmperes::si(96.0)), Some(false));
        assert_eq!(is_limited(Volts::si(90.0), Amperes::si(0.5), VoltAmperes::si(45.0)), None);
    }
}
