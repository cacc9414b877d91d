//! The logarithmic model of one LED: ideality, series resistance and temperature, good over four decades of current.
//! Turns a reference point into voltage at a current and, by Newton's method, current at a voltage.

use crate::quantity::{Amperes, Ohms, Temperature, Volts, VoltsPerKelvin};

/// Boltzmann constant over elementary charge, V/K. Both are exact in the SI since 2019.
const BOLTZMANN_OVER_CHARGE: VoltsPerKelvin = VoltsPerKelvin::si(1.380_649e-23 / 1.602_176_634e-19);

/// `V_T = kB·T/q`, the thermal voltage at `temperature`; 25.69 mV at 25 °C.
pub fn thermal_voltage(temperature: Temperature) -> Volts {
    Volts::si(BOLTZMANN_OVER_CHARGE.value() * temperature.value())
}

/// Forward curve of one LED, `V = Vref + n·V_T·ln(I/Iref) + Rs·(I − Iref) + k·(T − Tref)`.
///
/// Valid for `I > 0` and junction temperatures where k is constant, about −40 °C to 150 °C.
/// Source: Shockley's equation with series resistance, as in Schubert, Light-Emitting Diodes, 2nd ed., chapter 4.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JunctionModel {
    /// Vref: forward voltage at the reference point.
    pub voltage: Volts,
    /// Iref: current at the reference point.
    pub current: Amperes,
    /// Tref: junction temperature at the reference point.
    pub temperature: Temperature,
    /// n: ideality factor; 2 to 4 for blue and white LEDs.
    pub ideality: f64,
    /// Rs: series resistance.
    pub resistance: Ohms,
    /// k: change of the forward voltage with temperature at Iref, negative.
    pub coefficient: VoltsPerKelvin,
}

impl JunctionModel {
    /// Forward voltage at `current` and `temperature`; minus infinity at zero current.
    pub fn forward_voltage(&self, current: Amperes, temperature: Temperature) -> Volts {
        self.voltage
            + thermal_voltage(temperature) * (self.ideality * libm::log(current / self.current))
            + self.resistance * (current - self.current)
            + self.coefficient * (temperature - self.temperature)
    }

    /// `r = n·V_T/I + Rs`: slope of the curve at `current`.
    pub fn dynamic_resistance(&self, current: Amperes, temperature: Temperature) -> Ohms {
        thermal_voltage(temperature) * self.ideality / current + self.resistance
    }

    /// `dV/dT = k + n·(kB/q)·ln(I/Iref)` at constant current.
    pub fn temperature_slope(&self, current: Amperes) -> VoltsPerKelvin {
        self.coefficient + BOLTZMANN_OVER_CHARGE * (self.ideality * libm::log(current / self.current))
    }

    /// The current at which the forward voltage is `voltage`.
    ///
    /// Solved by Newton's method for `w = ln(I/Iref)`, in which `n·V_T·w + Rs·Iref·e^w` is rising and convex:
    /// a start on the right of the root then walks down to it without overshoot. The exact solution is Lambert's W.
    pub fn current_at(&self, voltage: Volts, temperature: Temperature) -> Amperes {
        let n_vt = self.ideality * thermal_voltage(temperature).value();
        let rs_i = self.resistance.value() * self.current.value();
        let u = voltage.value() - self.voltage.value() + rs_i
            - (self.coefficient * (temperature - self.temperature)).value();
        // Both terms are bounds of the root: the logarithm alone, and the resistance alone.
        let mut w = u / n_vt;
        if rs_i > 0.0 && u > rs_i {
            w = w.min(libm::log(u / rs_i));
        }
        for _ in 0..100 {
            let growth = rs_i * libm::exp(w);
            let step = (n_vt * w + growth - u) / (n_vt + growth);
            w -= step;
            if step.abs() <= 1e-16 * w.abs().max(1.0) {
                break;
            }
        }
        self.current * libm::exp(w)
    }

    /// Ideality and series resistance through three points at one temperature: the first two unknowns of
    /// `V_j − V_1 = n·V_T·ln(I_j/I_1) + Rs·(I_j − I_1)`, `j = 2, 3`; the reference point is the third.
    ///
    /// `None` if the points do not determine them (two equal currents, or a current that is not positive).
    pub fn through(
        points: [(Amperes, Volts); 3],
        temperature: Temperature,
        coefficient: VoltsPerKelvin,
    ) -> Option<Self> {
        let [(i1, v1), (i2, v2), (i3, v3)] = points;
        if [i1, i2, i3].iter().any(|i| i.value() <= 0.0) {
            return None;
        }
        let v_t = thermal_voltage(temperature).value();
        let (a1, b1, c1) = (v_t * libm::log(i2 / i1), (i2 - i1).value(), (v2 - v1).value());
        let (a2, b2, c2) = (v_t * libm::log(i3 / i1), (i3 - i1).value(), (v3 - v1).value());
        let determinant = a1 * b2 - a2 * b1;
        if determinant == 0.0 {
            return None;
        }
        let ideality = (c1 * b2 - c2 * b1) / determinant;
        let resistance = Ohms::si((a1 * c2 - a2 * c1) / determinant);
        Some(Self { voltage: v3, current: i3, temperature, ideality, resistance, coefficient })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WHITE: JunctionModel = JunctionModel {
        voltage: Volts::si(3.05),
        current: Amperes::si(0.35),
        temperature: Temperature::from_celsius(25.0),
        ideality: 2.2,
        resistance: Ohms::si(0.45),
        coefficient: VoltsPerKelvin::si(-2.5e-3),
    };

    #[test]
    fn the_inverse_returns_over_eight_decades() {
        for celsius in [-20.0, 25.0, 120.0] {
            let temperature = Temperature::from_celsius(celsius);
            for current in [1e-6, 1e-4, 1e-2, 0.35, 3.0, 100.0] {
                let voltage = WHITE.forward_voltage(Amperes::si(current), temperature);
                let back = WHITE.current_at(voltage, temperature).value();
                assert!((back / current - 1.0).abs() < 1e-11, "{current} A at {celsius} °C came back as {back} A");
            }
        }
    }

    #[test]
    fn slopes_match_finite_differences() {
        let (i, t) = (Amperes::si(0.12), Temperature::from_celsius(60.0));
        let up = WHITE.forward_voltage(i + Amperes::si(1e-6), t);
        let down = WHITE.forward_voltage(i - Amperes::si(1e-6), t);
        let slope = (up - down).value() / 2e-6;
        assert!((slope / WHITE.dynamic_resistance(i, t).value() - 1.0).abs() < 1e-7);
        let warm = WHITE.forward_voltage(i, t + crate::quantity::Kelvin::si(1.0));
        let rise = (warm - WHITE.forward_voltage(i, t)).value();
        assert!((rise / WHITE.temperature_slope(i).value() - 1.0).abs() < 1e-9);
    }
}
