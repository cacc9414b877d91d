//! Strings, ballast, linear sink and module against stored vectors: tests/reference/electrical/drives.json.
//! Also the helpers by which the other electrical tests read their vectors.

use lampwright::physics::electrical::ballast::{Ballast, BallastSpread};
use lampwright::physics::electrical::junction::{JunctionModel, thermal_voltage};
use lampwright::physics::electrical::linear::LinearSink;
use lampwright::physics::electrical::module::BuckModule;
use lampwright::physics::electrical::parallel::{HotPair, share_current};
use lampwright::physics::electrical::runaway::{VoltageDriven, hot_point_at_voltage};
use lampwright::physics::electrical::string::StringModel;
use lampwright::quantity::{Amperes, Kelvin, KelvinPerWatt, Ohms, Temperature, Volts, VoltsPerKelvin};
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
fn the_logarithmic_model_and_its_inverse_by_lamberts_function() {
    let table = drives();
    let model = &table["log_model"];
    let p = &model["params"];
    let led = JunctionModel {
        voltage: volts(p, "Vref"),
        current: Amperes::si(number(p, "Iref")),
        temperature: Temperature::from_celsius(25.0),
        ideality: number(p, "n"),
        resistance: ohms(p, "Rs"),
        coefficient: VoltsPerKelvin::si(number(p, "kT")),
    };
    // kB/q with the exact constants of the SI of 2019.
    let v_t = thermal_voltage(Temperature::from_celsius(25.0));
    close("V_T", v_t.value(), number(model, "VT_298p15"), 1e-15);
    for row in rows(model, "points") {
        let (i, t) = (Amperes::si(number(row, "I")), Temperature::si(number(row, "T")));
        close("V", led.forward_voltage(i, t).value(), number(row, "V"), CLOSED_FORM);
        close("r", led.dynamic_resistance(i, t).value(), number(row, "r_dyn"), CLOSED_FORM);
    }
    for row in rows(model, "inverse") {
        let found = led.current_at(volts(row, "V"), Temperature::si(number(row, "T")));
        close("I", found.value(), number(row, "I"), CLOSED_FORM);
    }
    let points = [(0.02, 2.70), (0.1, 2.86), (0.35, 3.05)].map(|(i, v)| (Amperes::si(i), Volts::si(v)));
    let fit = JunctionModel::through(points, led.temperature, led.coefficient).unwrap();
    close("n", fit.ideality, table["fit3"]["n_Rs"][0].as_f64().unwrap(), CLOSED_FORM);
    close("Rs", fit.resistance.value(), table["fit3"]["n_Rs"][1].as_f64().unwrap(), CLOSED_FORM);
    for (current, voltage) in points {
        close("through", fit.forward_voltage(current, led.temperature).value(), voltage.value(), CLOSED_FORM);
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
        close("V", share.voltage.value(), number(row, "V"), CLOSED_FORM);
        // The stored currents carry the rounding of V − V0, two units in the last place of 15 V over 0.1 V.
        close("max/mean", share.unevenness, number(row, "max_over_mean"), 3e-11);
        for (found, expected) in share.currents.iter().zip(list("I")) {
            close("I", found.value(), expected, 1e-11);
        }
    }
}

#[test]
fn strings_with_separate_heat_drift_apart() {
    for row in rows(&drives(), "hogging") {
        let pair = HotPair {
            string: string(row),
            ballast: ohms(row, "Rb"),
            fall: VoltsPerKelvin::si(number(row, "kT")),
            thermal_resistance: KelvinPerWatt::si(number(row, "Rth")),
            heat_fraction: number(row, "h"),
        };
        let mean = Amperes::si(number(row, "Itot") / 2.0);
        close("Gd", pair.hogging_gain(mean), number(row, "G"), CLOSED_FORM);
        let found = pair.hot_difference(mean, volts(row, "dV0")).unwrap().value();
        close("ΔI", found, number(row, "dI_linear"), CLOSED_FORM);
        // Both strings solved together; the formula is exact without ballast, else to first order.
        let (exact, tolerance) = (number(row, "dI_exact"), if number(row, "Rb") > 0.0 { 1e-5 } else { 1e-11 });
        close("ΔI solved", found, exact, tolerance);
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
        let hot = branch.hot_point();
        assert_eq!(hot.is_some(), out["stable"].as_bool().unwrap());
        if let Some(hot) = hot {
            close("I_hot", hot.current.value(), number(out, "I_hot"), 1e-11);
            close("G", hot.gain, number(out, "G"), 1e-11);
            close("Tj", 25.0 + hot.rise.value(), number(out, "T_j"), 1e-11);
        }
    }
}

#[test]
fn thermal_runaway_by_the_logarithmic_model() {
    for row in rows(&drives(), "runaway_log") {
        let ambient = Temperature::from_celsius(25.0);
        let led = JunctionModel {
            voltage: Volts::si(3.05),
            current: Amperes::si(0.35),
            temperature: ambient,
            ideality: 2.2,
            resistance: Ohms::si(0.45),
            coefficient: VoltsPerKelvin::si(-number(row, "kT")),
        };
        let thermal = KelvinPerWatt::si(number(row, "Rth"));
        let hot = hot_point_at_voltage(&led, volts(row, "V"), ambient, thermal, number(row, "h")).unwrap();
        close("I", hot.current.value(), number(row, "I"), 1e-10);
        close("Tj", (ambient + hot.rise - Temperature::from_celsius(0.0)).value(), number(row, "T_j"), 1e-10);
        close("G", hot.gain, number(row, "G"), 1e-9);
        let runs_away = KelvinPerWatt::si(number(row, "Rth") * 40.0);
        assert_eq!(hot_point_at_voltage(&led, volts(row, "V"), ambient, runs_away, 0.9), None);
    }
}

#[test]
fn ballast_resistor_and_its_corners() {
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
        close("η", branch.efficiency(), number(out, "eff"), CLOSED_FORM);
        close("S", branch.supply_sensitivity(), number(out, "sens_Vs"), CLOSED_FORM);
        let drift = branch.thermal_drift(VoltsPerKelvin::si(1e-3), Kelvin::si(1.0));
        close("dI/dT", drift.value(), number(out, "dIdT_per_mV"), CLOSED_FORM);
        // The corners stored are for Vs 5 %, V0 3 %, Rb 5 %.
        let spread = BallastSpread {
            supply: branch.supply * 0.05,
            offset: branch.string.offset * 0.03,
            resistor: branch.resistor * 0.05,
            ..BallastSpread::default()
        };
        let (low, high) = branch.extremes(&spread);
        close("low", low.value(), number(row, "corner_lo"), CLOSED_FORM);
        close("high", high.value(), number(row, "corner_hi"), CLOSED_FORM);
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
        assert_eq!(sink.regulates(), out["regulating"].as_bool().unwrap());
        // A small difference of large voltages: a few units in the last place of the supply.
        close("V_DS", sink.drop().value(), number(out, "V_ds"), 1e-11);
        close("P", sink.transistor_power().value(), number(out, "P_fet"), 1e-11);
        close("P_Rs", sink.sense_power().value(), number(out, "P_sense"), CLOSED_FORM);
        close("worst I", sink.worst_power().current.value(), number(out, "I_worst"), CLOSED_FORM);
        close("worst P", sink.worst_power().power.value(), number(out, "P_fet_worst"), 1e-11);
        close("shorted", sink.shorted_power().value(), number(out, "P_fet_short_led"), 1e-11);
        let gate = sink.gate_voltage(Volts::ZERO);
        close("gate", gate.value(), number(out, "V_gate_needed_above_vgs"), CLOSED_FORM);
    }
}

#[test]
fn bought_module() {
    for row in rows(&drives(), "buck_module") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let module = BuckModule {
            input: volts(inp, "Vin"),
            current: Amperes::si(number(inp, "I")),
            string: string(inp),
            efficiency: number(inp, "eta"),
        };
        close("V", module.output_voltage().value(), number(out, "V_out"), CLOSED_FORM);
        close("P_out", module.output_power().value(), number(out, "P_out"), CLOSED_FORM);
        close("P_in", module.input_power().value(), number(out, "P_in"), CLOSED_FORM);
        close("I_in", module.input_current().value(), number(out, "I_in"), CLOSED_FORM);
        close("loss", module.loss().value(), number(out, "P_loss"), CLOSED_FORM);
        let (by_drop, by_duty) = (number(out, "V_in_min_drop"), number(out, "V_in_min_duty"));
        let least = |dropout, duty| module.least_input(dropout, duty).map(Volts::value);
        close("2 V dropout", least(Some(Volts::si(2.0)), None).unwrap(), by_drop, CLOSED_FORM);
        close("duty 0.95", least(None, Some(0.95)).unwrap(), by_duty, CLOSED_FORM);
        close("both", least(Some(Volts::si(2.0)), Some(0.95)).unwrap(), by_drop.max(by_duty), CLOSED_FORM);
        assert_eq!(least(None, None), None);
    }
}
