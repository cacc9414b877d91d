//! Switch and freewheel diode: conduction, switching and gate losses, gate level, reverse voltage, avalanche.
//! Turns the currents of a cycle and data-sheet charges into heat and stress.

use crate::quantity::{Amperes, Coulombs, Farads, Henries, Hertz, Joules, Ohms, Seconds, Temperature, Volts, Watts};

/// `k = (T/298.15 K)^2.3`: growth of on-resistance with temperature by the mobility of silicon; an upper bound.
///
/// Source: mobility exponent of silicon, from memory. Data sheets typically show 0.6 %/K.
pub fn mobility_factor(junction: Temperature) -> f64 {
    libm::pow(junction.value() / 298.15, 2.3)
}

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
    /// Q_g: whole gate charge at the drive voltage.
    pub total_charge: Coulombs,
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

    /// `P = Q_g·V_drv·f`, spent in the driver.
    pub fn power(&self, frequency: Hertz) -> Watts {
        self.drive * (self.total_charge / frequency.period())
    }
}

/// `P = ½·V·(I_v·t_r + I_pk·t_f)·f`, `V = Vs + V_D`: loss of the two edges.
///
/// It switches on at the valley and off at the peak. Source: straight edges, Mohan, Undeland and Robbins.
pub fn switching_loss(blocked: Volts, valley: Amperes, peak: Amperes, gate: &GateDrive, frequency: Hertz) -> Watts {
    let charge = valley * gate.rise_time() + peak * gate.fall_time();
    blocked * (charge / frequency.period()) * 0.5
}

/// `P = ½·Coss·V²·f`: loss of the output capacitance, `capacitance` being its energy equivalent at V.
pub fn output_capacitance_loss(capacitance: Farads, blocked: Volts, frequency: Hertz) -> Watts {
    blocked * (capacitance * blocked / frequency.period()) * 0.5
}

/// `V_GS = V_drv − I_pk·Rs`: what is left at the gate of a switch with the sense resistor in its source.
///
/// Compare it with the V_GS at which the on-resistance is given, not with the threshold.
pub fn gate_level(drive: Volts, peak: Amperes, sense: Ohms) -> Volts {
    drive - peak * sense
}

/// `E = ½·L·I²·BV/(BV − Vsrc)`: energy of one avalanche when the current has no path through a diode.
///
/// `source` feeds the same loop: `Vs − V0` with the string in it, Vs for a stray inductance. `None` if the source
/// reaches the breakdown voltage, where the current would not end. Source: integral over the discharge.
pub fn avalanche_energy(inductance: Henries, current: Amperes, breakdown: Volts, source: Volts) -> Option<Joules> {
    let (l, i) = (inductance.value(), current.value());
    let share = breakdown / (breakdown - source);
    (breakdown > source).then(|| Joules::si(0.5 * l * i * i * share))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sense_resistor_takes_from_the_gate() {
        let left = gate_level(Volts::si(3.3), Amperes::si(0.4), Ohms::si(1.0));
        assert!((left.value() - 2.9).abs() < 1e-15);
    }

    #[test]
    fn an_avalanche_needs_voltage_to_spare() {
        let (l, i) = (Henries::si(220e-6), Amperes::si(0.4));
        assert_eq!(avalanche_energy(l, i, Volts::si(24.0), Volts::si(24.0)), None);
        let alone = avalanche_energy(l, i, Volts::si(40.0), Volts::ZERO).unwrap();
        assert!((alone.value() - 0.5 * 220e-6 * 0.16).abs() < 1e-18, "with no source, the stored energy");
    }
}
