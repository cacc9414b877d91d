//! Extra-low voltage: when a circuit may be touched, and when a supply counts as a limited power source.
//! The open-circuit maximum of the supply decides, never the voltage of the string.

use crate::quantity::{Amperes, VoltAmperes, Volts};

/// Greatest ripple-free direct voltage of bare parts of an ordinary lamp that may be touched (IEC 60598-1, 8.2.3).
pub const TOUCHABLE: Volts = Volts::si(60.0);
/// The same of a lamp for damp places (IEC 60598-1, 8.2.3).
pub const TOUCHABLE_DAMP: Volts = Volts::si(30.0);

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
