//! Physical quantities: one newtype a dimension, stored in SI units, with the products the engineering needs.
//! A bare `f64` crosses a function boundary only where it is a pure number (a ratio, a gain, a duty).

use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

use serde::Serialize;

use crate::figures::{engineering, shown_above, shown_below};

/// What every quantity newtype offers; lets ledger, tables and intervals be written once.
pub trait Quantity: Copy + PartialOrd + Serialize {
    /// The SI unit's symbol; prefixed by `engineering` when shown.
    const UNIT: &'static str;
    /// Makes the quantity from its value in SI units.
    fn si(value: f64) -> Self;
    /// The value in SI units.
    fn value(self) -> f64;
    /// As printed: three significant figures, engineering prefix, unit.
    fn show(self) -> String {
        engineering(self.value(), Self::UNIT)
    }
    /// As printed where it is the least that will do: rounded up.
    fn no_less(self) -> String {
        engineering(shown_above(self.value(), Self::UNIT), Self::UNIT)
    }
    /// As printed where it is the most that will do: rounded down.
    fn no_more(self) -> String {
        engineering(shown_below(self.value(), Self::UNIT), Self::UNIT)
    }
}

macro_rules! quantity {
    ($($(#[$doc:meta])* $name:ident = $unit:literal;)+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// Zero.
            pub const ZERO: Self = Self(0.0);
            /// Makes the quantity from its value in SI units.
            pub const fn si(value: f64) -> Self { Self(value) }
            /// The value in SI units.
            pub const fn value(self) -> f64 { self.0 }
            /// The smaller of two.
            pub const fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            pub const fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
            /// Without its sign.
            pub const fn abs(self) -> Self { Self(self.0.abs()) }
        }
        impl Quantity for $name {
            const UNIT: &'static str = $unit;
            fn si(value: f64) -> Self { Self(value) }
            fn value(self) -> f64 { self.0 }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result { f.write_str(&Quantity::show(*self)) }
        }
        impl Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl Mul<$name> for f64 { type Output = $name; fn mul(self, q: $name) -> $name { $name(self * q.0) } }
        impl Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(i: I) -> Self { Self(i.map(|q| q.0).sum()) }
        }
    )+};
}

quantity! {
    /// A pure number with a ledger entry: a ratio, a gain, a duty.
    Ratio = "";
    /// Electric current.
    Amperes = "A";
    /// Electric potential difference.
    Volts = "V";
    /// Electric resistance.
    Ohms = "Ω";
    /// Electric capacitance.
    Farads = "F";
    /// Inductance.
    Henries = "H";
    /// Power or heat flow.
    Watts = "W";
    /// Electric charge.
    Coulombs = "C";
    /// Joule integral I²t, of an inrush or a fuse.
    AmpereSquareSeconds = "A²s";
    /// Rate of change of a current.
    AmperesPerSecond = "A/s";
    /// Rate of change of a voltage.
    VoltsPerSecond = "V/s";
    /// Change of a voltage with temperature.
    VoltsPerKelvin = "V/K";
    /// Resistance of a conductor per length.
    OhmsPerMetre = "Ω/m";
    /// Frequency.
    Hertz = "Hz";
    /// Time.
    Seconds = "s";
    /// Length.
    Metres = "m";
    /// Speed, of a feed.
    MetresPerSecond = "m/s";
    /// Area.
    SquareMetres = "m²";
    /// Volume.
    CubicMetres = "m³";
    /// Mass.
    Kilograms = "kg";
    /// Mass per volume.
    KilogramsPerCubicMetre = "kg/m³";
    /// Force.
    Newtons = "N";
    /// Torque.
    NewtonMetres = "N·m";
    /// Pressure, stress or modulus.
    Pascals = "Pa";
    /// Plane angle.
    Radians = "rad";
    /// Difference of two temperatures.
    Kelvin = "K";
    /// Relative change per kelvin: expansion, a temperature coefficient.
    PerKelvin = "1/K";
    /// Thermal resistance.
    KelvinPerWatt = "K/W";
    /// Thermal conductance.
    WattsPerKelvin = "W/K";
    /// Thermal conductivity.
    WattsPerMetreKelvin = "W/(m·K)";
    /// Heat transfer coefficient.
    WattsPerSquareMetreKelvin = "W/(m²·K)";
    /// Specific heat.
    JoulesPerKilogramKelvin = "J/(kg·K)";
    /// Heat capacity of a body.
    JoulesPerKelvin = "J/K";
    /// Dynamic viscosity.
    PascalSeconds = "Pa·s";
    /// Kinematic viscosity or thermal diffusivity.
    SquareMetresPerSecond = "m²/s";
    /// Mass flow.
    KilogramsPerSecond = "kg/s";
    /// Luminous flux.
    Lumens = "lm";
    /// Illuminance.
    Lux = "lx";
    /// Luminance.
    CandelasPerSquareMetre = "cd/m²";
    /// Luminous efficacy.
    LumensPerWatt = "lm/W";
    /// Blue-light-weighted radiant power by luminous flux.
    WattsPerLumen = "W/lm";
    /// Irradiance.
    WattsPerSquareMetre = "W/m²";
    /// Radiance.
    WattsPerSquareMetreSteradian = "W/(m²·sr)";
}

/// An absolute temperature, stored in kelvin, shown in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Temperature(f64);

impl Temperature {
    /// 0 °C in kelvin.
    pub const ICE: f64 = 273.15;
    /// From kelvin.
    pub const fn si(kelvin: f64) -> Self {
        Self(kelvin)
    }
    /// From degrees Celsius.
    pub const fn from_celsius(celsius: f64) -> Self {
        Self(celsius + Self::ICE)
    }
    /// In kelvin.
    pub const fn value(self) -> f64 {
        self.0
    }
    /// In degrees Celsius.
    pub const fn celsius(self) -> f64 {
        self.0 - Self::ICE
    }
    /// The warmer of two.
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }
    /// The colder of two.
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }
}
impl Quantity for Temperature {
    const UNIT: &'static str = "°C";
    fn si(value: f64) -> Self {
        Self(value)
    }
    fn value(self) -> f64 {
        self.0
    }
}
impl fmt::Display for Temperature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show())
    }
}
impl Sub for Temperature {
    type Output = Kelvin;
    fn sub(self, other: Self) -> Kelvin {
        Kelvin(self.0 - other.0)
    }
}
impl Add<Kelvin> for Temperature {
    type Output = Self;
    fn add(self, rise: Kelvin) -> Self {
        Self(self.0 + rise.0)
    }
}
impl Sub<Kelvin> for Temperature {
    type Output = Self;
    fn sub(self, fall: Kelvin) -> Self {
        Self(self.0 - fall.0)
    }
}

/// `A * B = C`, with `B * A`, `C / A` and `C / B`.
macro_rules! product {
    ($($a:ident * $b:ident = $c:ident;)+) => {$(
        impl Mul<$b> for $a { type Output = $c; fn mul(self, o: $b) -> $c { $c(self.0 * o.0) } }
        impl Mul<$a> for $b { type Output = $c; fn mul(self, o: $a) -> $c { $c(self.0 * o.0) } }
        impl Div<$a> for $c { type Output = $b; fn div(self, o: $a) -> $b { $b(self.0 / o.0) } }
        impl Div<$b> for $c { type Output = $a; fn div(self, o: $b) -> $a { $a(self.0 / o.0) } }
    )+};
}

product! {
    Amperes * Ohms = Volts;
    Volts * Amperes = Watts;
    Amperes * Seconds = Coulombs;
    Ohms * Farads = Seconds;
    AmperesPerSecond * Seconds = Amperes;
    AmperesPerSecond * Henries = Volts;
    VoltsPerSecond * Seconds = Volts;
    VoltsPerKelvin * Kelvin = Volts;
    OhmsPerMetre * Metres = Ohms;
    Metres * SquareMetres = CubicMetres;
    KilogramsPerCubicMetre * CubicMetres = Kilograms;
    Watts * KelvinPerWatt = Kelvin;
    WattsPerKelvin * Kelvin = Watts;
    WattsPerMetreKelvin * Metres = WattsPerKelvin;
    WattsPerSquareMetreKelvin * SquareMetres = WattsPerKelvin;
    LumensPerWatt * Watts = Lumens;
    WattsPerLumen * Lumens = Watts;
    WattsPerLumen * Lux = WattsPerSquareMetre;
    WattsPerLumen * CandelasPerSquareMetre = WattsPerSquareMetreSteradian;
}

impl Mul for Metres {
    type Output = SquareMetres;
    fn mul(self, other: Self) -> SquareMetres {
        SquareMetres(self.0 * other.0)
    }
}
impl Div<Metres> for SquareMetres {
    type Output = Metres;
    fn div(self, other: Metres) -> Metres {
        Metres(self.0 / other.0)
    }
}
impl Mul<Kelvin> for PerKelvin {
    type Output = f64;
    fn mul(self, rise: Kelvin) -> f64 {
        self.0 * rise.0
    }
}
impl Ohms {
    /// P = R · I², with the rms current.
    pub const fn power_at(self, current: Amperes) -> Watts {
        Watts(self.0 * current.0 * current.0)
    }
}
impl Seconds {
    /// f = 1 / T.
    pub const fn frequency(self) -> Hertz {
        Hertz(1.0 / self.0)
    }
}
impl Hertz {
    /// T = 1 / f.
    pub const fn period(self) -> Seconds {
        Seconds(1.0 / self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_carry_their_dimension() {
        let drop: Volts = Amperes::si(0.35) * Ohms::si(2.0);
        let loss: Watts = drop * Amperes::si(0.35);
        assert!((loss.value() - 0.245).abs() < 1e-15);
        let back: Ohms = drop / Amperes::si(0.35);
        assert!((back.value() - 2.0).abs() < 1e-15);
    }

    #[test]
    fn a_temperature_is_not_a_difference() {
        let rise = Temperature::from_celsius(61.0) - Temperature::from_celsius(30.0);
        assert!((rise.value() - 31.0).abs() < 1e-12);
        assert_eq!((Temperature::from_celsius(20.0) + rise).show(), "51.0 °C");
    }
}
