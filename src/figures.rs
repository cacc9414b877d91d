//! How a number looks: three significant figures, engineering prefix, unit.
//! The only place that rounds for print, so a figure looks the same on every sheet.

mod sides;

pub use sides::{shown_above, shown_below};

/// `value` in SI `unit`, as printed: `engineering(0.32, "A")` is `320 mA`.
///
/// Lengths are shown in mm up to 1 m, areas in mm² up to 1 cm² and in cm² above, charge from 1 mAh on in Ah; temperatures
/// arrive in kelvin and are shown in °C with one decimal. Squares and cubes take no prefix: a µm² is no millionth of a m².
pub fn engineering(value: f64, unit: &str) -> String {
    if let Some(word) = no_number(value) {
        return word.to_owned();
    }
    match unit {
        "" if value.abs() < NOISE => "0".into(),
        "" => significant(value, 3),
        "°C" => with(fixed(value - 273.15, 1), "°C"),
        "K" if value.abs() >= 1000.0 => with(fixed(value, 0), "K"),
        "K" => with(fixed(value, if value.abs() < 10.0 { 2 } else { 1 }), "K"),
        // Less than a twentieth of a nanometre is what rounding leaves of nothing.
        "m" if value.abs() >= 5e-11 && value.abs() < 1e-6 => with(trimmed(value * 1e9, 1), "nm"),
        "m" if value.abs() < 1.0 => millimetres(value * 1e3),
        "m" => with(trimmed(value, 3), "m"),
        "m²" if value.abs() < 1e-4 => with(significant(value * 1e6, 3), "mm²"),
        "m²" => with(significant(value * 1e4, 4), "cm²"),
        "m³" => with(significant(value * 1e6, 3), "cm³"),
        "kg" if value.abs() < 1.0 => with(significant(value * 1e3, 3), "g"),
        "Ω/m" => with(significant(value * 1e3, 3), "Ω/km"),
        "V/K" => with(significant(value * 1e3, 3), "mV/K"),
        "1/K" => with(significant(value * 1e6, 3), "ppm/K"),
        "rad" => format!("{}°", trimmed(value.to_degrees(), 2)),
        "m²/s" => format!("{} mm²/s", significant(value * 1e6, 3)),
        "kg/s" => format!("{} g/s", significant(value * 1e3, 3)),
        "C" if value.abs() >= 3.6 => prefixed(value / 3600.0, "Ah"),
        "s" if value.abs() >= 7200.0 => with(significant(value / 3600.0, 3), "h"),
        "s" if value.abs() >= 120.0 => with(significant(value / 60.0, 3), "min"),
        "kg" | "kg/m³" | "K/W" | "W/K" | "W/(m·K)" | "W/(m²·K)" | "lm" | "lx" | "cd" | "cd/m²" | "lm/W" | "A²s"
        | "N·m" => with(significant(value, 3), unit),
        _ => prefixed(value, unit),
    }
}

fn with(mut number: String, unit: &str) -> String {
    number.push(' ');
    number.push_str(unit);
    number
}

/// To a hundredth of a millimetre; a cutter of 3.175 mm, stated to the thousandth, keeps it.
fn millimetres(value: f64) -> String {
    let stated = (value * 1e3 - libm::round(value * 1e3)).abs() < 1e-6;
    with(trimmed(value, if stated { 3 } else { 2 }), "mm")
}

/// A figure that somebody wrote: as above, without zeros after the point that the value does not need.
/// `stated(50.0, "Hz")` is `50 Hz`; what three figures do round keeps its zeros.
pub fn stated(value: f64, unit: &str) -> String {
    let shown = engineering(value, unit);
    let (number, unit) = shown.split_once(' ').unwrap_or((shown.as_str(), ""));
    let bare = number.trim_end_matches('0').trim_end_matches('.');
    let exact = |scale: f64| {
        let read: f64 = bare.parse().unwrap_or(f64::NAN);
        let ratio = if read == 0.0 { f64::NAN } else { value * scale / read };
        // The same figure but for its prefix: some power of ten, to the last bits.
        let power = libm::log10(ratio.abs());
        (power - libm::round(power)).abs() < 1e-12
    };
    let kelvin = unit.starts_with('°').then(|| (value - 273.15) - bare.parse().unwrap_or(f64::NAN));
    let whole = match kelvin {
        Some(off) => off.abs() < 1e-9,
        // Hours, minutes and ampere-hours are no powers of ten.
        None => value == 0.0 || exact(1.0) || exact(1.0 / 60.0) || exact(1.0 / 3600.0) || exact(1.0 / 3.6),
    };
    match number.contains('.') && whole {
        true if unit.is_empty() => bare.to_owned(),
        true => format!("{bare} {unit}"),
        false => shown,
    }
}

/// The word that stands where there is no number to print.
fn no_number(value: f64) -> Option<&'static str> {
    match (value.is_nan(), value.is_infinite()) {
        (true, _) => Some("unknown"),
        (_, true) => Some("no limit"),
        _ => None,
    }
}

/// A share smaller than this is what adding up floating numbers leaves over, not a share.
const NOISE: f64 = 1e-10;

/// A ratio as a percentage: `percent(0.663)` is `66.3 %`.
pub fn percent(ratio: f64) -> String {
    if let Some(word) = no_number(ratio) {
        return word.to_owned();
    }
    let ratio = if ratio.abs() < NOISE { 0.0 } else { ratio };
    format!("{} %", significant(ratio * 100.0, 3))
}

/// A figure that was worked out, for a machine: to 12 significant digits, where floating numbers end to tell anything.
/// What the author wrote is not for this: it goes out as it was read.
pub fn for_machine(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

/// Two figures as printed, from the lower to the higher; one where they look the same.
pub fn between(low: &str, high: &str) -> String {
    if low == high { low.to_owned() } else { format!("{low} to {high}") }
}

/// With at most `places` decimals, trailing zeros dropped, no negative zero.
pub fn trimmed(value: f64, places: usize) -> String {
    let mut text = fixed(value, places);
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    text
}

/// With exactly `places` decimals, no negative zero.
pub fn fixed(value: f64, places: usize) -> String {
    let Some(steps) = rounded(value.abs(), places as i32) else { return plain_zero(format!("{value:.places$}")) };
    let mut text = String::with_capacity(12);
    if value < 0.0 && steps > 0 {
        text.push('-');
    }
    push_digits(&mut text, steps, places + 1);
    if places > 0 {
        text.insert(text.len() - places, '.');
    }
    text
}

/// Powers of ten that are exact.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// A number that is not below nothing, times this power of ten, to the nearest whole. None where the product, which is
/// itself rounded in its last digit, is too near to a half to tell, or too large: then the library's slow way has to.
fn rounded(value: f64, power: i32) -> Option<u64> {
    let ten = TENS.get(power.unsigned_abs() as usize)?;
    let scaled = if power < 0 { value / ten } else { value * ten };
    let whole = scaled as u64;
    let part = scaled - whole as f64;
    (scaled < 1e9 && (part - 0.5).abs() > 1e-6).then(|| whole + u64::from(part > 0.5))
}

/// Adds a whole number, with zeros before it up to this many digits.
fn push_digits(text: &mut String, mut number: u64, least: usize) {
    let (mut digits, mut from) = ([b'0'; 24], 24);
    while number > 0 || 24 - from < least.min(20) {
        from -= 1;
        digits[from] = b'0' + (number % 10) as u8;
        number /= 10;
    }
    text.extend(digits[from..].iter().map(|digit| char::from(*digit)));
}

/// Rounded to `figures` significant figures, in plain notation.
pub fn significant(value: f64, figures: usize) -> String {
    match no_number(value) {
        Some(word) => word.to_owned(),
        None if value == 0.0 => "0".into(),
        None => Rounded::to(value, figures).plain(0),
    }
}

/// A value rounded to some significant figures: sign, digits, and the power of ten of the first of them.
struct Rounded {
    negative: bool,
    digits: String,
    power: i32,
}

impl Rounded {
    fn to(value: f64, figures: usize) -> Self {
        Self::quickly(value, figures).unwrap_or_else(|| Self::exactly(value, figures))
    }

    /// By arithmetic, where it can tell.
    fn quickly(value: f64, figures: usize) -> Option<Self> {
        let size = value.abs();
        if !(1e-15..1e15).contains(&size) || figures > 8 {
            return None;
        }
        // One too small at times, and the number then one digit too long.
        let binary = (size.to_bits() >> 52) as i32 - 1023;
        let mut power = (binary * 1233) >> 12;
        let least = 10_u64.pow(figures as u32);
        let mut number = rounded(size, figures as i32 - 1 - power)?;
        if number >= least {
            power += 1;
            number = rounded(size, figures as i32 - 1 - power)?;
        }
        // Rounded up to the next power of ten, which has its digits.
        if number >= least {
            (number, power) = (number / 10, power + 1);
        }
        let mut digits = String::with_capacity(8);
        push_digits(&mut digits, number, figures);
        Some(Self { negative: value < 0.0, digits, power })
    }

    fn exactly(value: f64, figures: usize) -> Self {
        let mut digits = format!("{:.*e}", figures - 1, value.abs());
        let power = digits.split_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0);
        digits.truncate(digits.find('e').unwrap_or(digits.len()));
        if figures > 1 {
            digits.remove(1);
        }
        Self { negative: value < 0.0, digits, power }
    }

    /// In plain notation, divided by a power of ten.
    fn plain(&self, divided: i32) -> String {
        let (power, digits) = (self.power - divided, self.digits.as_str());
        let mut text = String::with_capacity(12);
        if self.negative {
            text.push('-');
        }
        let zeros = |text: &mut String, count: i32| (0..count).for_each(|_| text.push('0'));
        match usize::try_from(power).ok().and_then(|power| digits.split_at_checked(power + 1)) {
            Some((whole, "")) => text.push_str(whole),
            Some((whole, part)) => {
                text.push_str(whole);
                text.push('.');
                text.push_str(part);
            }
            None if power < 0 => {
                text.push_str("0.");
                zeros(&mut text, -power - 1);
                text.push_str(digits);
            }
            None => {
                text.push_str(digits);
                zeros(&mut text, power + 1 - digits.len() as i32);
            }
        }
        text
    }
}

/// A number of any size in two figures and a power of ten: `powers(1.52e9)` is `1.5·10⁹`; plain below 10 000.
pub fn powers(value: f64) -> String {
    if value.abs() < 1e4 || !value.is_finite() {
        return significant(value, 2);
    }
    let rounded = Rounded::to(value, 2);
    let power = rounded.power;
    let superscript = |digit: char| "⁰¹²³⁴⁵⁶⁷⁸⁹".chars().nth(digit.to_digit(10).unwrap_or(0) as usize);
    let raised: String = power.to_string().chars().filter_map(superscript).collect();
    match rounded.plain(power).as_str() {
        "1.0" => format!("10{raised}"),
        mantissa => format!("{}·10{raised}", mantissa.trim_end_matches(".0")),
    }
}

fn prefixed(value: f64, unit: &str) -> String {
    const PREFIX: [&str; 9] = ["p", "n", "µ", "m", "", "k", "M", "G", "T"];
    if value == 0.0 {
        return format!("0 {unit}");
    }
    let rounded = Rounded::to(value, 3);
    let step = rounded.power.div_euclid(3).clamp(-4, 4);
    let mut text = with(rounded.plain(step * 3), PREFIX[(step + 4) as usize]);
    text.push_str(unit);
    text
}

fn plain_zero(mut text: String) -> String {
    if text.starts_with('-') && text[1..].chars().all(|c| c == '0' || c == '.') {
        text.remove(0);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_somebody_wrote_has_no_zeros_he_did_not_write() {
        for (value, unit, shown) in [
            (50.0, "Hz", "50 Hz"),
            (0.32, "A", "320 mA"),
            (2.0, "A", "2 A"),
            (7.0, "W", "7 W"),
            (0.75e-6, "m²", "0.75 mm²"),
            (378.15, "°C", "105 °C"),
            (303.25, "°C", "30.1 °C"),
            (60.0, "s", "60 s"),
            (4800.0, "s", "80 min"),
            (18000.0, "s", "5 h"),
            (1.9996, "A", "2.00 A"),
            (5100.0, "Ω", "5.1 kΩ"),
            (21600.0, "C", "6 Ah"),
            (0.0, "V", "0 V"),
            (0.0, "K", "0 K"),
            (0.9, "", "0.9"),
            (0.12345, "", "0.123"),
            (std::f64::consts::FRAC_PI_4, "rad", "45°"),
        ] {
            assert_eq!(stated(value, unit), shown);
        }
    }

    #[test]
    fn a_rounded_figure_is_what_the_standard_library_prints_of_it() {
        for (value, figures) in
            [(0.99999, 3), (12345.0, 3), (999.6, 3), (0.000123456, 2), (-7.25, 1), (1e-300, 3), (9.995e9, 3), (5.0, 4)]
        {
            let rounded: f64 = format!("{value:.*e}", figures - 1).parse().unwrap();
            let size = format!("{rounded:e}").rsplit_once('e').unwrap().1.parse::<i32>().unwrap();
            let places = usize::try_from(figures as i32 - 1 - size).unwrap_or(0);
            assert_eq!(significant(value, figures), format!("{rounded:.places$}"));
        }
        // Many sizes, short decimals and halves among them: the quick way says what the library says.
        let mut seed = 1_u64;
        for n in 0..60_000_u32 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let whole = (seed >> 44) as f64;
            let value = match n % 3 {
                0 => whole / TENS[(seed % 23) as usize],
                1 => whole * 0.5 / TENS[(seed % 7) as usize],
                _ => f64::from_bits((seed >> 12) | ((0x3ff - 40 + seed % 80) << 52)),
            };
            for figures in 1..6 {
                if let Some(quick) = Rounded::quickly(value, figures) {
                    let exact = Rounded::exactly(value, figures);
                    assert_eq!((&quick.digits, quick.power), (&exact.digits, exact.power), "{value:e} to {figures}");
                }
                assert_eq!(fixed(value, figures), format!("{value:.figures$}"), "{value:e}");
                assert_eq!(fixed(-value, figures), plain_zero(format!("{:.figures$}", -value)), "{value:e}");
            }
        }
        assert_eq!(powers(1.52e9), "1.5·10⁹");
        assert_eq!(powers(1e12), "10¹²");
        assert_eq!(powers(-2e5), "-2·10⁵");
    }

    #[test]
    fn figures_look_as_a_maker_writes_them() {
        for (value, unit, shown) in [
            (0.32, "A", "320 mA"),
            (0.99999, "A", "1.00 A"),
            (5100.0, "Ω", "5.10 kΩ"),
            (2.2e-7, "F", "220 nF"),
            (0.0, "V", "0 V"),
            (1.2e-13, "", "0"),
            (-0.0123, "V", "-12.3 mV"),
            (0.008, "m", "8 mm"),
            (632e-9, "m", "632 nm"),
            (1e-17, "m", "0 mm"),
            (2700.0, "K", "2700 K"),
            (0.003175, "m", "3.175 mm"),
            (0.0015875, "m", "1.59 mm"),
            (1.8, "m", "1.8 m"),
            (0.75e-6, "m²", "0.750 mm²"),
            (1.6e-5, "m²/s", "16.0 mm²/s"),
            (303.15, "°C", "30.0 °C"),
            (62.0, "lm", "62.0 lm"),
            (230.0, "V", "230 V"),
            (f64::INFINITY, "A", "no limit"),
        ] {
            assert_eq!(engineering(value, unit), shown);
        }
        assert_eq!(percent(0.6634), "66.3 %");
        assert_eq!(percent(8.67e-16), "0 %");
        assert_eq!(percent(-3.77e-16), "0 %");
        assert_eq!(percent(f64::NAN), "unknown");
        assert_eq!(percent(f64::INFINITY), "no limit");
        assert_eq!(powers(f64::INFINITY), "no limit");
        assert_eq!(fixed(-0.04, 1), "0.0");
    }
}
