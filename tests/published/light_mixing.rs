//! Mixing against a public solver of linear programmes (scipy, HiGHS), gamuts, and lamps that warm up.
//! Tolerances: objective 1e-6, levels 1e-6, chromaticity 1e-8.

use lampwright::physics::light::blue_light::of_mix;
use lampwright::physics::light::chromaticity::Chromaticity;
use lampwright::physics::light::emission::{Family, left_when_warm};
use lampwright::physics::light::gamut::Gamut;
use lampwright::physics::light::mixing::{Amount, Channel, Mix, Unmixed, levels, light};
use lampwright::physics::light::spectrum::Spectrum;
use lampwright::physics::light::temperature::{correlated, white};
use lampwright::quantity::{Kelvin, Lumens, Temperature, Watts};
use serde_json::Value;

use super::csv_rows::close;
use super::light_vectors::{channels, list, near, nm, number, numbers, point, spectrum_of, vectors};

fn solved(row: &Value, channels: &[Channel], cap: &str, flux: &str) -> Result<Mix, Unmixed> {
    let amount = row[flux].as_f64().map_or(Amount::Most, |f| Amount::Flux(Lumens::si(f)));
    levels(channels, point(row, "xy"), amount, row[cap].as_f64().map(Watts::si))
}

#[test]
fn levels_are_those_of_a_public_solver() {
    let stored = vectors("vectors_mix.json");
    let mut refused = 0;
    for row in list(&stored, "mix_vectors") {
        let set = channels(row);
        let found = solved(row, &set, "power_cap_W", "flux_lm");
        if row["status"] != "ok" {
            assert!(found.is_err(), "{row}");
            refused += 1;
            continue;
        }
        let found = found.unwrap();
        close(found.flux.value(), number(row, "scipy_flux"), 1e-6, &row.to_string());
        close(found.power.value(), number(row, "scipy_power"), 1e-6, &row.to_string());
        for (level, expected) in found.levels.iter().zip(numbers(row, "drive")) {
            near(*level, expected, 1e-6, &row.to_string());
        }
        let at = light(&set, &found.levels).chromaticity().unwrap();
        near(at.x, point(row, "xy").x, 1e-8, &row.to_string());
        near(at.y, point(row, "xy").y, 1e-8, &row.to_string());
    }
    assert_eq!(refused, 3);
}

/// The six channels of the vectors against tristimulus values of an independent script.
#[test]
fn test_channels_are_those_of_the_vectors() {
    let stored = vectors("vectors_mix.json");
    for (key, row) in stored["channels"].as_object().unwrap() {
        let (spectrum, radiant, electrical) = spectrum_of(key.chars().next().unwrap());
        let found = spectrum.tristimulus().times(radiant);
        close(found.x.value(), number(row, "X"), 1e-7, key);
        close(found.y.value(), number(row, "Y"), 1e-7, key);
        close(found.z.value(), number(row, "Z"), 1e-7, key);
        close(electrical, number(row, "P_W"), 1e-12, key);
    }
}

#[test]
fn pairs_of_whites_are_solved_on_their_segment() {
    for row in list(&vectors("vectors_extra.json"), "two_channel") {
        let found = solved(row, &channels(row), "power_cap", "flux").unwrap();
        for (level, expected) in found.levels.iter().zip(numbers(row, "drive")) {
            near(*level, expected, 1e-6, &row.to_string());
        }
        close(found.flux.value(), number(row, "flux_out"), 1e-6, &row.to_string());
        close(found.power.value(), number(row, "power"), 1e-6, &row.to_string());
    }
}

#[test]
fn edges_of_the_gamut_are_solved_without_pulling_them_in() {
    for row in list(&vectors("vectors_extra.json"), "edge_of_gamut") {
        let set = channels(row);
        let own: Vec<Chromaticity> = set.iter().filter_map(|c| c.light.chromaticity()).collect();
        let reach = Gamut::of(&own).reach(point(row, "wanted")).unwrap();
        let expected = point(row, "nearest_xy");
        near(reach.nearest.x, expected.x, 1e-9, &row.to_string());
        near(reach.nearest.y, expected.y, 1e-9, &row.to_string());
        let found = levels(&set, reach.nearest, Amount::Most, None).unwrap();
        close(found.flux.value(), number(row, "flux"), 1e-5, &row.to_string());
    }
}

#[test]
fn gamuts_have_their_corners_and_their_distances() {
    for row in list(&vectors("vectors_final.json"), "gamut") {
        let own: Vec<Chromaticity> = channels(row).iter().filter_map(|c| c.light.chromaticity()).collect();
        let gamut = Gamut::of(&own);
        assert_eq!(gamut.corners().len() as f64, number(row, "hull_size"));
        for test in list(row, "tests") {
            let reach = gamut.reach(point(test, "xy")).unwrap();
            assert_eq!(Value::Bool(reach.inside), test["inside"], "{test}");
            near(reach.distance, number(test, "boundary_dist_upvp"), 1e-8, &test.to_string());
            if !reach.inside {
                near(reach.nearest.x, point(test, "nearest_xy").x, 1e-8, &test.to_string());
                near(reach.nearest.y, point(test, "nearest_xy").y, 1e-8, &test.to_string());
            }
        }
    }
}

#[test]
fn blue_light_of_mixes_is_that_of_their_parts() {
    for row in list(&vectors("vectors_final.json"), "K_Bv_of_mixes") {
        let target = row["target"].as_str().unwrap();
        let Some(kelvin) = target.strip_prefix('P').and_then(|t| t.parse::<f64>().ok()) else { continue };
        let set = channels(row);
        let cap = row["power_cap_W"].as_f64().map(Watts::si);
        let amount = row["flux_lm"].as_f64().map_or(Amount::Most, |f| Amount::Flux(Lumens::si(f)));
        let found = levels(&set, white(Kelvin::si(kelvin), 0.0), amount, cap).unwrap();
        let parts: Vec<_> = row["channels"]
            .as_str()
            .unwrap()
            .chars()
            .zip(set.iter().zip(&found.levels))
            .map(|(key, (c, level))| (c.light.y * *level, spectrum_of(key).0.blue_light()))
            .collect();
        close(of_mix(&parts).unwrap().value() * 1e3, number(row, "K_Bv_mW_lm"), 1e-5, &row.to_string());
    }
}

/// The channels at a junction temperature: red and amber lose light, green and blue power, white 570 K.
fn at_junction(row: &Value, junction: f64) -> Vec<Channel> {
    let c = Temperature::from_celsius;
    let one = |(key, cold): (char, Channel)| {
        let peak = match key {
            'R' => 632.0,
            'G' => 520.0,
            'B' => 455.0,
            'A' => 592.0,
            _ => 0.0,
        };
        let (spectrum, radiant, _) = spectrum_of(key);
        let family = if peak > 0.0 { Family::of_peak(nm(peak)) } else { Family::White };
        let left = left_when_warm(family.characteristic(), c(junction), c(25.0));
        let shifted = match key {
            'R' => Spectrum::die(family.peak_at(nm(peak), c(junction), c(25.0)), nm(18.0)),
            'G' => Spectrum::die(family.peak_at(nm(peak), c(junction), c(25.0)), nm(33.0)),
            'B' => Spectrum::die(family.peak_at(nm(peak), c(junction), c(25.0)), nm(20.0)),
            'A' => Spectrum::die(family.peak_at(nm(peak), c(junction), c(25.0)), nm(16.0)),
            _ => spectrum.clone(),
        };
        let hot = shifted.tristimulus();
        let by_light = spectrum.efficacy().value() * radiant * left / hot.y.value();
        let watts = if family.is_photometric() { by_light } else { radiant * left };
        Channel { light: hot.times(watts), ..cold }
    };
    row["channels"].as_str().expect("channels").chars().zip(channels(row)).map(one).collect()
}

/// A lamp whose levels are set hot, looked at as it is switched on at 25 °C.
#[test]
fn a_lamp_set_hot_starts_in_another_colour() {
    for row in list(&vectors("vectors_final.json"), "warmup_hot_solved") {
        let kelvin: f64 = row["target"].as_str().unwrap()[1..].parse().unwrap();
        let hot = at_junction(row, number(row, "T_hot"));
        let found = levels(&hot, white(Kelvin::si(kelvin), 0.0), Amount::Most, None).unwrap();
        for (level, expected) in found.levels.iter().zip(numbers(row, "drive")) {
            near(*level, expected, 2e-6, &row.to_string());
        }
        close(found.flux.value(), number(row, "flux_hot"), 1e-6, &row.to_string());
        let cold = light(&channels(row), &found.levels);
        close(cold.y / found.flux, number(row, "flux_cold_over_hot"), 1e-6, &row.to_string());
        let at = cold.chromaticity().unwrap();
        let aimed = white(Kelvin::si(kelvin), 0.0);
        near(at.distance(aimed), number(row, "delta_upvp_cold"), 2e-7, &row.to_string());
        let cct = correlated(at).unwrap();
        close(cct.temperature.value(), number(row, "CCT_cold"), 2e-5, &row.to_string());
        near(cct.duv, number(row, "Duv_cold"), 1e-6, &row.to_string());
    }
}

/// Shares of a cool white in a warm one, and how far below the locus their mix falls.
#[test]
fn tunable_whites_turn_pink_in_the_middle() {
    for row in list(&vectors("vectors_mix.json"), "two_channel_tunable") {
        let pair: Vec<Channel> = ['W', 'C']
            .map(|key| {
                let (spectrum, radiant, _) = spectrum_of(key);
                let light = spectrum.tristimulus().times(radiant);
                Channel { light, power: Watts::si(1.0), most: 1.0, fixed: false }
            })
            .to_vec();
        let cool = number(row, "frac_cool");
        let at = light(&pair, &[1.0 - cool, cool]).chromaticity().unwrap();
        near(at.x, point(row, "xy").x, 1e-8, &row.to_string());
        let found = correlated(at).unwrap();
        near(found.duv, number(row, "Duv"), 5e-7, &row.to_string());
        near(found.temperature.value(), number(row, "CCT"), 0.1, &row.to_string());
    }
}
