//! Units there and back, and figures as printed read back by the language.

use lampwright::figures::engineering;
use lampwright::language::units::{spelled, unit};

use super::Random;

const UNITS: [&str; 26] = [
    "mA", "kV", "Ω", "mΩ", "pF", "µH", "W", "VA", "Wh", "mAh", "kHz", "min", "h", "mm", "in", "mil", "ft", "g", "kN",
    "mNm", "MPa", "deg", "lm", "cd", "%", "ppm",
];

#[test]
fn a_unit_there_and_back_is_the_number() {
    let mut random = Random(21);
    for name in UNITS {
        let known = unit(name).unwrap_or_else(|| panic!("no unit {name}"));
        let one = known.si(1.0);
        for _ in 0..200 {
            let number = random.between(-1e4, 1e4);
            let back = known.si(number) / one;
            assert!((back / number - 1.0).abs() < 4.0 * f64::EPSILON, "{number} {name} came back as {back}");
        }
        // Its one spelling means the same, and is its own spelling.
        let once = spelled(name).unwrap_or_else(|| panic!("{name} has no spelling"));
        assert_eq!(unit(&once).map(|u| u.scale), Some(known.scale), "{name} is spelled {once}");
        assert_eq!(spelled(&once), Some(once));
    }
}

#[test]
fn what_is_printed_reads_back_to_three_figures() {
    let mut random = Random(22);
    for _ in 0..4000 {
        let value = libm::exp10(random.between(-11.5, 8.5)) * if random.below(2) == 0 { 1.0 } else { -1.0 };
        let symbol = ["A", "V", "Ω", "F", "Hz", "W"][random.below(6)];
        let shown = engineering(value, symbol);
        let (number, name) = shown.split_once(' ').unwrap_or_else(|| panic!("{value} is shown as {shown}"));
        let number: f64 = number.replace('\u{2212}', "-").parse().unwrap_or_else(|_| panic!("{shown}"));
        let read = unit(name).unwrap_or_else(|| panic!("{shown}: {name} is no unit")).si(number);
        assert!((read / value - 1.0).abs() < 5.1e-3, "{value} {symbol} is shown as {shown}");
    }
}
