//! Warm-up against `solve_ivp` of scipy (BDF, rtol 1e-8): ten lamps, six single lumps, a solution in closed form, and
//! three worked examples of a textbook.

use lampwright::physics::thermal::air::ATMOSPHERE;
use lampwright::physics::thermal::network::{End, Law, Network, Room};
use lampwright::physics::thermal::solver::steady;
use lampwright::physics::thermal::warmup::{Curve, energy_time, slowest_time, soak_time, warm_up};
use lampwright::quantity::{JoulesPerKelvin, Kelvin, Seconds, SquareMetres, Temperature, Watts, WattsPerKelvin};
use serde_json::Value;

use super::csv_rows::close;
use super::heat_network::{case, cases, node};

fn transient() -> Value {
    serde_json::from_str(include_str!("../reference/thermal/transient.json")).expect("curves")
}

fn n(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

#[test]
fn ten_lamps_warm_up_as_stored() {
    let (all, curves) = (cases(), transient());
    assert_eq!(curves.as_object().expect("curves").len(), 10);
    for (name, curve) in curves.as_object().expect("curves") {
        let lamp = case(&all[name]);
        let mut built = lamp.assembly.network(lamp.room, WattsPerKelvin::si(f64::INFINITY));
        for (label, capacity) in curve["C_J_K"].as_object().expect("capacities") {
            let at = node(&built, label);
            built.network.nodes[at].capacity = JoulesPerKelvin::si(capacity.as_f64().expect("a number"));
        }
        let heat = built.heat(&lamp.sources);
        let still = vec![lamp.room.air; built.network.nodes.len()];
        let samples = &curve["samples_t_s_then_T_C"];
        let rows = samples["rows"].as_array().expect("rows");
        let value = |row: &Value, at: usize| row[at].as_f64().expect("a number");
        let moments: Vec<Seconds> = rows.iter().map(|row| Seconds::si(value(row, 0))).collect();
        let found = warm_up(&built.network, &heat, &still, &moments, Kelvin::si(1e-4)).expect("a curve");
        for (row, temperatures) in rows.iter().zip(&found.temperatures) {
            for (column, label) in samples["nodes"].as_array().expect("nodes").iter().enumerate() {
                let at = node(&built, label.as_str().expect("a name"));
                let deviation = temperatures[at].celsius() - value(row, column + 1);
                assert!(deviation.abs() < 5e-3, "{name} {label} at {} s: off by {deviation} K", value(row, 0));
            }
        }
        let settled = steady(&built.network, &heat, None).expect("a balance").temperatures;
        close(energy_time(&built.network, &heat, &settled).value(), n(curve, "tau_energy_s"), 1e-6, name);
        let slow = slowest_time(&built.network, &settled).expect("a time");
        close(slow.value(), n(curve, "tau_slow_s"), 1e-4, name);
        // The rule of the soak: all nodes have made 95 % of their rise well before it ends.
        let latest = curve["t950"].as_object().expect("times").values().filter_map(Value::as_f64).fold(0.0, f64::max);
        assert!(latest < soak_time(slow).value(), "{name}");
        let share = latest / slow.value();
        assert!((3.2..3.9).contains(&share), "{name}: 95 % after {share} of the slowest time constant");
    }
}

/// When a node first has made this share of its rise, between two moments by a straight line.
fn reaches(curve: &Curve, node: usize, share: f64, from: Temperature, steady: Temperature) -> Option<Seconds> {
    let goal = from.value() + share * (steady.value() - from.value());
    let points: Vec<(f64, f64)> =
        curve.times.iter().zip(&curve.temperatures).map(|(t, row)| (t.value(), row[node].value())).collect();
    let over = points.windows(2).find(|two| two[0].1 <= goal && goal <= two[1].1 && two[1].1 > two[0].1)?;
    let [(t0, low), (t1, high)] = [over[0], over[1]];
    Some(Seconds::si(t0 + (t1 - t0) * (goal - low) / (high - low)))
}

#[test]
fn moments_between_samples_are_found() {
    let (all, curves) = (cases(), transient());
    let (name, stored) = ("C01_p35_sealed", &curves["C01_p35_sealed"]);
    let lamp = case(&all[name]);
    let mut built = lamp.assembly.network(lamp.room, WattsPerKelvin::si(1000.0));
    for (label, capacity) in stored["C_J_K"].as_object().expect("capacities") {
        let at = node(&built, label);
        built.network.nodes[at].capacity = JoulesPerKelvin::si(capacity.as_f64().expect("a number"));
    }
    let heat = built.heat(&lamp.sources);
    let settled = steady(&built.network, &heat, None).expect("a balance").temperatures;
    let still = vec![lamp.room.air; built.network.nodes.len()];
    let moments: Vec<Seconds> = (0..=1000).map(|i| Seconds::si(f64::from(i) * 5.0)).collect();
    let curve = warm_up(&built.network, &heat, &still, &moments, Kelvin::si(1e-4)).expect("a curve");
    for (share, key) in [(0.632, "t632"), (0.9, "t900"), (0.95, "t950"), (0.99, "t990")] {
        for (label, expected) in stored[key].as_object().expect("times") {
            let at = node(&built, label);
            let found = reaches(&curve, at, share, lamp.room.air, settled[at]).expect("reached");
            close(found.value(), expected.as_f64().expect("a time"), 2e-3, &format!("{label} {key}"));
        }
    }
}

/// One lump in a room; convection as a conductance.
fn lump(capacity: f64, conductance: f64, radiates: f64) -> Network {
    let air = Temperature::si(298.15);
    let mut network = Network::new(Room { air, walls: air, pressure: ATMOSPHERE });
    let one = End::Node(network.node("lump", JoulesPerKelvin::si(capacity)));
    network.way(one, End::Air, Law::Conduction(WattsPerKelvin::si(conductance)), "to air");
    network.way(one, End::Walls, Law::Radiation(SquareMetres::si(radiates)), "by radiation");
    network
}

#[test]
fn single_lumps() {
    let all: Value = serde_json::from_str(include_str!("../reference/thermal/lump_vectors.json")).expect("lumps");
    let mut checked = 0;
    for row in all.as_array().expect("a list") {
        // Only those whose convection does not grow with the difference: a network has no such law on its own.
        if n(row, "n") != 0.0 {
            continue;
        }
        checked += 1;
        let area = n(row, "A");
        let network = lump(n(row, "C"), n(row, "hc") * area, n(row, "eps") * area);
        let heat = [Watts::si(n(row, "Q"))];
        let settled = steady(&network, &heat, None).expect("a balance").temperatures;
        close(settled[0].celsius(), n(row, "T_inf_C"), 1e-7, "steady");
        close(energy_time(&network, &heat, &settled).value(), n(row, "tau_energy"), 1e-6, "τ");
        let moments: Vec<Seconds> = (0..=3000).map(|i| Seconds::si(f64::from(i))).collect();
        let start = [Temperature::si(298.15)];
        let curve = warm_up(&network, &heat, &start, &moments, Kelvin::si(1e-5)).expect("a curve");
        for (share, key) in [(0.632, "t632"), (0.9, "t90"), (0.95, "t95"), (0.99, "t99")] {
            let found = reaches(&curve, 0, share, start[0], settled[0]).expect("reached");
            close(found.value(), n(row, key), 1e-3, key);
        }
    }
    assert_eq!(checked, 2);
}

#[test]
fn a_linear_lump_is_an_exponential() {
    let network = lump(200.0, 0.4, 0.0);
    let moments = [100.0, 500.0, 2000.0].map(Seconds::si);
    let start = [Temperature::si(298.15)];
    let curve = warm_up(&network, &[Watts::si(8.0)], &start, &moments, Kelvin::si(1e-5)).expect("a curve");
    for (t, row) in moments.iter().zip(&curve.temperatures) {
        let exact = 20.0 * -libm::expm1(-t.value() / 500.0);
        close((row[0] - start[0]).value(), exact, 2e-5, "closed form");
    }
    let settled = [Temperature::si(318.15)];
    close(slowest_time(&network, &settled).expect("a time").value(), 500.0, 1e-9, "τ");
    assert_eq!(soak_time(Seconds::si(500.0)), Seconds::si(3600.0));
}

/// A body with convection `h·A` to air and radiation `ε·A` to walls, both °C, of capacity ρ·c·V.
fn body(capacity: f64, convects: f64, radiates: f64, air: f64, walls: f64) -> Network {
    let (air, walls) = (Temperature::from_celsius(air), Temperature::from_celsius(walls));
    let mut network = Network::new(Room { air, walls, pressure: ATMOSPHERE });
    let one = End::Node(network.node("body", JoulesPerKelvin::si(capacity)));
    network.way(one, End::Air, Law::Conduction(WattsPerKelvin::si(convects)), "to air");
    network.way(one, End::Walls, Law::Radiation(SquareMetres::si(radiates)), "by radiation");
    network
}

/// When a body that starts at `from` passes `to`, both °C, s; sampled every `step` seconds.
fn passes(network: &Network, from: f64, to: f64, step: f64) -> f64 {
    let moments: Vec<Seconds> = (0..=1200).map(|i| Seconds::si(f64::from(i) * step)).collect();
    let start = [Temperature::from_celsius(from)];
    let curve = warm_up(network, &[Watts::si(0.0)], &start, &moments, Kelvin::si(1e-4)).expect("a curve");
    let at = |i: usize| curve.temperatures[i][0].celsius();
    let after = (0..moments.len()).find(|i| (at(*i) - from).abs() >= (to - from).abs()).expect("passed");
    let share = (to - at(after - 1)) / (at(after) - at(after - 1));
    (after as f64 - 1.0 + share) * step
}

/// Incropera 6e, examples 5.1 to 5.3, figures as printed; some answers from memory.
#[test]
fn bodies_of_a_textbook() {
    // 5.1: a thermocouple's bead, ρ 8500, c 400, h 400, τ = 1 s: 0.706 mm; from 25 °C to 199 °C in gas of 200 °C.
    let (density, specific, h) = (8500.0, 400.0, 400.0);
    let diameter = 6.0 * h * 1.0 / (density * specific);
    close(diameter, 7.06e-4, 0.0005, "Incropera 5.1, diameter");
    let area = std::f64::consts::PI * diameter * diameter;
    let capacity = density * specific * area * diameter / 6.0;
    let plain = body(capacity, h * area, 0.0, 200.0, 200.0);
    close(passes(&plain, 25.0, 199.0, 0.01), 5.16, 0.0015, "Incropera 5.1, s");
    // 5.2: the same bead, ε 0.9, in a duct whose walls are 400 °C: 218.7 °C, and 4.9 s to within a kelvin of it.
    let radiates = body(capacity, h * area, 0.9 * area, 200.0, 400.0);
    let settled = steady(&radiates, &[Watts::si(0.0)], None).expect("a balance").temperatures[0].celsius();
    close(settled, 218.7, 0.0002, "Incropera 5.2, °C");
    close(passes(&radiates, 25.0, 217.7, 0.01), 4.9, 0.02, "Incropera 5.2, s");
    // 5.3: a panel of 3 mm, ρ 2770, c 875, ε 0.8, in an oven of 175 °C, h 40, from 25 °C to 150 °C; then 300 s there, and
    // out of it in air of 25 °C, h 10, down to 37 °C. By the half thickness, 1 m² of one side.
    let capacity = 2770.0 * 875.0 * 1.5e-3;
    let oven = body(capacity, 40.0, 0.8, 175.0, 175.0);
    let warms = passes(&oven, 25.0, 150.0, 1.0);
    close(warms, 124.0, 0.008, "Incropera 5.3, s to 150 °C");
    let stays = [Seconds::si(warms + 300.0)];
    let start = [Temperature::from_celsius(25.0)];
    let end = warm_up(&oven, &[Watts::si(0.0)], &start, &stays, Kelvin::si(1e-4)).expect("a curve");
    let cools = body(capacity, 10.0, 0.8, 25.0, 25.0);
    let whole = stays[0].value() + passes(&cools, end.temperatures[0][0].celsius(), 37.0, 1.0);
    close(whole, 989.0, 0.004, "Incropera 5.3, s in all");
}
