//! Preferred values and markings against stored tables: preferred*.csv, preferred.json and colours.csv.

use lampwright::physics::electrical::marking::{
    Bands, Colour, MarkingError, capacitance_code, colour_bands, resistance_code,
};
use lampwright::physics::electrical::preferred::{Series, gain_network};
use lampwright::quantity::{Farads, Ohms, PerKelvin};
use serde_json::Value;

use super::electrical::{CLOSED_FORM, close, number, rows};

fn tables() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/preferred.json")).expect("vectors")
}

const SERIES: [Series; 7] = [Series::E3, Series::E6, Series::E12, Series::E24, Series::E48, Series::E96, Series::E192];

fn series(row: &Value) -> Series {
    named(row["series"].as_str().expect("a series"))
}

fn named(name: &str) -> Series {
    SERIES.into_iter().find(|s| s.name() == name).expect("a known series")
}

/// The values of the decade from 1 to 10.
fn decade(series: Series) -> Vec<Ohms> {
    series.between(Ohms::si(1.0), Ohms::si(9.999))
}

#[test]
fn all_seven_series_equal_the_table() {
    let mut lines = include_str!("../reference/electrical/preferred_wide.csv").lines();
    let heads: Vec<&str> = lines.next().unwrap().split(',').collect();
    let mut columns: Vec<Vec<Ohms>> = vec![Vec::new(); heads.len()];
    for line in lines {
        for (cell, column) in line.split(',').zip(&mut columns) {
            if !cell.is_empty() {
                column.push(Ohms::si(cell.parse().unwrap()));
            }
        }
    }
    for (head, column) in heads.iter().zip(&columns) {
        assert_eq!(column.len(), named(head).count() as usize);
        assert_eq!(&decade(named(head)), column, "{head}");
    }
}

#[test]
fn the_long_table_agrees_and_counts_the_exceptions() {
    let lines = include_str!("../reference/electrical/preferred_long.csv").lines().skip(1);
    let (mut seen, mut exceptions) = (0, 0);
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        let (series, index) = (named(cells[0]), cells[1].parse::<usize>().unwrap());
        let value = Ohms::si(cells[2].parse().unwrap());
        assert_eq!(decade(series)[index], value, "{line}");
        assert_eq!(series.nearest(value), Some(value), "{line}");
        seen += 1;
        exceptions += i32::from(cells[4] == "1" && ["E24", "E192"].contains(&cells[0]));
    }
    assert_eq!((seen, exceptions), (381, 9), "3 + 6 + 12 + 24 + 48 + 96 + 192; eight in E24, one in E192");
}

#[test]
fn rounding_onto_a_series() {
    for row in rows(&tables(), "nearest") {
        let (series, wished) = (series(row), Ohms::si(number(row, "x")));
        let found = [series.at_most(wished), series.nearest(wished), series.at_least(wished)];
        let expected = ["down", "nearest", "up"].map(|key| Some(Ohms::si(number(row, key))));
        assert_eq!(found, expected, "{row}");
    }
}

#[test]
fn gain_networks() {
    for row in rows(&tables(), "gain") {
        let wished = number(row, "target");
        let network = gain_network(series(row), wished).unwrap();
        let best = &row["best"][0];
        assert_eq!(network.feedback, Ohms::si(number(best, "rf")), "{row}");
        assert_eq!(network.ground, Ohms::si(number(best, "rg")), "{row}");
        close("gain", network.gain, number(best, "gain"), CLOSED_FORM);
    }
}

#[test]
fn letter_codes() {
    for row in rows(&tables(), "rkm") {
        let value = number(row, "value");
        let code = match row["kind"].as_str().unwrap() {
            "R" => resistance_code(Ohms::si(value)),
            _ => capacitance_code(Farads::si(value)),
        };
        assert_eq!(code.as_deref(), Ok(row["code"].as_str().unwrap()));
    }
    // Four figures of E192 fit; more do not, nor do values beyond the letters.
    assert_eq!(resistance_code(Ohms::si(59_040.0)).as_deref(), Ok("59K04"));
    assert_eq!(capacitance_code(Farads::si(0.5e-12)).as_deref(), Ok("p5"));
    assert!(matches!(resistance_code(Ohms::si(5100.12)), Err(MarkingError::TooManyFigures { figures: 4, .. })));
    assert!(matches!(resistance_code(Ohms::si(1e15)), Err(MarkingError::OutOfRange { .. })));
    assert!(matches!(capacitance_code(Farads::si(1e-17)), Err(MarkingError::OutOfRange { .. })));
    assert_eq!(resistance_code(Ohms::si(0.0)), Err(MarkingError::NotPositive));
}

#[test]
fn colours_equal_the_table() {
    let lines = include_str!("../reference/electrical/colours.csv").lines().skip(1);
    let mut seen = 0;
    for cells in lines.map(|line| line.split(',').collect::<Vec<_>>()) {
        let cell = |index: usize| Some(cells[index]).filter(|text| !text.is_empty());
        let Some(colour) = Colour::ALL.into_iter().find(|c| c.word() == cells[0]) else {
            // The band that is not there: 20 %.
            assert_eq!(cells[0], "none");
            continue;
        };
        seen += 1;
        let exponent = colour.exponent().to_string();
        // A digit is painted in the colour of its power of ten.
        assert_eq!((colour.exponent() >= 0).then_some(exponent.as_str()), cell(2), "{}", cells[0]);
        assert_eq!(Some(exponent.as_str()), cell(3), "{}", cells[0]);
        let close_to = |found: Option<f64>, text: Option<&str>| match (found, text) {
            (Some(found), Some(text)) => (found / text.parse::<f64>().unwrap() - 1.0).abs() < 1e-12,
            (found, text) => found.is_none() && text.is_none(),
        };
        assert!(close_to(colour.tolerance().map(|t| t * 100.0), cell(4)), "{} tolerance", cells[0]);
        assert!(close_to(colour.coefficient().map(|k| k.value() * 1e6), cell(5)), "{} coefficient", cells[0]);
    }
    assert_eq!(seen, 13);
}

#[test]
fn bands_of_resistors() {
    for row in rows(&tables(), "bands") {
        let tolerance = number(row, "tol") / 100.0;
        let coefficient = row["tcr"].as_f64().map(|ppm| PerKelvin::si(ppm * 1e-6));
        let bands = Bands::usual(tolerance, coefficient);
        let found = colour_bands(Ohms::si(number(row, "ohm")), tolerance, coefficient, bands).unwrap();
        let words: Vec<&str> = found.into_iter().map(Colour::word).collect();
        let expected: Vec<&str> = rows(row, "bands").iter().map(|w| w.as_str().unwrap()).collect();
        assert_eq!(words, expected, "{row}");
    }
}

#[test]
fn values_without_bands_say_why() {
    let bands = |ohms, tolerance, count| colour_bands(Ohms::si(ohms), tolerance, None, count).unwrap_err();
    // 0.047 Ω with three digits would need a multiplier of 10⁻⁴.
    assert!(matches!(bands(0.047, 0.01, Bands::Five), MarkingError::OutOfRange { .. }));
    assert!(matches!(bands(2260.0, 0.05, Bands::Four), MarkingError::TooManyFigures { figures: 2, .. }));
    assert_eq!(bands(4700.0, 0.03, Bands::Four), MarkingError::NoTolerance(0.03));
    assert_eq!(bands(4700.0, 0.05, Bands::Three), MarkingError::NoTolerance(0.05));
    assert_eq!(bands(-1.0, 0.05, Bands::Four), MarkingError::NotPositive);
    let coefficient = PerKelvin::si(75e-6);
    let error = colour_bands(Ohms::si(1e4), 0.001, Some(coefficient), Bands::Six).unwrap_err();
    assert_eq!(error.to_string(), "75 ppm/K has no colour; use 1, 5, 10, 15, 20, 25, 50, 100 or 250 ppm/K");
    let error = bands(2260.0, 0.05, Bands::Four);
    assert_eq!(error.to_string(), "2.26 kΩ has more than 2 significant figures; round it to a preferred value");
}
