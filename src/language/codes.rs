//! Letter codes of component values (IEC 60062): the letter is both the decimal point and the multiplier.
//! `5K1` is 5.1 kΩ, `R47` 0.47 Ω, `2u2` 2.2 µF; the property says which quantity it is. A letter behind a resistance is
//! its tolerance: `1R0F` is 1 Ω ± 1 %.

use super::{document, units};
use crate::schema::{Dimension, dimension};

/// Letters for resistance (IEC 60062:2016, 6.1; `L` for milliohms from the same clause, from memory).
static RESISTANCE: &[(char, f64)] =
    &[('L', 1e-3), ('R', 1.0), ('K', 1e3), ('k', 1e3), ('M', 1e6), ('G', 1e9), ('T', 1e12)];
/// Letters for capacitance (IEC 60062:2016, 6.2); inductance follows them by common practice, no source.
static SMALL: &[(char, f64)] =
    &[('p', 1e-12), ('n', 1e-9), ('u', 1e-6), ('\u{B5}', 1e-6), ('\u{3BC}', 1e-6), ('m', 1e-3)];

/// Letters for a symmetrical tolerance, in per cent (IEC 60062:2016, clause 7, from memory).
static TOLERANCES: &[(char, f64)] = &[
    ('E', 0.005),
    ('L', 0.01),
    ('P', 0.02),
    ('W', 0.05),
    ('B', 0.1),
    ('C', 0.25),
    ('D', 0.5),
    ('F', 1.0),
    ('G', 2.0),
    ('H', 3.0),
    ('J', 5.0),
    ('K', 10.0),
    ('M', 20.0),
    ('N', 30.0),
];

/// The code's value with the tolerance that its last letter gives; nothing where `text` is no code.
///
/// Only a resistance takes such a letter: behind a capacitance `F` would be read as farad by one and as 1 % by the next.
pub(super) fn spread(text: &str, dimension: Dimension) -> Option<document::Spread> {
    if let Some(value) = code(text, dimension) {
        return Some(document::Spread::exact(value));
    }
    let (value, percent) = lettered(text, dimension).filter(|_| dimension == Dimension::Resistance)?;
    Some(super::spread::widened(document::Spread::exact(value), value * percent / 100.0))
}

/// A code with a tolerance's letter behind it: value and per cent. `10kJ` is an energy, not 10 kΩ ± 5 %.
fn lettered(text: &str, dimension: Dimension) -> Option<(f64, f64)> {
    let last = text.chars().next_back()?;
    let (_, percent) = TOLERANCES.iter().find(|(letter, _)| *letter == last)?;
    let value = code(text.strip_suffix(last)?, dimension)?;
    let unit = text.trim_start_matches(|c: char| c.is_ascii_digit());
    units::unit(unit).is_none().then_some((value, *percent))
}

/// What is wrong with a code that this property does not take, and what to write instead; nothing where `text` is no
/// code at all.
pub(super) fn misplaced(text: &str, wanted: Option<Dimension>) -> Option<(String, String)> {
    let wanted = wanted?;
    let wants = dimension::name(wanted);
    let unit = dimension::units(wanted).first().copied().unwrap_or("");
    let takes_codes = matches!(wanted, Dimension::Resistance | Dimension::Capacitance | Dimension::Inductance);
    if let Some((_, percent)) = lettered(text, wanted).filter(|_| takes_codes && wanted != Dimension::Resistance) {
        let bare = &text[..text.len() - 1];
        let message = format!("the last letter of `{text}` could be a tolerance or a unit");
        return Some((message, format!("write `{bare}`, or with its tolerance `{bare} ± {percent} %`")));
    }
    let kind = [Dimension::Resistance, Dimension::Capacitance].into_iter().find(|d| spread(text, *d).is_some())?;
    let message = match kind {
        Dimension::Resistance => format!("`{text}` is the letter code of a resistance; {wants} is wanted here"),
        _ => format!("`{text}` is the letter code of a capacitance or an inductance; {wants} is wanted here"),
    };
    Some((
        message,
        match wanted {
            Dimension::Resistance => {
                "letters of a resistance are `L` (mΩ), `R`, `K` and `M`: `4R7`, or write `4.7 Ω`".into()
            }
            Dimension::Capacitance | Dimension::Inductance => {
                format!("letters here are `p`, `n`, `u` and `m`: `4n7`, or write `4.7 {unit}`")
            }
            _ => format!("letter codes are for component values; write the figure with its unit: `3.5 {unit}`"),
        },
    ))
}

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

/// Whether `text` could be a code at all, whatever the quantity.
pub(super) fn looks_like_one(text: &str) -> bool {
    [Dimension::Resistance, Dimension::Capacitance].iter().any(|d| code(text, *d).is_some())
}
