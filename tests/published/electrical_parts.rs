//! Stress and ratings of single parts against stored vectors: tests/reference/electrical/parts.json.

use lampwright::physics::conductors::fuse::{LOADING_UL, rating_for};
use lampwright::physics::electrical::parts::amplifier::{amplifier_time_constant, sense_gain};
use lampwright::physics::electrical::parts::resistor::{DeratingCurve, least_rating, rating_to_buy, sense_resistance};
use lampwright::physics::electrical::parts::switch::{GateDrive, switching_loss, typical_hot_factor};
use lampwright::quantity::{Amperes, Coulombs, Hertz, Ohms, Temperature, Volts, Watts};
use serde_json::Value;

use super::electrical::{CLOSED_FORM, close, number, rows};

fn parts() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/parts.json")).expect("vectors")
}

fn volts(row: &Value, key: &str) -> Volts {
    Volts::si(number(row, key))
}

fn amperes(row: &Value, key: &str) -> Amperes {
    Amperes::si(number(row, key))
}

#[test]
fn sense_resistor_and_its_amplifier() {
    for row in rows(&parts(), "sense") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let current = amperes(inp, "I");
        let sense = sense_resistance(volts(inp, "Vfs"), current);
        close("Rs", sense.value(), number(out, "Rs"), CLOSED_FORM);
        close("P", sense.power_at(current).value(), number(out, "P"), CLOSED_FORM);
        close("A", sense_gain(volts(inp, "Vref"), current, sense), number(out, "gain"), CLOSED_FORM);
        let tau = amplifier_time_constant(number(inp, "A"), Hertz::si(number(inp, "GBW")));
        close("τa", tau.value(), number(out, "tau_a"), CLOSED_FORM);
    }
}

#[test]
fn derating_and_rating_of_resistors() {
    for row in rows(&parts(), "derating") {
        let ambient = Temperature::from_celsius(number(row, "T"));
        let allowed = DeratingCurve::FILM.allowed_power(Watts::si(number(row, "P_rated")), ambient);
        close("allowed", allowed.value(), number(row, "P_allowed"), CLOSED_FORM);
    }
    for row in rows(&parts(), "resistor_pick") {
        let ambient = Temperature::from_celsius(number(row, "Ta"));
        let power = Ohms::si(number(row, "R")).power_at(amperes(row, "I"));
        close("P", power.value(), number(row, "P"), CLOSED_FORM);
        let least = least_rating(power, ambient, &DeratingCurve::FILM, 0.5);
        close("least", least.value(), number(row, "P_rated_min"), CLOSED_FORM);
        let bought = rating_to_buy(power, ambient, &DeratingCurve::FILM, 0.5);
        assert_eq!(bought, Some(Watts::si(number(row, "pick"))));
    }
}

#[test]
fn switch_losses() {
    for row in rows(&parts(), "mosfet") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let coulombs = |key: &str| Coulombs::si(number(inp, key));
        let gate = GateDrive {
            drive: volts(inp, "Vdrv"),
            plateau: volts(inp, "Vpl"),
            switching_charge: coulombs("Qgd") + coulombs("Qgs2"),
            resistance: Ohms::si(number(inp, "Rg")),
        };
        let (frequency, blocked) = (Hertz::si(number(inp, "f")), volts(inp, "Vs") + volts(inp, "VD"));
        close("t_r", gate.rise_time().value(), number(out, "t_rise"), 2e-12);
        close("t_f", gate.fall_time().value(), number(out, "t_fall"), CLOSED_FORM);
        let edges = switching_loss(blocked, amperes(inp, "iv"), amperes(inp, "ipk"), &gate, frequency);
        close("P_sw", edges.value(), number(out, "P_sw"), CLOSED_FORM);
    }
    for row in rows(&parts(), "rdson_temp") {
        let junction = Temperature::from_celsius(number(row, "T_C"));
        close("0.6 %/K", typical_hot_factor(junction), number(row, "k_lin_0p6pct"), CLOSED_FORM);
    }
}

#[test]
fn low_voltage_fuse() {
    for row in rows(&parts(), "fuse") {
        let bought = rating_for(amperes(row, "I_op"), LOADING_UL * number(row, "k_T"));
        assert_eq!(bought, Some(amperes(row, "I_n")));
    }
}
