//! Whole lamps against `thermal_lamps.py`, which solves the same equations with scipy (`optimize.root`, hybr), to 1e-6 K.
//! cases.json holds inputs, temperatures and every flow; three of the lamps were coded twice, independently.

use lampwright::physics::thermal::air::ATMOSPHERE;
use lampwright::physics::thermal::assembly::{Assembly, Block, Built, Cooler, PLAIN, Sources, Zone};
use lampwright::physics::thermal::faces::{Face, Stance};
use lampwright::physics::thermal::network::Room;
use lampwright::physics::thermal::shapes::{Shape, wall_conductance};
use lampwright::physics::thermal::sink::{PlateFins, Standing};
use lampwright::physics::thermal::solver::{Method, Steady, steady, steady_by};
use lampwright::physics::thermal::spreading::{self, Spread};
use lampwright::physics::thermal::vents::{Openings, Vents};
use lampwright::quantity::{
    JoulesPerKelvin, Metres, Pascals, SquareMetres, Temperature, Watts, WattsPerKelvin, WattsPerMetreKelvin,
    WattsPerSquareMetreKelvin,
};
use serde_json::{Value, json};

use super::csv_rows::{close, rows};

fn n(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

pub(super) fn standing(word: &str) -> Standing {
    match word {
        "vertical" => Standing::Vertical,
        "up" => Standing::Up,
        "down" => Standing::Down,
        "cross" => Standing::Cross,
        other => panic!("{other}"),
    }
}

pub(super) fn fins(s: &Value) -> PlateFins {
    let m = |key| Metres::si(n(s, key));
    PlateFins {
        count: s["n"].as_u64().expect("fins") as u32,
        thickness: m("t"),
        width: m("W"),
        length: m("L"),
        height: m("H"),
        base: m("tb"),
        conductivity: WattsPerMetreKelvin::si(n(s, "k")),
        emissivity: n(s, "eps"),
        attached: SquareMetres::si(n(s, "A_attached")),
    }
}

fn faces(list: &Value) -> Vec<Face> {
    let face = |f: &Value| {
        let m = |key: &str| Metres::si(n(f, key));
        let stance = match f["kind"].as_str().expect("kind") {
            "vplate" => Stance::Upright { height: m("L"), slope: f["gc"].as_f64().unwrap_or(1.0) },
            "sphere" => Stance::Sphere { diameter: m("D") },
            "up" => Stance::Up { length: m("Lc") },
            "dn" => Stance::Down { length: m("Lc") },
            "vcyl" => Stance::StandingCylinder { height: m("L"), diameter: m("D") },
            other => panic!("{other}"),
        };
        Face { stance, area: SquareMetres::si(n(f, "A")) }
    };
    list.as_array().expect("faces").iter().map(face).collect()
}

fn zone(z: &Value, name: &'static str) -> Zone {
    let (outer, inner) = (faces(&z["out"]), faces(&z["in"]));
    let (t, k) = (Metres::si(n(z, "t")), WattsPerMetreKelvin::si(n(z, "k")));
    let wall = wall_conductance(&inner, &outer, t, k);
    Zone {
        name,
        emissivity: (n(z, "eps_out"), n(z, "eps_in")),
        wall,
        outer,
        inner,
        film: None,
        capacity: JoulesPerKelvin::si(0.0),
    }
}

/// One lamp of the file.
pub(super) struct Case {
    pub(super) assembly: Assembly,
    pub(super) room: Room,
    pub(super) sources: Sources,
}

pub(super) fn cases() -> Value {
    serde_json::from_str(include_str!("../reference/thermal/cases.json")).expect("cases")
}

pub(super) fn case(given: &Value) -> Case {
    let i = &given["inputs"];
    let air = Temperature::si(n(i, "T_room"));
    let walls = i["T_room_rad"].as_f64().map_or(air, Temperature::si);
    let names = ["shell", "front"];
    let zones: Vec<Zone> =
        i["zones"].as_array().expect("zones").iter().zip(names).map(|(z, name)| zone(z, name)).collect();
    let cooler = match i.get("sink") {
        Some(s) => Cooler::Fins {
            sink: fins(s),
            standing: standing(s["orient"].as_str().expect("a position")),
            outside: s["where"] == "outside",
        },
        None => Cooler::Wall(i["led_zone"].as_u64().expect("a zone") as usize),
    };
    let [a, b, c] = [0, 1, 2].map(|k| i["driver"]["dims"][k].as_f64().expect("a size"));
    let contacts = (0..zones.len()).filter_map(|z| {
        let g = i["driver"]["contacts"].get(z.to_string())?.as_f64()?;
        Some((z, WattsPerKelvin::si(g)))
    });
    let supply = Block {
        surface: SquareMetres::si(2.0 * (a * b + b * c + a * c)),
        emissivity: n(&i["driver"], "eps"),
        contacts: contacts.collect(),
        capacity: JoulesPerKelvin::si(0.0),
    };
    let vents = i.get("vents").map(|v| {
        let level = |area, d| Openings { area: SquareMetres::si(n(v, area)), width: Metres::si(n(v, d)) };
        Vents {
            rise: Metres::si(n(v, "Hn")),
            low: level("A1", "d1"),
            high: level("A2", "d2"),
            wall: Metres::si(n(v, "t")),
            discharge: n(v, "Cd"),
        }
    });
    // The budget, from what the mains gives.
    let led = n(i, "eta_driver") * n(i, "P_mains");
    let light = led * n(i, "eta_rad");
    let absorbed = |z: usize| i["absorb"].get(z.to_string()).and_then(Value::as_f64).unwrap_or(0.0);
    let sources = Sources {
        dice: Watts::si(led - light),
        supply: Watts::si(n(i, "P_mains") - led),
        air: Watts::ZERO,
        zones: (0..zones.len()).map(|z| Watts::si(absorbed(z) * light)).collect(),
    };
    let none = JoulesPerKelvin::si(0.0);
    let assembly = Assembly {
        cooler,
        sink_capacity: none,
        supply: Some(supply),
        zones,
        vents,
        air_capacity: none,
        factors: PLAIN,
    };
    Case { assembly, room: Room { air, walls, pressure: Pascals::si(n(i, "p")) }, sources }
}

/// No walls merged, as the script has them.
fn solve(case: &Case) -> (Built, Steady) {
    let built = case.assembly.network(case.room, WattsPerKelvin::si(f64::INFINITY));
    let found = steady(&built.network, &built.heat(&case.sources), None).expect("a balance");
    (built, found)
}

/// The program's name of a node of the file.
pub(super) fn node(built: &Built, name: &str) -> usize {
    match name {
        "S" => built.sink.expect("a sink"),
        "A" => built.air,
        "X" => built.radiation,
        "D" => built.supply.expect("a supply"),
        "Wi0" => built.zones[0].0,
        "Wo0" => built.zones[0].1,
        "Wi1" => built.zones[1].0,
        "Wo1" => built.zones[1].1,
        other => panic!("{other}"),
    }
}

#[test]
fn fifteen_lamps_to_a_millionth_of_a_kelvin() {
    let all = cases();
    assert_eq!(all.as_object().expect("cases").len(), 15);
    for (name, given) in all.as_object().expect("cases") {
        let (built, found) = solve(&case(given));
        let names = given["nodes"].as_array().expect("nodes");
        assert_eq!(names.len(), found.temperatures.len(), "{name}");
        for (label, expected) in names.iter().zip(given["T_K"].as_array().expect("T")) {
            let at = node(&built, label.as_str().expect("a name"));
            let deviation = found.temperatures[at].value() - expected.as_f64().expect("T");
            assert!(deviation.abs() < 1e-6, "{name} {label}: off by {deviation} K");
        }
        assert!(found.method == Method::Newton && found.passes <= 8, "{name}: {} passes", found.passes);
        assert!(found.imbalance.value().abs() < 1e-7, "{name}: {}", found.imbalance);
    }
}

#[test]
fn every_flow_is_the_stored_one() {
    for (name, given) in cases().as_object().expect("cases") {
        let (built, found) = solve(&case(given));
        let mut mine: Vec<f64> = built.network.flows(&found.temperatures).iter().map(|q| q.value().abs()).collect();
        let stored = given["flows"].as_array().expect("flows");
        let mut theirs: Vec<f64> = stored.iter().map(|f| n(f, "W").abs()).collect();
        mine.sort_by(f64::total_cmp);
        theirs.sort_by(f64::total_cmp);
        assert_eq!(mine.len(), theirs.len(), "{name}");
        mine.iter().zip(&theirs).for_each(|(a, b)| assert!((a - b).abs() < 1e-6, "{name}: {a} {b}"));
    }
}

#[test]
fn three_methods_from_far_away_find_the_same() {
    for (name, given) in cases().as_object().expect("cases") {
        let built_case = case(given);
        let (built, found) = solve(&built_case);
        let heat = built.heat(&built_case.sources);
        for start in [250.0, 900.0] {
            let from = vec![Temperature::si(start); built.network.nodes.len()];
            let other = steady_by(&built.network, &heat, &from, Method::PseudoTime).expect("a balance");
            for (a, b) in found.temperatures.iter().zip(&other.temperatures) {
                assert!((*a - *b).value().abs() < 2e-6, "{name} from {start} K");
            }
        }
    }
    // Sweeps rise from the coldest state for walls that resist; with metal walls they would take very long.
    for name in ["C01_p35_sealed", "C07_plywood_box_sealed_40W", "C08_wood_box_exposed_sink"] {
        let built_case = case(&cases()[name]);
        let (built, found) = solve(&built_case);
        let from = vec![Temperature::si(1000.0); built.network.nodes.len()];
        let other = steady_by(&built.network, &built.heat(&built_case.sources), &from, Method::Sweeps).expect(name);
        for (a, b) in found.temperatures.iter().zip(&other.temperatures) {
            assert!((*a - *b).value().abs() < 1e-5, "{name}");
        }
    }
}

#[test]
fn from_sink_to_junction() {
    for (name, given) in cases().as_object().expect("cases") {
        let (i, led) = (&given["inputs"], &given["led"]);
        let (built, found) = solve(&case(given));
        let seat = found.temperatures[built.seat()];
        let dice = n(i, "eta_driver") * n(i, "P_mains") * (1.0 - n(i, "eta_rad"));
        let source = SquareMetres::si(n(&i["led"], "A_src"));
        let spread = match i.get("sink") {
            Some(s) => {
                let sink = fins(s);
                spreading::thick(&Spread {
                    source,
                    plate: sink.length * sink.width,
                    thickness: sink.base,
                    conductivity: sink.conductivity,
                    transfer: WattsPerSquareMetreKelvin::si(n(given, "h_eff_base")),
                })
            }
            None => continue,
        };
        close(spread.value(), n(led, "R_spread"), 1e-6, name);
        let tim = n(&i["led"], "tim_t") / (n(&i["led"], "tim_k") * n(&i["led"], "A_src"));
        let junction = seat.celsius() + dice * (spread.value() + tim + n(&i["led"], "R_jc"));
        close(junction, n(led, "T_junction_C"), 1e-6, name);
    }
}

#[test]
fn merging_a_metal_wall_changes_nothing_that_counts() {
    for name in ["C06_al_box_wall_mounted", "C10_steel_cone_pmma_disk"] {
        let built_case = case(&cases()[name]);
        let (full, exact) = solve(&built_case);
        let merged = built_case.assembly.network(built_case.room, WattsPerKelvin::si(1000.0));
        let found = steady(&merged.network, &merged.heat(&built_case.sources), None).expect("a balance");
        let difference = found.temperatures[merged.air] - exact.temperatures[full.air];
        assert!(merged.network.nodes.len() < full.network.nodes.len() && difference.value().abs() < 0.01, "{name}");
    }
}

#[test]
fn what_changes_when_a_figure_does() {
    let first = cases()["C01_p35_sealed"].clone();
    let sinks: Value = serde_json::from_str(include_str!("../reference/thermal/sink_defs.json")).expect("sinks");
    for row in rows(include_str!("../reference/thermal/sensitivity_C01.csv")) {
        let (mut given, mut factors, mut ball) = (first.clone(), PLAIN, None);
        let inputs = &mut given["inputs"];
        let variant = row.text("variant");
        let figure =
            || -> f64 { variant.rsplit([' ', 'x', '=']).next().and_then(|n| n.parse().ok()).expect("a figure") };
        match variant.split([' ', '=']).collect::<Vec<_>>()[..] {
            ["base", ..] => {}
            ["sink", "convection", ..] => factors.sink = figure(),
            ["wall", "convection", ..] => factors.walls = figure(),
            ["sink", "emissivity", ..] => inputs["sink"]["eps"] = figure().into(),
            ["sink", other] => inputs["sink"] = sinks["sinks"][other].clone(),
            ["shell", "emissivity", ..] => {
                inputs["zones"][0]["eps_in"] = 0.05.into();
                inputs["zones"][0]["eps_out"] = 0.05.into();
            }
            ["shell", "outer", ..] => inputs["zones"][0]["eps_out"] = figure().into(),
            ["eta_rad", _] => inputs["eta_rad"] = figure().into(),
            ["wall", "4", "mm"] => inputs["zones"][0]["t"] = 4e-3.into(),
            ["absorb", "5", "%"] => inputs["absorb"] = json!({ "0": 0.05 }),
            ["sphere", ..] => ball = Some(sphere(figure())),
            _ => panic!("no variant {variant}"),
        }
        let mut varied = case(&given);
        varied.assembly.factors = factors;
        if let Some(ball) = ball {
            varied.assembly.zones[0] = ball;
        }
        let (built, found) = solve(&varied);
        let zone = built.zones[0];
        let nodes = [built.sink.expect("a sink"), built.air, zone.0, zone.1];
        for (node, column) in nodes.into_iter().zip(["T_sink_C", "T_air_C", "T_wall_in_C", "T_wall_out_C"]) {
            let celsius = found.temperatures[node].celsius();
            close(celsius, row.number(column), 1e-5, &format!("{column} {}", row.line()));
        }
    }
}

fn sphere(diameter: f64) -> Zone {
    let (body, t) = (Shape::Sphere { diameter: Metres::si(diameter) }, Metres::si(2e-3));
    let (outer, inner) = (body.faces(), body.inner_faces(t));
    let wall = wall_conductance(&inner, &outer, t, WattsPerMetreKelvin::si(0.13));
    Zone { name: "shell", emissivity: (0.92, 0.92), wall, outer, inner, film: None, capacity: JoulesPerKelvin::si(0.0) }
}

#[test]
fn a_network_without_a_way_out_says_so() {
    let mut lost = case(&cases()["C01_p35_sealed"]);
    lost.assembly.zones.clear();
    let built = lost.assembly.network(lost.room, WattsPerKelvin::si(1000.0));
    let none = steady(&built.network, &built.heat(&lost.sources), None).expect_err("nowhere to go");
    assert!(none.to_string().starts_with("no balance of heat at `"), "{none}");
    assert_eq!(lost.room.pressure, ATMOSPHERE);
}
