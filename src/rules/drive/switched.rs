//! Rules about the switched sink: ripple, saturation, frequency and regulation, the freewheel diode.

use crate::diag::{Signal, Span};
use crate::figures::percent;
use crate::lamp::driver::Channel;
use crate::lamp::parts::Comparator;
use crate::quantity::{Amperes, Hertz, Quantity};
use crate::rules::rule::{Finding, Judgement, Measure, Outcome, Rule, Skip, each_channel};
use crate::schema::words::Topology;
use crate::solve::drive::Hysteretic;

use super::{hysteretic, part, path};

/// Ripple over mean that is still kind to the dice.
const RIPPLE_LIMIT: f64 = 0.40;

pub(super) static RIPPLE: Rule = Rule {
    name: "drive/ripple",
    signal: Signal::Caution,
    waivable: true,
    title: "the current ripples more than is wise",
    source: "40 % peak to peak over mean is common practice, no source; the peak against the die's data sheet",
    why: "the peak ages the die, and the mean is no longer what the reference says",
    fix: "take a larger inductor, or a shorter off-time",
    check: |case| {
        each_channel(case, |channel, solved| {
            let found = hysteretic(solved)?;
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let most = die.most.low()? * f64::from(channel.strings.get()?.max(1));
            if found.peak > most {
                let measure = Measure::at_most("peak current", path(channel, "peak"), found.peak, most);
                return measure.judge(|_| {
                    Finding::new(
                        format!("`{}` peaks at {}; its die bears {most}", channel.name, found.peak),
                        channel.span,
                        "this channel",
                    )
                    .also(die.most.span, "the die's maximum")
                    .fix("take a larger inductor, or a lower current")
                });
            }
            let mean = found.nominal.mean;
            let ripple = if mean.value() > 0.0 { (found.nominal.peak - found.nominal.valley) / mean } else { 0.0 };
            let what = format!("ripple of {}", channel.name);
            Measure::share_at_most(what, path(channel, "ripple"), ripple, RIPPLE_LIMIT).judge(|_| {
                Finding::new(
                    format!(
                        "`{}` ripples by {} of its mean, from {} to {}",
                        channel.name,
                        percent(ripple),
                        found.nominal.valley,
                        found.nominal.peak
                    ),
                    channel.span,
                    "this channel",
                )
                .fix(format!(
                    "take {} or more, or an off-time of {} or less",
                    (found.inductance * (ripple / RIPPLE_LIMIT)).no_less(),
                    (found.off_time * (RIPPLE_LIMIT / ripple)).no_more()
                ))
            })
        })
    },
};

/// Share of the saturation current that a peak may reach.
const SATURATION_SHARE: f64 = 0.8;

pub(super) static SATURATION: Rule = Rule {
    name: "drive/saturation",
    signal: Signal::Warning,
    waivable: true,
    title: "the peak comes near the inductor's saturation",
    source: "the inductor's data sheet; 80 % of it is our margin for heat and spread",
    why: "a saturated inductor is a short piece of wire: the current runs up within the delay and takes the switch with it",
    fix: "take an inductor with a higher saturation current",
    check: |case| {
        each_channel(case, |channel, solved| {
            let found = hysteretic(solved)?;
            let inductor = part(case, case.lamp.driver.inductor.as_ref(), "inductor")?;
            let saturation = inductor.saturation.low()?;
            let limit = saturation * SATURATION_SHARE;
            let what = format!("peak current of {}", channel.name);
            Measure::at_most(what, path(channel, "peak"), found.peak, limit).judge(|_| {
                Finding::new(
                    format!("`{}` may peak at {}; 80 % of the saturation current is {limit}", channel.name, found.peak),
                    channel.span,
                    "this channel",
                )
                .also(inductor.saturation.span, "saturation current")
                .fix(format!("take an inductor that bears at least {}", (found.peak / SATURATION_SHARE).no_less()))
            })
        })
    },
};

/// Upper end of hearing.
const AUDIBLE: Hertz = Hertz::si(20e3);
/// On-time over delay below which the delay, not the comparator, sets the pulse.
const DELAYS: f64 = 2.0;

pub(super) static FREQUENCY: Rule = Rule {
    name: "drive/frequency",
    signal: Signal::Caution,
    waivable: true,
    title: "the loop switches too slowly, too fast, or not at all",
    source: "20 kHz is the end of hearing; regulation is lost where the delay adds more than the off-time takes, exact solution of the cycle; twice the delay is our margin",
    why: "below 20 kHz it whistles; at its delays the current is what the delays make it, not what was asked for",
    fix: "change the off-time or the inductor, or take a faster comparator",
    check: |case| {
        each_channel(case, |channel, solved| {
            let found = hysteretic(solved)?;
            let comparator = part(case, case.lamp.driver.comparator.as_ref(), "comparator")?;
            if !found.regulates {
                return Ok(Outcome::Finding(lost(channel, found, comparator.delay.span)));
            }
            let low = found.frequency.0;
            let what = format!("lowest switching frequency of {}", channel.name);
            let slow = Measure::at_least(what, path(channel, "frequency"), low, AUDIBLE);
            if !slow.holds() {
                return slow.judge(|_| {
                    Finding::new(
                        format!("`{}` may switch at {low}, which is heard", channel.name),
                        channel.span,
                        "here",
                    )
                    .fix(format!("shorten the off-time from {} in proportion", found.off_time))
                });
            }
            fast(channel, found, comparator)
        })
    },
};

fn lost(channel: &Channel, found: &Hysteretic, span: Span) -> Finding {
    let (low, high) = found.frequency;
    Finding::new(
        format!(
            "`{}` does not hold its current in every corner: it runs at its delays, or the switch stays on ({low} to {high})",
            channel.name
        ),
        channel.span,
        "this channel",
    )
    .also(span, "delay")
    .fix("lengthen the off-time, take a faster comparator, or a supply further above the string")
}

fn fast(channel: &Channel, found: &Hysteretic, comparator: &Comparator) -> Judgement {
    let least = comparator.delay.high()? * DELAYS;
    let what = format!("on-time of {}", channel.name);
    Measure::at_least(what, path(channel, "on-time"), found.on_time, least).judge(|_| {
        Finding::new(
            format!("`{}` is on for {} only; a delay of {} wants {least}", channel.name, found.on_time, least / DELAYS),
            channel.span,
            "this channel",
        )
        .also(comparator.delay.span, "delay")
        .fix("lengthen the off-time, or take a faster comparator")
    })
}

/// Mean current rating over the highest mean current.
const DIODE_MARGIN: f64 = 1.5;
/// Reverse voltage rating over the highest supply.
const REVERSE_MARGIN: f64 = 1.3;

pub(super) static FREEWHEEL: Rule = Rule {
    name: "drive/freewheel",
    signal: Signal::Warning,
    waivable: true,
    title: "the inductor's current has no good way when the switch opens",
    source: "common practice, no source: 1.5 times the mean current, 1.3 times the highest supply",
    why: "without a diode the inductor drives its current through the switch by force, and the switch dies",
    fix: "put a fast diode from the switch to the supply, rated for the current and voltage",
    check: |case| {
        each_channel(case, |channel, solved| {
            if case.lamp.driver.topology.get()? != Topology::HystereticSink {
                return Err(Skip::NotApplicable);
            }
            let Some(diode) = &case.lamp.driver.diode else {
                return Ok(Outcome::Finding(
                    Finding::new(
                        format!("`{}` has an inductor and no freewheel diode", channel.name),
                        case.lamp.driver.span,
                        "this driver",
                    )
                    .fix("add a `diode` block: its drop, mean current and reverse voltage"),
                ));
            };
            let found = hysteretic(solved)?;
            let needs: Amperes = found.diode_current * DIODE_MARGIN;
            let supply = case.lamp.supply.output.high()?;
            let (current, voltage) = (diode.current.low()?, diode.voltage.low()?);
            let what = "reverse voltage of the diode";
            let reverse = Measure::at_least(what, Some(diode.voltage.path.clone()), voltage, supply * REVERSE_MARGIN);
            if !reverse.holds() {
                return reverse.judge(|_| {
                    Finding::new(
                        format!("the diode stands {voltage}; the supply may reach {supply}"),
                        diode.voltage.span,
                        "here",
                    )
                    .also(case.lamp.supply.output.span, "supply")
                    .fix(format!("take one for at least {}", (supply * REVERSE_MARGIN).no_less()))
                });
            }
            let what = format!("current rating of the diode of {}", channel.name);
            Measure::at_least(what, Some(diode.current.path.clone()), current, needs).judge(|_| {
                Finding::new(
                    format!(
                        "the diode of `{}` carries {} in the mean, too much for one rated {current}",
                        channel.name, found.diode_current
                    ),
                    diode.current.span,
                    "rated here",
                )
                .fix(format!("take one for at least {}", needs.no_less()))
            })
        })
    },
};
