//! Rules about the reference and the low end: ripple and settling of the filter, least current, true darkness.

use crate::diag::Signal;
use crate::figures::{percent, shown_below};
use crate::quantity::{Amperes, Quantity};
use crate::rules::rule::{Finding, Measure, Rule, Skip, each_channel, unless};
use crate::schema::words::{Reference, Topology};
use crate::solve::drive::{Drive, Floor};

use super::{drive, path};

pub(super) static REFERENCE_RIPPLE: Rule = Rule {
    name: "drive/reference-ripple",
    signal: Signal::Caution,
    waivable: true,
    title: "the filter of the reference is too light or too heavy",
    source: "first-order linear system in the periodic state; one step of ripple is our margin",
    why: "ripple above one step makes the resolution a number on paper; a slow filter makes the light lag behind the hand",
    fix: "change the filter, the frequency or the bits",
    check: |case| {
        each_channel(case, |channel, solved| {
            let filter = match &solved.filter {
                Some(found) => found.clone()?,
                None => return Err(Skip::NotApplicable),
            };
            let what = format!("ripple of the reference of {}", channel.name);
            let ripple = Measure::at_most(what, path(channel, "reference-ripple"), filter.ripple, filter.step);
            if !ripple.holds() {
                return ripple.judge(|_| {
                    Finding::new(
                        format!(
                            "the reference of `{}` ripples by {}; one step is {}",
                            channel.name, filter.ripple, filter.step
                        ),
                        case.lamp.driver.filter.span,
                        "this filter",
                    )
                    .also(case.lamp.driver.pwm.span, "frequency")
                    .fix(format!("take {} or more", (filter.capacitor * (filter.ripple / filter.step)).no_less()))
                });
            }
            let wish = case.lamp.aim.settle.low()?;
            let what = format!("settling of the reference of {}", channel.name);
            Measure::at_most(what, path(channel, "settling"), filter.settling, wish).judge(|_| {
                Finding::new(
                    format!("a new level of `{}` settles in {}; {wish} is wished", channel.name, filter.settling),
                    case.lamp.driver.filter.span,
                    "this filter",
                )
                .also(case.lamp.aim.settle.span, "wished here")
                .fix("take fewer bits or a higher frequency, so that a lighter filter will do")
            })
        })
    },
};

pub(super) static LOW_FLOOR: Rule = Rule {
    name: "drive/low-floor",
    signal: Signal::Caution,
    waivable: true,
    title: "the drive cannot go as low as wished",
    source: "offsets and delays of the data sheets, worst case",
    why: "below its floor a channel jumps, glows unevenly or goes out, and the dimmer's lower end is lost",
    fix: "take a better amplifier, more sense voltage, or a shorter least on-time",
    check: |case| {
        each_channel(case, |channel, solved| {
            if case.lamp.driver.reference.get()? == Reference::Fixed {
                return Err(Skip::NotApplicable);
            }
            let Floor { share: floor, figure } = solved.floor.clone()?.ok_or(Skip::NotApplicable)?;
            let wish = case.lamp.aim.lowest.get()?;
            let what = format!("least level of {}", channel.name);
            Measure::share_at_most(what, path(channel, figure), floor, wish).judge(|_| {
                Finding::new(
                    format!(
                        "`{}` holds its level down to {}; {} is wished",
                        channel.name,
                        percent(floor),
                        percent(wish)
                    ),
                    channel.span,
                    "this channel",
                )
                .also(case.lamp.aim.lowest.span, "wished here")
                .fix(match figure {
                    _ if wish <= 0.0 => {
                        format!("wish for {} or more: no drive holds a current of nothing", percent(floor))
                    }
                    "least-duty" => format!(
                        "lower the modulation's frequency below {} of it",
                        percent(shown_below(wish / floor, ""))
                    ),
                    _ => "take an amplifier with less offset, or a larger sense voltage".to_owned(),
                })
            })
        })
    },
};

pub(super) static NO_TRUE_OFF: Rule = Rule {
    name: "drive/no-true-off",
    signal: Signal::Caution,
    waivable: true,
    title: "nothing takes the current to zero when the lamp is off",
    source: "the circuit itself: an offset sets a current even at a reference of zero",
    why: "a lamp that glows in a dark bedroom comes back to the workshop",
    fix: "add a shut-off: an enable input, or a switch in the low-voltage supply",
    check: |case| {
        each_channel(case, |channel, solved| {
            let driver = &case.lamp.driver;
            let glow = match drive(solved)? {
                Drive::Linear(l) => l.floor.clone()?,
                Drive::Hysteretic(h) => h.floor.clone()?,
                _ => Amperes::ZERO,
            };
            let gated = driver.reference.get()? == Reference::PwmGate;
            let fixed = driver.reference.get()? == Reference::Fixed;
            let held = matches!(driver.topology.get()?, Topology::LinearSink | Topology::HystereticSink);
            // Nobody dims a fixed channel: a switch in the mains is how it is turned off.
            let switched = case.lamp.mains.as_ref().is_some_and(|m| m.switch.is_some());
            let lit = (fixed && !switched) || (held && !gated && !fixed && glow.value() > 0.0);
            unless(lit && driver.shutoff.is_none(), || {
                let text = if fixed {
                    format!("`{}` is always at its set current, and nothing turns it off", channel.name)
                } else {
                    format!(
                        "with its reference at zero `{}` may still carry {glow}, and there is no shut-off",
                        channel.name
                    )
                };
                Finding::new(text, channel.span, "this channel")
                    .fix("add `shutoff { kind enable; pin NAME }`, or a switch in the low-voltage supply")
            })
        })
    },
};
