//! Markings of IEC 60062: letter codes such as 5K1 and 220n, and colour bands in words.
//! Turns a value into what is printed or painted on the part, or says why it cannot be.

use std::fmt;

use crate::figures::trimmed;
use crate::quantity::{Farads, Ohms, PerKelvin, Quantity};

/// Why a value has no marking.
#[derive(Debug, Clone, PartialEq)]
pub enum MarkingError {
    /// The value is zero, negative or not finite.
    NotPositive,
    /// The value has more figures than the marking holds.
    TooManyFigures {
        /// The value as shown to a reader.
        value: String,
        /// Figures the marking holds.
        figures: usize,
    },
    /// The power of ten lies outside the letters or colours that exist.
    OutOfRange {
        /// The value as shown to a reader.
        value: String,
        /// The least and the largest power of ten that the marking has.
        exponents: (i32, i32),
    },
    /// No colour for this tolerance.
    NoTolerance(f64),
    /// No colour for this temperature coefficient.
    NoCoefficient(PerKelvin),
}

impl fmt::Display for MarkingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotPositive => f.write_str("only a value above zero has a marking; give one above zero"),
            Self::TooManyFigures { value, figures } => {
                write!(f, "{value} has more than {figures} significant figures; round it to a preferred value")
            }
            Self::OutOfRange { value, exponents: (low, high) } => {
                write!(f, "{value} needs a power of ten outside {low} to {high}; write the value in full instead")
            }
            Self::NoTolerance(ratio) => {
                let percent = trimmed(ratio * 100.0, 3);
                write!(f, "a tolerance of {percent} % has no marking; use 0.1, 0.25, 0.5, 1, 2, 5, 10 or 20 %")
            }
            Self::NoCoefficient(c) => {
                let ppm = trimmed(c.value() * 1e6, 1);
                write!(f, "{ppm} ppm/K has no colour; use 1, 5, 10, 15, 20, 25, 50, 100 or 250 ppm/K")
            }
        }
    }
}

impl std::error::Error for MarkingError {}

/// Figures of a value: the digits without trailing zeros, and the power of ten of the first.
struct Figures {
    digits: Vec<u8>,
    exponent: i32,
}

/// Splits a value into at most `most` figures; what is left over must be rounding of the arithmetic.
fn figures<Q: Quantity>(quantity: Q, most: usize) -> Result<Figures, MarkingError> {
    let value = quantity.value();
    if !(value > 0.0 && value.is_finite()) {
        return Err(MarkingError::NotPositive);
    }
    let text = format!("{value:.*e}", most - 1);
    let rounded: f64 = text.parse().unwrap_or(f64::NAN);
    let exact = (rounded / value - 1.0).abs() < 1e-9;
    let parts = text.split_once('e').and_then(|(m, e)| Some((m, e.parse::<i32>().ok()?)));
    let Some((mantissa, exponent)) = parts.filter(|_| exact) else {
        return Err(MarkingError::TooManyFigures { value: quantity.show(), figures: most });
    };
    let digits = mantissa.trim_end_matches('0').bytes().filter(u8::is_ascii_digit).collect();
    Ok(Figures { digits, exponent })
}

/// The letter code of a resistance: `5K1`, `R47`, `220R`, `1R0`.
///
/// The letter stands for the decimal point: R ohms, K 10³, M 10⁶, G 10⁹, T 10¹². At most four figures.
/// Source: IEC 60062, from public tables.
pub fn resistance_code(resistance: Ohms) -> Result<String, MarkingError> {
    let figures = figures(resistance, 4)?;
    letter_code(&figures, &[(0, 'R'), (3, 'K'), (6, 'M'), (9, 'G'), (12, 'T')])
        .ok_or_else(|| MarkingError::OutOfRange { value: resistance.show(), exponents: (-4, 14) })
}

/// The letter code of a capacitance: `4u7`, `220n`, `3p3`.
///
/// p, n, u for micro, m and F. At most four figures. Source: IEC 60062, from public tables.
pub fn capacitance_code(capacitance: Farads) -> Result<String, MarkingError> {
    let figures = figures(capacitance, 4)?;
    letter_code(&figures, &[(-12, 'p'), (-9, 'n'), (-6, 'u'), (-3, 'm'), (0, 'F')])
        .ok_or_else(|| MarkingError::OutOfRange { value: capacitance.show(), exponents: (-16, 2) })
}

fn letter_code(figures: &Figures, letters: &[(i32, char)]) -> Option<String> {
    let Figures { digits, exponent } = figures;
    let (power, letter) = *letters.iter().rev().find(|(p, _)| p <= exponent).or(letters.first())?;
    let before = exponent - power + 1;
    if !(-3..=3).contains(&before) {
        return None;
    }
    let digit = |i: i32| usize::try_from(i).ok().and_then(|i| digits.get(i)).map_or('0', |d| char::from(*d));
    let left: String = (0..before).map(digit).collect();
    let leading = before.min(0)..0;
    let right: String = leading.map(|_| '0').chain((before.max(0)..digits.len() as i32).map(digit)).collect();
    // One digit alone would be read as a part number, so a whole 1 to 9 gets a zero behind its letter.
    let right = if right.is_empty() && before == 1 { "0".into() } else { right };
    Some(format!("{left}{letter}{right}"))
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs()
}

/// A colour of a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "a colour is its own description")]
pub enum Colour {
    Pink,
    Silver,
    Gold,
    Black,
    Brown,
    Red,
    Orange,
    Yellow,
    Green,
    Blue,
    Violet,
    Grey,
    White,
}

impl Colour {
    /// All colours in the order of their powers of ten, from 10⁻³ to 10⁹.
    pub const ALL: [Self; 13] = [
        Self::Pink,
        Self::Silver,
        Self::Gold,
        Self::Black,
        Self::Brown,
        Self::Red,
        Self::Orange,
        Self::Yellow,
        Self::Green,
        Self::Blue,
        Self::Violet,
        Self::Grey,
        Self::White,
    ];

    /// The word printed on the sheet.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pink => "pink",
            Self::Silver => "silver",
            Self::Gold => "gold",
            Self::Black => "black",
            Self::Brown => "brown",
            Self::Red => "red",
            Self::Orange => "orange",
            Self::Yellow => "yellow",
            Self::Green => "green",
            Self::Blue => "blue",
            Self::Violet => "violet",
            Self::Grey => "grey",
            Self::White => "white",
        }
    }

    /// Power of ten as a multiplier: pink −3 to white 9.
    pub const fn exponent(self) -> i32 {
        self as i32 - 3
    }

    /// The tolerance as a ratio. Grey is 0.01 % here and 0.05 % on older charts.
    pub const fn tolerance(self) -> Option<f64> {
        Some(match self {
            Self::Silver => 0.10,
            Self::Gold => 0.05,
            Self::Brown => 0.01,
            Self::Red => 0.02,
            Self::Orange => 0.0005,
            Self::Yellow => 0.0002,
            Self::Green => 0.005,
            Self::Blue => 0.0025,
            Self::Violet => 0.001,
            Self::Grey => 0.0001,
            Self::Pink | Self::Black | Self::White => return None,
        })
    }

    /// The temperature coefficient.
    pub const fn coefficient(self) -> Option<PerKelvin> {
        Some(PerKelvin::si(match self {
            Self::Black => 250e-6,
            Self::Brown => 100e-6,
            Self::Red => 50e-6,
            Self::Orange => 15e-6,
            Self::Yellow => 25e-6,
            Self::Green => 20e-6,
            Self::Blue => 10e-6,
            Self::Violet => 5e-6,
            Self::Grey => 1e-6,
            Self::Pink | Self::Silver | Self::Gold | Self::White => return None,
        }))
    }

    fn of_exponent(exponent: i32) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.exponent() == exponent)
    }
}

/// How many bands, and what they hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bands {
    /// Two digits and multiplier; the tolerance is 20 %.
    Three,
    /// Two digits, multiplier, tolerance.
    Four,
    /// Three digits, multiplier, tolerance.
    Five,
    /// Three digits, multiplier, tolerance, temperature coefficient.
    Six,
}

impl Bands {
    /// The usual number of bands: six with a coefficient, five up to 2 %, three at 20 %, four otherwise.
    pub fn usual(tolerance: f64, coefficient: Option<PerKelvin>) -> Self {
        match coefficient {
            Some(_) => Self::Six,
            None if tolerance < 0.0201 => Self::Five,
            None if same(0.2, tolerance) => Self::Three,
            None => Self::Four,
        }
    }

    const fn digits(self) -> usize {
        match self {
            Self::Three | Self::Four => 2,
            Self::Five | Self::Six => 3,
        }
    }
}

/// The colour bands of a resistor, in reading order.
///
/// `coefficient` is painted only with six bands. A value may have no colours: 0.047 Ω with three digits would need
/// a multiplier of 10⁻⁴. Source: IEC 60062, from a public table and a second chart.
pub fn colour_bands(
    resistance: Ohms,
    tolerance: f64,
    coefficient: Option<PerKelvin>,
    bands: Bands,
) -> Result<Vec<Colour>, MarkingError> {
    let count = bands.digits();
    let figures = figures(resistance, count)?;
    let multiplier = Colour::of_exponent(figures.exponent - count as i32 + 1);
    let digits = (0..count).map(|i| figures.digits.get(i).map_or(0, |d| i32::from(d - b'0')));
    let mut colours: Vec<Colour> = digits.filter_map(Colour::of_exponent).collect();
    colours.push(multiplier.ok_or_else(|| MarkingError::OutOfRange { value: resistance.show(), exponents: (-3, 9) })?);
    let painted = Colour::ALL.into_iter().find(|c| c.tolerance().is_some_and(|t| same(t, tolerance)));
    match bands {
        Bands::Three if same(0.2, tolerance) => {}
        Bands::Three => return Err(MarkingError::NoTolerance(tolerance)),
        _ => colours.push(painted.ok_or(MarkingError::NoTolerance(tolerance))?),
    }
    if let (Bands::Six, Some(wished)) = (bands, coefficient) {
        let found = Colour::ALL.into_iter().find(|c| c.coefficient().is_some_and(|k| same(k.value(), wished.value())));
        colours.push(found.ok_or(MarkingError::NoCoefficient(wished))?);
    }
    Ok(colours)
}
