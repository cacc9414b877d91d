//! Channels with a ballast resistor on a fixed voltage: the resistor, the current that then flows, its power.
//! The hot current and the loop's gain follow in `after`, once the heat is known.

use crate::lamp::given::Found;
use crate::physics::electrical::ballast::Ballast as Branch;
use crate::physics::electrical::string::StringModel;
use crate::quantity::{Amperes, Ohms, Volts, Watts};
use crate::spread::Spread;

use super::desk::{Desk, Fitted, at, by};
use super::drift::AWAY;
use super::dummy;
use super::notes::Reading;
use super::outcome::{Outcome, absent, flows, hot_on_resistance, ordered, power, rated, rating, supply};
use super::solution::{Ballast, Drive, SetCurrent, StringVoltage};

const KIRCHHOFF: &str = "Kirchhoff's voltage law with the straight-line string";

/// Sizes the resistor for the wanted current at nominal, and works out what flows.
pub(super) fn solve(desk: &mut Desk<'_>, string: &StringVoltage) -> Found<Outcome> {
    let wanted = desk.channel.current.nominal()?;
    let (output, output_path) = supply(desk)?;
    let on = hot_on_resistance(desk)?;
    let resistors = shares(desk)?;
    let shares = f64::from(resistors);
    let exact = Branch::resistor_for(output.nominal, string.typical(), on, wanted).unwrap_or(Ohms::ZERO) * shares;
    let sized = if shares > 1.0 {
        by("Rb = strings·((Vs − V0)/I − (Rd + Ron)): one in each string", KIRCHHOFF)
    } else {
        by("Rb = (Vs − V0)/I − (Rd + Ron)", KIRCHHOFF)
    };
    let (own, strings) = (&desk.channel.current.path, &desk.channel.strings.path);
    desk.enter(
        "ballast-exact",
        "ballast resistor wanted",
        exact,
        sized,
        &[
            ("Vs", &output_path),
            ("V0", ".string-offset"),
            ("Rd", ".string-slope"),
            ("Ron", ".on-resistance"),
            ("I", own),
            ("strings", strings),
        ],
    );
    let fitted = fit(desk, exact)?;
    // What the whole channel sees: the resistors of its strings side by side.
    let together = Fitted { value: fitted.value.map(|r| r / shares), ..fitted };
    let resistor = desk.warmed(together.value)?;
    let branch =
        |supply: Volts, line: StringModel, resistor: Ohms| Branch { supply, string: line, resistor, other: on };
    let nominal = branch(output.nominal, string.typical(), together.value.nominal);
    let most = branch(output.high, string.through(string.at_current.low, wanted), resistor.low);
    let least = branch(output.low, string.through(string.coldest, wanted), resistor.high);
    let mean = ordered(least.current(), nominal.current(), most.current());
    let flowing = by(
        "I = (Vs − V0)/(Rb + Rd + Ron); band: highest supply, lowest string, least resistor, and the reverse in the cold",
        KIRCHHOFF,
    );
    desk.enter_band(
        "current",
        "current that really flows at full",
        mean,
        flowing,
        &[
            ("Vs", &output_path),
            ("V0", ".string-offset"),
            ("Rd", ".string-slope"),
            ("Rb", ".ballast"),
            ("Ron", ".on-resistance"),
            ("ΔT", AWAY),
        ],
    );
    let loss = most.resistor_power() / shares;
    desk.enter(
        "ballast-power",
        "power of the ballast resistor at the worst current",
        loss,
        if shares > 1.0 { by("P = (I/strings)²·Rb, of each", KIRCHHOFF) } else { by("P = I²·Rb", KIRCHHOFF) },
        &[("I", ".current"), ("Rb", ".ballast"), ("strings", strings)],
    );
    let own = &desk.channel.ballast_rating;
    let rating = rating(desk, "ballast-rating", "rating of the ballast resistor", own);
    rows(desk, &fitted, &rated(&rating), &flows(&mean), resistors);
    let input = output.nominal * nominal.current();
    let power = power(desk, nominal.led_power(), input, "P = Vs·I", &[("Vs", &output_path), ("I", ".current")])?;
    let fixed = Parts { output, string, resistor, on, wanted };
    details(desk, &fixed, nominal.current(), power.string, mean);
    let r = dummy::choose(desk, string, mean.nominal);
    let through = |supply: Volts, ballast: Ohms, dummy: Ohms| supply / (ballast + on + dummy);
    let through = ordered(
        through(output.low, resistor.high, r.high),
        through(output.nominal, together.value.nominal, r.nominal),
        through(output.high, resistor.low, r.low),
    );
    dummy::enter(desk, Some(through.nominal), power.current, |share| Some(through.map(|i| i * share)));
    let drop = together.value.nominal * mean.nominal;
    let ohm = by("V = Rb·I", KIRCHHOFF);
    desk.enter("ballast-drop", "voltage over the ballast", drop, ohm, &[("Rb", ".ballast"), ("I", ".current")]);
    let rippled = rippled(desk, together.value.nominal + string.slope, mean.nominal);
    let gate = desk.engine.driver.transistor.as_ref().map(|_| super::switch_loss::gate(desk, None));
    let later = absent("heat.board", desk.engine.emitter.span);
    let ballast = Ballast {
        resistor: together.value.nominal,
        power: loss,
        rating,
        loop_gain: Err(later.clone()),
        hot: Err(later.clone()),
        least: resistor.low,
        drop,
        rippled,
        gate,
        switch_junction: Err(later),
    };
    let set = SetCurrent { wanted, mean, peak: mean.high };
    Ok(Outcome { drive: Drive::Ballast(ballast), set, power, filter: None })
}

/// How deep the supply's ripple modulates the current.
fn rippled(desk: &mut Desk<'_>, resistance: Ohms, mean: Amperes) -> Found<f64> {
    let ripple = &desk.engine.supply.ripple;
    let swing = ripple.high()? / resistance;
    if !(mean > Amperes::ZERO) {
        return Err(absent(&desk.path("current"), desk.channel.span));
    }
    let half = by("(ΔV/(Rb + Rd))/(2·I)", "Ohm's law; modulation is half the swing by the mean");
    let inputs = [("ΔV", ripple.path.as_str()), ("Rb", ".ballast"), ("Rd", ".string-slope"), ("I", ".current")];
    Ok(desk.enter_share("supply-ripple", "modulation by the supply's ripple", swing / (2.0 * mean), half, &inputs))
}

/// What sets a ballast's current, with tolerances.
struct Parts<'a> {
    output: Spread<Volts>,
    string: &'a StringVoltage,
    resistor: Spread<Ohms>,
    on: Ohms,
    wanted: Amperes,
}

/// Losses, meter readings and tolerances for the drive sheet.
fn details(desk: &mut Desk<'_>, given: &Parts<'_>, current: Amperes, string: Watts, mean: Spread<Amperes>) {
    let from = [("I", ".current"), ("Rb", ".ballast"), ("Ron", ".on-resistance")];
    let resistor = given.resistor.nominal;
    let mut all = vec![("loss-ballast", "ballast resistor", resistor.power_at(current), "P = Rb·I²", &from[..2])];
    if given.on.value() > 0.0 {
        all.push(("loss-switch", "switch", given.on.power_at(current), "P = Ron,hot·I², edges neglected", &from[..]));
    }
    super::notes::losses(desk, string, &all);
    super::notes::readings(desk, ".ballast", "V = D·Rb·I", |share| {
        let flows = mean.map(|i| i * share);
        let sense = Spread {
            low: given.resistor.low * flows.low,
            nominal: resistor * flows.nominal,
            high: given.resistor.high * flows.high,
        };
        Some(Reading { reference: None, current: flows, sense })
    });
    let lines = given.string.lines(given.string.at_current.low, given.string.coldest, given.wanted);
    let parts = [
        ("adds-supply", "supply", "supply.output"),
        ("adds-string", "string, warm to coldest", ".string"),
        ("adds-ballast", "ballast resistor", ".ballast"),
    ];
    super::notes::contributions(desk, &parts, |p| {
        let x = |index: usize| p.get(index).copied().unwrap_or(0.0);
        let (supply, resistor) = (at(&given.output, x(0)), at(&given.resistor, x(2)));
        Branch { supply, string: lines.at(x(1)), resistor, other: given.on }.current()
    });
}

/// The pinned resistor, the nearest of the drawer, or a plain wire where the author or the supply leaves no room.
fn fit(desk: &mut Desk<'_>, exact: Ohms) -> Found<Fitted<Ohms>> {
    let pinned = desk.channel.ballast.clone();
    let wire =
        pinned.value.is_some_and(|r| r.nominal.value() == 0.0) || (pinned.value.is_none() && exact.value() <= 0.0);
    if !wire {
        return desk.resistor("ballast", "ballast resistor", exact, &pinned);
    }
    let none = by("no resistor: pinned to zero, or the supply leaves nothing for one", KIRCHHOFF);
    desk.enter("ballast", "ballast resistor", Ohms::ZERO, none, &[("R", ".ballast-exact")]);
    Ok(Fitted { value: Spread::exact(Ohms::ZERO), pinned: pinned.is_known(), error: 0.0 })
}

/// Into how many equal resistors the ballast is divided: one a string where the strings are balanced.
fn shares(desk: &Desk<'_>) -> Found<u32> {
    let strings = desk.channel.strings.get()?.max(1);
    Ok(if strings > 1 && desk.channel.balanced.get()? { strings } else { 1 })
}

fn rows(desk: &mut Desk<'_>, fitted: &Fitted<Ohms>, rating: &str, result: &str, resistors: u32) {
    if fitted.value.nominal.value() <= 0.0 {
        return;
    }
    let purpose = match resistors > 1 {
        true => "ballast, one in each string, at the emitter: sets and divides the current",
        false => "ballast: sets the current",
    };
    for _ in 0..resistors {
        let mut row = desk.row("ballast", purpose, fitted);
        row.power = Some(desk.path("ballast-power"));
        row.rating = rating.to_owned();
        row.result = result.to_owned();
        desk.components.push(row);
    }
}
