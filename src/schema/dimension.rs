//! Dimensions as powers of base units, so that expressions can multiply and divide them,
//! and what each dimension of the schema is called and measured in.

use super::Dimension;
use crate::figures::stated;

/// Powers of m, kg, s, A, K, lm, cd, rad and VA.
///
/// lm, cd, rad and VA are bases of their own here, so that a flux is never taken for an intensity, an angle for a
/// number, or the apparent power on a rating plate for a power.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Powers([i8; 9]);

impl Powers {
    /// A pure number.
    pub const NONE: Self = Self([0; 9]);

    const fn of(m: i8, kg: i8, s: i8, a: i8, k: i8) -> Self {
        Self([m, kg, s, a, k, 0, 0, 0, 0])
    }
    const fn with(mut self, base: usize, power: i8) -> Self {
        self.0[base] = power;
        self
    }
    /// Of a product; nothing where a power grows beyond all use.
    pub fn times(self, other: Self) -> Option<Self> {
        self.combine(other, i8::checked_add)
    }
    /// Of a quotient.
    pub fn over(self, other: Self) -> Option<Self> {
        self.combine(other, i8::checked_sub)
    }
    /// Of a power.
    pub fn to_the(self, power: i8) -> Option<Self> {
        self.combine(self, |a, _| a.checked_mul(power))
    }
    /// Of a square root; nothing where a power is odd.
    pub fn root(self) -> Option<Self> {
        self.combine(self, |a, _| (a % 2 == 0).then_some(a / 2))
    }
    fn combine(self, other: Self, f: impl Fn(i8, i8) -> Option<i8>) -> Option<Self> {
        let mut powers = self;
        for (mine, theirs) in powers.0.iter_mut().zip(other.0) {
            *mine = f(*mine, theirs)?;
        }
        Some(powers)
    }
    /// The dimension, where the language has one; `absolute` tells a temperature from a difference of two.
    pub fn dimension(self, absolute: bool) -> Option<Dimension> {
        ALL.iter().copied().find(|d| powers(*d) == self && (*d == Dimension::Temperature) == absolute)
    }
}

/// Every dimension of the language, the more usual first where two have the same powers (energy and torque).
pub const ALL: &[Dimension] = &[
    Dimension::Number,
    Dimension::Current,
    Dimension::Voltage,
    Dimension::Resistance,
    Dimension::Capacitance,
    Dimension::Inductance,
    Dimension::Power,
    Dimension::ApparentPower,
    Dimension::Energy,
    Dimension::Charge,
    Dimension::JouleIntegral,
    Dimension::VoltagePerTemperature,
    Dimension::SlewRate,
    Dimension::Speed,
    Dimension::Frequency,
    Dimension::Time,
    Dimension::Length,
    Dimension::Area,
    Dimension::Mass,
    Dimension::Density,
    Dimension::Force,
    Dimension::Torque,
    Dimension::Pressure,
    Dimension::Angle,
    Dimension::Temperature,
    Dimension::TemperatureDifference,
    Dimension::PerTemperature,
    Dimension::ThermalResistance,
    Dimension::ThermalConductance,
    Dimension::ThermalConductivity,
    Dimension::HeatTransfer,
    Dimension::LuminousFlux,
    Dimension::LuminousIntensity,
    Dimension::Illuminance,
    Dimension::Efficacy,
];

/// Its powers in SI (BIPM, The International System of Units, 9th edition, tables 2 to 6).
pub const fn powers(dimension: Dimension) -> Powers {
    use Dimension as D;
    match dimension {
        D::Number => Powers::NONE,
        D::Current => Powers::of(0, 0, 0, 1, 0),
        D::Voltage => Powers::of(2, 1, -3, -1, 0),
        D::Resistance => Powers::of(2, 1, -3, -2, 0),
        D::Capacitance => Powers::of(-2, -1, 4, 2, 0),
        D::Inductance => Powers::of(2, 1, -2, -2, 0),
        D::Power => Powers::of(2, 1, -3, 0, 0),
        D::ApparentPower => Powers::NONE.with(8, 1),
        D::Energy | D::Torque => Powers::of(2, 1, -2, 0, 0),
        D::Charge => Powers::of(0, 0, 1, 1, 0),
        D::JouleIntegral => Powers::of(0, 0, 1, 2, 0),
        D::VoltagePerTemperature => Powers::of(2, 1, -3, -1, -1),
        D::SlewRate => Powers::of(2, 1, -4, -1, 0),
        D::Speed => Powers::of(1, 0, -1, 0, 0),
        D::Frequency => Powers::of(0, 0, -1, 0, 0),
        D::Time => Powers::of(0, 0, 1, 0, 0),
        D::Length => Powers::of(1, 0, 0, 0, 0),
        D::Area => Powers::of(2, 0, 0, 0, 0),
        D::Mass => Powers::of(0, 1, 0, 0, 0),
        D::Density => Powers::of(-3, 1, 0, 0, 0),
        D::Force => Powers::of(1, 1, -2, 0, 0),
        D::Pressure => Powers::of(-1, 1, -2, 0, 0),
        D::Angle => Powers::NONE.with(7, 1),
        D::Temperature | D::TemperatureDifference => Powers::of(0, 0, 0, 0, 1),
        D::PerTemperature => Powers::of(0, 0, 0, 0, -1),
        D::ThermalResistance => Powers::of(-2, -1, 3, 0, 1),
        D::ThermalConductance => Powers::of(2, 1, -3, 0, -1),
        D::ThermalConductivity => Powers::of(1, 1, -3, 0, -1),
        D::HeatTransfer => Powers::of(0, 1, -3, 0, -1),
        D::LuminousFlux => Powers::NONE.with(5, 1),
        D::LuminousIntensity => Powers::NONE.with(6, 1),
        D::Illuminance => Powers::of(-2, 0, 0, 0, 0).with(5, 1),
        D::Efficacy => Powers::of(-2, -1, 3, 0, 0).with(5, 1),
    }
}

/// As an error names it: `a current`.
pub const fn name(dimension: Dimension) -> &'static str {
    use Dimension as D;
    match dimension {
        D::Number => "a number",
        D::Current => "a current",
        D::Voltage => "a voltage",
        D::Resistance => "a resistance",
        D::Capacitance => "a capacitance",
        D::Inductance => "an inductance",
        D::Power => "a power",
        D::ApparentPower => "an apparent power",
        D::Energy => "an energy",
        D::Charge => "a charge",
        D::JouleIntegral => "a Joule integral",
        D::VoltagePerTemperature => "a voltage per temperature",
        D::SlewRate => "a slew rate",
        D::Speed => "a speed",
        D::Frequency => "a frequency",
        D::Time => "a time",
        D::Length => "a length",
        D::Area => "an area",
        D::Mass => "a mass",
        D::Density => "a density",
        D::Force => "a force",
        D::Torque => "a torque",
        D::Pressure => "a pressure",
        D::Angle => "an angle",
        D::Temperature => "a temperature",
        D::TemperatureDifference => "a temperature difference",
        D::PerTemperature => "a change per kelvin",
        D::ThermalResistance => "a thermal resistance",
        D::ThermalConductance => "a thermal conductance",
        D::ThermalConductivity => "a thermal conductivity",
        D::HeatTransfer => "a heat transfer coefficient",
        D::LuminousFlux => "a luminous flux",
        D::LuminousIntensity => "a luminous intensity",
        D::Illuminance => "an illuminance",
        D::Efficacy => "an efficacy",
    }
}

/// Units a maker would write, the most usual first; each is one that `units` reads.
pub const fn units(dimension: Dimension) -> &'static [&'static str] {
    use Dimension as D;
    match dimension {
        D::Number => &["%", "ppm"],
        D::Current => &["mA", "A", "µA", "nA"],
        D::Voltage => &["V", "mV", "kV", "µV"],
        D::Resistance => &["Ω", "kΩ", "mΩ", "MΩ"],
        D::Capacitance => &["nF", "µF", "pF", "mF", "F"],
        D::Inductance => &["µH", "mH", "nH", "H"],
        D::Power => &["W", "mW", "kW"],
        D::ApparentPower => &["VA", "kVA"],
        D::Energy => &["J", "mJ", "Wh"],
        D::Charge => &["mAh", "Ah", "nC", "µC", "C", "A·s"],
        D::JouleIntegral => &["A²·s"],
        D::VoltagePerTemperature => &["mV/K", "V/K"],
        D::SlewRate => &["V/µs", "V/ms", "V/s"],
        D::Speed => &["mm/min", "mm/s", "m/min", "m/s"],
        D::Frequency => &["Hz", "kHz", "MHz"],
        D::Time => &["s", "ms", "µs", "ns", "min", "h"],
        D::Length => &["mm", "cm", "m", "µm", "in", "mil", "ft"],
        D::Area => &["mm²", "cm²", "m²", "AWG"],
        D::Mass => &["g", "kg", "mg"],
        D::Density => &["kg/m³", "g/cm³"],
        D::Force => &["N", "mN", "kN"],
        D::Torque => &["N·m", "mN·m"],
        D::Pressure => &["MPa", "kPa", "Pa", "GPa", "N/mm²"],
        D::Angle => &["°", "rad"],
        D::Temperature => &["°C"],
        D::TemperatureDifference => &["K"],
        D::PerTemperature => &["ppm/K", "%/K", "1/K"],
        D::ThermalResistance => &["K/W"],
        D::ThermalConductance => &["W/K", "mW/K"],
        D::ThermalConductivity => &["W/(m·K)"],
        D::HeatTransfer => &["W/(m²·K)"],
        D::LuminousFlux => &["lm"],
        D::LuminousIntensity => &["cd", "mcd"],
        D::Illuminance => &["lx"],
        D::Efficacy => &["lm/W"],
    }
}

/// A limit of the schema as text and messages show it: `3 A`, not `3.00 A`.
pub fn limit(value: f64, dimension: Dimension) -> String {
    stated(value, shown(dimension))
}

/// The symbol `figures::engineering` shows it with.
pub const fn shown(dimension: Dimension) -> &'static str {
    use Dimension as D;
    match dimension {
        D::Number => "",
        D::Current => "A",
        D::Voltage => "V",
        D::Resistance => "Ω",
        D::Capacitance => "F",
        D::Inductance => "H",
        D::Power => "W",
        D::ApparentPower => "VA",
        D::Energy => "J",
        D::Charge => "C",
        D::JouleIntegral => "A²s",
        D::VoltagePerTemperature => "V/K",
        D::SlewRate => "V/s",
        D::Speed => "m/s",
        D::Frequency => "Hz",
        D::Time => "s",
        D::Length => "m",
        D::Area => "m²",
        D::Mass => "kg",
        D::Density => "kg/m³",
        D::Force => "N",
        D::Torque => "N·m",
        D::Pressure => "Pa",
        D::Angle => "rad",
        D::Temperature => "°C",
        D::TemperatureDifference => "K",
        D::PerTemperature => "1/K",
        D::ThermalResistance => "K/W",
        D::ThermalConductance => "W/K",
        D::ThermalConductivity => "W/(m·K)",
        D::HeatTransfer => "W/(m²·K)",
        D::LuminousFlux => "lm",
        D::LuminousIntensity => "cd",
        D::Illuminance => "lx",
        D::Efficacy => "lm/W",
    }
}
