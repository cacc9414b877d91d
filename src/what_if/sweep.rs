//! A sweep: `200 mA..500 mA/7` to its values, and a column of figures to a small plot in text.

use std::fmt::Write as _;

use crate::figures::trimmed;

use super::Refused;

/// Fewest and most steps of a sweep (our limit).
const STEPS: (usize, usize) = (2, 200);
/// Columns of the plot.
const PLOT: usize = 48;

/// The values of a sweep in the language's words; nothing where `text` is a plain value.
///
/// # Errors
/// Ends that are not a number with one unit; too few or too many steps.
pub(crate) fn values(text: &str) -> Result<Option<Vec<String>>, Refused> {
    let Some((range, steps)) = text.rsplit_once('/').filter(|(range, _)| range.contains("..")) else { return Ok(None) };
    let Ok(steps) = steps.trim().parse::<usize>() else { return Ok(None) };
    if !(STEPS.0..=STEPS.1).contains(&steps) {
        return Err(Refused {
            message: format!("a sweep has {} to {} steps, not {steps}", STEPS.0, STEPS.1),
            help: "write `driver.red.current=200mA..500mA/7`".into(),
        });
    }
    let Some((low, high)) = range.split_once("..") else { return Ok(None) };
    let ((low, low_unit), (high, unit)) = (amount(low)?, amount(high)?);
    if !low_unit.is_empty() && low_unit != unit {
        return Err(Refused {
            message: format!("the ends of the sweep have different units, `{low_unit}` and `{unit}`"),
            help: "write both in one unit".into(),
        });
    }
    let value = |at: usize| low + (high - low) * at as f64 / (steps - 1) as f64;
    let places = places(low.abs().max(high.abs()));
    Ok(Some((0..steps).map(|at| format!("{} {unit}", trimmed(value(at), places)).trim().to_owned()).collect()))
}

/// Decimals that leave six digits of a number or more, so that a sweep in nanofarads is one when it is written in farads.
fn places(largest: f64) -> usize {
    let first_digit = libm::log10(largest).floor();
    if first_digit < 0.0 && first_digit.is_finite() { 6 + (-first_digit) as usize } else { 6 }
}

/// A number and its unit: the longest beginning that is a number, and the rest.
fn amount(text: &str) -> Result<(f64, &str), Refused> {
    let text = text.trim();
    let numeric = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e' | 'E');
    let most = text.find(|c| !numeric(c)).unwrap_or(text.len());
    let number = |end: usize| text.get(..end).and_then(|number| number.parse::<f64>().ok()).map(|number| (number, end));
    let (number, end) = (1..=most).rev().find_map(number).ok_or_else(|| Refused {
        message: format!("`{text}` is no end of a sweep"),
        help: "write a number with its unit: `200mA..500mA/7`".into(),
    })?;
    Ok((number, text.get(end..).unwrap_or_default().trim()))
}

/// One row a value: a mark between the least and the most, and the line of zero where it lies between them.
pub(crate) fn plot(rows: &[(String, Option<f64>, String)]) -> String {
    let known: Vec<f64> = rows.iter().filter_map(|(_, v, _)| *v).filter(|v| v.is_finite()).collect();
    let low = known.iter().copied().fold(f64::INFINITY, f64::min);
    let high = known.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let column = |v: f64| {
        let share = if high > low { (v - low) / (high - low) } else { 0.5 };
        (share * (PLOT - 1) as f64).round() as usize
    };
    let zero = (low < 0.0 && high > 0.0).then(|| column(0.0));
    let width = rows.iter().map(|(name, ..)| name.chars().count()).max().unwrap_or(0);
    let mut out = String::new();
    for (name, value, shown) in rows {
        let at = value.filter(|v| v.is_finite()).map(column);
        let line: String = (0..PLOT)
            .map(|c| match (Some(c) == at, Some(c) == zero) {
                (true, _) => '*',
                (_, true) => ':',
                _ => ' ',
            })
            .collect();
        let gap = " ".repeat(width - name.chars().count());
        let _ = writeln!(out, "  {gap}{name} |{line}| {shown}");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sweeps_are_told_from_values() {
        let some = |v: &[&str]| Ok(Some(v.iter().map(|s| (*s).to_owned()).collect()));
        for (text, expected) in [
            ("200 mA..500 mA/4", some(&["200 mA", "300 mA", "400 mA", "500 mA"])),
            ("1..2 K/W/3", some(&["1 K/W", "1.5 K/W", "2 K/W"])),
            ("3..1/3", some(&["3", "2", "1"])),
            ("1e-9..3e-9 F/3", some(&["0.000000001 F", "0.000000002 F", "0.000000003 F"])),
            ("1e+1 V..2e1 V/2", some(&["10 V", "20 V"])),
            ("-2 °C..0 °C/2", some(&["-2 °C", "0 °C"])),
            ("2 V .. 3 V", Ok(None)),
            ("1/4 in", Ok(None)),
            ("350 mA", Ok(None)),
        ] {
            assert_eq!(values(text), expected, "{text}");
        }
        for wrong in ["1 A..2 V/3", "a..b/3", "1..2/1", "1..2/900"] {
            assert!(values(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_plot_marks_zero_and_each_value() {
        let row = |n: &str, v: f64| (n.to_owned(), Some(v), format!("{v}"));
        let text = plot(&[row("1", -1.0), row("20", 0.5), row("3", 1.0), ("4".into(), None, "–".into())]);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 4);
        assert!(lines[0].starts_with("   1 |*") && lines[2].contains("*| 1"), "{text}");
        assert_eq!(lines[3].matches('*').count(), 0);
        let zero = lines[0].find(':').expect("the line of zero");
        assert!(lines.iter().all(|l| l.chars().nth(zero) == Some(':')), "{text}");
    }
}
