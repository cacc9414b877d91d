//! Rules about how much current flows: above the die's limit, without the cap, through resistors, off the wish.

use crate::diag::Signal;
use crate::figures::percent;
use crate::lamp::driver::Channel;
use crate::quantity::{Amperes, Quantity};
use crate::rules::rule::{Case, Finding, Measure, Outcome, Rule, Skip, each_channel, once};
use crate::solve::drive::{Drive, Loading, air};

use super::{drive, path};

pub(super) static OVER_CURRENT: Rule = Rule {
    name: "drive/over-current",
    signal: Signal::Warning,
    waivable: true,
    title: "the worst-case current is above the die's maximum",
    source: "the die's data sheet; worst case of every tolerance together, JCGM 100:2008 treats the likely one",
    why: "a die above its maximum loses light for good, or opens",
    fix: "lower the set current, or take a die that bears it",
    check: |case| {
        each_channel(case, |channel, solved| {
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let most = die.most.low()? * f64::from(channel.strings.get()?.max(1));
            let mean = solved.set.clone()?.mean;
            // On a voltage the hot string takes more than the cold one, so the ladder is waited for.
            let (worst, at) = match drive(solved)? {
                Drive::Ballast(ballast) => {
                    let hot = ballast.hot.clone()?;
                    if hot > mean.high { (hot, "hot-current") } else { (mean.high, "current") }
                }
                _ => (mean.high, "current"),
            };
            // A nominal current at the limit fails, whatever its tolerances are said to be.
            let held = if mean.nominal >= most { worst.max(most * (1.0 + 1e-6)) } else { worst };
            Measure::at_most(format!("highest current of {}", channel.name), path(channel, at), held, most).judge(
                |_| {
                    Finding::new(
                        format!(
                            "`{}` may carry {worst} ({} nominal); its die bears at most {most}",
                            channel.name, mean.nominal
                        ),
                        channel.current.span,
                        "current wanted",
                    )
                    .also(die.most.span, "the die's maximum")
                    .fix(match worst > most {
                        true => format!("set at most {}", (mean.nominal * (most / worst)).no_more()),
                        false => format!("set less than {most}"),
                    })
                },
            )
        })
    },
};

pub(super) static UNCAPPED: Rule = Rule {
    name: "drive/uncapped",
    signal: Signal::Warning,
    waivable: true,
    title: "only the firmware's cap keeps the lamp within its limits",
    source: "our margin: software is not a protection",
    why: "a firmware that hangs, or is flashed anew without the cap, turns everything on at once",
    fix: "take a supply that bears all channels at full, or lower the currents until it does",
    check: |case| {
        once(|| {
            let cap = &case.lamp.driver.cap;
            if !cap.is_known() {
                return Err(Skip::NotApplicable);
            }
            let rating = case.solution.feed.rating.clone()?;
            let uncapped = case.solution.feed.asked.clone()?;
            Measure::at_most("power without the cap", Some("feed.asked".into()), uncapped, rating).judge(|_| {
                Finding::new(
                    format!("without the cap the lamp takes {uncapped}; the supply gives {rating}"),
                    cap.span,
                    "the cap",
                )
                .also(case.lamp.supply.power.span, "the supply")
                .fix(format!("take a supply of at least {}, or lower the currents", uncapped.no_less()))
            })
        })
    },
};

pub(super) static RESISTOR_POWER: Rule = Rule {
    name: "drive/resistor-power",
    signal: Signal::Warning,
    waivable: true,
    title: "a resistor carries more than 60 % of its rating",
    source: "our margin; derating from 70 °C to 155 °C as IEC 60115-1 film types have it, from memory",
    why: "a resistor at its full rating runs at well over 100 °C, drifts, and browns the board under it",
    fix: "take a higher rating, or share the heat between two resistors",
    check: |case| {
        each_channel(case, |channel, solved| {
            let (figure, given) = match drive(solved)? {
                Drive::Ballast(_) => ("ballast-power", &channel.ballast_rating),
                Drive::Linear(_) | Drive::Hysteretic(_) => ("sense-power", &channel.sense_rating),
                Drive::Module(_) => ("set-power", &channel.sense_rating),
            };
            let loading = solved.loading.clone()?;
            let Loading { power, rating, allowed, .. } = loading;
            let what = format!("resistor of {}", channel.name);
            Measure::at_most(what, path(channel, figure), power, allowed).judge(|_| {
                let span = if given.is_known() { given.span } else { channel.span };
                Finding::new(
                    format!("the resistor of `{}` takes {power} of {rating}; {allowed} is wise", channel.name),
                    span,
                    "this resistor",
                )
                .fix(larger(&loading))
            })
        })
    },
};

fn larger(loading: &Loading) -> String {
    let air = loading.air;
    match loading.larger {
        Some(rating) => format!("take one rated for at least {rating}"),
        None => format!("none is sold for that in air of {air}: share the heat between two, or cool the air"),
    }
}

/// Error that is worth a word.
const NOTICEABLE: f64 = 0.02;

pub(super) static SERIES: Rule = Rule {
    name: "drive/series",
    signal: Signal::Notice,
    waivable: true,
    title: "the drawer's values miss the wanted current by more than 2 %",
    source: "IEC 60063 for the series; 2 % is our margin, the eye does not see it",
    why: "the lamp is computed with the current that really flows, which is not quite the one asked for",
    fix: "take a finer series, two resistors together, or ask for the current that flows",
    check: |case| {
        each_channel(case, |channel, solved| {
            let set = solved.set.clone()?;
            if pinned(case, channel) {
                return Err(Skip::NotApplicable);
            }
            let error = set.error();
            let what = format!("error of the current of {}", channel.name);
            Measure::share_at_most(what, path(channel, "current-error"), error, NOTICEABLE).judge(|_| {
                Finding::new(
                    format!(
                        "`{}` gets {} where {} is wanted, {} off",
                        channel.name,
                        set.mean.nominal,
                        set.wanted,
                        percent(error)
                    ),
                    channel.current.span,
                    "current wanted",
                )
                .fix(if set.mean.nominal > Amperes::ZERO {
                    format!("ask for {}, or write a finer series in `stock`", set.mean.nominal)
                } else {
                    "take fewer dice in series, or a higher supply: no resistor lets a current flow here".to_owned()
                })
            })
        })
    },
};

/// Whether the author fixed what sets the current.
fn pinned(case: &Case<'_>, channel: &Channel) -> bool {
    channel.sense.is_known() || channel.ballast.is_known() || case.lamp.driver.gain.is_known()
}

pub(super) static AIR: Rule = Rule {
    name: "drive/air",
    signal: Signal::Caution,
    waivable: true,
    title: "the parts' air goes beyond what the limits of the current were worked out for",
    source: "our definition: resistors, level and offsets drift with the air of `driver.air`, or up to 70 °C",
    why: "warmer or colder parts drift further, and the worst case on the papers is no longer the worst",
    fix: "state the air that is found, or cool the lamp",
    check: |case| {
        once(|| {
            let (air, room, given) = (air(&case.lamp.engine())?, &case.lamp.identity.room, &case.lamp.driver.air);
            let span = if given.is_known() { given.span } else { case.lamp.driver.span };
            let inside = case.solution.heat.clone()?.judged.inside;
            let coldest = room.low()?;
            if coldest < air.low {
                let said = format!("the room goes down to {coldest}; the drive was worked out from {} on", air.low);
                let fix = format!("write `air {} .. {}`", coldest.no_more(), air.high);
                let found = Finding::new(said, room.span, "this room").also(span, "the parts' air").fix(fix);
                return Ok(Outcome::Finding(found));
            }
            let path = Some("heat.judged.inside".into());
            Measure::rise_at_most("air inside", path, inside, air.high, room.high()?).judge(|_| {
                Finding::new(
                    format!("the air inside reaches {inside}; the drive was worked out up to {}", air.high),
                    span,
                    "the parts' air",
                )
                .fix(format!("write `air {} .. {}` or higher", air.low, inside.no_less()))
            })
        })
    },
};
