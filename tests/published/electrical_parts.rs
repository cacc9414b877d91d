//! Stress and ratings of single parts against stored vectors: tests/reference/electrical/parts.json.

use lampwright::physics::conductors::fuse::{LOADING_UL, rating_for};
use lampwright::physics::electrical::hysteretic::delay_limited_inductance;
use lampwright::physics::electrical::parts::amplifier::{
    amplifier_time_constant, hysteresis, least_accurate_current, offset_error, output_low_floor, ramp_lag,
    ramp_slew_rate, sense_gain, step_slew_rate,
};
use lampwright::physics::electrical::parts::passive::{inrush, ripple_peak, ripple_rms, supply_capacitor};
use lampwright::physics::electrical::parts::resistor::{DeratingCurve, least_rating, rating_to_buy, sense_resistance};
use lampwright::physics::electrical::parts::switch::{
    GateDrive, avalanche_energy, mobility_factor, output_capacitance_loss, switching_loss, typical_hot_factor,
};
use lampwright::quantity::{
    Amperes, AmperesPerSecond, Coulombs, Farads, Henries, Hertz, Ohms, Seconds, Temperature, Volts, Watts,
};
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
fn sense_resistor_and_amplifier() {
    for row in rows(&parts(), "sense") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let (current, gain) = (amperes(inp, "I"), number(inp, "A"));
        let sense = sense_resistance(volts(inp, "Vfs"), current);
        close("Rs", sense.value(), number(out, "Rs"), CLOSED_FORM);
        close("P", sense.power_at(current).value(), number(out, "P"), CLOSED_FORM);
        close("A", sense_gain(volts(inp, "Vref"), current, sense), number(out, "gain"), CLOSED_FORM);
        let tau = amplifier_time_constant(gain, Hertz::si(number(inp, "GBW")));
        close("τa", tau.value(), number(out, "tau_a"), CLOSED_FORM);
        let rise = AmperesPerSecond::si(number(inp, "mr"));
        close("lag", ramp_lag(rise, tau).value(), number(out, "lag_A"), CLOSED_FORM);
        close("ramp", ramp_slew_rate(gain, sense, rise).value(), number(out, "SR_ramp"), CLOSED_FORM);
        let step = step_slew_rate(gain, sense, amperes(inp, "iv"), tau);
        close("step", step.value(), number(out, "SR_step"), CLOSED_FORM);
        let error = offset_error(volts(inp, "Vosa"), volts(inp, "Vosc"), gain, sense);
        close("offset", error.value(), number(out, "I_off"), CLOSED_FORM);
        let floor = output_low_floor(volts(inp, "VOL"), gain, sense);
        close("floor", floor.value(), number(out, "I_floor_VOL"), CLOSED_FORM);
        close("10 %", least_accurate_current(error, 0.1).value(), number(out, "I_min_10pct"), CLOSED_FORM);
    }
}

#[test]
fn hysteresis_network() {
    for row in rows(&parts(), "hysteresis_net") {
        let ohms = |key: &str| Ohms::si(number(row, key));
        let found = hysteresis(volts(row, "Vref"), ohms("R1"), ohms("R2"), volts(row, "VOH"), volts(row, "VOL"));
        close("upper", found.upper.value(), number(row, "V_upper"), CLOSED_FORM);
        close("lower", found.lower.value(), number(row, "V_lower"), CLOSED_FORM);
        close("width", found.width.value(), number(row, "Vh"), CLOSED_FORM);
        close("shift", found.shift.value(), number(row, "centre_shift"), 1e-11);
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
            total_charge: coulombs("Qg"),
            resistance: Ohms::si(number(inp, "Rg")),
        };
        let (frequency, blocked) = (Hertz::si(number(inp, "f")), volts(inp, "Vs") + volts(inp, "VD"));
        close("t_r", gate.rise_time().value(), number(out, "t_rise"), 2e-12);
        close("t_f", gate.fall_time().value(), number(out, "t_fall"), CLOSED_FORM);
        let conduction = Ohms::si(number(inp, "Ron25") * number(inp, "kT")).power_at(amperes(inp, "isw_rms"));
        close("P_cond", conduction.value(), number(out, "P_cond"), CLOSED_FORM);
        let edges = switching_loss(blocked, amperes(inp, "iv"), amperes(inp, "ipk"), &gate, frequency);
        close("P_sw", edges.value(), number(out, "P_sw"), CLOSED_FORM);
        let output = output_capacitance_loss(Farads::si(number(inp, "Coss")), blocked, frequency);
        close("P_oss", output.value(), number(out, "P_oss"), CLOSED_FORM);
        close("P", (conduction + edges + output).value(), number(out, "P_fet"), CLOSED_FORM);
        close("gate", gate.power(frequency).value(), number(out, "P_gate_driver"), CLOSED_FORM);
    }
    for row in rows(&parts(), "rdson_temp") {
        let junction = Temperature::from_celsius(number(row, "T_C"));
        close("T^2.3", mobility_factor(junction), number(row, "k_power2p3"), CLOSED_FORM);
        close("0.6 %/K", typical_hot_factor(junction), number(row, "k_lin_0p6pct"), CLOSED_FORM);
    }
    for row in rows(&parts(), "avalanche") {
        let inductance = Henries::si(number(row, "L"));
        let energy = avalanche_energy(inductance, amperes(row, "I"), volts(row, "BV"), volts(row, "Vs")).unwrap();
        close("E", energy.value(), number(row, "E"), CLOSED_FORM);
        close("P", energy.value() * number(row, "f"), number(row, "P"), CLOSED_FORM);
    }
}

#[test]
fn inductor_capacitor_and_inrush() {
    for row in rows(&parts(), "inductor") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let (current, ripple) = (amperes(inp, "I"), number(inp, "r"));
        close("I_pk", ripple_peak(current, ripple).value(), number(out, "I_pk"), CLOSED_FORM);
        let rms = ripple_rms(current, ripple);
        close("I_rms", rms.value(), number(out, "I_rms"), CLOSED_FORM);
        close("P", Ohms::si(number(inp, "RL")).power_at(rms).value(), number(out, "P_dcr"), CLOSED_FORM);
    }
    for row in rows(&parts(), "inductor_delay") {
        let across = volts(row, "Vs") - volts(row, "Vled");
        let least =
            delay_limited_inductance(across, Seconds::si(number(row, "td")), amperes(row, "I"), number(row, "k"));
        close("L", least.value(), number(row, "L_min"), CLOSED_FORM);
    }
    for row in rows(&parts(), "cin") {
        let (inp, out) = (&row["inp"], &row["out"]);
        let stress = supply_capacitor(
            amperes(inp, "I"),
            amperes(inp, "dI"),
            number(inp, "D"),
            Hertz::si(number(inp, "f")),
            Farads::si(number(inp, "C")),
            Ohms::si(number(inp, "ESR")),
        );
        close("I_rms", stress.rms.value(), number(out, "I_rms"), CLOSED_FORM);
        close("ΔV_C", stress.charge_ripple.value(), number(out, "dV_cap"), CLOSED_FORM);
        close("ΔV_ESR", stress.resistance_ripple.value(), number(out, "dV_esr"), CLOSED_FORM);
        close("P", stress.power.value(), number(out, "P_esr"), CLOSED_FORM);
    }
    for row in rows(&parts(), "inrush") {
        let surge = inrush(Farads::si(number(row, "C")), volts(row, "V"), Ohms::si(number(row, "R")));
        close("peak", surge.peak.value(), number(row, "I_pk"), CLOSED_FORM);
        close("I²t", surge.joule_integral.value(), number(row, "I2t"), CLOSED_FORM);
        close("τ", surge.time_constant.value(), number(row, "tau"), CLOSED_FORM);
        close("E", surge.energy.value(), number(row, "E"), CLOSED_FORM);
    }
}

#[test]
fn low_voltage_fuse() {
    for row in rows(&parts(), "fuse") {
        let bought = rating_for(amperes(row, "I_op"), LOADING_UL * number(row, "k_T"));
        assert_eq!(bought, Some(amperes(row, "I_n")));
    }
}
