//! Channels with a bought step-down module: set resistor, the current that then flows, loss and least duty.

use crate::lamp::given::Found;
use crate::lamp::parts::Module as Bought;
use crate::physics::electrical::module::{BuckModule, least_dimming_duty};
use crate::quantity::{Amperes, Ohms, Quantity, Ratio, Watts};
use crate::spread::Spread;

use super::desk::{Desk, at, by};
use super::drift::AWAY;
use super::dummy::Flow;
use super::notes::Reading;
use super::outcome::{Outcome, absent, flows, power, rating, supply};
use super::solution::{Drive, Module, SetCurrent, StringVoltage};

const MAKER: &str = "the module's data sheet";

/// Chooses the set resistor and works out what flows.
pub(super) fn solve(desk: &mut Desk<'_>, string: &StringVoltage) -> Found<Outcome> {
    let lamp = desk.lamp;
    let bought = lamp.driver.module.as_ref().ok_or_else(|| absent("driver.module.sense-voltage", lamp.driver.span))?;
    let wanted = desk.channel.current.nominal()?;
    let own = desk.channel.current.path.clone();
    let sense_voltage = bought.sense_voltage.nominal()?;
    let ohm = by("Rs = V_sense/I", MAKER);
    desk.enter(
        "set-exact",
        "set resistor wanted",
        sense_voltage / wanted,
        ohm,
        &[("V_sense", &bought.sense_voltage.path), ("I", &own)],
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
    let own_rating = desk.channel.sense_rating.clone();
    let set_rating = rating(desk, "set-rating", "rating of the set resistor", &own_rating)?;
    let mut row = desk.row("set", "set: sets the module's current", &fitted);
    row.power = Some(desk.path("set-power"));
    row.rating = set_rating.show();
    row.result = flows(&mean);
    desk.components.push(row);
    finish(
        desk,
        string,
        bought,
        mean,
        Module {
            set: fitted.value.nominal,
            set_power,
            set_rating,
            loss: crate::quantity::Watts::ZERO,
            least_duty: least_duty(desk.lamp, bought),
        },
    )
}

fn finish(
    desk: &mut Desk<'_>,
    string: &StringVoltage,
    bought: &Bought,
    mean: Spread<crate::quantity::Amperes>,
    module: Module,
) -> Found<Outcome> {
    let wanted = desk.channel.current.nominal()?;
    let (output, _) = supply(desk)?;
    let efficiency = bought.efficiency.get()?;
    let buck = BuckModule { input: output.nominal, current: mean.nominal, string: string.typical(), efficiency };
    let by_efficiency = [("P", ".power"), ("η", bought.efficiency.path.as_str())];
    let power = power(desk, buck.output_power(), buck.input_power(), "P_in = P/η", &by_efficiency)?;
    details(desk, bought, mean, power.string, buck.loss());
    super::dummy::enter(desk, string, mean.nominal, power.current, |r, share| {
        let taken = r.nominal.power_at(mean.nominal) / efficiency / output.nominal;
        Some(Flow { current: mean.map(|i| i * share), taken })
    })?;
    desk.enter(
        "module-loss",
        "heat of the module at full",
        buck.loss(),
        by("P = P_string·(1/η − 1)", "conservation of power"),
        &by_efficiency,
    );
    if let Ok(duty) = &module.least_duty {
        let pwm = desk.lamp.driver.pwm.path.clone();
        let shortest = by("D = t_min·f", MAKER);
        desk.enter_share(
            "least-duty",
            "least duty the module follows",
            duty.value(),
            shortest,
            &[("t_min", &bought.on_least.path), ("f", &pwm)],
        );
    }
    let set = SetCurrent { wanted, mean, peak: mean.high };
    Ok(Outcome { drive: Drive::Module(Module { loss: buck.loss(), ..module }), set, power, filter: None })
}

/// Losses, meter readings and tolerances for the drive sheet. The set resistor's own loss is in the efficiency.
fn details(desk: &mut Desk<'_>, bought: &Bought, mean: Spread<Amperes>, string: Watts, loss: Watts) {
    let from = [("P", ".power"), ("η", bought.efficiency.path.as_str())];
    super::notes::losses(desk, string, &[("loss-module", "module", loss, "P = P_string·(1/η − 1)", &from[..])]);
    let Some(sense) = bought.sense_voltage.value.map(|v| v.nominal) else { return };
    let tolerance = bought.tolerance.value.unwrap_or(0.0);
    let Ok(held) = desk.drifted_if_stated(Spread::within(sense, tolerance), &bought.drift) else { return };
    super::notes::readings(desk, ".set", "V = D·V_sense", |share| Reading {
        reference: None,
        current: mean.map(|i| i * share),
        sense: held.map(|v| v * share),
    });
    let Some(entry) = desk.ledger.get(&desk.path("set")) else { return };
    let nominal = entry.value.unwrap_or(0.0);
    let (low, high) = entry.band.unwrap_or((nominal, nominal));
    let set = Spread { low: Ohms::si(low), nominal: Ohms::si(nominal), high: Ohms::si(high) };
    let Ok(set) = desk.warmed(set) else { return };
    let path = bought.tolerance.path.clone();
    let parts =
        [("adds-module", "tolerance and drift of the module", path.as_str()), ("adds-set", "set resistor", ".set")];
    super::notes::contributions(desk, &parts, |p| {
        let x = |index: usize| p.get(index).copied().unwrap_or(0.0);
        at(&held, x(0)) / at(&set, x(1))
    });
}

fn least_duty(lamp: &crate::lamp::Lamp, bought: &Bought) -> Found<Ratio> {
    Ok(Ratio::si(least_dimming_duty(bought.on_least.high()?, lamp.driver.pwm.nominal()?)))
}
