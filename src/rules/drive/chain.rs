//! Whether the links of a channel fit each other: pin, reference, bought module, die.

use crate::diag::Signal;
use crate::lamp::driver::Channel;
use crate::lamp::emitter::Die;
use crate::lamp::parts::Module;
use crate::quantity::Quantity;
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each, each_channel, unless};
use crate::schema::words::{Reference, Topology, Word};
use crate::solve::drive::ChannelSolution;

use super::parts::nearest;
use super::{part, path};

pub(super) static REFERENCE_KIND: Rule = Rule {
    name: "drive/reference-kind",
    signal: Signal::Warning,
    waivable: true,
    title: "a smooth level is made that nothing in the drive reads",
    source: "the circuits themselves: a ballast and a bought module's dimming input only turn on and off",
    why: "filtered, the signal stands between on and off: the switch runs hot half open, or the module guesses",
    fix: "gate the current, `reference pwm-gate`, or take a sink whose current follows a level",
    check: |case| {
        each_channel(case, |channel, _| {
            let (topology, reference) = (&case.lamp.driver.topology, &case.lamp.driver.reference);
            let word = topology.get()?;
            let reads = matches!(word, Topology::LinearSink | Topology::HystereticSink);
            unless(reference.get()? == Reference::FilteredPwm && !reads, || {
                Finding::new(
                    format!("`{}` is told its level by a filter, and a {} reads none", channel.name, word.word()),
                    reference.span,
                    "reference",
                )
                .also(topology.span, "drive")
                .fix("write `reference pwm-gate`, or take `linear-sink` or `hysteretic-sink`")
            })
        })
    },
};

pub(super) static MODULE_LIMITS: Rule = Rule {
    name: "drive/module-limits",
    signal: Signal::Warning,
    waivable: true,
    title: "the bought module is asked for what its data sheet does not promise",
    source: "the module's data sheet: current, lowest input, dimming frequency and level",
    why: "past its limits it shuts down, dims in jumps, or stays dark or bright whatever the pin says",
    fix: "another module, or ask less of this one",
    check: |case| {
        each_channel(case, |channel, solved| {
            if case.lamp.driver.topology.get()? != Topology::BuckModule {
                return Err(Skip::NotApplicable);
            }
            let module = part(case, case.lamp.driver.module.as_ref(), "module")?;
            let mut asked = vec![current(channel, solved, module)?, input(case, module)?];
            asked.extend(dimming(case, channel, module)?);
            nearest(asked)
        })
    },
};

fn current(channel: &Channel, solved: &ChannelSolution, module: &Module) -> Result<(Measure, Finding), Skip> {
    let (most, high) = (module.most.low()?, solved.set.clone()?.mean.high);
    let message = format!("`{}` may draw {high} from a module made for {most}", channel.name);
    let finding = Finding::new(message, module.most.span, "most of the module")
        .also(channel.current.span, "asked for")
        .fix(format!("ask for less, or take a module of at least {}", high.no_less()));
    Ok((Measure::at_most("current of the module", path(channel, "current"), high, most), finding))
}

fn input(case: &Case<'_>, module: &Module) -> Result<(Measure, Finding), Skip> {
    let output = &case.lamp.supply.output;
    let (lowest, least) = (output.low()?, module.input.low()?);
    let finding = Finding::new(
        format!("the supply falls to {lowest}; the module works from {least} on"),
        module.input.span,
        "input of the module",
    )
    .also(output.span, "supply")
    .fix(format!(
        "take a supply that keeps {}, or a module that works from {} on",
        least.no_less(),
        lowest.no_more()
    ));
    Ok((Measure::at_least("lowest input of the module", Some(output.path.clone()), lowest, least), finding))
}

/// What the pin asks of the dimming input; nothing where no signal dims.
fn dimming(case: &Case<'_>, channel: &Channel, module: &Module) -> Result<Vec<(Measure, Finding)>, Skip> {
    let driver = &case.lamp.driver;
    if driver.reference.get()? != Reference::PwmGate {
        return Ok(Vec::new());
    }
    let (pwm, fastest) = (driver.pwm.high()?, module.dim_most.low()?);
    let too_fast = Finding::new(
        format!("`{}` is dimmed at {pwm}; the module follows up to {fastest}", channel.name),
        driver.pwm.span,
        "dimming frequency",
    )
    .also(module.dim_most.span, "most of the module")
    .fix(format!("write `pwm {}` or less, or take a faster module", fastest.no_more()));
    let controller = case.lamp.controller.as_ref().ok_or_else(|| channel.pin.missing())?;
    let (high, needs) = (controller.logic.low()?, module.dim_high.high()?);
    let too_low = Finding::new(
        format!("the pin of `{}` reaches {high}; the module is surely on from {needs}", channel.name),
        module.dim_high.span,
        "on from here",
    )
    .also(controller.logic.span, "the pin's level")
    .fix("shift the level, or take a module with a lower threshold");
    Ok(vec![
        (Measure::at_most("dimming frequency", Some(driver.pwm.path.clone()), pwm, fastest), too_fast),
        (Measure::at_least("level of the pin", Some(controller.logic.path.clone()), high, needs), too_low),
    ])
}

pub(super) static DIE_SHARED: Rule = Rule {
    name: "drive/die-shared",
    signal: Signal::Warning,
    waivable: true,
    title: "two channels drive one die",
    source: "Kirchhoff's current law: the die carries the sum",
    why: "each current may be within the die's limit while their sum burns it, and two drives fight over one string",
    fix: "a die of its own for each channel",
    check: |case| {
        each(
            &case.lamp.emitter.dice,
            |die| die.name.clone(),
            |die| {
                let feeding: Vec<&Channel> = feeds(case, die).collect();
                let [first, second, ..] = feeding.as_slice() else { return Ok(Outcome::Pass(None)) };
                unless(true, || {
                    Finding::new(
                        format!("`{}` and `{}` both drive the die `{}`", first.name, second.name, die.name),
                        second.feeds.span,
                        "second channel",
                    )
                    .also(first.feeds.span, "first channel")
                    .fix("write in one of them the die that it is meant to drive")
                })
            },
        )
    },
};

pub(super) static DIE_DARK: Rule = Rule {
    name: "drive/die-dark",
    signal: Signal::Notice,
    waivable: true,
    title: "no channel drives this die",
    source: "our margin: what is bought and wired should light",
    why: "a die that nothing drives stays dark, and its wires end nowhere",
    fix: "a channel that feeds it, or leave the die out",
    check: |case| each(&case.lamp.emitter.dice, |die| die.name.clone(), |die| dark(case, die)),
};

fn dark(case: &Case<'_>, die: &Die) -> Judgement {
    unless(feeds(case, die).next().is_none(), || {
        Finding::new(format!("no channel drives the die `{}`", die.name), die.span, "this die")
            .also(case.lamp.driver.span, "driver")
            .fix(format!("add `channel {} {{ feeds {} ... }}` to `driver`", die.name, die.name))
    })
}

/// The channels that drive a die.
fn feeds<'a>(case: &Case<'a>, die: &'a Die) -> impl Iterator<Item = &'a Channel> {
    case.lamp.driver.channels.iter().filter(move |c| c.feeds.value.as_ref() == Some(&die.name))
}
