//! Heat and electrics of every example: left over below what is allowed, energy in is energy out, and the same answer
//! from wherever the search begins. A lamp without a balance is told so by the rule whose matter it is.

use lampwright::Compiled;
use lampwright::quantity::Kelvin;
use lampwright::solve::heat::{State, every_state};

use crate::support::{example, examples, figure, findings, text_of, varied};

fn states(name: &str) -> Vec<State> {
    let compiled = example(name, None);
    let ladder = compiled.solution.heat.as_ref().unwrap_or_else(|e| panic!("{name}: {e:?}"));
    ladder.states.iter().chain(&ladder.coldest).cloned().collect()
}

/// What the heat sheet says is allowed: a millionth of the heat, 0.01 K, 0.01 %.
#[test]
fn every_state_of_every_example_has_settled() {
    for name in examples() {
        for state in states(&name) {
            let what = format!("{name} {} in a room of {}", state.name, state.room);
            let heat = state.heat.value();
            assert!(heat > 0.0, "{what}");
            assert!(state.residual.value() <= 1e-6 * heat, "{what}: {} left over", state.residual);
            assert!(state.imbalance.value().abs() <= 1e-6 * heat, "{what}: {} to the room", state.imbalance);
            assert!(state.apart.value() < 0.01, "{what}: {} to go", state.apart);
            assert!(state.electrics < 1e-4, "{what}: {} apart", state.electrics);
        }
    }
}

/// What the supply's terminals give, and what the supply itself loses where it stands inside, is heat in the network
/// or light that leaves.
#[test]
fn what_goes_in_comes_out_as_heat_or_light() {
    for name in examples() {
        let compiled = example(&name, None);
        let efficiency = compiled.lamp.supply.efficiency.get();
        let inside = compiled.lamp.supply.place.get().is_ok_and(|p| p == lampwright::schema::words::Side::Inside);
        for state in states(&name) {
            let gives = state.taken.value();
            let enters = if inside { gives / efficiency.clone().expect("an efficiency") } else { gives };
            let leaves = state.heat.value() + state.leaves.value();
            assert!((enters / leaves - 1.0).abs() < 1e-9, "{name} {}: {enters} W in, {leaves} W out", state.name);
            let strings: f64 = state.channels.iter().map(|c| c.string.value()).sum();
            assert!(
                (strings / (state.dice.value() + state.radiant.value()) - 1.0).abs() < 1e-9,
                "{name} {}",
                state.name
            );
        }
    }
}

/// Everything as cold as the room, and everything far too hot: the same junctions to twice what is allowed.
#[test]
fn the_answer_does_not_hang_on_the_first_guess() {
    for name in examples() {
        let compiled = example(&name, None);
        let found = states(&name);
        for first in [0.5, 150.0] {
            let from = Some(Kelvin::si(first));
            // The circuits read resistances that the drive entered.
            let mut ledger = compiled.solution.ledger.clone();
            let again = every_state(&compiled.lamp.engine(), &compiled.solution.channels, from, &mut ledger);
            let again = again.unwrap_or_else(|e| panic!("{name} from {first} K: {e:?}"));
            assert_eq!(again.len(), found.len(), "{name}");
            for (one, other) in found.iter().zip(&again) {
                for (a, b) in one.channels.iter().zip(&other.channels) {
                    let apart = (a.junction - b.junction).value().abs();
                    assert!(apart < 0.02, "{name} {} from {first} K: {} {apart} K apart", one.name, a.name);
                    let power = (a.input.value() / b.input.value() - 1.0).abs();
                    assert!(power < 2e-4, "{name} {} from {first} K: {power}", one.name);
                }
            }
        }
    }
}

/// The linear light with one string of eight dice on a bare voltage, each of which falls by `drift` mV/K.
fn on_a_voltage(drift: &str) -> Compiled {
    let statements = format!(
        "driver {{ channel warm {{ ballast 0 Ω; strings 1; balanced no }} }}
        supply {{ output 24 V ± 0.5 % }}
        emitter {{ die warm {{ count 8; forward 2.98 V .. 2.99 V .. 3.00 V at 40 mA; efficiency 2 %; thermal 20 K/W;
            slope 0.14 Ω; drift {drift} mV/K }} }}"
    );
    varied(&text_of("longsill-linear"), &statements)
}

/// Strings on a voltage whose loop comes near a gain of one: each has its balance, wherever the search begins, and the
/// more a kelvin lowers the string, the warmer it is; beyond, there is none and a rule says so.
#[test]
fn a_lamp_near_its_tipping_point_has_its_balance() {
    let mut last = 0.0;
    for drift in ["-1.0", "-1.1", "-1.2", "-1.24"] {
        let compiled = on_a_voltage(drift);
        let ladder = compiled.solution.heat.as_ref().unwrap_or_else(|m| panic!("{drift} mV/K: {m:?}"));
        let found: Vec<State> = ladder.states.iter().chain(&ladder.coldest).cloned().collect();
        for first in [0.5, 150.0] {
            let mut ledger = compiled.solution.ledger.clone();
            let again =
                every_state(&compiled.lamp.engine(), &compiled.solution.channels, Some(Kelvin::si(first)), &mut ledger);
            let again = again.unwrap_or_else(|e| panic!("{drift} mV/K from {first} K: {e:?}"));
            for (one, other) in found.iter().zip(&again) {
                for (a, b) in one.channels.iter().zip(&other.channels) {
                    let apart = (a.junction - b.junction).value().abs();
                    assert!(apart < 0.02, "{drift} mV/K, {} from {first} K: {} {apart} K apart", one.name, a.name);
                }
            }
        }
        for state in &found {
            assert!(state.residual.value() <= 1e-6 * state.heat.value() && state.electrics < 1e-4, "{drift} mV/K");
        }
        let warm = ladder.junctions[0].1.as_ref().expect("a junction").celsius();
        assert!(warm > last + 20.0, "{drift} mV/K: {warm} °C after {last} °C");
        last = warm;
    }
    let compiled = on_a_voltage("-1.3");
    assert_eq!(compiled.solution.heat.as_ref().err().map(|m| m.path.as_str()), Some("heat.balance"));
    assert!(findings(&compiled).iter().any(|name| name == "drive/runaway"));
}

/// Strings on a voltage whose warmth has no end, with the drift so far beyond the limit that nothing settles.
#[test]
fn strings_that_warm_without_end_are_a_finding_and_not_unchecked() {
    let compiled = on_a_voltage("-2.5");
    assert_eq!(compiled.solution.heat.as_ref().err().map(|m| m.path.as_str()), Some("heat.balance"));
    let found = findings(&compiled);
    assert!(found.iter().any(|name| name == "drive/runaway"), "{found:?}");
    assert!(!found.iter().any(|name| name == "heat/runaway"), "the currents are the cause: {found:?}");
    let gain = figure(&compiled, "drive.warm.loop-gain");
    assert!(gain > 1.0, "{gain}");
}

/// A channel's band with these statements in its driver's block.
fn band(base: &str, channel: &str, own: &str) -> (f64, f64) {
    let compiled = varied(&text_of(base), &format!("driver {{ {own} }}"));
    let entry = compiled.solution.ledger.get(&format!("drive.{channel}.current")).cloned();
    entry.and_then(|e| e.band).unwrap_or_else(|| panic!("{base} has no band"))
}

/// An amplifier whose gain ends lets a hysteretic sink carry more and a linear sink less; drift widens both ways.
#[test]
fn finite_gain_and_stated_drift_move_the_limits_they_should() {
    let (low, high) = band("alder-table", "red", "amplifier { open-gain 1000000 }");
    let (weak_low, weak_high) = band("alder-table", "red", "amplifier { open-gain 1000 }");
    // The gain of 11.7 falls by 1.2 %, and the trip current rises by as much.
    let rise = weak_high / high - 1.0;
    assert!((0.010..0.014).contains(&rise), "{rise}");
    assert!((weak_low / low - 1.0).abs() < 1e-3, "{weak_low} {low}");
    let (low, high) = band("heron-head", "warm", "amplifier { open-gain 1000000 }");
    let (weak_low, weak_high) = band("heron-head", "warm", "amplifier { open-gain 1000 }");
    assert!(weak_low < low * 0.999 && weak_high == high, "{weak_low} of {low}, {weak_high} of {high}");
    let (low, high) = band("alder-table", "red", "inductor { drift 0 %/K }");
    let (wide_low, wide_high) = band("alder-table", "red", "inductor { drift 0.1 %/K }");
    assert!(wide_low < low && wide_high > high, "{low} {high} and {wide_low} {wide_high}");
    assert_eq!(band("alder-table", "red", "inductor { drift 0 %/K }"), band("alder-table", "red", ""));
}

/// Longsill's ballasts and switch carry the hot string's current, which lies above the cold one's band: 153.16 mA by a
/// fixed point of our own over 24.72 V, the lowest string, 295.66 Ω in each of five strings, and the network's response
/// to a watt (Python, no code shared; without the light that fades, which adds a ten-thousandth). The resistors are at
/// both their ends as the cold band takes them: 1 % of tolerance, and 100 ppm/K over the 45 K to the warmest air.
#[test]
fn ballast_and_switch_carry_the_worse_of_cold_and_hot() {
    let compiled = example("longsill-linear", None);
    let entry = |path: &str| compiled.solution.ledger.get(path).unwrap_or_else(|| panic!("no {path}")).clone();
    let value = |path: &str| entry(path).value.expect("a number");
    let hot = value("drive.warm.hot-current");
    assert!((hot / 153.16e-3 - 1.0).abs() < 1e-3, "{hot} A");
    assert!(hot > entry("drive.warm.current").band.expect("a band").1);
    let each = hot / 5.0;
    assert!((value("drive.warm.ballast-power") / (each * each * 297.0 * 0.9955) - 1.0).abs() < 1e-9);
    assert!((value("drive.warm.switch-loss") / (hot * hot * value("drive.warm.on-resistance")) - 1.0).abs() < 1e-9);
}
