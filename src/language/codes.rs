//! Letter codes of component values (IEC 60062): the letter is both the decimal point and the multiplier.
//! `5K1` is 5.1 kΩ, `R47` 0.47 Ω, `2u2` 2.2 µF; the property says which quantity it is.

use crate::schema::Dimension;

/// Letters for resistance (IEC 60062:2016, 6.1; `L` for milliohms from the same clause, from memory).
static RESISTANCE: &[(char, f64)] =
    &[('L', 1e-3), ('R', 1.0), ('K', 1e3), ('k', 1e3), ('M', 1e6), ('G', 1e9), ('T', 1e12)];
/// Letters for capacitance (IEC 60062:2016, 6.2); inductance follows them by common practice, no source.
static SMALL: &[(char, f64)] =
    &[('p', 1e-12), ('n', 1e-9), ('u', 1e-6), ('\u{B5}', 1e-6), ('\u{3BC}', 1e-6), ('m', 1e-3)];

/// The value in SI units; nothing where `text` is no code for this dimension.
pub fn code(text: &str, dimension: Dimension) -> Option<f64> {
    let letters = match dimension {
        Dimension::Resistance => RESISTANCE,
        Dimension::Capacitance | Dimension::Inductance => SMALL,
        _ => return None,
    };
    let at = text.find(|c: char| !c.is_ascii_digit())?;
    let (whole, rest) = text.split_at(at);
    let letter = rest.chars().next()?;
    let part = &rest[letter.len_utf8()..];
    let digits = |s: &str| s.chars().all(|c| c.is_ascii_digit());
    if !digits(part) || whole.len() + part.len() == 0 {
        return None;
    }
    let (_, multiplier) = letters.iter().find(|(l, _)| *l == letter)?;
    let number: f64 =
        format!("{}.{}", if whole.is_empty() { "0" } else { whole }, if part.is_empty() { "0" } else { part })
            .parse()
            .ok()?;
    // Dividing by an exact power of ten gives the nearest double; multiplying by 1e-9 would not.
    Some(if *multiplier < 1.0 { number / (1.0 / multiplier).round() } else { number * multiplier })
}

/// Whether `text` could be a code at all, whatever the quantity: only a letter between digits, or one at either end.
pub fn looks_like_one(text: &str) -> bool {
    [Dimension::Resistance, Dimension::Capacitance].iter().any(|d| code(text, *d).is_some())
}
