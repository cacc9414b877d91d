//! Rules about the controller's pins: what they do at start, what they can do, what they are asked for.

use std::collections::BTreeMap;

use crate::diag::{Signal, Span};
use crate::figures::percent;
use crate::lamp::driver::Channel;
use crate::lamp::supply::Pin;
use crate::quantity::{Amperes, Ohms, Quantity, Ratio};
use crate::schema::words::{Boot, PinUse, PowerReturn, Pull, Reference, Strap};
use crate::solve::drive::{ChannelSolution, PullSolution, StrapBound};

use super::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, Verdict, each, each_channel, unless};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] =
    &[&BOOT_FLASH, &BOOT_BLOCKED, &CONSOLE, &INPUT_ONLY, &SHARED, &OVER_CURRENT, &BITS, &STAYS_ON];

/// The channel's pin and pull; not applicable where nothing is to steer it.
fn pin<'a>(case: &Case<'a>, channel: &Channel, solved: &ChannelSolution) -> Result<(&'a Pin, PullSolution), Skip> {
    let pull = match &solved.pull {
        Some(found) => found.clone()?,
        None if case.lamp.driver.reference.get()? == Reference::Fixed => return Err(Skip::NotApplicable),
        None => return Err(channel.pin.missing().into()),
    };
    Ok((case.lamp.pin(channel).ok_or(Skip::NotApplicable)?, pull))
}

/// Whether a shut-off keeps every channel dark until the firmware runs: its pin is driven low, or floats and is pulled
/// down. A pin that is driven does not care for its pull.
fn shut_at_start(case: &Case<'_>) -> Result<bool, Skip> {
    let Some(pin) = case.lamp.shutoff_pin() else { return Ok(false) };
    Ok(match pin.boot.get()? {
        Boot::Low => true,
        Boot::Floating => pin.pull.get()? == Pull::Down,
        Boot::High | Boot::Toggles => false,
    })
}

static BOOT_FLASH: Rule = Rule {
    name: "pins/boot-flash",
    signal: Signal::Caution,
    waivable: true,
    title: "the light flashes while the controller starts",
    source: "the controller's data sheet; Kirchhoff's laws for a floating line, half the least threshold is our margin",
    why: "a flash at every power cut wakes people and looks like a fault",
    fix: "take a pin that stays quiet, a stronger pull, or a shut-off that is off at start",
    check: |case| {
        each_channel(case, |channel, solved| {
            let (pin, pull) = pin(case, channel, solved)?;
            // A pull-up lights the channel by intent; `pins/stays-on` holds that against the wish.
            if shut_at_start(case)? || channel.pull_to.get()? == Pull::Up {
                return Ok(Outcome::Pass(None));
            }
            let start = case.lamp.controller.as_ref().map_or_else(String::new, |c| {
                c.start.nominal().map_or_else(|_| String::new(), |t| format!(" for about {t}"))
            });
            let driven = match pin.boot.get()? {
                Boot::Low => return Ok(Outcome::Pass(None)),
                Boot::High => Some("is driven high"),
                Boot::Toggles => Some("pulses"),
                Boot::Floating => None,
            };
            if let Some(does) = driven {
                return Ok(Outcome::Finding(
                    Finding::new(
                        format!("pin `{}` {does} at start{start}, and `{}` lights with it", pin.name, channel.name),
                        channel.pin.span,
                        "steered by it",
                    )
                    .also(pin.boot.span, "at start")
                    .fix("take a pin that stays low or floats at start, or a shut-off that is off until the firmware runs"),
                ));
            }
            floats(channel, pin, &pull, &start)
        })
    },
};

fn floats(channel: &Channel, pin: &Pin, pull: &PullSolution, start: &str) -> Judgement {
    let (level, off) = (pull.level.clone()?, pull.off_below.clone()?);
    let path = Some(format!("drive.{}.boot-level", channel.name));
    Measure::at_most(format!("line of {} at start", channel.name), path, level, off).judge(|_| {
        let held = if pull.present { format!("{} holds it at {level}", pull.value) } else { "nothing holds it".into() };
        let most = pull.most.as_ref().map_or_else(|_| String::new(), |m| format!(" of at most {}", m.no_more()));
        Finding::new(
            format!(
                "pin `{}` floats at start{start}; {held}, and `{}` is dark only below {off}",
                pin.name, channel.name
            ),
            if channel.pull.is_known() { channel.pull.span } else { channel.pin.span },
            "this line",
        )
        .fix(format!("hold the line down with a resistor{most}"))
    })
}

static BOOT_BLOCKED: Rule = Rule {
    name: "pins/boot-blocked",
    signal: Signal::Warning,
    waivable: true,
    title: "what hangs on a strapping pin keeps the controller from starting",
    source: "the controller's data sheet; voltage divider with its own pull",
    why: "the controller reads the pin at reset; a wrong level and it waits for a programmer for ever",
    fix: "take another pin, or a resistor that leaves the level",
    check: |case| {
        each_channel(case, |channel, solved| {
            let (pin, pull) = pin(case, channel, solved)?;
            let controller = case.lamp.controller.as_ref().ok_or(Skip::NotApplicable)?;
            let logic = controller.logic.nominal()?;
            let path = Some(format!("drive.{}.boot-read", channel.name));
            let what = format!("level of pin {} at reset", pin.name);
            let (measure, wants) = match pin.strap.get()? {
                Strap::None => return Err(Skip::NotApplicable),
                Strap::High => {
                    (Measure::at_least(what, path, pull.passive, logic * controller.strap_high.get()?), "high")
                }
                Strap::Low => (Measure::at_most(what, path, pull.passive, logic * controller.strap_low.get()?), "low"),
            };
            measure.judge(|m| {
                let way = match pull.strap {
                    Some(StrapBound::AtLeast(least)) if least.value().is_finite() => format!(" or a pull of at least {}", least.no_less()),
                    Some(StrapBound::AtMost(most)) if most.value().is_finite() => format!(" or a pull of at most {}", most.no_more()),
                    _ => String::new(),
                };
                Finding::new(
                    format!(
                        "pin `{}` must read {wants} at reset; with the line of `{}` on it, it reads {} and the limit is {}",
                        pin.name, channel.name, m.value, m.limit
                    ),
                    channel.pin.span,
                    "used here",
                )
                .also(pin.strap.span, "must read so")
                .fix(format!("take another pin{way}"))
            })
        })
    },
};

static CONSOLE: Rule = Rule {
    name: "pins/console",
    signal: Signal::Caution,
    waivable: true,
    title: "a channel hangs on a pin that talks at reset",
    source: "the controller's data sheet",
    why: "messages come out as light, and the firmware can no longer be watched while it starts",
    fix: "take another pin",
    check: |case| {
        each_use(case, |user, pin| {
            let talks = pin.console.get()?;
            unless(talks, || {
                Finding::new(
                    format!("pin `{}` sends messages at reset, and {} hangs on it", pin.name, user.what),
                    user.span,
                    "here",
                )
                .also(pin.console.span, "sends messages")
                .fix("take another pin")
            })
        })
    },
};

static INPUT_ONLY: Rule = Rule {
    name: "pins/input-only",
    signal: Signal::Warning,
    waivable: true,
    title: "a pin that is only an input is to drive something",
    source: "the controller's data sheet",
    why: "the pin cannot drive the line, so the channel never lights or never goes out",
    fix: "take another pin",
    check: |case| {
        each_use(case, |user, pin| {
            let cannot = pin.use_.get()? == PinUse::InputOnly;
            unless(cannot, || {
                Finding::new(
                    format!("pin `{}` is an input only, and {} needs an output", pin.name, user.what),
                    user.span,
                    "here",
                )
                .also(pin.use_.span, "input only")
                .fix("take another pin")
            })
        })
    },
};

static SHARED: Rule = Rule {
    name: "pins/shared",
    signal: Signal::Warning,
    waivable: true,
    title: "one pin is used twice",
    source: "the circuit itself",
    why: "what hangs on one pin cannot be steered apart",
    fix: "give each its own pin",
    check: |case| {
        let uses = uses(case);
        let mut by_pin: BTreeMap<&str, Vec<&Use<'_>>> = BTreeMap::new();
        for user in &uses {
            by_pin.entry(user.pin.name.as_str()).or_default().push(user);
        }
        let groups: Vec<(&str, Vec<&Use<'_>>)> = by_pin.into_iter().collect();
        each(
            &groups,
            |(name, _)| (*name).to_owned(),
            |(name, users)| match users.as_slice() {
                [first, second, ..] => Ok(Outcome::Finding(
                    Finding::new(
                        format!("pin `{name}` steers {} and {}", first.what, second.what),
                        second.span,
                        "used again",
                    )
                    .also(first.span, "used here")
                    .fix("give each its own pin"),
                )),
                _ => Ok(Outcome::Pass(None)),
            },
        )
    },
};

static OVER_CURRENT: Rule = Rule {
    name: "pins/over-current",
    signal: Signal::Warning,
    waivable: true,
    title: "a pin is asked for more current than it gives",
    source: "the controller's data sheet; Ohm's law, the filter's capacitor taken as empty",
    why: "the level sags, the reference with it, and the pin ages",
    fix: "take a larger resistor",
    check: |case| {
        each_channel(case, |channel, solved| {
            let (pin, pull) = pin(case, channel, solved)?;
            let controller = case.lamp.controller.as_ref().ok_or(Skip::NotApplicable)?;
            let limit: Amperes = controller.pin_limit.low()?;
            let path = Some(format!("drive.{}.pin-current", channel.name));
            Measure::at_most(format!("current of pin {}", pin.name), path, pull.pin_current, limit).judge(|_| {
                let span = if channel.pull.is_known() { channel.pull.span } else { channel.pin.span };
                // Behind a filter most of it goes into the empty capacitor, which a larger pull would not change.
                let fix = if case.lamp.driver.reference.value == Some(Reference::FilteredPwm) {
                    "take a larger resistor in its filter".to_owned()
                } else {
                    let least: Ohms = pull.value * (pull.pin_current / limit);
                    format!("take about {least} or more")
                };
                Finding::new(
                    format!(
                        "pin `{}` must give {} to `{}`; its limit is {limit}",
                        pin.name, pull.pin_current, channel.name
                    ),
                    span,
                    "this line",
                )
                .also(controller.pin_limit.span, "limit of a pin")
                .fix(fix)
            })
        })
    },
};

static BITS: Rule = Rule {
    name: "pins/bits",
    signal: Signal::Caution,
    waivable: true,
    title: "the timer does not give the steps asked for",
    source: "2^B periods of the clock make one period of the modulation; definition",
    why: "steps that do not exist are skipped, and the lower end of the dimmer is coarse",
    fix: "lower the frequency, or ask for fewer bits",
    check: |case| {
        each_channel(case, |channel, solved| {
            let found = match &solved.modulation {
                Some(found) => found.clone()?,
                None => return Err(Skip::NotApplicable),
            };
            let wanted = Ratio::si(f64::from(found.bits));
            let path = Some(format!("drive.{}.bits-possible", channel.name));
            let bits = Measure::at_least(format!("bits of {}", channel.name), path, found.bits_possible, wanted);
            if !bits.holds() {
                return bits.judge(|_| {
                    let clock = case.lamp.controller.as_ref().and_then(|c| c.clock.nominal().ok());
                    let most = clock.map_or_else(String::new, |c| (c / libm::exp2(f64::from(found.bits))).no_more());
                    Finding::new(
                        format!(
                            "{} bits at {} need a faster clock; it gives {} bits",
                            found.bits,
                            found.frequency,
                            found.bits_possible.show()
                        ),
                        case.lamp.driver.bits.span,
                        "bits",
                    )
                    .also(case.lamp.driver.pwm.span, "frequency")
                    .fix(format!("modulate at {most} or less, or ask for fewer bits"))
                });
            }
            lowest_step(case, channel, found.step)
        })
    },
};

fn lowest_step(case: &Case<'_>, channel: &Channel, step: Ratio) -> Judgement {
    let wish = Ratio::si(case.lamp.aim.lowest.get()?);
    let path = Some(format!("drive.{}.step", channel.name));
    Measure::share_at_most(format!("lowest step of {}", channel.name), path, step.value(), wish.value()).judge(|_| {
        Finding::new(
            format!(
                "the lowest step of `{}` is {}; {} is wished",
                channel.name,
                percent(step.value()),
                percent(wish.value())
            ),
            case.lamp.driver.bits.span,
            "bits",
        )
        .also(case.lamp.aim.lowest.span, "wished here")
        .fix("take more bits, or a lower frequency")
    })
}

static STAYS_ON: Rule = Rule {
    name: "pins/stays-on",
    signal: Signal::Warning,
    waivable: true,
    title: "the lamp is at full when its controller is dead or power returns",
    source: "the circuit itself, against the wish stated in `aim`",
    why: "a lamp that comes on alone, at full, in an empty house is a fire risk nobody chose",
    fix: "hold the control lines down, or add a shut-off",
    check: |case| {
        each_channel(case, |channel, solved| {
            if case.lamp.aim.power_return.get()? == PowerReturn::On {
                return Ok(Outcome::Pass(None));
            }
            let fixed = case.lamp.driver.reference.get()? == Reference::Fixed;
            if !fixed {
                channel.pin.known()?;
            }
            let up = !fixed && channel.pull_to.get()? == Pull::Up;
            let lit = fixed || up || loose(solved)?;
            unless(lit && !shut_at_start(case)?, || {
                let wish = &case.lamp.aim.power_return;
                let text = if fixed {
                    format!("`{}` has no control and comes on at full when power returns", channel.name)
                } else if up {
                    format!("the pull-up of `{}` turns it on at full while the controller is dead", channel.name)
                } else {
                    format!("nothing holds the line of `{}` down while the controller is dead", channel.name)
                };
                let span = if fixed { case.lamp.driver.reference.span } else { channel.pull_to.span };
                Finding::new(text, span, "here")
                    .also(wish.span, "wished here")
                    .fix("pull the line down, or add a shut-off whose pin is low at start")
            })
        })
    },
};

/// Whether no resistor holds the line that a dead controller lets go of, so that the channel is not surely dark.
fn loose(solved: &ChannelSolution) -> Result<bool, Skip> {
    let Some(pull) = &solved.pull else { return Ok(false) };
    let pull = pull.as_ref()?;
    Ok(!pull.present && pull.level.clone()? > pull.off_below.clone()?)
}

/// Something that a pin steers.
struct Use<'a> {
    /// What the verdict is of: the channel's name, or the shut-off.
    subject: String,
    /// The same in a message.
    what: String,
    span: Span,
    pin: &'a Pin,
}

fn uses<'a>(case: &Case<'a>) -> Vec<Use<'a>> {
    let of_channel = |channel: &Channel| {
        let (subject, what) = (channel.name.clone(), format!("channel `{}`", channel.name));
        Some(Use { subject, what, span: channel.pin.span, pin: case.lamp.pin(channel)? })
    };
    let mut found: Vec<Use<'a>> = case.lamp.driver.channels.iter().filter_map(of_channel).collect();
    if let (Some(shutoff), Some(pin)) = (&case.lamp.driver.shutoff, case.lamp.shutoff_pin()) {
        let name = "the shut-off".to_owned();
        found.push(Use { subject: name.clone(), what: name, span: shutoff.pin.span, pin });
    }
    found
}

fn each_use(case: &Case<'_>, judge: impl Fn(&Use<'_>, &Pin) -> Judgement) -> Vec<Verdict> {
    each(&uses(case), |user| user.subject.clone(), |user| judge(user, user.pin))
}
