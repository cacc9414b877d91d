//! The switch: on-resistance when hot, loss of its edges, and the level left at its gate.
//! Turns the currents of a cycle and data-sheet charges into heat.

use crate::quantity::{Amperes, Coulombs, Hertz, Ohms, Seconds, Temperature, Volts, Watts};

/// `k = 1 + 0.006/K·(T − 25 °C)`: growth of on-resistance as data sheets typically draw it; 1.6 at 125 °C.
///
/// Common practice, no source.
pub fn typical_hot_factor(junction: Temperature) -> f64 {
    1.0 + 0.006 * (junction - Temperature::from_celsius(25.0)).value()
}

/// The gate of a transistor and what drives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GateDrive {
    /// V_drv: drive voltage.
    pub drive: Volts,
    /// Vpl: plateau of the gate-charge curve.
    pub plateau: Volts,
    /// Q_sw = Q_gd + Q_gs2: charge between threshold and end of the plateau.
    pub switching_charge: Coulombs,
    /// R_g: driver, external and internal resistance together.
    pub resistance: Ohms,
}

impl GateDrive {
    /// `t_r = Q_sw·R_g/(V_drv − Vpl)`: time to switch on. Source: gate-charge method, Mohan, Undeland and Robbins.
    pub fn rise_time(&self) -> Seconds {
        self.switching_charge / ((self.drive - self.plateau) / self.resistance)
    }

    /// `t_f = Q_sw·R_g/Vpl`: time to switch off.
    pub fn fall_time(&self) -> Seconds {
        self.switching_charge / (self.plateau / self.resistance)
    }
}

/// `P = ½·V·(I_v·t_r + I_pk·t_f)·f`, `V = Vs + V_D`: loss of the two edges.
///
/// It switches on at the valley and off at the peak. Source: straight edges, Mohan, Undeland and Robbins.
pub fn switching_loss(blocked: Volts, valley: Amperes, peak: Amperes, gate: &GateDrive, frequency: Hertz) -> Watts {
    let charge = valley * gate.rise_time() + peak * gate.fall_time();
    blocked * (charge / frequency.period()) * 0.5
}

/// `V_GS = V_drv − I_pk·Rs`: what is left at the gate of a switch with the sense resistor in its source.
///
/// Compare it with the V_GS at which the on-resistance is given, not with the threshold.
pub fn gate_level(drive: Volts, peak: Amperes, sense: Ohms) -> Volts {
    drive - peak * sense
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sense_resistor_takes_from_the_gate() {
        let left = gate_level(Volts::si(3.3), Amperes::si(0.4), Ohms::si(1.0));
        assert!((left.value() - 2.9).abs() < 1e-15);
    }
}
