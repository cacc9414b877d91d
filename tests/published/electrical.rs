//! Strings, ballast, linear sink and module against stored vectors: tests/reference/electrical/drives.json.
//! Also the helpers by which the other electrical tests read their vectors.

use lampwright::physics::electrical::ballast::Ballast;
use lampwright::physics::electrical::linear::LinearSink;
use lampwright::physics::electrical::module::BuckModule;
use lampwright::physics::electrical::parallel::share_current;
use lampwright::physics::electrical::runaway::VoltageDriven;
use lampwright::physics::electrical::string::StringModel;
use lampwright::quantity::{Amperes, KelvinPerWatt, Ohms, Volts, VoltsPerKelvin};
use serde_json::Value;

/// Relative tolerance of a closed form in double precision.
pub(crate) const CLOSED_FORM: f64 = 1e-12;

/// A number of a vector; a missing key is a fault of the test.
pub(crate) fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("no number {key} in {row}"))
}

/// The rows of a table of vectors.
pub(crate) fn rows<'a>(table: &'a Value, key: &str) -> &'a [Value] {
    table[key].as_array().filter(|rows| !rows.is_empty()).unwrap_or_else(|| panic!("no rows {key}"))
}

/// Fails unless `found` is within a relative tolerance of `expected` (absolute near zero).
pub(crate) fn close(what: &str, found: f64, expected: f64, tolerance: f64) {
    let scale = if expected.abs() < 1e-12 { 1.0 } else { expected.abs() };
    assert!((found - expected).abs() <= tolerance * scale, "{what}: found {found}, expected {expected}");
}

fn drives() -> Value {
    serde_json::from_str(include_str!("../reference/electrical/drives.json")).expect("vectors")
}

fn volts(row: &Value, key: &str) -> Volts {
    Volts::si(number(row, key))
}

fn ohms(row: &Value, key: &str) -> Ohms {
    Ohms::si(number(row, key))
}

fn string(row: &Value) -> StringModel {
    StringModel { offset: volts(row, "V0"), slope: ohms(row, "Rd") }
}

#[test]
fn a_line_through_two_points_of_the_forward_curve() {
    for row in rows(&drives(), "linear_two_point") {
        let point = |i: &str, v: &str| (Amperes::si(number(row, i)), volts(row, v));
        let line = StringModel::through(point("I1", "V1"), point("I2", "V2")).unwrap();
        close("V0", line.offset.value(), number(row, "V0"), CLOSED_FORM);
        close("Rd", line.slope.value(), number(row, "Rd"), CLOSED_FORM);
    }
}

#[test]
fn parallel_strings_share_a_current() {
    for row in rows(&drives(), "parallel") {
        let list = |key: &str| -> Vec<f64> { rows(row, key).iter().map(|v| v.as_f64().unwrap()).collect() };
        let models = list("V0").into_iter().zip(list("R"));
        let strings: Vec<StringModel> =
            models.map(|(v, r)| StringModel { offset: Volts::si(v), slope: Ohms::si(r) }).collect();
        let share = share_current(Amperes::si(number(row, "Itot")), &strings).unwrap();
        // The stored currents carry the rounding of V − V0, two units in the last place of 15 V over 0.1 V.
        for (found, expected) in share.iter().zip(list("I")) {
            close("I", found.value(), expected, 1e-11);
        }
    }
}

#[test]
fn thermal_runaway_under_voltage_drive() {
    for row in rows(&drives(), "runaway") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let branch = VoltageDriven {
            supply: volts(inp, "Vs"),
            resistance: ohms(inp, "Rext"),
            string: string(inp),
            fall: VoltsPerKelvin::si(number(inp, "kT")),
            thermal_resistance: KelvinPerWatt::si(number(inp, "Rth")),
            heat_fraction: number(inp, "h"),
        };
        close("I_cold", branch.cold_current().value(), number(out, "I_cold"), 1e-11);
        close("G_cold", branch.loop_gain(branch.cold_current()), number(out, "G_cold"), 1e-11);
        let hot = branch.hot_current();
        assert_eq!(hot.is_some(), out["stable"].as_bool().unwrap());
        if let Some(hot) = hot {
            close("I_hot", hot.value(), number(out, "I_hot"), 1e-11);
            close("G", branch.loop_gain(hot), number(out, "G"), 1e-11);
        }
    }
}

#[test]
fn ballast_resistor() {
    for row in rows(&drives(), "ballast") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let branch = Ballast {
            supply: volts(inp, "Vs"),
            string: string(inp),
            resistor: ohms(inp, "Rb"),
            other: ohms(inp, "Ron"),
        };
        close("I", branch.current().value(), number(out, "I"), CLOSED_FORM);
        close("P_R", branch.resistor_power().value(), number(out, "P_R"), CLOSED_FORM);
        close("P_LED", branch.led_power().value(), number(out, "P_led"), CLOSED_FORM);
    }
}

#[test]
fn linear_sink() {
    for row in rows(&drives(), "linear_sink") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let sink = LinearSink {
            supply: volts(inp, "Vs"),
            string: string(inp),
            sense: ohms(inp, "Rs"),
            on_resistance: Ohms::si(0.05),
            reference: volts(inp, "Vref"),
            offset: Volts::ZERO,
        };
        close("I_set", sink.set_current().value(), number(out, "I_set"), CLOSED_FORM);
        close("I_sat", sink.saturation_current().value(), number(out, "I_sat"), CLOSED_FORM);
        close("I", sink.current().value(), number(out, "I"), CLOSED_FORM);
        close("worst P", sink.worst_power().value(), number(out, "P_fet_worst"), 1e-11);
    }
}

#[test]
fn bought_module() {
    for row in rows(&drives(), "buck_module") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let module =
            BuckModule { current: Amperes::si(number(inp, "I")), string: string(inp), efficiency: number(inp, "eta") };
        close("V", module.output_voltage().value(), number(out, "V_out"), CLOSED_FORM);
        close("P_out", module.output_power().value(), number(out, "P_out"), CLOSED_FORM);
        close("P_in", module.input_power().value(), number(out, "P_in"), CLOSED_FORM);
        close("loss", module.loss().value(), number(out, "P_loss"), CLOSED_FORM);
    }
}
