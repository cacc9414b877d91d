//! The switched sink against stored vectors: tests/reference/electrical/switched_sink.json.
//! Two control modes against numerical integration, the energy balance, floor, transfer curves and design.

use lampwright::physics::electrical::hysteretic::{
    ChoppedTiming, DesignTarget, DiodeDrop, PeakTiming, Regime, SwitchedCycle, SwitchedSink, amplifier_controlled,
    design, peak_controlled,
};
use lampwright::physics::electrical::parts::amplifier::amplifier_time_constant;
use lampwright::physics::electrical::string::StringModel;
use lampwright::quantity::{Amperes, Henries, Hertz, Ohms, Seconds, Volts};
use serde_json::Value;

use super::electrical::{CLOSED_FORM, close, number, rows};

/// Relative tolerance of a cycle found by events.
const EVENTS: f64 = 1e-11;

fn vectors() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/switched_sink.json")).expect("vectors")
}

fn sink(p: &Value) -> SwitchedSink {
    SwitchedSink {
        supply: Volts::si(number(p, "Vs")),
        string: StringModel { offset: Volts::si(number(p, "V0")), slope: Ohms::si(number(p, "Rd")) },
        inductance: Henries::si(number(p, "L")),
        winding: Ohms::si(number(p, "RL")),
        on_resistance: Ohms::si(number(p, "Ron")),
        sense: Ohms::si(number(p, "Rs")),
        diode: DiodeDrop { offset: Volts::si(number(p, "VD0")), slope: Ohms::si(number(p, "RD")) },
        gain: number(p, "A"),
        reference: Volts::si(number(p, "Vref")),
    }
}

fn peak_timing(p: &Value) -> PeakTiming {
    PeakTiming { delay: Seconds::si(number(p, "td")), off_time: Seconds::si(number(p, "toff")) }
}

fn run(set: &Value) -> SwitchedCycle {
    let p = &set["params"];
    match set["mode"].as_str().expect("a mode") {
        "peak" => peak_controlled(&sink(p), &peak_timing(p)),
        "amp" => {
            let timing = ChoppedTiming {
                amplifier: Seconds::si(number(p, "ta")),
                hysteresis: Volts::si(number(p, "Vh")),
                off_delay: Seconds::si(number(p, "td_off")),
                on_delay: Seconds::si(number(p, "td_on")),
            };
            amplifier_controlled(&sink(p), &timing).expect("a steady cycle")
        }
        other => panic!("mode {other}"),
    }
}

fn regime_named(name: &str) -> Regime {
    match name {
        "CCM" | "regulated-CCM" => Regime::Continuous,
        "DCM" | "regulated-DCM" => Regime::Discontinuous,
        "delay-bound-CCM" => Regime::DelayBound,
        "never-trips" => Regime::NeverTrips,
        "off" => Regime::Off,
        other => panic!("regime {other}"),
    }
}

#[test]
fn every_set_agrees_with_the_exact_solver_and_with_integration() {
    let vectors = vectors();
    let sets = rows(&vectors, "sets");
    assert_eq!(sets.len(), 14);
    for set in sets {
        let (name, cycle, r) = (set["name"].as_str().unwrap(), run(set), &set["result"]);
        assert_eq!(cycle.regime, regime_named(r["regime"].as_str().unwrap()), "{name}");
        if cycle.regime == Regime::NeverTrips {
            close(name, cycle.mean.value(), number(r, "i_dc"), EVENTS);
            close(name, cycle.mean.value(), number(&set["solve_ivp"], "i_final"), EVENTS);
            continue;
        }
        let found = [
            ("i_peak", cycle.peak.value()),
            ("i_valley", cycle.valley.value()),
            ("t_on", cycle.on_time.value()),
            ("T", cycle.period.value()),
            ("i_avg", cycle.mean.value()),
            ("i_rms", cycle.rms.value()),
        ];
        for (key, value) in found {
            close(&format!("{name} {key}"), value, number(r, key), EVENTS);
            close(&format!("{name} {key}, DOP853"), value, number(&set["solve_ivp"], key), EVENTS);
        }
        let more = [
            ("t_fall", cycle.fall_time.value()),
            ("t_zero", cycle.zero_time.value()),
            ("f", cycle.frequency.value()),
            ("duty", cycle.duty),
            ("i_sw_avg", cycle.switch_mean.value()),
            ("i_sw_rms", cycle.switch_rms.value()),
            ("i_diode_avg", cycle.diode_mean.value()),
            ("i_diode_rms", cycle.diode_rms.value()),
            ("p_in", cycle.input_power.value()),
            ("p_led", cycle.led_power.value()),
            ("p_sense", cycle.sense_power.value()),
            ("p_fet_cond", cycle.switch_power.value()),
            ("p_dcr", cycle.winding_power.value()),
            ("p_diode", cycle.diode_power.value()),
        ];
        for (key, value) in more {
            close(&format!("{name} {key}"), value, number(r, key), EVENTS);
        }
        // The ripple is a difference: its error is that of the currents.
        assert!((cycle.ripple.value() - number(r, "ripple_pp")).abs() <= EVENTS * cycle.peak.value(), "{name}");
    }
}

/// `P_in − (P_LED + P_Rs + P_switch + P_winding + P_D)`, W.
fn imbalance(cycle: &SwitchedCycle) -> f64 {
    let spent = cycle.led_power + cycle.sense_power + cycle.switch_power + cycle.winding_power + cycle.diode_power;
    (cycle.input_power - spent).value()
}

#[test]
fn the_supply_gives_what_the_parts_spend() {
    for set in rows(&vectors(), "sets") {
        let cycle = run(set);
        let relative = imbalance(&cycle).abs() / cycle.input_power.value();
        assert!(relative < 1e-12, "{}: {relative}", set["name"]);
    }
}

#[test]
fn a_steady_cycle_repeats_without_winding_or_string_resistance() {
    // No stored vector has an ideal inductor: volt-second balance is the check, D = (V0 + VD)/(Vs + VD).
    let vectors = vectors();
    let p = &vectors["sets"][0]["params"];
    let ideal = SwitchedSink {
        string: StringModel { offset: Volts::si(5.6), slope: Ohms::ZERO },
        winding: Ohms::ZERO,
        on_resistance: Ohms::ZERO,
        sense: Ohms::si(1e-9),
        gain: 11e9,
        ..sink(p)
    };
    let cycle = peak_controlled(&ideal, &peak_timing(p));
    assert_eq!(cycle.regime, Regime::Continuous);
    close("D", cycle.duty, 6.0 / 12.4, 1e-8);
    assert!(imbalance(&cycle).abs() < 1e-12);
}

/// The stage of the stored curves: 12 V, 5.6 V + 3 Ω, gain 11, 1 Ω.
fn stage(inductance: f64, winding: f64, reference: f64) -> SwitchedSink {
    SwitchedSink {
        supply: Volts::si(12.0),
        string: StringModel { offset: Volts::si(5.6), slope: Ohms::si(3.0) },
        inductance: Henries::si(inductance),
        winding: Ohms::si(winding),
        on_resistance: Ohms::si(0.08),
        sense: Ohms::si(1.0),
        diode: DiodeDrop { offset: Volts::si(0.4), slope: Ohms::ZERO },
        gain: 11.0,
        reference: Volts::si(reference),
    }
}

fn times(delay: f64, off_time: f64) -> PeakTiming {
    PeakTiming { delay: Seconds::si(delay), off_time: Seconds::si(off_time) }
}

fn amplifier(gain_bandwidth: f64, off_delay: f64, on_delay: f64) -> ChoppedTiming {
    ChoppedTiming {
        amplifier: amplifier_time_constant(11.0, Hertz::si(gain_bandwidth)),
        hysteresis: Volts::ZERO,
        off_delay: Seconds::si(off_delay),
        on_delay: Seconds::si(on_delay),
    }
}

#[test]
fn transfer_curves() {
    let vectors = vectors();
    let peak = [
        ("peak_fast_10u", 10e-6, 0.15, times(60e-9, 120e-9)),
        ("peak_slow_10u", 10e-6, 0.15, times(1.3e-6, 1.3e-6)),
        ("peak_220u_toff2u", 220e-6, 0.4, times(80e-9, 2e-6)),
    ];
    let mut rows_seen = 0;
    let mut check = |name: &str, row: &[f64], cycle: SwitchedCycle| {
        let found = [
            cycle.mean.value(),
            cycle.peak.value(),
            cycle.valley.value(),
            cycle.frequency.value(),
            cycle.switch_mean.value(),
            cycle.duty,
        ];
        for (column, (value, expected)) in found.into_iter().zip(&row[1..]).enumerate() {
            close(&format!("{name} at {} V, column {column}", row[0]), value, *expected, 2e-11);
        }
        rows_seen += 1;
    };
    let curve = |name: &str| -> Vec<Vec<f64>> { serde_json::from_value(vectors["curves"][name].clone()).unwrap() };
    for (name, inductance, winding, timing) in peak {
        for row in curve(name) {
            check(name, &row, peak_controlled(&stage(inductance, winding, row[0]), &timing));
        }
    }
    let chopped = [
        ("amp10M_10u", 10e-6, 0.15, amplifier(10e6, 70e-9, 70e-9)),
        ("amp10M_100u", 100e-6, 0.15, amplifier(10e6, 70e-9, 70e-9)),
        ("amp50M_220u_toff2u_equiv", 220e-6, 0.4, amplifier(50e6, 80e-9, 2e-6)),
    ];
    for (name, inductance, winding, timing) in chopped {
        for row in curve(name) {
            check(name, &row, amplifier_controlled(&stage(inductance, winding, row[0]), &timing).unwrap());
        }
    }
    assert_eq!(rows_seen, 66);
}

#[test]
fn the_floor_left_at_a_vanishing_reference() {
    let stages =
        [(10e-6, 0.15, times(60e-9, 120e-9)), (10e-6, 0.15, times(1.3e-6, 1.3e-6)), (220e-6, 0.4, times(80e-9, 2e-6))];
    for (row, (inductance, winding, timing)) in rows(&vectors(), "floor").iter().zip(stages) {
        // Even then the switch is on for the delay in each cycle.
        let floor = peak_controlled(&stage(inductance, winding, 1e-9), &timing);
        let name = row["name"].as_str().unwrap();
        close(name, floor.peak.value(), number(row, "i_peak"), EVENTS);
        close(name, floor.mean.value(), number(row, "i_avg"), EVENTS);
        assert_eq!(peak_controlled(&stage(inductance, winding, 0.0), &timing).regime, Regime::Off);
    }
    let row = &vectors()["discontinuous"];
    let cycle = peak_controlled(&sink(&row["params"]), &peak_timing(&row["params"]));
    close("peak", cycle.peak.value(), number(&row["exact"], "i_peak"), EVENTS);
    close("mean", cycle.mean.value(), number(&row["exact"], "i_avg"), EVENTS);
}

#[test]
fn a_slow_amplifier_regulates_the_mean_of_the_chopped_signal() {
    let vectors = vectors();
    for row in rows(&vectors, "averaging") {
        let timing = amplifier(number(row, "gbw"), 70e-9, 70e-9);
        let cycle = amplifier_controlled(&stage(100e-6, 0.15, 1.0), &timing).unwrap();
        close("τa", timing.amplifier.value(), number(row, "ta"), CLOSED_FORM);
        close("mean", cycle.mean.value(), number(row, "i_avg"), EVENTS);
        close("switch", cycle.switch_mean.value(), number(row, "i_sw_avg"), EVENTS);
        close("f", cycle.frequency.value(), number(row, "f"), EVENTS);
    }
    for row in rows(&vectors, "constant_off_amplifier") {
        let timing = amplifier(number(row, "gbw"), 80e-9, 2e-6);
        let recovered = amplifier_controlled(&stage(220e-6, 0.4, 1.0), &timing).unwrap();
        close("peak", recovered.peak.value(), number(row, "i_peak"), 1e-9);
    }
}

#[test]
fn hysteresis_hardly_moves_the_ripple_when_sensing_in_the_switch() {
    let vectors = vectors();
    let set = rows(&vectors, "sets").iter().find(|set| set["name"] == "A4-24V-100uH-amp").unwrap();
    for row in rows(&vectors, "band_without_effect") {
        let timing = ChoppedTiming {
            amplifier: Seconds::si(number(row, "ta")),
            hysteresis: Volts::si(number(row, "Vh")),
            off_delay: Seconds::si(100e-9),
            on_delay: Seconds::si(100e-9),
        };
        let cycle = amplifier_controlled(&sink(&set["params"]), &timing).unwrap();
        close("ripple", cycle.ripple.value(), number(row, "ripple"), 1e-9);
        close("mean", cycle.mean.value(), number(row, "i_avg"), EVENTS);
        close("f", cycle.frequency.value(), number(row, "f"), 1e-9);
    }
}

#[test]
fn the_design_recipe_holds_its_current() {
    for row in rows(&vectors(), "recipe") {
        let inp = &row["inp"];
        let start = SwitchedSink {
            supply: Volts::si(number(inp, "Vs")),
            string: StringModel { offset: Volts::si(number(inp, "V0")), slope: Ohms::si(number(inp, "Rd")) },
            inductance: Henries::si(1.0),
            winding: Ohms::si(number(inp, "RL")),
            on_resistance: Ohms::si(number(inp, "Ron")),
            sense: Ohms::si(number(inp, "Rs")),
            diode: DiodeDrop { offset: Volts::si(number(inp, "VD")), slope: Ohms::ZERO },
            gain: 1.0,
            reference: Volts::ZERO,
        };
        let target = DesignTarget {
            current: Amperes::si(number(inp, "I")),
            ripple: number(inp, "r"),
            frequency: Hertz::si(number(inp, "f")),
            delay: Seconds::si(number(inp, "td")),
        };
        let made = design(&start, &target).unwrap();
        close("D", made.duty, number(row, "D"), CLOSED_FORM);
        close("toff", made.off_time.value(), number(row, "t_off"), CLOSED_FORM);
        close("L", made.inductance.value(), number(row, "L"), CLOSED_FORM);
        close("I_T", made.trip_current.value(), number(row, "I_trip"), CLOSED_FORM);
        close("Vref", made.reference.value(), number(row, "Vsense_trip"), CLOSED_FORM);
        let stage = SwitchedSink { inductance: made.inductance, reference: made.reference, ..start };
        let timing = PeakTiming { delay: target.delay, off_time: made.off_time };
        let cycle = peak_controlled(&stage, &timing);
        close("mean", cycle.mean.value(), number(&row["exact"], "i_avg"), EVENTS);
        close("peak", cycle.peak.value(), number(&row["exact"], "i_peak"), EVENTS);
        close("f", cycle.frequency.value(), number(&row["exact"], "f"), EVENTS);
        close("as wished", cycle.mean.value(), number(inp, "I"), 1e-3);
    }
}

#[test]
fn a_resistor_in_place_of_the_string() {
    for row in rows(&vectors(), "dummy_load") {
        let load = StringModel { offset: Volts::ZERO, slope: Ohms::si(number(row, "R_dummy")) };
        let dummy = SwitchedSink { string: load, ..stage(220e-6, 0.4, 3.3 * number(row, "duty")) };
        let cycle = peak_controlled(&dummy, &times(80e-9, 2e-6));
        assert_eq!(cycle.regime, regime_named(row["regime"].as_str().unwrap()));
        close("mean", cycle.mean.value(), number(row, "I_avg"), EVENTS);
        close("peak", cycle.peak.value(), number(row, "I_peak"), EVENTS);
        close("f", cycle.frequency.value(), number(row, "f"), EVENTS);
        // A meter on the sense resistor sees only what flows while the switch is on.
        close("meter", (cycle.switch_mean * dummy.sense).value(), number(row, "V_sense_dmm"), EVENTS);
        close("heat", cycle.led_power.value(), number(row, "P_dummy"), EVENTS);
    }
}
