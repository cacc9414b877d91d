//! Spaces that must not break: between a number and its unit, and between a sign of comparison and its number.
//! They become no-break spaces in the blocks, so that every renderer keeps them.

/// Units that stay on the line of the number before them.
const UNITS: &[&str] = &[
    "V",
    "mV",
    "kV",
    "A",
    "mA",
    "µA",
    "W",
    "mW",
    "kW",
    "Ω",
    "kΩ",
    "MΩ",
    "mΩ",
    "F",
    "µF",
    "nF",
    "pF",
    "H",
    "mH",
    "µH",
    "Hz",
    "kHz",
    "MHz",
    "s",
    "ms",
    "µs",
    "ns",
    "min",
    "h",
    "mm",
    "cm",
    "m",
    "µm",
    "nm",
    "mm²",
    "cm²",
    "m²",
    "cm³",
    "kg",
    "g",
    "K",
    "°C",
    "°",
    "%",
    "K/W",
    "W/K",
    "lm",
    "lx",
    "cd",
    "lm/W",
    "N",
    "N·m",
    "J",
    "AWG",
    "ppm/K",
    "Ω/km",
    "VA",
    "bit",
    "bits",
    "mV/K",
    "A²s",
    "W/(m·K)",
    "W/(m²·K)",
    "kg/m³",
];

/// Signs that lean on the number after them.
const SIGNS: &str = "±≤≥≈<>=~−×≠";

/// The text with those spaces made unbreakable.
pub(super) fn glued(text: &str) -> String {
    let mut found = String::with_capacity(text.len());
    let mut before = "";
    for (index, word) in text.split(' ').enumerate() {
        if index > 0 {
            found.push(if belong_together(before, word) { '\u{A0}' } else { ' ' });
        }
        found.push_str(word);
        before = word;
    }
    found
}

fn belong_together(before: &str, word: &str) -> bool {
    let is_number = |text: &str| text.ends_with(|c: char| c.is_ascii_digit());
    let sign_before = || !before.is_empty() && before.chars().all(|c| SIGNS.contains(c));
    (is_number(before) && is_unit(word)) || (word.starts_with(|c: char| c.is_ascii_digit()) && sign_before())
}

fn is_unit(word: &str) -> bool {
    let bare = word.trim_end_matches([',', ';', '.', ':', ')']).replace('\u{3BC}', "µ").replace('\u{2126}', "Ω");
    UNITS.contains(&bare.as_str())
}

#[cfg(test)]
mod tests {
    use super::glued;

    #[test]
    fn numbers_keep_their_units() {
        let cases = [
            ("take 4.7 µF now", "take 4.7\u{A0}µF now"),
            ("4.7 \u{3BC}F.", "4.7\u{A0}\u{3BC}F."),
            ("≤ 2.2 kΩ, then", "≤\u{A0}2.2\u{A0}kΩ, then"),
            ("10 % of 3 steps", "10\u{A0}% of 3 steps"),
            ("A m in words", "A m in words"),
            ("(at 105 °C)", "(at 105\u{A0}°C)"),
            ("", ""),
        ];
        for (text, expected) in cases {
            assert_eq!(glued(text), expected);
        }
    }
}
