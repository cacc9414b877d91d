//! Colour against the CIE's own illuminants and tables, an open colour library, and stored vectors of light.
//! Tolerances: formulas and sums 2e-8 (the vectors' digits), colour temperature 2e-5, Duv 5e-7.

use lampwright::physics::light::chromaticity::Chromaticity;
use lampwright::physics::light::emission::Family;
use lampwright::physics::light::gamut::{dominant, greatest_efficacy};
use lampwright::physics::light::spectrum::Spectrum;
use lampwright::physics::light::temperature::{black_body, correlated, usual_duv, white};
use lampwright::quantity::{Kelvin, Metres, Temperature};

use super::csv_rows::{Row, close, rows};
use super::light_vectors::{list, near, nm, number, point, vectors};

/// One radiant watt from samples at 380, 385, ... 780 nm in any unit.
fn sampled(samples: &[f64]) -> Spectrum {
    assert_eq!(samples.len(), 81);
    let watts = 5.0 * samples.iter().sum::<f64>();
    Spectrum::of(|wavelength| samples[((wavelength - 380.0) / 5.0).round() as usize] / watts)
}

/// Digits that the vectors are stored with.
const DIGITS: f64 = 2e-8;

/// Tables of the CIE (15:2018 illuminants) through our sums, against the chromaticities the CIE prints (5e-5) and
/// efficacies and blue light from an independent script.
#[test]
fn illuminants_of_the_cie_have_their_printed_chromaticity() {
    let table = rows(include_str!("../reference/light/cie_illuminants_5nm.csv"));
    let stored = vectors("vectors_color.json");
    assert_eq!(stored["illuminants"].as_object().unwrap().len(), 12);
    for (name, row) in stored["illuminants"].as_object().unwrap() {
        let samples: Vec<f64> = table.iter().map(|r| r.number(name)).collect();
        let spectrum = sampled(&samples);
        let at = spectrum.tristimulus().chromaticity().unwrap();
        let printed = point(row, "published_xy");
        near(at.x, printed.x, 5e-5, name);
        near(at.y, printed.y, 5e-5, name);
        close(spectrum.efficacy().value(), number(row, "LER"), 1e-7, name);
        close(spectrum.blue_light().value() * 1e3, number(row, "K_Bv_mW_per_lm"), 1e-5, name);
        let found = correlated(at).unwrap();
        close(found.temperature.value(), number(row, "CCT_5nmlocus"), 2e-5, name);
        near(found.duv, number(row, "Duv_5nm"), 5e-7, name);
    }
}

/// 23 dice against an independent script; its 1 nm twins agree with an open colour library to 5e-9.
#[test]
fn dice_have_their_efficacy_colour_and_dominant_wavelength() {
    let stored = vectors("vectors_color.json");
    for row in list(&stored, "leds") {
        let what = format!("{}/{}", row["peak"], row["fwhm"]);
        let spectrum = Spectrum::die(nm(number(row, "peak")), nm(number(row, "fwhm")));
        let at = spectrum.tristimulus().chromaticity().unwrap();
        close(spectrum.efficacy().value(), number(row, "LER_5nm"), DIGITS, &what);
        near(at.x, point(row, "xy_5nm").x, DIGITS, &what);
        near(at.y, point(row, "xy_5nm").y, DIGITS, &what);
        let found = dominant(at).unwrap();
        near(found.wavelength.value() * 1e9, number(row, "dominant_E_5nm"), 1e-4, &what);
        near(found.purity, number(row, "purity"), 1e-5, &what);
        // The library gives whole nanometres; the 5 nm chords are up to 0.53 nm off.
        near(found.wavelength.value() * 1e9, number(row, "dominant_E_colour"), 1.05, &what);
        // The script sums from 300 nm, which counts for violet only.
        let tolerance = if number(row, "peak") < 420.0 { 1e-4 } else { 1e-5 };
        close(spectrum.blue_light().value() * 1e3, number(row, "K_Bv_mW_per_lm"), tolerance, &what);
    }
}

/// Dominant taken as peak gives too much: ratio of efficacies from an independent script.
#[test]
fn a_dominant_wavelength_is_no_peak() {
    for row in list(&vectors("vectors_extra.json"), "dominant_taken_as_peak") {
        let efficacy = |peak: f64| Spectrum::die(nm(peak), nm(number(row, "fwhm"))).efficacy();
        let ratio = efficacy(number(row, "declared")) / efficacy(number(row, "true_peak"));
        close(ratio, number(row, "ratio"), 1e-6, &row.to_string());
    }
}

#[test]
fn black_bodies_lie_on_their_locus() {
    let stored = vectors("vectors_color.json");
    for row in list(&stored, "planck_xy") {
        let at = black_body(Kelvin::si(number(row, "T"))).unwrap();
        let expected = point(row, "xy_5nm_380_780");
        near(at.x, expected.x, DIGITS, &row.to_string());
        near(at.y, expected.y, DIGITS, &row.to_string());
        // An open colour library sums by 1 nm: 1e-4 away at most.
        near(at.y, row["colour"][1].as_f64().unwrap(), 1e-4, &row.to_string());
    }
}

/// Twenty points against exact minimisation, and against Ohno's method in an open colour library (1 nm table).
#[test]
fn colour_temperatures_are_those_of_other_methods() {
    let stored = vectors("vectors_cct.json");
    for row in list(&stored, "vectors") {
        let found = correlated(point(row, "xy")).unwrap();
        close(found.temperature.value(), number(row, "CCT_exact5"), 2e-5, &row.to_string());
        near(found.duv, number(row, "Duv_exact5"), 5e-7, &row.to_string());
        close(found.temperature.value(), number(row, "CCT_Ohno_colour"), 1e-3, &row.to_string());
        near(found.duv, number(row, "Duv_Ohno_colour"), 3e-5, &row.to_string());
    }
    for row in list(&stored, "ansi") {
        near(usual_duv(Kelvin::si(number(row, "T"))), number(row, "Duv"), 5e-7, &row.to_string());
    }
}

#[test]
fn whites_by_temperature_have_their_chromaticity() {
    for row in list(&vectors("vectors_cct.json"), "cct_duv_to_xy") {
        let at = white(Kelvin::si(number(row, "CCT")), number(row, "Duv"));
        near(at.x, point(row, "xy_5nm").x, 1e-8, &row.to_string());
        near(at.y, point(row, "xy_5nm").y, 1e-8, &row.to_string());
    }
}

/// Phosphor whites against an independent script, and against the CIE's own LED spectra at their chromaticity.
#[test]
fn phosphor_whites_are_those_of_the_model_and_near_real_ones() {
    let stored = vectors("vectors_mix.json");
    for row in list(&stored["white_model"], "vectors") {
        let at = white(Kelvin::si(number(row, "CCT")), number(row, "Duv"));
        let spectrum = Spectrum::phosphor_white(at, nm(450.0)).unwrap();
        close(spectrum.efficacy().value(), number(row, "LER"), 1e-7, &row.to_string());
        close(spectrum.blue_light().value() * 1e3, number(row, "K_Bv_mW_lm"), 1e-5, &row.to_string());
    }
    let table = rows(include_str!("../reference/light/cie_illuminants_5nm.csv"));
    for name in ["LED_B1", "LED_B2", "LED_B3", "LED_B4", "LED_B5"] {
        let samples: Vec<f64> = table.iter().map(|r| r.number(name)).collect();
        let real = sampled(&samples);
        let model = Spectrum::phosphor_white(real.tristimulus().chromaticity().unwrap(), nm(450.0)).unwrap();
        close(model.efficacy().value(), real.efficacy().value(), 0.01, name);
        close(model.blue_light().value(), real.blue_light().value(), 0.025, name);
    }
    for row in list(&vectors("vectors_final.json"), "white_model_blue_peak") {
        let at = white(Kelvin::si(number(row, "CCT")), 0.0);
        let spectrum = Spectrum::phosphor_white(at, nm(number(row, "blue_peak"))).unwrap();
        close(spectrum.efficacy().value(), number(row, "LER"), 1e-7, &row.to_string());
        close(spectrum.blue_light().value() * 1e3, number(row, "K_Bv_mW_lm"), 1e-5, &row.to_string());
    }
}

/// The model stops where an independent scan by 50 K says.
#[test]
fn phosphor_whites_end_where_a_band_would_be_negative() {
    for row in list(&vectors("vectors_final.json"), "white_model_valid_CCT") {
        let made =
            |kelvin: f64| Spectrum::phosphor_white(white(Kelvin::si(kelvin), number(row, "Duv")), nm(450.0)).is_some();
        let least = number(row, "CCT_min");
        assert!(made(least) && !made(least - 50.0), "{row}");
        assert!(made(number(row, "CCT_max")), "{row}");
    }
}

/// The most efficient radiation of a colour: enumeration there, and a linear programme of a public solver.
#[test]
fn no_radiation_of_a_colour_is_more_efficient() {
    for row in list(&vectors("vectors_extra.json"), "LER_max") {
        let found = greatest_efficacy(point(row, "xy")).unwrap();
        close(found.value(), number(row, "LER_max"), 1e-6, &row.to_string());
    }
    assert_eq!(greatest_efficacy(Chromaticity { x: 0.1, y: 0.9 }), None);
}

/// Lumens of a watt as a peak wanders with heat, against an independent script.
#[test]
fn peaks_wander_with_heat() {
    let stored = vectors("vectors_dim.json");
    for row in list(&stored, "wavelength_shift") {
        let cold = nm(number(row, "peak"));
        let widths = [(632.0, 18.0), (592.0, 16.0), (520.0, 33.0), (455.0, 20.0)];
        let (_, width) = widths.into_iter().find(|(peak, _)| *peak == number(row, "peak")).unwrap();
        let c = Temperature::from_celsius;
        let hot = Family::of_peak(cold).peak_at(cold, c(25.0 + number(row, "dT")), c(25.0));
        let efficacy = |peak: Metres| Spectrum::die(peak, nm(width)).efficacy();
        close(efficacy(hot) / efficacy(cold), number(row, "LER_ratio"), 1e-6, &row.to_string());
    }
}

/// The compiled tables at 5 nm, line by line: the CIE's own at 1 nm to the six digits compiled, and the weight of blue
/// light; and the locus that the observer makes.
#[test]
fn the_compiled_observer_is_the_one_of_the_cie() {
    let fine = rows(include_str!("../reference/light/cmf_1931_2deg_1nm_360_830.csv"));
    let weights = rows(include_str!("../reference/light/blue_light_hazard.csv"));
    for i in 0..81 {
        let mut line = [0.0; 81];
        line[i] = 1.0;
        let spectrum = sampled(&line);
        let (sums, nanometres) = (spectrum.tristimulus(), 380 + 5 * i);
        let at = |table: &[Row], column: &str| {
            table.iter().find(|r| r.count("wavelength_nm") == nanometres).map(|r| r.number(column))
        };
        for (found, column) in [(sums.x, "xbar"), (sums.y, "ybar_V"), (sums.z, "zbar")] {
            near(found.value() / 683.0, at(&fine, column).unwrap(), 6e-7, &format!("{column} at {nanometres} nm"));
        }
        let weight = spectrum.blue_light().value() * sums.y.value();
        near(weight, at(&weights, "B").unwrap_or(0.0), 1e-12, &format!("weight at {nanometres} nm"));
    }
    let locus = lampwright::physics::light::gamut::spectral_locus();
    assert_eq!(locus.len(), 65);
    for (i, at) in locus.iter().enumerate() {
        let row = fine.iter().find(|r| r.count("wavelength_nm") == 380 + 5 * i).unwrap();
        let [x, y, z] = ["xbar", "ybar_V", "zbar"].map(|c| row.number(c));
        near(at.x, x / (x + y + z), 5e-5, &row.line());
        near(at.y, y / (x + y + z), 5e-5, &row.line());
    }
}
