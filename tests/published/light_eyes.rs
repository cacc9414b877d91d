//! Flicker, dimming, cameras and blue light, against published limits and an independent script's closed forms.
//! Tolerances: 1e-7 (the vectors' digits), blue light 1e-5; the 0.0333 of one limit is rounded in print, 1.1e-3.

use lampwright::physics::electrical::dimming::{low_risk_modulation, luminance, no_effect_modulation};
use lampwright::physics::light::blue_light::{
    Glow, Group, JUDGED_AT, five_hundred_lux, screen, threshold_distance, threshold_illuminance,
};
use lampwright::physics::light::flicker::{
    Pulses, Threshold, Tone, bands, clean_for_camera, index_of_pulses, index_of_steps, percent_of_pulses,
    percent_of_steps, steps_of_pulses, stroboscopic, tones_of_pulses,
};
use lampwright::quantity::{CandelasPerSquareMetre, Hertz, Lumens, Metres, Seconds, WattsPerLumen};
use serde_json::Value;

use super::csv_rows::{close, rows};
use super::light_vectors::{list, near, number, vectors};

/// Limits of IEEE 1789-2015 by frequency.
#[test]
fn modulation_has_its_limits() {
    for row in list(&vectors("vectors_dim.json"), "ieee1789") {
        let f = Hertz::si(number(row, "f"));
        // A limit of 100 % is none.
        let found = |limit: Option<f64>| limit.unwrap_or(1.0).min(1.0) * 100.0;
        close(found(low_risk_modulation(f)), number(row, "low_risk_pct"), 1e-7, &row.to_string());
        close(found(no_effect_modulation(f)), number(row, "noel_pct"), 1.1e-3, &row.to_string());
    }
}

/// Percent flicker and flicker index, closed forms against 2e6 samples.
#[test]
fn pulses_have_their_flicker() {
    let stored = vectors("vectors_dim.json");
    let pulses = list(&stored, "flicker").iter().filter(|r| r["name"].as_str().unwrap().starts_with("pwm"));
    let mut seen = 0;
    for row in pulses {
        let (duty, floor) = (number(row, "D"), row["b"].as_f64().unwrap_or(0.0));
        close(percent_of_pulses(duty, floor) * 100.0, number(row, "percent_flicker"), 1e-7, &row.to_string());
        close(index_of_pulses(duty, floor), number(row, "flicker_index"), 1e-7, &row.to_string());
        // The same light as two channels: the floor on for good, the rest pulsed.
        let channel = |full: f64, duty: f64| Pulses { full: Lumens::si(full), duty, phase: 0.3 };
        let steps = steps_of_pulses(&[channel(floor, 1.0), channel(1.0 - floor, duty)]);
        close(index_of_steps(&steps), number(row, "flicker_index"), 1e-7, &row.to_string());
        near(percent_of_steps(&steps), percent_of_pulses(duty, floor), 1e-9, &row.to_string());
        seen += 1;
    }
    assert!(seen > 5);
}

fn tones(row: &Value) -> Option<Vec<Tone>> {
    let frequency = Hertz::si(number(row, "f"));
    match row["name"].as_str()? {
        "sine" => Some(vec![Tone { frequency, amplitude: number(row, "m") }]),
        "pwm" => {
            let full = Pulses { full: Lumens::si(100.0), duty: number(row, "D"), phase: 0.0 };
            Some(tones_of_pulses(&[full], frequency))
        }
        // A rectified sine has tones that no lamp of ours makes.
        "rectified_sine" => None,
        other => panic!("no light {other}"),
    }
}

/// Stroboscopic measure with both published fits of the threshold.
#[test]
fn pulses_have_their_stroboscopic_measure() {
    let stored = vectors("vectors_dim.json");
    for row in list(&stored, "svm") {
        let Some(tones) = tones(row) else { continue };
        near(stroboscopic(&tones, Threshold::First), number(row, "SVM_TN006"), 1e-7, &row.to_string());
        near(stroboscopic(&tones, Threshold::Second), number(row, "SVM_Perz2018"), 1e-7, &row.to_string());
    }
    for row in list(&stored, "svm_T") {
        close(Threshold::First.at(Hertz::si(number(row, "f"))), number(row, "T_TN006"), 1e-7, &row.to_string());
        close(Threshold::Second.at(Hertz::si(number(row, "f"))), number(row, "T_Perz2018"), 1e-7, &row.to_string());
    }
    for row in list(&vectors("vectors_extra.json"), "svm_allowed_sine_modulation_for_0p4") {
        let f = Hertz::si(number(row, "f"));
        for (threshold, key) in [(Threshold::First, "fit_a"), (Threshold::Second, "fit_b")] {
            let amplitude = number(row, key);
            let found = stroboscopic(&[Tone { frequency: f, amplitude }], threshold);
            // Full modulation may be too little to reach it.
            assert!(amplitude < 1.0 || found < 0.4, "{row}");
            near(found, 0.4, if amplitude < 1.0 { 1e-6 } else { 0.4 }, &row.to_string());
        }
    }
}

#[test]
fn staggered_pulses_shimmer_less() {
    for row in list(&vectors("vectors_dim.json"), "staggered") {
        let channels: Vec<Pulses> = list(row, "channels")
            .iter()
            .map(|c| {
                let at = |i: usize| c[i].as_f64().unwrap();
                Pulses { full: Lumens::si(at(0)), duty: at(1), phase: at(2) }
            })
            .collect();
        let tones = tones_of_pulses(&channels, Hertz::si(number(row, "f")));
        near(tones[0].amplitude, number(row, "C1"), 1e-6, &row.to_string());
        near(stroboscopic(&tones, Threshold::First), number(row, "SVM_TN006"), 1e-6, &row.to_string());
    }
}

/// Lightness of CIE 15.
#[test]
fn lightness_has_its_luminance() {
    for row in rows(include_str!("../reference/light/lightness.csv")) {
        near(luminance(row.number("Lstar")), row.number("Y"), 1e-8, &row.line());
    }
}

#[test]
fn cameras_see_what_an_exposure_leaves() {
    let sixtieth = Seconds::si(1.0 / 60.0);
    assert!((bands(clean_for_camera(sixtieth), 0.5, sixtieth) - 0.01).abs() < 1e-12);
}

/// Eleven sources screened after IEC 62471 by an independent script: radiance, fields, groups, times, distances.
#[test]
fn sources_are_screened_alike() {
    let stored = vectors("vectors_final.json");
    assert_eq!(list(&stored, "blue_vectors").len(), 11);
    for row in list(&stored, "blue_vectors") {
        let what = row["name"].as_str().unwrap();
        let glow = Glow {
            luminance: CandelasPerSquareMetre::si(number(row, "L_v")),
            diameter: Metres::si(number(row, "diam_mm") * 1e-3),
            blue: WattsPerLumen::si(number(row, "K_Bv_mW_lm") * 1e-3),
        };
        let found = screen(&glow, JUDGED_AT);
        close(found.radiance.value(), number(row, "L_B_true"), 1e-7, what);
        close(found.angle * 1e3, number(row, "alpha_mrad"), 1e-7, what);
        for (averaged, key) in found.averaged.iter().zip(["L_B_100mrad", "L_B_11mrad", "L_B_1p7mrad"]) {
            close(averaged.value(), number(row, key), 1e-7, what);
        }
        assert_eq!(found.group, group(row["group"].as_str().unwrap()), "{what}");
        assert_eq!(found.longest.is_some(), row["t_max_s"].is_number(), "{what}");
        if let (Some(found), Some(expected)) = (found.longest, row["t_max_s"].as_f64()) {
            close(found.value(), expected, 1e-7, what);
        }
        close(five_hundred_lux(&glow).value(), number(row, "d500_m"), 1e-3, what);
        let far = screen(&glow, five_hundred_lux(&glow));
        assert_eq!(far.group, group(row["group_500lx"].as_str().unwrap()), "{what} at 500 lx");
        close(threshold_illuminance(glow.blue).value(), number(row, "E_thr_lx_if_RG2"), 1e-7, what);
        if let Some(expected) = row["d_thr_m"].as_f64() {
            close(threshold_distance(&glow).value(), expected, 1e-4, what);
        }
    }
}

fn group(text: &str) -> Group {
    match text {
        "RG0" => Group::Exempt,
        "RG1" => Group::Low,
        "RG2" | "RG2+" => Group::Moderate,
        other => panic!("no group {other}"),
    }
}
