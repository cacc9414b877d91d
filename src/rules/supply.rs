//! Rules about the extra-low voltage supply: what is asked of it, what it leaves for the drivers, how it starts.

use crate::diag::Signal;
use crate::figures::percent;
use crate::lamp::driver::Channel;
use crate::quantity::{Quantity, Volts, Watts};
use crate::schema::words::Topology;
use crate::solve::drive::{ChannelSolution, Drive};

use super::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each_channel, once};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[&OVERLOAD, &CROWDED, &HEADROOM, &MINIMUM_LOAD, &INRUSH, &RIPPLE];

static OVERLOAD: Rule = Rule {
    name: "supply/overload",
    signal: Signal::Warning,
    waivable: true,
    title: "the supply is asked for more than it gives at its temperature",
    source: "the supply's data sheet: rating and derating curve; 90 % of the rating where it gives none, our margin",
    why: "an overloaded supply shuts down and restarts without end, or ages within months",
    fix: "take a larger supply, less current, or a declared cap in the firmware",
    check: |case| {
        once(|| {
            let supply = &case.lamp.supply;
            let rating = case.solution.feed.rating.clone()?;
            let capped = case.lamp.driver.cap.is_known();
            let (asked, path, what) = match capped {
                true => (case.solution.feed.capped.clone()?, "feed.capped", "power with the firmware's cap"),
                false => (case.solution.feed.asked.clone()?, "feed.asked", "power with all on"),
            };
            Measure::at_most(what, Some(path.into()), asked, rating).judge(|_| {
                let (takes, at, less) = match capped {
                    true => ("under the firmware's cap the lamp takes", case.lamp.driver.cap.span, "the cap"),
                    false => ("all channels on take", case.lamp.driver.span, "the currents"),
                };
                Finding::new(
                    format!("{takes} {asked}; the supply gives {rating} at the temperature it works at"),
                    supply.power.span,
                    "rated here",
                )
                .also(at, "asked for here")
                .fix(format!("take a supply rated for at least {}, or lower {less}", (asked * (1.0 / 0.8)).no_less()))
            })
        })
    },
};

static CROWDED: Rule = Rule {
    name: "supply/crowded",
    signal: Signal::Caution,
    waivable: true,
    title: "the supply runs above four fifths of what it gives",
    source: "our margin: capacitors age twice as fast for each 10 K, and a supply near its rating runs hot",
    why: "the supply is the part that fails first, and it fails sooner when it runs hot",
    fix: "take the next larger supply",
    check: |case| {
        once(|| {
            let (load, asked) = (case.solution.feed.load.clone()?, case.solution.feed.asked.clone()?);
            if load.value() > 1.0 {
                // The overload speaks for itself.
                return Err(Skip::NotApplicable);
            }
            Measure::share_at_most("load on the supply", Some("feed.load".into()), load.value(), 0.8).judge(|_| {
                Finding::new(
                    format!("{asked} loads the supply to {}", percent(load.value())),
                    case.lamp.supply.power.span,
                    "rated here",
                )
                .fix("take the next larger supply")
            })
        })
    },
};

static HEADROOM: Rule = Rule {
    name: "supply/headroom",
    signal: Signal::Warning,
    waivable: true,
    title: "the supply's voltage does not suit the string",
    source: "Kirchhoff's voltage law with every tolerance against the lamp; data sheet of the module",
    why: "on a cold day with the highest dice the driver cannot hold its current, and the light sags or flickers",
    fix: "take fewer dice in series, or a supply of higher voltage",
    check: |case| {
        each_channel(case, |channel, solved| {
            let room = solved.headroom.clone()?;
            if let Some(finding) = below_module(case, channel, solved)? {
                return Ok(Outcome::Finding(finding));
            }
            let path = Some(format!("drive.{}.headroom-lowest", channel.name));
            let need = room.string + room.driver;
            let what = format!("voltage at the driver of {}", channel.name);
            Measure::at_least(what, path, room.lowest, need).judge(|_| {
                Finding::new(
                    format!(
                        "`{}` needs {need}: {} for its string in the cold and {} for the driver; {} is left at the worst",
                        channel.name, room.string, room.driver, room.lowest
                    ),
                    channel.span,
                    "this channel",
                )
                .also(case.lamp.supply.output.span, "supplied here")
                .fix(format!("raise the supply by {}, or take fewer dice in series", (-room.spare).no_less()))
            })
        })
    },
};

/// A module that cannot go as low as the string's lowest voltage.
fn below_module(case: &Case<'_>, channel: &Channel, solved: &ChannelSolution) -> Result<Option<Finding>, Skip> {
    if case.lamp.driver.topology.value != Some(Topology::BuckModule) {
        return Ok(None);
    }
    let Some(module) = &case.lamp.driver.module else { return Ok(None) };
    let least: Volts = module.output_low.high()?;
    let string = solved.string.clone()?;
    Ok((string.hottest < least).then(|| {
        Finding::new(
            format!(
                "the string of `{}` may fall to {}; the module regulates from {least}",
                channel.name, string.hottest
            ),
            channel.span,
            "this channel",
        )
        .also(module.output_low.span, "the module's lowest output")
        .fix("take more dice in series, or another module")
    }))
}

static MINIMUM_LOAD: Rule = Rule {
    name: "supply/minimum-load",
    signal: Signal::Caution,
    waivable: true,
    title: "dark, the lamp takes less than the supply's least load",
    source: "the supply's data sheet",
    why: "below its least load the output rises, ripples, or pulses, and the lowest levels flicker",
    fix: "take a supply without a least load, or add a resistor across its output",
    check: |case| {
        once(|| {
            regulated(case)?;
            let least = case.lamp.supply.minimum_load.high()?;
            let controller = case.lamp.controller.as_ref();
            let (dark, path) = match controller {
                Some(c) => (c.power.low()?, Some(c.power.path.clone())),
                None => (Watts::ZERO, None),
            };
            Measure::at_least("load with all channels dark", path, dark, least).judge(|_| {
                Finding::new(
                    format!("with all channels dark the lamp takes {dark}; the supply wants at least {least}"),
                    case.lamp.supply.minimum_load.span,
                    "least load",
                )
                .fix(format!(
                    "add a load of {} across the output, or take a supply without a least load",
                    (least - dark).no_less()
                ))
            })
        })
    },
};

static INRUSH: Rule = Rule {
    name: "supply/inrush",
    signal: Signal::Caution,
    waivable: true,
    title: "more capacitance on the output than the supply starts into",
    source: "the supply's data sheet",
    why: "a supply that cannot fill its load's capacitors in time takes it for a short circuit and tries again for ever",
    fix: "take less capacitance, or a supply that starts into more",
    check: |case| {
        once(|| {
            regulated(case)?;
            let bulk = &case.lamp.driver.bulk;
            let most = case.lamp.supply.start_capacitance.low()?;
            let fitted = case.solution.feed.bulk.clone()?;
            let path = if bulk.is_known() { bulk.path.clone() } else { "feed.bulk".to_owned() };
            Measure::at_most("capacitance on the output", Some(path), fitted, most).judge(|_| {
                Finding::new(format!("{fitted} hang on the output; the supply starts into {most}"), bulk.span, "here")
                    .also(case.lamp.supply.start_capacitance.span, "the supply's limit")
                    .fix(format!("keep all capacitors together below {}", most.no_more()))
            })
        })
    },
};

/// A battery has no least load, no start-up and no ripple of its own.
fn regulated(case: &Case<'_>) -> Result<(), Skip> {
    if case.lamp.runs_on_battery() { Err(Skip::NotApplicable) } else { Ok(()) }
}

/// Modulation at twice the mains' frequency that IEEE 1789-2015 counts as low risk.
const LOW_RISK: f64 = 0.08;

static RIPPLE: Rule = Rule {
    name: "supply/ripple",
    signal: Signal::Caution,
    waivable: true,
    title: "the supply's ripple reaches the light",
    source: "IEEE 1789-2015: 8 % modulation at 100 Hz is low risk; for a held current, the ripple must fit the headroom",
    why: "ripple at twice the mains' frequency makes the light flicker where the drive does not take it up",
    fix: "take a supply with less ripple, or leave the driver more voltage",
    check: |case| {
        each_channel(case, |channel, solved| {
            regulated(case)?;
            let ripple = case.lamp.supply.ripple.high()?;
            match solved.drive.as_ref().map_err(Clone::clone)? {
                Drive::Ballast(ballast) => modulated(case, channel, ballast.rippled.clone()?),
                _ => {
                    let spare = solved.headroom.clone()?.spare;
                    if spare.value() < 0.0 {
                        return Err(Skip::NotApplicable);
                    }
                    let path = Some(format!("drive.{}.headroom", channel.name));
                    let what = format!("voltage left for the driver of {}", channel.name);
                    Measure::at_least(what, path, spare, ripple / 2.0).judge(|_| {
                        Finding::new(
                            format!("half the ripple of {ripple} exceeds the {spare} that `{}` has left", channel.name),
                            case.lamp.supply.ripple.span,
                            "ripple",
                        )
                        .fix("take a supply with less ripple or more voltage")
                    })
                }
            }
        })
    },
};

fn modulated(case: &Case<'_>, channel: &Channel, modulation: f64) -> Judgement {
    let path = Some(format!("drive.{}.supply-ripple", channel.name));
    let what = format!("modulation of {} by the supply's ripple", channel.name);
    Measure::share_at_most(what, path, modulation, LOW_RISK).judge(|_| {
        Finding::new(
            format!(
                "the supply's ripple modulates `{}` by {}; up to {} is low risk at twice the mains' frequency",
                channel.name,
                percent(modulation),
                percent(LOW_RISK)
            ),
            case.lamp.supply.ripple.span,
            "ripple",
        )
        .also(channel.span, "this channel")
        .fix("take a supply with less ripple, or fewer dice in series so that the resistor takes more")
    })
}
