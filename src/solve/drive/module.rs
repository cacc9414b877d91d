//! Channels with a bought step-down module: the set resistor for the wanted current, what then flows, its tolerances.
//! The module's own loss and the least duty that it follows come from its data sheet.

use crate::lamp::engine::Engine;
use crate::lamp::given::Found;
use crate::lamp::parts::Module as Bought;
use crate::physics::electrical::module::{BuckModule, least_dimming_duty};
use crate::quantity::{Amperes, Ohms, Ratio, Volts, Watts};
use crate::spread::Spread;

use super::desk::{Desk, at, by};
use super::drift::AWAY;
use super::dummy;
use super::notes::Reading;
use super::outcome::{Outcome, absent, flows, power, rated, rating, supply};
use super::solution::{Drive, Module, SetCurrent, StringVoltage};

const MAKER: &str = "the module's data sheet";

/// Chooses the set resistor and works out what flows.
pub(super) fn solve(desk: &mut Desk<'_>, string: &StringVoltage) -> Found<Outcome> {
    let engine = desk.engine;
    let bought =
        engine.driver.module.as_ref().ok_or_else(|| absent("driver.module.sense-voltage", engine.driver.span))?;
    let wanted = desk.channel.current.nominal()?;
    let own = &desk.channel.current.path;
    let sense_voltage = bought.sense_voltage.nominal()?;
    let ohm = by("Rs = V_sense/I", MAKER);
    desk.enter(
        "set-exact",
        "set resistor wanted",
        sense_voltage / wanted,
        ohm,
        &[("V_sense", &bought.sense_voltage.path), ("I", own)],
    );
    let pinned = desk.channel.sense.clone();
    let fitted = desk.resistor("set", "set resistor", sense_voltage / wanted, &pinned)?;
    let tolerance = bought.tolerance.get()?;
    let set = desk.warmed(fitted.value)?;
    let held = desk.drifted_if_stated(Spread::within(sense_voltage, tolerance), &bought.drift)?;
    let mean =
        Spread { low: held.low / set.high, nominal: sense_voltage / fitted.value.nominal, high: held.high / set.low };
    let flowing = by("I = V_sense/Rs; band: tolerance and drift of module and resistor together", MAKER);
    desk.enter_band(
        "current",
        "current that really flows at full",
        mean,
        flowing,
        &[
            ("V_sense", &bought.sense_voltage.path),
            ("Rs", ".set"),
            ("tolerance", &bought.tolerance.path),
            ("k", &bought.drift.path),
            ("ΔT", AWAY),
        ],
    );
    let set_power = fitted.value.low.power_at(mean.high);
    desk.enter(
        "set-power",
        "power of the set resistor at the worst current",
        set_power,
        by("P = I²·Rs", "Ohm's law"),
        &[("I", ".current"), ("Rs", ".set")],
    );
    let own = &desk.channel.sense_rating;
    let set_rating = rating(desk, "set-rating", "rating of the set resistor", own);
    let mut row = desk.row("set", "set: sets the module's current", &fitted);
    row.power = Some(desk.path("set-power"));
    row.rating = rated(&set_rating);
    row.result = flows(&mean);
    desk.components.push(row);
    let least_duty = least_duty(desk.engine, bought);
    let module = Module { set: fitted.value.nominal, set_power, set_rating, least_duty };
    finish(desk, string, bought, (held, set, mean), module)
}

/// Power, loss and what the drive sheet lists; `held` is the voltage that the module holds over the `set` resistor.
fn finish(
    desk: &mut Desk<'_>,
    string: &StringVoltage,
    bought: &Bought,
    (held, set, mean): (Spread<Volts>, Spread<Ohms>, Spread<Amperes>),
    module: Module,
) -> Found<Outcome> {
    let wanted = desk.channel.current.nominal()?;
    let (output, _) = supply(desk)?;
    let efficiency = bought.efficiency.get()?;
    let buck = BuckModule { current: mean.nominal, string: string.typical(), efficiency };
    let by_efficiency = [("P", ".power"), ("η", bought.efficiency.path.as_str())];
    let power = power(desk, buck.output_power(), buck.input_power(), "P_in = P/η", &by_efficiency)?;
    details(desk, bought, (held, set, mean), (power.string, buck.loss()));
    let r = dummy::choose(desk, string, mean.nominal);
    let taken = r.nominal.power_at(mean.nominal) / efficiency / output.nominal;
    dummy::enter(desk, Some(taken), power.current, |share| Some(mean.map(|i| i * share)));
    desk.enter(
        "module-loss",
        "heat of the module at full",
        buck.loss(),
        by("P = P_string·(1/η − 1)", "conservation of power"),
        &by_efficiency,
    );
    if let Ok(duty) = &module.least_duty {
        let pwm = &desk.engine.driver.pwm.path;
        let shortest = by("D = t_min·f", MAKER);
        desk.enter_share(
            "least-duty",
            "least duty the module follows",
            duty.value(),
            shortest,
            &[("t_min", &bought.on_least.path), ("f", pwm)],
        );
    }
    let set = SetCurrent { wanted, mean, peak: mean.high };
    Ok(Outcome { drive: Drive::Module(module), set, power, filter: None })
}

/// Losses, meter readings and tolerances for the drive sheet; `string` and `loss` are powers. The set resistor's own loss
/// is in the efficiency.
fn details(
    desk: &mut Desk<'_>,
    bought: &Bought,
    (held, set, mean): (Spread<Volts>, Spread<Ohms>, Spread<Amperes>),
    (string, loss): (Watts, Watts),
) {
    let from = [("P", ".power"), ("η", bought.efficiency.path.as_str())];
    super::notes::losses(desk, string, &[("loss-module", "module", loss, "P = P_string·(1/η − 1)", &from[..])]);
    super::notes::readings(desk, ".set", "V = D·V_sense", |share| {
        Some(Reading { reference: None, current: mean.map(|i| i * share), sense: held.map(|v| v * share) })
    });
    let path = &bought.tolerance.path;
    let parts =
        [("adds-module", "tolerance and drift of the module", path.as_str()), ("adds-set", "set resistor", ".set")];
    super::notes::contributions(desk, &parts, |p| {
        let x = |index: usize| p.get(index).copied().unwrap_or(0.0);
        at(&held, x(0)) / at(&set, x(1))
    });
}

fn least_duty(engine: &Engine<'_>, bought: &Bought) -> Found<Ratio> {
    Ok(Ratio::si(least_dimming_duty(bought.on_least.high()?, engine.driver.pwm.nominal()?)))
}
