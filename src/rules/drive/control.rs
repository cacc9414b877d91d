//! Rules about how a current is held at all: ballast on a voltage, runaway, parallel strings, shared terminals.

use crate::diag::Signal;
use crate::figures::significant;
use crate::lamp::driver::Channel;
use crate::quantity::{Quantity, Ratio};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each_channel, unless};
use crate::schema::words::{Common, Topology};
use crate::solve::drive::Drive;

use super::{drive, path};

/// Share of the supply's voltage that a ballast should take.
const BALLAST_SHARE: f64 = 0.10;

pub(super) static NO_CURRENT_CONTROL: Rule = Rule {
    name: "drive/no-current-control",
    signal: Signal::Warning,
    waivable: true,
    title: "nothing but the string itself limits its current",
    source: "Ohm's law; a tenth of the supply's voltage over the ballast is our margin",
    why: "a string on a voltage takes several times its current when its dice are low or warm, and dies of it",
    fix: "take fewer dice in series and a larger ballast, or a drive that holds the current",
    check: |case| {
        each_channel(case, |channel, solved| {
            let Drive::Ballast(ballast) = drive(solved)? else { return Err(Skip::NotApplicable) };
            let mean = solved.set.clone()?.mean;
            let supply = case.lamp.supply.output.nominal()?;
            let drop = ballast.drop;
            let what = format!("voltage over the ballast of {}", channel.name);
            Measure::at_least(what, path(channel, "ballast-drop"), drop, supply * BALLAST_SHARE).judge(|_| {
                let gain = match &ballast.loop_gain {
                    Ok(gain) => format!("; gain of the thermal loop {}", significant(gain.value(), 2)),
                    Err(_) => String::new(),
                };
                let span = if channel.ballast.is_known() { channel.ballast.span } else { channel.span };
                Finding::new(
                    format!(
                        "only {drop} of {supply} stands over the ballast of `{}`: {} with the highest dice, {} with the lowest{gain}",
                        channel.name, mean.low, mean.high
                    ),
                    span,
                    "ballast",
                )
                .also(case.lamp.supply.output.span, "fixed voltage")
                .fix(format!(
                    "take dice out of the string until the ballast takes at least {}, or drive it with a current sink",
                    (supply * BALLAST_SHARE).no_less()
                ))
            })
        })
    },
};

pub(super) static RUNAWAY: Rule = Rule {
    name: "drive/runaway",
    signal: Signal::Danger,
    waivable: true,
    title: "warmth raises the current without end",
    source: "product of the slopes round the loop of current, heat and temperature; derived by us",
    why: "each degree raises the current by more heat than the degree took, until something burns",
    fix: "put resistance in series, or hold the current",
    check: |case| {
        each_channel(case, |channel, solved| {
            let Drive::Ballast(ballast) = drive(solved)? else { return Err(Skip::NotApplicable) };
            // Where the strings' warmth finds no balance the gain tells by how much, but does not decide; only where
            // another channel's loop is the one beyond one, this channel is judged by its own.
            let below = ballast.loop_gain.as_ref().is_ok_and(|gain| *gain < ONE);
            if let Some(said) = unbalanced(case).filter(|_| !below || !another(case)) {
                let gain = match &ballast.loop_gain {
                    Ok(gain) => format!("; gain of its thermal loop {}", significant(gain.value(), 2)),
                    Err(_) => String::new(),
                };
                return Ok(Outcome::Finding(
                    Finding::new(
                        format!("`{}` warms without end: {said}{gain}", channel.name),
                        channel.span,
                        "this channel",
                    )
                    .also(case.lamp.supply.output.span, "fixed voltage")
                    .fix(LESS),
                ));
            }
            let gain = ballast.loop_gain.clone()?;
            // At a gain of one there is no stable current; a limit just below it makes one a finding.
            let limit = Ratio::si(1.0 - 1e-6);
            let what = format!("gain of the thermal loop of {}", channel.name);
            Measure::at_most(what, path(channel, "loop-gain"), gain, limit).judge(|_| {
                Finding::new(
                    format!(
                        "the thermal loop of `{}` has a gain of {}: its current has no stable value",
                        channel.name,
                        significant(gain.value(), 2)
                    ),
                    channel.span,
                    "this channel",
                )
                .also(case.lamp.supply.output.span, "fixed voltage")
                .fix(LESS)
            })
        })
    },
};

/// A gain at which each kelvin brings back one.
const ONE: Ratio = Ratio::si(1.0);

/// Whether any channel's own loop has a gain of one or more.
fn another(case: &Case<'_>) -> bool {
    let beyond = |drive: &Drive| matches!(drive, Drive::Ballast(b) if b.loop_gain.as_ref().is_ok_and(|g| *g >= ONE));
    case.solution.channels.iter().any(|channel| channel.drive.as_ref().is_ok_and(beyond))
}

const LESS: &str = "put a ballast in series that takes a fifth of the supply's voltage, or hold the current";

/// What is said of a lamp that has no balance though it has one with the currents held: their rise is the cause.
pub(in crate::rules) fn unbalanced<'a>(case: &'a Case<'_>) -> Option<&'a str> {
    let none = case.solution.heat.as_ref().err().is_some_and(|missing| missing.path == "heat.balance");
    let ledger = &case.solution.ledger;
    (none && ledger.get("heat.open.response").is_some()).then(|| ledger.shown("heat.balance").unwrap_or("no balance"))
}

pub(super) static PARALLEL_STRINGS: Rule = Rule {
    name: "drive/parallel-strings",
    signal: Signal::Warning,
    waivable: true,
    title: "strings in parallel share a current that nothing divides",
    source: "Kirchhoff's current law; common practice asks for a resistor in each string",
    why: "the string with the lowest voltage takes most of the current, and when one opens the others take its share",
    fix: "give each string its own driver or its own balancing resistor",
    check: |case| {
        each_channel(case, |channel, solved| {
            let strings = channel.strings.get()?;
            if strings < 2 {
                return Err(Skip::NotApplicable);
            }
            let total = solved.set.clone()?.mean.nominal;
            let shares = solved.parallel.clone().ok_or(Skip::NotApplicable)??;
            let survivor = shares.survivor;
            let uneven = shares.most.map_or_else(String::new, |most| format!("; the lowest may take {most}"));
            let balanced = channel.balanced.get()?;
            if balanced && case.lamp.driver.topology.get()? != Topology::BallastResistor {
                return unworked(channel, strings);
            }
            unless(!balanced, || {
                Finding::new(
                    format!(
                        "{strings} strings of `{}` share {total} without balancing{uneven}; when one opens, each other carries {survivor}",
                        channel.name
                    ),
                    channel.strings.span,
                    "in parallel",
                )
                .fix("give each string its own channel, or a balancing resistor and `balanced yes`")
            })
        })
    },
};

/// Resistors that share out a held current: this program sizes none, so it cannot say that they do.
fn unworked(channel: &Channel, strings: u32) -> Judgement {
    unless(true, || {
        Finding::new(
            format!(
                "the {strings} strings of `{}` are called balanced, and no resistor is worked out for this drive",
                channel.name
            ),
            channel.balanced.span,
            "balanced",
        )
        .also(channel.strings.span, "in parallel")
        .fix("give each string its own channel, or drive them by `ballast-resistor`, a ballast in each")
    })
}

pub(super) static SHARED_TERMINAL: Rule = Rule {
    name: "drive/shared-terminal",
    signal: Signal::Warning,
    waivable: true,
    title: "the dice share a terminal that the drive must have free",
    source: "the circuit itself: a low-side sink needs each cathode, a step-down module needs both ends",
    why: "joined ends join the channels, and one channel's current flows through another's driver",
    fix: "take an emitter whose dice have both ends free, or a drive that suits the joined end",
    check: |case| {
        each_channel(case, |channel, _| {
            let common = case.lamp.emitter.common.get()?;
            if common == Common::None || case.lamp.driver.channels.len() < 2 {
                return Ok(Outcome::Pass(None));
            }
            let topology = case.lamp.driver.topology.get()?;
            // Sinks and low-side switches take the cathode; anodes may all hang on the supply.
            let suits = common == Common::Anode && topology != Topology::BuckModule;
            unless(!suits, || {
                let ends = if common == Common::Anode { "anodes" } else { "cathodes" };
                let needs = match topology {
                    Topology::BuckModule => "its module needs both ends",
                    _ => "its sink needs the cathode",
                };
                Finding::new(
                    format!("all {ends} are joined; `{}` cannot use its die, for {needs}", channel.name),
                    case.lamp.emitter.common.span,
                    "joined here",
                )
                .also(case.lamp.driver.topology.span, "this drive")
                .fix("take an emitter with free ends, or one drive per emitter")
            })
        })
    },
};
