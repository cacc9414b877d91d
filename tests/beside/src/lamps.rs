//! The stored lamps of `tests/reference/thermal`, built as the tests build them: brought to balance and warmed up by us,
//! held to what scipy answered.

#[allow(dead_code, reason = "shared with the tests, which use more of it")]
#[path = "../../published/csv_rows.rs"]
mod csv_rows;
#[allow(dead_code, unused_imports, reason = "shared with the tests, which use more of it")]
#[path = "../../published/heat_network.rs"]
mod heat_network;

use heat_network::{Case, case, cases, node};
use lampwright::physics::thermal::assembly::Built;
use lampwright::physics::thermal::solver::steady;
use lampwright::physics::thermal::warmup::warm_up;
use lampwright::quantity::{JoulesPerKelvin, Kelvin, Seconds, Watts, WattsPerKelvin};
use serde_json::Value;

use crate::clock;
use crate::solves::{agree, number};

/// Network and heat of a lamp; no walls merged, as the script has them.
fn network(lamp: &Case) -> (Built, Vec<Watts>) {
    let built = lamp.assembly.network(lamp.room, WattsPerKelvin::si(f64::INFINITY));
    let heat = built.heat(&lamp.sources);
    (built, heat)
}

/// Seconds for the balance of all fifteen.
pub(crate) fn balance(answer: &Value) -> f64 {
    let all = cases();
    let lamps: Vec<Case> = all.as_object().unwrap().values().map(case).collect();
    let solve = || -> Vec<f64> {
        let air = |lamp: &Case| {
            let (built, heat) = network(lamp);
            steady(&built.network, &heat, None).unwrap().temperatures[built.air].value()
        };
        lamps.iter().map(air).collect()
    };
    let theirs = answer["air"].as_array().unwrap();
    assert_eq!(theirs.len(), lamps.len());
    for (found, theirs) in solve().iter().zip(theirs) {
        agree(*found, theirs.as_f64().unwrap(), 1e-6, "air inside");
    }
    clock::seconds(solve)
}

/// Seconds for the warm-up of ten of them, at the moments that scipy was asked for.
pub(crate) fn warmup(answer: &Value) -> f64 {
    let all = cases();
    let curves = answer["curves"].as_array().unwrap();
    let given = |curve: &Value| {
        let lamp = case(&all[curve["name"].as_str().unwrap()]);
        let moments = curve["moments"].as_array().unwrap().iter().map(|t| Seconds::si(t.as_f64().unwrap()));
        let capacities = curve["capacities"].as_object().unwrap().iter();
        let capacities = capacities.map(|(label, c)| (label.clone(), JoulesPerKelvin::si(c.as_f64().unwrap())));
        (lamp, moments.collect::<Vec<_>>(), capacities.collect::<Vec<_>>())
    };
    let given: Vec<_> = curves.iter().map(given).collect();
    let solve = || -> Vec<f64> {
        let air = |(lamp, moments, capacities): &(Case, Vec<Seconds>, Vec<(String, JoulesPerKelvin)>)| {
            let (mut built, heat) = network(lamp);
            for (label, capacity) in capacities {
                let at = node(&built, label);
                built.network.nodes[at].capacity = *capacity;
            }
            let still = vec![lamp.room.air; built.network.nodes.len()];
            let found = warm_up(&built.network, &heat, &still, moments, Kelvin::si(1e-4)).unwrap();
            found.temperatures[moments.len() / 2][built.air].value()
        };
        given.iter().map(air).collect()
    };
    for (found, curve) in solve().iter().zip(curves) {
        agree(*found, number(curve, "air"), 5e-3, "air half way");
    }
    clock::seconds(solve)
}
