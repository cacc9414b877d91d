//! Unit symbols to dimension and factor: prefixes, powers, products and quotients, and their canonical spelling.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::schema::Dimension as D;
use crate::schema::dimension::{Powers, powers};

/// What a number before a unit turns into.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Its dimension.
    pub powers: Powers,
    /// Its scale.
    pub scale: Scale,
}

/// From the number written to SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// Times this.
    Factor(f64),
    /// `°C`: an absolute temperature, plus 273.15 K.
    Celsius,
    /// `AWG`: the area of a conductor of this gauge.
    Gauge,
}

impl Unit {
    /// The number in SI units.
    pub fn si(self, number: f64) -> f64 {
        match self.scale {
            Scale::Factor(factor) => scaled(number, factor),
            Scale::Celsius => number + 273.15,
            Scale::Gauge => gauge_area(number),
        }
    }
    /// Whether it measures from absolute zero rather than a difference.
    pub fn absolute(self) -> bool {
        self.scale == Scale::Celsius
    }
}

/// `number * factor`; divides where the factor is one over a whole number, so that 350 mA is exactly 0.35 A.
fn scaled(number: f64, factor: f64) -> f64 {
    let inverse = (1.0 / factor).round();
    if factor < 1.0 && inverse < 1e15 && 1.0 / inverse == factor { number / inverse } else { number * factor }
}

/// The number of a gauge as written: `18`; below 0 for the thick ones, `00` or `2/0` being -1 and `0000` or `4/0` -3
/// (ASTM B258: gauges run from 4/0 to 56; from memory). Nothing where there is no such gauge.
pub(super) fn gauge(text: &str) -> Option<f64> {
    if text.bytes().all(|b| b == b'0') {
        return (text.len() <= 4).then_some(1.0 - text.len() as f64);
    }
    if let Some(zeros) = text.strip_suffix("/0") {
        let zeros: u8 = zeros.parse().ok()?;
        return (1..=4).contains(&zeros).then_some(1.0 - f64::from(zeros));
    }
    let number: u8 = text.parse().ok()?;
    (number <= 56).then_some(f64::from(number))
}

/// Area in m² of a solid conductor of gauge `n`: d = 0.127 mm · 92^((36 − n)/39) (ASTM B258, from memory).
fn gauge_area(n: f64) -> f64 {
    let d = 0.127e-3 * libm::pow(92.0, (36.0 - n) / 39.0);
    std::f64::consts::PI / 4.0 * d * d
}

/// A unit symbol, its dimension, its factor to SI and whether it takes a prefix.
struct Symbol(&'static str, D, f64, bool);

/// Units that are no product of others. `in`, `mil`, `ft`: 25.4 mm exactly (international inch); `h` and `min`: exact.
static SYMBOLS: &[Symbol] = &[
    Symbol("A", D::Current, 1.0, true),
    Symbol("V", D::Voltage, 1.0, true),
    Symbol("Ω", D::Resistance, 1.0, true),
    Symbol("ohm", D::Resistance, 1.0, true),
    Symbol("F", D::Capacitance, 1.0, true),
    Symbol("H", D::Inductance, 1.0, true),
    Symbol("W", D::Power, 1.0, true),
    Symbol("VA", D::ApparentPower, 1.0, true),
    Symbol("J", D::Energy, 1.0, true),
    Symbol("Wh", D::Energy, 3600.0, true),
    Symbol("C", D::Charge, 1.0, true),
    Symbol("Ah", D::Charge, 3600.0, true),
    Symbol("As", D::Charge, 1.0, true),
    Symbol("Hz", D::Frequency, 1.0, true),
    Symbol("s", D::Time, 1.0, true),
    Symbol("min", D::Time, 60.0, false),
    Symbol("h", D::Time, 3600.0, false),
    Symbol("m", D::Length, 1.0, true),
    Symbol("in", D::Length, 25.4e-3, false),
    Symbol("mil", D::Length, 25.4e-6, false),
    Symbol("ft", D::Length, 304.8e-3, false),
    Symbol("g", D::Mass, 1e-3, true),
    Symbol("N", D::Force, 1.0, true),
    Symbol("Nm", D::Torque, 1.0, true),
    Symbol("Pa", D::Pressure, 1.0, true),
    Symbol("rad", D::Angle, 1.0, true),
    Symbol("°", D::Angle, std::f64::consts::PI / 180.0, false),
    Symbol("deg", D::Angle, std::f64::consts::PI / 180.0, false),
    Symbol("K", D::TemperatureDifference, 1.0, true),
    Symbol("lm", D::LuminousFlux, 1.0, true),
    Symbol("cd", D::LuminousIntensity, 1.0, true),
    Symbol("lx", D::Illuminance, 1.0, true),
    Symbol("%", D::Number, 0.01, false),
    Symbol("ppm", D::Number, 1e-6, false),
];

/// SI prefixes; `u` is read as `µ`.
static PREFIXES: &[(&str, f64)] = &[
    ("p", 1e-12),
    ("n", 1e-9),
    ("µ", 1e-6),
    ("u", 1e-6),
    ("m", 1e-3),
    ("c", 1e-2),
    ("k", 1e3),
    ("M", 1e6),
    ("G", 1e9),
];

/// The unit spelled so; nothing where it is none. A quotient of more than one divisor takes parentheses: `W/(m·K)`.
pub fn unit(text: &str) -> Option<Unit> {
    PLAIN.get(text).copied().or_else(|| read(text).map(|(unit, _)| unit))
}

/// Every symbol with every prefix it takes: nearly all that specs say.
static PLAIN: LazyLock<FxHashMap<String, Unit>> = LazyLock::new(|| {
    let unit = |symbol: &Symbol, scale: f64| Unit { powers: powers(symbol.1), scale: Scale::Factor(symbol.2 * scale) };
    let bare = SYMBOLS.iter().map(|symbol| (symbol.0.to_owned(), unit(symbol, 1.0)));
    let prefixed = PREFIXES.iter().flat_map(|(prefix, scale)| {
        let takes = SYMBOLS.iter().filter(|symbol| symbol.3);
        takes.map(move |symbol| ([*prefix, symbol.0].concat(), unit(symbol, *scale)))
    });
    let mut plain = FxHashMap::default();
    // A symbol of its own goes before one with a prefix.
    for (text, unit) in bare.chain(prefixed) {
        plain.entry(text).or_insert(unit);
    }
    plain
});

/// As `tidy` spells it: `µ` U+00B5, `Ω` U+03A9, `°C`, raised powers, `·` between factors.
pub fn spelled(text: &str) -> Option<String> {
    read(text).map(|(_, spelling)| spelling)
}

/// The look-alike signs made one: micro U+00B5, ohm U+03A9, multiplication dot U+00B7.
fn unify(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\u{3BC}' => '\u{B5}',
            '\u{2126}' => '\u{3A9}',
            '⋅' | '*' => '·',
            other => other,
        })
        .collect()
}

fn read(text: &str) -> Option<(Unit, String)> {
    let text = unify(text);
    match text.as_str() {
        "°C" | "degC" => {
            return Some((Unit { powers: powers(D::Temperature), scale: Scale::Celsius }, "°C".into()));
        }
        "AWG" => return Some((Unit { powers: powers(D::Area), scale: Scale::Gauge }, "AWG".into())),
        _ => {}
    }
    let (mut total, below) = match text.split_once('/') {
        Some(("1", below)) => (Terms { spelling: "1".to_owned(), ..Terms::NONE }, Some(below)),
        Some((above, below)) => (Terms::of(above)?, Some(below)),
        None => (Terms::of(&text)?, None),
    };
    if let Some(below) = below {
        let inner = below.strip_prefix('(').and_then(|b| b.strip_suffix(')'));
        let divisor = Terms::of(inner.unwrap_or(below))?;
        if divisor.count > 1 && inner.is_none() {
            return None;
        }
        total.powers = total.powers.over(divisor.powers)?;
        total.factor /= divisor.factor;
        // `As` is one symbol as written and two as spelled.
        total.spelling += &match divisor.spelling.contains('·') {
            false => format!("/{}", divisor.spelling),
            true => format!("/({})", divisor.spelling),
        };
    }
    Some((Unit { powers: total.powers, scale: Scale::Factor(total.factor) }, total.spelling))
}

/// A product of symbols, as far as it is read.
struct Terms {
    powers: Powers,
    factor: f64,
    spelling: String,
    count: usize,
}

impl Terms {
    const NONE: Self = Self { powers: Powers::NONE, factor: 1.0, spelling: String::new(), count: 0 };

    /// Factors joined by `·` or a space, or by nothing behind a power: `A²s`.
    fn of(text: &str) -> Option<Self> {
        let mut product = Self::NONE;
        for mut piece in text.split(['·', ' ']) {
            while !piece.is_empty() {
                let end = piece.find(|c: char| !(c.is_alphabetic() || c == '°' || c == '%')).unwrap_or(piece.len());
                let (symbol, rest) = piece.split_at(end);
                let (power, rest) = power(rest)?;
                product.times(symbol, power)?;
                piece = rest;
            }
        }
        (product.count > 0).then_some(product)
    }

    fn times(&mut self, symbol: &str, power: i8) -> Option<()> {
        let (dimension, factor, spelling) = symbol_of(symbol)?;
        // `Nm²` is N·m² to one reader and (N·m)² to the next.
        if power != 1 && spelling.contains('·') {
            return None;
        }
        self.powers = self.powers.times(powers(dimension).to_the(power)?)?;
        for _ in 0..power.abs() {
            self.factor = if power > 0 { self.factor * factor } else { self.factor / factor };
        }
        if self.count > 0 {
            self.spelling.push('·');
        }
        self.spelling += &spelling;
        self.spelling += match power {
            1 => "",
            2 => "²",
            3 => "³",
            -1 => "⁻¹",
            -2 => "⁻²",
            _ => "⁻³",
        };
        self.count += 1;
        Some(())
    }
}

/// The power at the start of `text`: `²`, `2`, `^2`, `^-1`, `⁻¹`; 1 where there is none.
fn power(text: &str) -> Option<(i8, &str)> {
    static SIGNS: &[(&str, i8)] = &[("1", 1), ("¹", 1), ("2", 2), ("3", 3), ("²", 2), ("³", 3)];
    let bare = text.strip_prefix('^').unwrap_or(text);
    let (sign, digits) = match bare.strip_prefix('-').or_else(|| bare.strip_prefix('⁻')) {
        Some(digits) => (-1, digits),
        None => (1, bare),
    };
    match SIGNS.iter().find_map(|(s, p)| digits.strip_prefix(s).map(|rest| (*p, rest))) {
        Some((1, _)) if sign > 0 => None,
        Some((power, rest)) => Some((sign * power, rest)),
        None => (digits.len() == text.len()).then_some((1, text)),
    }
}

fn symbol_of(text: &str) -> Option<(D, f64, String)> {
    let find = |name: &str| SYMBOLS.iter().find(|s| s.0 == name);
    let spelling = |name: &str| match name {
        "ohm" => "Ω".to_owned(),
        "deg" => "°".to_owned(),
        "As" => "A·s".to_owned(),
        "Nm" => "N·m".to_owned(),
        other => other.to_owned(),
    };
    if let Some(symbol) = find(text) {
        return Some((symbol.1, symbol.2, spelling(symbol.0)));
    }
    PREFIXES.iter().find_map(|(prefix, scale)| {
        let symbol = text.strip_prefix(prefix).and_then(find).filter(|s| s.3)?;
        let prefix = if *prefix == "u" { "µ" } else { prefix };
        Some((symbol.1, symbol.2 * scale, format!("{prefix}{}", spelling(symbol.0))))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_symbol_is_what_its_reading_says() {
        for prefix in PREFIXES.iter().map(|(prefix, _)| *prefix).chain([""]) {
            for Symbol(symbol, ..) in SYMBOLS {
                let text = format!("{prefix}{symbol}");
                let plain = PLAIN.get(&text).copied();
                let read = read(&text).map(|(unit, _)| unit);
                assert_eq!(plain.or(read), read, "{text}");
                assert_eq!(plain.is_some(), read.is_some(), "{text}");
            }
        }
    }
}
