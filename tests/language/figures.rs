//! Units, letter codes and the arithmetic of spreads.

use super::compile;
use lampwright::language::codes::code;
use lampwright::language::document::{Spread, Value};
use lampwright::language::units::{spelled, unit};
use lampwright::schema::Dimension as D;
use lampwright::schema::dimension::{ALL, powers, units};

/// Unit, dimension, factor, canonical spelling. Prefixes and derived units: SI Brochure, 9th edition, tables 4, 5, 7
/// and 8; inch: 25.4 mm (international yard and pound agreement, 1959).
const UNITS: &[(&str, D, f64, &str)] = &[
    ("A", D::Current, 1.0, "A"),
    ("mA", D::Current, 1e-3, "mA"),
    ("uA", D::Current, 1e-6, "µA"),
    ("\u{3BC}A", D::Current, 1e-6, "\u{B5}A"),
    ("kV", D::Voltage, 1e3, "kV"),
    ("\u{2126}", D::Resistance, 1.0, "\u{3A9}"),
    ("kohm", D::Resistance, 1e3, "kΩ"),
    ("MΩ", D::Resistance, 1e6, "MΩ"),
    ("pF", D::Capacitance, 1e-12, "pF"),
    ("µH", D::Inductance, 1e-6, "µH"),
    ("W", D::Power, 1.0, "W"),
    ("VA", D::ApparentPower, 1.0, "VA"),
    ("J", D::Energy, 1.0, "J"),
    ("mAh", D::Charge, 3.6, "mAh"),
    ("As", D::Charge, 1.0, "A·s"),
    ("A·s", D::Charge, 1.0, "A·s"),
    ("J/As", D::Voltage, 1.0, "J/(A·s)"),
    ("A²·s", D::JouleIntegral, 1.0, "A²·s"),
    ("A2s", D::JouleIntegral, 1.0, "A²·s"),
    ("A^2s", D::JouleIntegral, 1.0, "A²·s"),
    ("A²*s", D::JouleIntegral, 1.0, "A²·s"),
    ("mV/K", D::VoltagePerTemperature, 1e-3, "mV/K"),
    ("V/µs", D::SlewRate, 1e6, "V/µs"),
    ("kHz", D::Frequency, 1e3, "kHz"),
    ("1/s", D::Frequency, 1.0, "1/s"),
    ("s^-1", D::Frequency, 1.0, "s⁻¹"),
    ("min", D::Time, 60.0, "min"),
    ("h", D::Time, 3600.0, "h"),
    ("ms", D::Time, 1e-3, "ms"),
    ("mm", D::Length, 1e-3, "mm"),
    ("in", D::Length, 25.4e-3, "in"),
    ("mil", D::Length, 25.4e-6, "mil"),
    ("ft", D::Length, 0.3048, "ft"),
    ("mm2", D::Area, 1e-6, "mm²"),
    ("mm²", D::Area, 1e-6, "mm²"),
    ("cm^2", D::Area, 1e-4, "cm²"),
    ("in²", D::Area, 25.4e-3 * 25.4e-3, "in²"),
    ("g", D::Mass, 1e-3, "g"),
    ("kg", D::Mass, 1.0, "kg"),
    ("kg/m³", D::Density, 1.0, "kg/m³"),
    ("g/cm3", D::Density, 1e3, "g/cm³"),
    ("N", D::Force, 1.0, "N"),
    ("N·m", D::Torque, 1.0, "N·m"),
    ("Nm", D::Torque, 1.0, "N·m"),
    ("MPa", D::Pressure, 1e6, "MPa"),
    ("GPa", D::Pressure, 1e9, "GPa"),
    ("N/mm²", D::Pressure, 1e6, "N/mm²"),
    ("deg", D::Angle, std::f64::consts::PI / 180.0, "°"),
    ("°", D::Angle, std::f64::consts::PI / 180.0, "°"),
    ("K", D::TemperatureDifference, 1.0, "K"),
    ("ppm/K", D::PerTemperature, 1e-6, "ppm/K"),
    ("%/K", D::PerTemperature, 1e-2, "%/K"),
    ("1/K", D::PerTemperature, 1.0, "1/K"),
    ("K/W", D::ThermalResistance, 1.0, "K/W"),
    ("mW/K", D::ThermalConductance, 1e-3, "mW/K"),
    ("W/(m·K)", D::ThermalConductivity, 1.0, "W/(m·K)"),
    ("W/(m K)", D::ThermalConductivity, 1.0, "W/(m·K)"),
    ("W/(m²·K)", D::HeatTransfer, 1.0, "W/(m²·K)"),
    ("W/(m2 K)", D::HeatTransfer, 1.0, "W/(m²·K)"),
    ("lm", D::LuminousFlux, 1.0, "lm"),
    ("cd", D::LuminousIntensity, 1.0, "cd"),
    ("mcd", D::LuminousIntensity, 1e-3, "mcd"),
    ("lx", D::Illuminance, 1.0, "lx"),
    ("lm/m²", D::Illuminance, 1.0, "lm/m²"),
    ("lm/W", D::Efficacy, 1.0, "lm/W"),
    ("%", D::Number, 0.01, "%"),
    ("ppm", D::Number, 1e-6, "ppm"),
];

#[test]
fn units_have_dimension_factor_and_spelling() {
    for (text, dimension, factor, spelling) in UNITS {
        let unit = unit(text).unwrap_or_else(|| panic!("{text}"));
        assert_eq!(unit.powers, powers(*dimension), "{text}");
        assert!((unit.si(1.0) / factor - 1.0).abs() < 1e-12, "{text}: {}", unit.si(1.0));
        assert_eq!(spelled(text).as_deref(), Some(*spelling));
        assert_eq!(spelled(spelling).as_deref(), Some(*spelling), "a spelling is its own");
    }
    for text in [
        "", "x", "mmm", "W/m·K", "W/m/K", "kmin", "mm4", "mm^", "A//s", "A/", "/s", "µ", "m m)", "K1", "12", "Nm2",
        "mAs²", "1/Nm^-1",
    ] {
        assert_eq!(unit(text), None, "{text}");
    }
}

#[test]
fn every_unit_that_is_offered_is_read() {
    for dimension in ALL {
        assert!(!units(*dimension).is_empty());
        for text in units(*dimension) {
            assert_eq!(unit(text).unwrap_or_else(|| panic!("{text}")).powers, powers(*dimension), "{text}");
            assert_eq!(spelled(text).as_deref(), Some(*text));
        }
    }
}

#[test]
fn temperatures_and_wire_gauges() {
    assert_eq!(unit("°C").expect("°C").si(25.0), 298.15);
    assert_eq!(unit("degC").expect("degC").si(-40.0), 233.14999999999998);
    // AWG areas in mm² as printed in common wire tables (ASTM B258), three figures.
    for (gauge, area) in [(10.0, 5.26), (14.0, 2.08), (18.0, 0.823), (22.0, 0.326), (28.0, 0.0810)] {
        let si = unit("AWG").expect("AWG").si(gauge);
        assert!((si * 1e6 / area - 1.0).abs() < 2e-3, "AWG {gauge}: {si}");
    }
}

#[test]
fn letter_codes() {
    let rows = include_str!("../reference/language/iec60062.csv").lines().filter(|l| !l.starts_with('#'));
    let mut count = 0;
    for row in rows {
        let fields: Vec<&str> = row.split(',').collect();
        let dimension = if fields[0] == "R" { D::Resistance } else { D::Capacitance };
        let expected: f64 = fields[1].parse().expect("a number");
        let value = code(fields[2], dimension).unwrap_or_else(|| panic!("{row}"));
        assert!((value / expected - 1.0).abs() < 1e-12, "{row}: {value}");
        count += 1;
    }
    assert_eq!(count, 17);
    assert_eq!(code("22m", D::Inductance), Some(0.022));
    for (text, dimension) in [
        ("5K1", D::Capacitance),
        ("5K1K", D::Resistance),
        ("K", D::Resistance),
        ("51", D::Resistance),
        ("5K1", D::Length),
    ] {
        assert_eq!(code(text, dimension), None, "{text}");
    }
}

/// What `value` of a channel's property `name` comes to.
fn spread(name: &str, value: &str) -> Spread {
    let text = format!(
        "language 1\nlet wide = 2 .. 4 V\nlet r = 4R7\nemitter {{ distance 3 mm }}\nlamp {{ room 20 °C .. 40 °C }}\n\
         driver {{ channel a {{ current 1 .. 2 A; {name} {value} }} }}\n"
    )
    .replace(if name == "current" { "current 1 .. 2 A; " } else { "\0" }, "");
    let (document, diags, _) = compile(&text, &[], None);
    assert!(diags.iter().all(|d| d.code == "spec/implausible"), "{value}: {diags:?}");
    let document = document.expect("a document");
    let entry = document.entries().find(|e| e.path == format!("driver.a.{name}")).expect("the property");
    match entry.value {
        Value::Quantity(spread) => spread,
        ref other => panic!("{other:?}"),
    }
}

#[test]
fn expressions_carry_the_spread() {
    // Property, value, low, nominal, high; worked out by hand.
    let table = [
        ("current", "320 mA", 0.32, 0.32, 0.32),
        ("current", "1 .. 2 A", 1.0, 1.5, 2.0),
        ("current", "1 .. 1.2 .. 2 A", 1.0, 1.2, 2.0),
        ("current", "1 A ± 10 %", 0.9, 1.0, 1.1),
        ("current", "1 A +/- 0.2 A", 0.8, 1.0, 1.2),
        ("current", "1 ± 0.2 A", 0.8, 1.0, 1.2),
        ("current", "1/4 A", 0.25, 0.25, 0.25),
        ("sense", "5K1", 5100.0, 5100.0, 5100.0),
        ("sense", "R47", 0.47, 0.47, 0.47),
        ("sense", "10K", 1e4, 1e4, 1e4),
        ("sense", "100R ± 1 %", 99.0, 100.0, 101.0),
        ("sense", "r * 2", 9.4, 9.4, 9.4),
        ("sense", "wide / current", 1.0, 2.0, 4.0),
        ("filter", "220n", 220e-9, 220e-9, 220e-9),
        ("filter", "2u2", 2.2e-6, 2.2e-6, 2.2e-6),
        ("choke", "10m", 0.01, 0.01, 0.01),
        ("loss", "wide * current", 2.0, 4.5, 8.0),
        ("loss", "2 * (3 W - 1 W) - 1 W", 3.0, 3.0, 3.0),
        ("loss", "8 W / 2 / 2", 2.0, 2.0, 2.0),
        ("loss", "min(3 W, 2 W, 4 W)", 2.0, 2.0, 2.0),
        ("loss", "max(3 W, 2 W)", 3.0, 3.0, 3.0),
        ("loss", "-(-3 W)", 3.0, 3.0, 3.0),
        ("loss", "sqrt(9 W * 4 W)", 6.0, 6.0, 6.0),
        ("share", "35 %", 0.35, 0.35, 0.35),
        ("share", "10 .. 90 %", 0.1, 0.5, 0.9),
        ("share", "3 mm / 4 mm", 0.75, 0.75, 0.75),
        ("limit", "60 °C", 333.15, 333.15, 333.15),
        ("limit", "lamp.room + 20 K", 313.15, 323.15, 333.15),
        ("limit", "-5 °C ± 2 K", 266.15, 268.15, 270.15),
        ("rise", "60 °C - lamp.room", 20.0, 30.0, 40.0),
    ];
    for (name, value, low, nominal, high) in table {
        let found = spread(name, value);
        for (is, should) in [(found.low, low), (found.nominal, nominal), (found.high, high)] {
            assert!((is / should - 1.0).abs() < 1e-9, "{name} {value}: {found:?}");
        }
    }
    assert!(!spread("current", "1 .. 2 A").typical);
    assert!(spread("current", "1 .. 1.2 .. 2 A").typical);
}

/// `k1` is 100 Ω and `n1` 0.1 nF to one who has given these names to nothing.
#[test]
fn a_name_goes_before_a_letter_code() {
    let text = "language 1\nlet k1 = 3\nlet n1 = 2 nF\nlet double = k1 * 2\nemitter { distance 3 mm }\n\
                driver { channel a { current 1 A; sense k1 * 2 Ω; filter n1; choke n2 } }\n";
    let (document, diags, _) = compile(text, &[], None);
    let document = document.unwrap_or_else(|| panic!("{diags:?}"));
    let nominal = |path: &str| match document.entries().find(|e| e.path == path).expect(path).value {
        Value::Quantity(spread) => spread.nominal,
        ref other => panic!("{other:?}"),
    };
    assert_eq!(document.lets[2].value.nominal, 6.0);
    for (path, is) in [("driver.a.sense", 6.0), ("driver.a.filter", 2e-9), ("driver.a.choke", 0.2e-9)] {
        assert!((nominal(path) / is - 1.0).abs() < 1e-12, "{path}: {}", nominal(path));
    }
}

#[test]
fn unknown_goes_through() {
    let text = "language 1\nemitter { distance unknown; pad unknown }\ndiffuser { diameter 2 * emitter.distance }\n";
    let (document, diags, _) = compile(text, &[], None);
    assert!(diags.is_empty(), "{diags:?}");
    let document = document.expect("a document");
    for path in ["emitter.distance", "emitter.gap", "emitter.pad", "diffuser.diameter"] {
        assert_eq!(document.entries().find(|e| e.path == path).expect(path).value, Value::Unknown, "{path}");
    }
}
