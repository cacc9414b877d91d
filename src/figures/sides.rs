//! Figures of advice, on the side that holds: what must be kept at least is rounded up, what may be taken at most down.
//! Turns a value into the nearest one beyond which its unit is printed.

/// The least figure as printed that is not below this value: what must be kept at least may not be printed too low.
pub fn shown_above(value: f64, unit: &str) -> f64 {
    on_grid(value, unit, |steps| libm::ceil(steps - GRID_SLACK * steps.abs().max(1.0)))
}

/// The greatest figure as printed that is not above this value: what may be taken at most may not be printed too high.
pub fn shown_below(value: f64, unit: &str) -> f64 {
    on_grid(value, unit, |steps| libm::floor(steps + GRID_SLACK * steps.abs().max(1.0)))
}

/// A figure that differs from a printed one by no more than this share is that one.
const GRID_SLACK: f64 = 1e-9;

fn on_grid(value: f64, unit: &str, round: impl Fn(f64) -> f64) -> f64 {
    let exact = unit == "m" && value.abs() < 1.0 && (value * 1e6 - libm::round(value * 1e6)).abs() < 1e-6;
    if !value.is_finite() || value == 0.0 || exact {
        return value;
    }
    let last = |value: f64, figures: i32| libm::exp10(libm::floor(libm::log10(value.abs())) - f64::from(figures - 1));
    let (zero, step) = match unit {
        "°C" => (273.15, 0.1),
        "K" if value.abs() >= 1000.0 => (0.0, 1.0),
        "K" => (0.0, if value.abs() < 10.0 { 0.01 } else { 0.1 }),
        "m" if value.abs() < 1e-6 => (0.0, 1e-10),
        "m" => (0.0, if value.abs() < 1.0 { 1e-5 } else { 1e-3 }),
        "m²" if value.abs() >= 1e-4 => (0.0, last(value, 4)),
        "rad" => (0.0, 0.01_f64.to_radians()),
        "C" if value.abs() >= 3.6 => (0.0, last(value / 3600.0, 3) * 3600.0),
        "s" if value.abs() >= 7200.0 => (0.0, last(value / 3600.0, 3) * 3600.0),
        "s" if value.abs() >= 120.0 => (0.0, last(value / 60.0, 3) * 60.0),
        _ => (0.0, last(value, 3)),
    };
    zero + round((value - zero) / step) * step
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::engineering;

    #[test]
    fn advice_is_rounded_to_the_side_that_holds() {
        for (value, unit, above, below) in [
            (2.537, "K/W", "2.54 K/W", "2.53 K/W"),
            (2.5301, "K/W", "2.54 K/W", "2.53 K/W"),
            (2.53, "K/W", "2.53 K/W", "2.53 K/W"),
            (0.1004e-3, "A", "101 µA", "100 µA"),
            (999.6, "W", "1.00 kW", "999 W"),
            (40.5, "V", "40.5 V", "40.5 V"),
            (-0.1234, "V", "-123 mV", "-124 mV"),
            (3.175e-3, "m", "3.175 mm", "3.175 mm"),
            (3.17512e-3, "m", "3.18 mm", "3.17 mm"),
            (300.17, "°C", "27.1 °C", "27.0 °C"),
            (9.9912, "K", "10.0 K", "9.99 K"),
            (1.23456e-3, "m²", "12.35 cm²", "12.34 cm²"),
            (7321.0, "s", "2.04 h", "2.03 h"),
            (0.0, "V", "0 V", "0 V"),
            (f64::INFINITY, "V", "no limit", "no limit"),
        ] {
            let shown = |value| engineering(value, unit).replace('−', "-");
            assert_eq!(shown(shown_above(value, unit)), above, "{value} {unit}");
            assert_eq!(shown(shown_below(value, unit)), below, "{value} {unit}");
        }
    }
}
