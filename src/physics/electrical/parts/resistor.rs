//! Resistors: the sense resistor with the amplifier on it, pull-downs at a controller's pin, the rating for a warm place.
//! Turns current, levels and ambient temperature into resistance, gain, allowed power and a rating.

use crate::quantity::{Amperes, Hertz, Ohms, Seconds, Temperature, Volts, Watts};

/// Power ratings that are sold, in watts: 1/16 to 5.
pub const RATINGS: [Watts; 9] = [
    Watts::si(0.0625),
    Watts::si(0.1),
    Watts::si(0.125),
    Watts::si(0.25),
    Watts::si(0.5),
    Watts::si(1.0),
    Watts::si(2.0),
    Watts::si(3.0),
    Watts::si(5.0),
];

/// How a resistor's allowed power falls with the temperature around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeratingCurve {
    /// The full rating is allowed up to here.
    pub full_until: Temperature,
    /// Nothing is allowed from here on.
    pub zero_at: Temperature,
}

impl DeratingCurve {
    /// Film resistors: full to 70 °C, zero at 155 °C.
    ///
    /// Source: 70 °C is the reference temperature of IEC 60115-1; 155 °C is common for metal film, while 125 °C
    /// and 175 °C exist, so a maker's figure should replace it.
    pub const FILM: Self =
        Self { full_until: Temperature::from_celsius(70.0), zero_at: Temperature::from_celsius(155.0) };

    /// Part of the rating allowed at `ambient`, 0 to 1: a straight line between the two corners.
    pub fn factor(&self, ambient: Temperature) -> f64 {
        ((self.zero_at - ambient) / (self.zero_at - self.full_until)).clamp(0.0, 1.0)
    }

    /// The power allowed at `ambient` for a part rated `rated`.
    pub fn allowed_power(&self, rated: Watts, ambient: Temperature) -> Watts {
        rated * self.factor(ambient)
    }
}

/// `Rs = V_fs/I_fs`: sense resistor for a full-scale voltage, usually 0.1 V to 0.5 V.
///
/// More voltage makes offsets matter less and costs more heat. Source: Ohm's law.
pub fn sense_resistance(full_scale: Volts, current: Amperes) -> Ohms {
    full_scale / current
}

/// `A = Vref/(I·Rs)`: gain that brings the full-scale current to the reference.
pub fn sense_gain(reference: Volts, full_scale: Amperes, sense: Ohms) -> f64 {
    reference / (full_scale * sense)
}

/// `τa = A/(2π·GBW)`: time constant of a voltage-feedback amplifier with its gain set.
///
/// Source: one-pole model, as in Horowitz and Hill, The Art of Electronics, 3rd ed.
pub fn amplifier_time_constant(gain: f64, gain_bandwidth: Hertz) -> Seconds {
    gain_bandwidth.period() * (gain / (2.0 * std::f64::consts::PI))
}

/// `R ≥ R_pu·x/(1 − x)`, `x = VIH/VDD`: least pull-down that still lets a controller's pin read high at reset.
pub fn least_pull_down_for_strap_high(pull_up: Ohms, high_level: f64) -> Ohms {
    pull_up * (high_level / (1.0 - high_level))
}

/// `R ≤ R_pu·x/(1 − x)`, `x = VIL/VDD`: largest pull-down that makes a pin read low at reset.
pub fn most_pull_down_for_strap_low(pull_up: Ohms, low_level: f64) -> Ohms {
    pull_up * (low_level / (1.0 - low_level))
}

/// Least rating whose allowed power, times `loading`, covers `power`. Half loading is common practice, no source.
///
/// Infinite if nothing is allowed at that temperature.
pub fn least_rating(power: Watts, ambient: Temperature, curve: &DeratingCurve, loading: f64) -> Watts {
    power / (loading * curve.factor(ambient))
}

/// Smallest of [`RATINGS`] that covers the least rating; `None` if none is large enough.
pub fn rating_to_buy(power: Watts, ambient: Temperature, curve: &DeratingCurve, loading: f64) -> Option<Watts> {
    let least = least_rating(power, ambient, curve, loading);
    RATINGS.into_iter().find(|rating| rating.value() >= least.value() * (1.0 - 1e-12))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_sold_for_a_place_too_hot() {
        let hot = Temperature::from_celsius(160.0);
        assert_eq!(rating_to_buy(Watts::si(0.01), hot, &DeratingCurve::FILM, 0.5), None);
        let cool = Temperature::from_celsius(25.0);
        assert_eq!(rating_to_buy(Watts::si(3.0), cool, &DeratingCurve::FILM, 0.5), None);
        assert_eq!(rating_to_buy(Watts::si(0.125), cool, &DeratingCurve::FILM, 0.5), Some(Watts::si(0.25)));
    }

    #[test]
    fn the_sense_voltage_comes_back() {
        let sense = sense_resistance(Volts::si(0.3), Amperes::si(0.3));
        assert_eq!(sense, Ohms::si(1.0));
        assert!((sense.power_at(Amperes::si(0.3)).value() - 0.09).abs() < 1e-15);
    }
}
