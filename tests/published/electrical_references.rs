//! Filtered references, pins and dimming against stored vectors: filter.json and pins.json of the electrical folder.

use lampwright::physics::electrical::dimming::{
    lightness, low_risk_modulation, luminance, no_effect_modulation, pwm_bits, pwm_counts,
};
use lampwright::physics::electrical::pins::{least_pull_down_for_strap_high, most_pull_down_for_strap_low};
use lampwright::physics::electrical::reference::{PwmPin, RcSection, least_time_constant, settling_time};
use lampwright::physics::electrical::second_order::TwoSections;
use lampwright::quantity::{Farads, Hertz, Ohms, Seconds, Volts};
use serde_json::Value;

use super::electrical::{CLOSED_FORM, close, number, rows};

fn filters() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/filter.json")).expect("vectors")
}

fn pins() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/pins.json")).expect("vectors")
}

fn pin(row: &Value) -> PwmPin {
    PwmPin {
        high: Volts::si(number(row, "VH")),
        low: Volts::ZERO,
        duty: number(row, "D"),
        frequency: Hertz::si(number(row, "f")),
    }
}

fn ohms(row: &Value, key: &str) -> Ohms {
    Ohms::si(number(row, key))
}

fn farads(row: &Value, key: &str) -> Farads {
    Farads::si(number(row, key))
}

#[test]
fn one_rc_section() {
    for row in rows(&filters(), "first_order") {
        let section = RcSection {
            resistance: ohms(row, "R") + ohms(row, "Ro"),
            capacitance: farads(row, "C"),
            load: row["RL"].as_f64().map(Ohms::si),
        };
        close("τ", section.time_constant().value(), number(row, "tau"), CLOSED_FORM);
        close("k", section.attenuation(), number(row, "k"), CLOSED_FORM);
        let worst = section.worst_ripple(&pin(row)).value();
        close("worst", worst, number(row, "ripple_worst_D50"), CLOSED_FORM);
        // At its own duty none ripples more, and at half duty it is this ripple; a difference of levels, with their rounding.
        let swing = number(row, "vmax") - number(row, "vmin");
        assert!(swing <= worst * (1.0 + 1e-11), "{row}");
        if number(row, "D") == 0.5 {
            close("at half duty", worst, swing, 1e-11);
        }
    }
}

#[test]
fn two_rc_sections() {
    for row in rows(&filters(), "second_order") {
        let sections = TwoSections {
            first_resistance: ohms(row, "R1") + ohms(row, "Ro"),
            first_capacitance: farads(row, "C1"),
            second_resistance: ohms(row, "R2"),
            second_capacitance: farads(row, "C2"),
            load: row["RL"].as_f64().map(Ohms::si),
        };
        let (t1, t2) = sections.time_constants();
        close("t1", t1.value(), number(row, "tau1"), CLOSED_FORM);
        close("t2", t2.value(), number(row, "tau2"), CLOSED_FORM);
        let ripple = sections.ripple(&pin(row)).value();
        // A difference of levels, by closed form and by matrix exponential, carries their rounding.
        close("ripple", ripple, number(row, "ripple_pp"), 1e-11);
        let exponential = number(row, "expm_vmax") - number(row, "expm_vmin");
        close("ripple, matrix exponential", ripple, exponential, 1e-10);
    }
}

#[test]
fn settling_and_choice_of_the_time_constant() {
    let sections = TwoSections {
        first_resistance: Ohms::si(5100.0),
        first_capacitance: Farads::si(220e-9),
        second_resistance: Ohms::si(51e3),
        second_capacitance: Farads::si(22e-9),
        load: None,
    };
    for row in rows(&filters(), "settling") {
        let (bits, within) = (number(row, "bits") as u32, number(row, "N_lsb"));
        let first = settling_time(Seconds::si(number(row, "tau")), bits, within);
        close("first order", first.value(), number(row, "t1"), CLOSED_FORM);
        let second = sections.settling_time(bits, within);
        close("second order", second.value(), number(row, "t2_5k1_220n_51k_22n"), 1e-10);
    }
    for row in rows(&filters(), "design") {
        let bits = number(row, "bits") as u32;
        let least = least_time_constant(Hertz::si(number(row, "f_pwm")), bits, number(row, "ripple_lsb")).unwrap();
        close("τ", least.value(), number(row, "tau_min"), CLOSED_FORM);
        let settled = settling_time(least, bits, number(row, "settle_lsb"));
        close("settling", settled.value(), number(row, "t_settle"), CLOSED_FORM);
        close("periods", settled.value() * number(row, "f_pwm"), number(row, "ts_periods"), CLOSED_FORM);
    }
    // Published: 355 PWM periods for 8 bits and a quarter of a step (abstract of Petronijevic, Elez, Dokic and
    // Rajovic), read as settling to that quarter with the ripple at that quarter.
    let least = least_time_constant(Hertz::si(1.0), 8, 0.25).unwrap();
    let periods = least.value() * libm::log(4.0);
    close("stored", periods, number(&filters()["published_check"], "periods"), CLOSED_FORM);
    assert_eq!(periods.ceil(), 355.0);
}

#[test]
fn pull_downs_at_reset() {
    for row in rows(&pins(), "pulldown") {
        let pull_up = ohms(row, "R_pullup");
        let high = least_pull_down_for_strap_high(pull_up, 0.75);
        close("strap high", high.value(), number(row, "R_min_keep_strap_high"), CLOSED_FORM);
        let low = most_pull_down_for_strap_low(pull_up, 0.25);
        close("strap low", low.value(), number(row, "R_max_keep_strap_low"), CLOSED_FORM);
    }
}

#[test]
fn counts_bits_and_lightness() {
    for row in rows(&pins(), "pwm_res") {
        let (clock, pwm) = (Hertz::si(number(row, "f_clk")), Hertz::si(number(row, "f_pwm")));
        assert_eq!(pwm_counts(clock, pwm), number(row, "counts"));
        close("bits", pwm_bits(clock, pwm), number(row, "bits"), CLOSED_FORM);
    }
    for row in rows(&pins(), "cie") {
        let l = number(row, "L");
        close("Y", luminance(l), number(row, "Y"), CLOSED_FORM);
        close("L*", lightness(number(row, "Y")), l, CLOSED_FORM);
    }
    // CIE 15: a luminance of 18.4187 % is L* 50.
    close("L* 50", luminance(50.0), 0.184_186_519, 1e-8);
}

#[test]
fn limits_of_temporal_modulation() {
    for row in rows(&pins(), "flicker") {
        let f = Hertz::si(number(row, "f"));
        let per_cent = |limit: Option<f64>| limit.map(|ratio| ratio * 100.0);
        for (found, key) in [(low_risk_modulation(f), "low_risk_pct"), (no_effect_modulation(f), "noel_pct")] {
            match (per_cent(found), row[key].as_f64()) {
                (Some(found), Some(expected)) => close(key, found, expected, CLOSED_FORM),
                (found, expected) => assert_eq!(found, expected, "{key} at {f}"),
            }
        }
    }
    // Published point of IEEE 1789-2015: 8 % at 100 Hz.
    close("100 Hz", low_risk_modulation(Hertz::si(100.0)).unwrap(), 0.08, CLOSED_FORM);
}
