//! Rules about the parts of the drive: ratings and heat of switch and transistor, gate, amplifier and comparator.

use crate::diag::Signal;
use crate::lamp::driver::Channel;
use crate::lamp::parts::Amplifier;
use crate::quantity::{Quantity, Seconds, Volts};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each_channel};
use crate::schema::words::Topology;
use crate::solve::drive::{Drive, Hysteretic, Linear};

use super::{drive, part, path, transistor};

/// Voltage rating over the highest voltage that stands across the switch.
const VOLTAGE_MARGIN: f64 = 1.5;

pub(super) static SWITCH_RATING: Rule = Rule {
    name: "drive/switch-rating",
    signal: Signal::Warning,
    waivable: true,
    title: "the voltage is more than the switch or module stands",
    source: "the part's data sheet; 1.5 times the highest supply for a switch is common practice, no source",
    why: "plugging in and wire inductance make peaks above the supply, and a broken-down switch is a closed one",
    fix: "take a part for a higher voltage",
    check: |case| {
        each_channel(case, |channel, _| {
            let supply = case.lamp.supply.output.high()?;
            if case.lamp.driver.topology.get()? == Topology::BuckModule {
                let module = part(case, case.lamp.driver.module.as_ref(), "module")?;
                let most = module.input.high()?;
                return Measure::at_most("input of the module", Some("feed.highest".into()), supply, most).judge(
                    |_| {
                        Finding::new(
                            format!("the supply may reach {supply}; the module stands {most}"),
                            module.input.span,
                            "here",
                        )
                        .also(case.lamp.supply.output.span, "supply")
                        .fix("take a module for a higher input, or a lower supply")
                    },
                );
            }
            let transistor = transistor(case)?;
            let (stands, needs) = (transistor.voltage.low()?, supply * VOLTAGE_MARGIN);
            let what = format!("voltage rating of the transistor of {}", channel.name);
            Measure::at_least(what, Some(transistor.voltage.path.clone()), stands, needs).judge(|_| {
                Finding::new(
                    format!("the transistor stands {stands}; the supply may reach {supply}"),
                    transistor.voltage.span,
                    "rated here",
                )
                .also(case.lamp.supply.output.span, "supply")
                .fix(format!("take one for at least {}", needs.no_less()))
            })
        })
    },
};

pub(super) static SWITCH_HEAT: Rule = Rule {
    name: "drive/switch-heat",
    signal: Signal::Warning,
    waivable: true,
    title: "the switch runs hotter than it may",
    source: "straight edges and hot on-resistance; Mohan, Undeland and Robbins, Power Electronics",
    why: "a hot switch has more resistance, and more resistance makes it hotter",
    fix: "take a switch with less on-resistance or charge, or a lower frequency",
    check: |case| {
        each_channel(case, |channel, solved| {
            let hot = match drive(solved)? {
                Drive::Ballast(b) => &b.switch_junction,
                Drive::Hysteretic(h) => &h.switch_junction,
                _ => return Err(Skip::NotApplicable),
            };
            let transistor = transistor(case)?;
            let (hot, limit) = (hot.clone()?, transistor.hottest.low()?);
            let what = format!("junction of the switch of {}", channel.name);
            let room = case.solution.heat.as_ref()?.room;
            Measure::rise_at_most(what, path(channel, "switch-junction"), hot, limit, room).judge(|_| {
                Finding::new(
                    format!("the switch of `{}` reaches {hot} in the warmest room; it bears {limit}", channel.name),
                    transistor.hottest.span,
                    "its limit",
                )
                .also(channel.span, "this channel")
                .fix("take a switch with less on-resistance or charge, or cool it")
            })
        })
    },
};

pub(super) static LINEAR_HEAT: Rule = Rule {
    name: "drive/linear-heat",
    signal: Signal::Warning,
    waivable: true,
    title: "the linear transistor runs hotter than it may",
    source: "P = I·(Vs − V_string − Rs·I) at its worst level, highest supply and lowest string; derived by us",
    why: "a linear sink turns all the voltage it does not need into heat, in one small part",
    fix: "take a supply nearer to the string, more dice in series, or a heatsink for the transistor",
    check: |case| {
        each_channel(case, |channel, solved| {
            let Drive::Linear(linear) = drive(solved)? else { return Err(Skip::NotApplicable) };
            let hot = linear.junction.clone()?;
            let transistor = transistor(case)?;
            let limit = transistor.hottest.low()?;
            let what = format!("junction of the transistor of {}", channel.name);
            let room = case.solution.heat.as_ref()?.room;
            Measure::rise_at_most(what, path(channel, "transistor-junction"), hot, limit, room).judge(|_| {
                Finding::new(
                    format!(
                        "the transistor of `{}` turns up to {} into heat and reaches {hot}; it bears {limit}",
                        channel.name, linear.transistor_power
                    ),
                    transistor.hottest.span,
                    "its limit",
                )
                .also(case.lamp.supply.output.span, "supply")
                .fix("take a supply nearer to the string, or a heatsink for the transistor")
            })
        })
    },
};

pub(super) static GATE: Rule = Rule {
    name: "drive/gate",
    signal: Signal::Warning,
    waivable: true,
    title: "the gate does not get the voltage its on-resistance is stated at",
    source: "the transistor's data sheet: its resistance holds at that gate voltage, not at the threshold",
    why: "between threshold and full enhancement the switch is a heater with unknown resistance",
    fix: "take a transistor stated at the level at hand, or drive the gate higher",
    check: |case| {
        each_channel(case, |channel, solved| {
            let level = match drive(solved)? {
                Drive::Hysteretic(found) => Some(found.gate.clone()),
                Drive::Ballast(found) => found.gate.clone(),
                _ => return Err(Skip::NotApplicable),
            };
            let transistor = transistor(case)?;
            let level = level.ok_or(Skip::NotApplicable)??;
            let full: Volts = transistor.gate_full.high()?;
            let what = format!("gate of {}", channel.name);
            Measure::at_least(what, path(channel, "gate"), level, full).judge(|_| {
                Finding::new(
                    format!("the gate of `{}` gets {level}; its on-resistance is stated at {full}", channel.name),
                    transistor.gate_full.span,
                    "stated at",
                )
                .fix(format!(
                    "take a transistor stated at {} or less, or drive its gate at {}",
                    level.no_more(),
                    full.no_less()
                ))
            })
        })
    },
};

pub(super) static AMPLIFIER: Rule = Rule {
    name: "drive/amplifier",
    signal: Signal::Caution,
    waivable: true,
    title: "the amplifier or comparator cannot follow, or cannot reach",
    source: "one-pole model and ranges of the data sheet, Horowitz and Hill, The Art of Electronics, 3rd ed.; 5 time constants is our margin",
    why: "a slow amplifier regulates the mean of a chopped signal and so a multiple of what was asked for",
    fix: "take a faster amplifier, one with a wider range, or a longer on-time",
    check: |case| {
        each_channel(case, |channel, solved| match drive(solved)? {
            Drive::Linear(linear) => linear_amplifier(case, channel, linear),
            Drive::Hysteretic(found) => sense_amplifier(case, channel, found),
            _ => Err(Skip::NotApplicable),
        })
    },
};

/// Judges by the measure with the least left of its limit.
pub(super) fn nearest(measures: Vec<(Measure, Finding)>) -> Judgement {
    match measures.into_iter().min_by(|a, b| a.0.margin.total_cmp(&b.0.margin)) {
        Some((measure, finding)) => measure.judge(|_| finding),
        None => Ok(Outcome::Pass(None)),
    }
}

fn ground(amplifier: &Amplifier) -> Result<Option<Finding>, Skip> {
    Ok((!amplifier.ground_input.get()?).then(|| {
        Finding::new(
            "the amplifier's inputs do not work at 0 V, where the sense voltage begins",
            amplifier.span,
            "this amplifier",
        )
        .fix("take an amplifier whose inputs work down to ground")
    }))
}

fn sense_amplifier(case: &Case<'_>, channel: &Channel, found: &Hysteretic) -> Judgement {
    let driver = &case.lamp.driver;
    let comparator = part(case, driver.comparator.as_ref(), "comparator")?;
    let (reference, shown) = found.shown;
    let input = comparator.input_high.low()?;
    let mut measures = vec![(
        Measure::at_most("reference at the comparator", path(channel, "trip-level"), reference, input),
        Finding::new(
            format!("the reference of `{}` reaches {reference}; the comparator works up to {input}", channel.name),
            comparator.input_high.span,
            "highest input",
        )
        .fix("take a comparator with a higher supply, or divide the reference"),
    )];
    if let Some(amplifier) = &driver.amplifier {
        if let Some(finding) = ground(amplifier)? {
            return Ok(Outcome::Finding(finding));
        }
        let high = amplifier.output_high.low()?;
        measures.push((
            Measure::at_most("output of the amplifier at the peak", path(channel, "peak-level"), shown, high),
            Finding::new(
                format!("at its peak `{}` asks the amplifier for {shown}; it reaches {high}", channel.name),
                amplifier.output_high.span,
                "highest output",
            )
            .fix("lower the reference and the gain together, or take an amplifier with more range"),
        ));
        measures.push(follows(channel, found, amplifier, comparator.delay.high()?)?);
    }
    nearest(measures)
}

/// Slewing up to the valley's voltage and settling must fit between closing and the trip.
fn follows(
    channel: &Channel,
    found: &Hysteretic,
    amplifier: &Amplifier,
    delay: Seconds,
) -> Result<(Measure, Finding), Skip> {
    let needs = found.follow.clone().ok_or(Skip::NotApplicable)??;
    let has = found.on_time - delay;
    let finding = Finding::new(
        format!("`{}` is on for {has} before the trip; the amplifier needs {needs} to follow", channel.name),
        amplifier.bandwidth.span,
        "bandwidth",
    )
    .fix("take a faster amplifier, less gain, or a longer off-time");
    Ok((Measure::at_most("time the amplifier needs", path(channel, "amplifier-time"), needs, has), finding))
}

fn linear_amplifier(case: &Case<'_>, channel: &Channel, linear: &Linear) -> Judgement {
    let driver = &case.lamp.driver;
    let amplifier = part(case, driver.amplifier.as_ref(), "amplifier")?;
    let transistor = transistor(case)?;
    if let Some(finding) = ground(amplifier)? {
        return Ok(Outcome::Finding(finding));
    }
    let gate = linear.gate.clone()?;
    let (low, high) = (amplifier.output_low.high()?, amplifier.output_high.low()?);
    // Half the threshold: it falls as the transistor warms.
    let off = transistor.threshold.low()? * 0.5;
    nearest(vec![
        (
            Measure::at_most("gate voltage at full", path(channel, "amplifier-output"), gate, high),
            Finding::new(
                format!("at full `{}` asks the amplifier for {gate} at the gate; it reaches {high}", channel.name),
                amplifier.output_high.span,
                "highest output",
            )
            .fix("feed the amplifier from a higher supply, or take a transistor with a lower gate voltage"),
        ),
        (
            Measure::at_most("lowest output of the amplifier", Some(amplifier.output_low.path.clone()), low, off),
            Finding::new(
                format!("the amplifier goes down to {low} only; the transistor is surely off below {off}"),
                amplifier.output_low.span,
                "lowest output",
            )
            .fix("take an amplifier that reaches ground, or a transistor with a higher threshold"),
        ),
    ])
}
