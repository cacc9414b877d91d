//! Rules about a battery that feeds the lamp: its fuse, its polarity, the surges on its wires, how low it may go.

use crate::diag::Signal;
use crate::lamp::supply::{Battery, BatteryFuse};
use crate::quantity::{Quantity, Volts};
use crate::schema::words::{Polarity, Topology};
use crate::solve::battery::{BatterySide, FUSE_WITHIN};

use super::rule::{Case, Finding, Judgement, Measure, Rule, Skip, each, once, unless};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[&NO_FUSE, &FUSE_BREAKING, &FUSE_FAR, &FUSE_SMALL, &POLARITY, &SURGE, &DEEP_DISCHARGE];

fn battery<'a>(case: &'a Case<'_>) -> Result<(&'a Battery, &'a BatterySide), Skip> {
    case.lamp.supply.battery.as_ref().zip(case.solution.battery.as_ref()).ok_or(Skip::NotApplicable)
}

/// The fuse; where there is none, its absence has a rule of its own.
fn fuse<'a>(case: &'a Case<'_>) -> Result<&'a BatteryFuse, Skip> {
    battery(case)?.0.fuse.as_ref().ok_or(Skip::NotApplicable)
}

static NO_FUSE: Rule = Rule {
    name: "battery/no-fuse",
    signal: Signal::Danger,
    waivable: false,
    title: "no fuse at the battery, or one above what its wires carry",
    source: "ISO 10133 for boats, from memory: the fuse protects the wire; our margin for what the wire carries",
    why: "a battery has no limit of its own: a short circuit makes the wire glow inside the lamp",
    fix: "fit a fuse in the plus wire, rated between the running current and what the thinnest wire carries",
    check: |case| once(|| no_fuse(case)),
};

fn no_fuse(case: &Case<'_>) -> Judgement {
    let (battery, side) = battery(case)?;
    let Some(fuse) = &battery.fuse else {
        return unless(true, || {
            let least =
                side.fuse_least.as_ref().map_or_else(|_| "the running current".to_owned(), |least| least.no_less());
            let most = side.fuse_most.as_ref().map_or_else(|_| "its wires carry".to_owned(), |most| most.no_more());
            Finding::new("no fuse stands between the battery and its wires", battery.span, "battery")
                .fix(format!("add a `fuse` block in `battery`, rated from {least} to {most}"))
        });
    };
    let most = side.fuse_most.clone()?;
    let rating = fuse.rating.high()?;
    Measure::at_most("fuse at the battery", Some(fuse.rating.path.clone()), rating, most).judge(|m| {
        let message = format!("the battery's fuse is {}; the thinnest wire behind it carries {most}", m.value);
        Finding::new(message, fuse.rating.span, "fuse")
            .also(case.lamp.wiring.area.span, "area of its wires")
            .fix(format!("fit a fuse of at most {}, or use thicker wire", most.no_more()))
    })
}

static FUSE_BREAKING: Rule = Rule {
    name: "battery/fuse-breaking",
    signal: Signal::Danger,
    waivable: true,
    title: "the battery can give more than its fuse breaks",
    source: "the fuse's sheet, and the battery's; IEC 60127-1 and ISO 8820 rate both current and direct voltage",
    why: "a fuse that cannot break the current burns on as an arc; direct current does not go out by itself",
    fix: "use a fuse made for this direct voltage that breaks the battery's short-circuit current",
    check: |case| each(&["current", "voltage"], |s| (*s).to_owned(), |subject| breaks(case, subject)),
};

fn breaks(case: &Case<'_>, subject: &str) -> Judgement {
    let (battery, _) = battery(case)?;
    let fuse = fuse(case)?;
    let fix = "choose a fuse whose sheet states more, for direct current";
    if subject == "current" {
        let (given, need) = (&fuse.breaking, battery.fault.high()?);
        return Measure::at_least("what the battery's fuse breaks", Some(given.path.clone()), given.low()?, need)
            .judge(|m| {
                Finding::new(format!("the fuse breaks {}; the battery can give {need}", m.value), given.span, "fuse")
                    .also(battery.fault.span, "the battery")
                    .fix(fix)
            });
    }
    let (given, need) = (&fuse.voltage, highest(case, battery)?);
    Measure::at_least("voltage of the battery's fuse", Some(given.path.clone()), given.low()?, need).judge(|m| {
        Finding::new(format!("the fuse is made for {}; its wire may see {need}", m.value), given.span, "fuse").fix(fix)
    })
}

/// The surge where it is stated, else the full battery; a surge that is said to be unknown may be anything.
fn highest(case: &Case<'_>, battery: &Battery) -> Result<Volts, Skip> {
    let full = case.lamp.supply.output.high()?;
    Ok(if battery.surge.is_left_out() { full } else { full.max(battery.surge.high()?) })
}

static FUSE_FAR: Rule = Rule {
    name: "battery/fuse-far",
    signal: Signal::Warning,
    waivable: true,
    title: "the fuse sits too far from the battery",
    source: "ISO 10133 for boats, 200 mm, from memory; taking it for lamps is our margin",
    why: "nothing protects the wire between plus and fuse",
    fix: "move the fuse to the battery's plus terminal",
    check: |case| {
        once(|| {
            let given = &fuse(case)?.distance;
            let wire = battery(case)?.1.fuse_wire.clone().ok_or(Skip::NotApplicable)??;
            let path = Some("battery.fuse-wire".to_owned());
            Measure::at_most("wire between battery and fuse", path, wire, FUSE_WITHIN).judge(|m| {
                let message = format!("{} of wire without a fuse; at most {FUSE_WITHIN}", m.value);
                let cut = case.solution.wires.iter().find(|w| w.name == "battery-plus").map(|w| w.length);
                let finding = Finding::new(message, given.span, "distance");
                if cut.is_some_and(|cut| cut.value() > FUSE_WITHIN.value()) {
                    return finding.fix(format!(
                        "put the fuse beside the battery and write `run battery-plus {{ length ... }}` of at most {FUSE_WITHIN} in `wiring`"
                    ));
                }
                finding.fix(format!("put the fuse within {FUSE_WITHIN} of the plus terminal"))
            })
        })
    },
};

static FUSE_SMALL: Rule = Rule {
    name: "battery/fuse-small",
    signal: Signal::Warning,
    waivable: true,
    title: "the battery's fuse blows in use",
    source: "common practice, no source: three quarters of its rating for good",
    why: "a fuse that blows in use is soon replaced by a bigger one",
    fix: "take the next larger fuse that the wires still allow",
    check: |case| {
        once(|| {
            let (given, least) = (&fuse(case)?.rating, battery(case)?.1.fuse_least.clone()?);
            let what = "battery's fuse for the running current";
            Measure::at_least(what, Some(given.path.clone()), given.low()?, least).judge(|m| {
                let message = format!("the battery's fuse is {}; nearly empty, the lamp needs {least}", m.value);
                Finding::new(message, given.span, "fuse").fix(format!("fit a fuse of at least {}", least.no_less()))
            })
        })
    },
};

static POLARITY: Rule = Rule {
    name: "battery/polarity",
    signal: Signal::Warning,
    waivable: true,
    title: "nothing but care keeps plus from minus",
    source: "common practice, no source",
    why: "a battery joined the wrong way round once kills driver and controller, and heats what lies between",
    fix: "use a plug that goes in one way, or a diode or transistor that blocks",
    check: |case| {
        once(|| {
            let given = &battery(case)?.0.polarity;
            unless(given.get()? == Polarity::None, || {
                Finding::new("the battery can be joined the wrong way round", given.span, "polarity")
                    .fix("write `polarity keyed` and use such a plug, or `blocked` and fit the transistor")
            })
        })
    },
};

static SURGE: Rule = Rule {
    name: "battery/surge",
    signal: Signal::Warning,
    waivable: true,
    title: "surges on the battery's wires are more than the driver stands",
    source: "the parts' data sheets; the height of the surge is the author's, ISO 16750-2 has some for vehicles",
    why: "a charger, or a load let go beside the lamp, lifts the wires far above the full battery",
    fix: "fit a suppressor that clamps below what the driver stands, or a driver for more",
    check: |case| each(&["input", "module", "transistor"], |s| (*s).to_owned(), |subject| surge(case, subject)),
};

fn surge(case: &Case<'_>, subject: &str) -> Judgement {
    let (battery, _) = battery(case)?;
    let driver = &case.lamp.driver;
    let bought = driver.topology.get()? == Topology::BuckModule;
    let limit = match subject {
        "input" => &battery.withstand,
        // A part that the drive does not use is not fitted.
        "module" => &driver.module.as_ref().filter(|_| bought).ok_or(Skip::NotApplicable)?.input,
        _ => &driver.transistor.as_ref().filter(|_| !bought).ok_or(Skip::NotApplicable)?.voltage,
    };
    // A module's range ends at what it stands; the other figures are one limit each.
    let most = if subject == "module" { limit.high()? } else { limit.low()? };
    let highest = case.lamp.supply.output.high()?.max(battery.surge.high()?);
    let what = format!("surge on the battery's wires, {subject}");
    Measure::at_most(what, Some(battery.surge.path.clone()), highest, most).judge(|m| {
        let message = format!("the battery's wires may see {}; the {subject} stands {most}", m.value);
        Finding::new(message, battery.surge.span, "surge")
            .also(limit.span, "what it stands")
            .fix(format!("clamp the wires below {}, and write the clamped voltage as `surge`", most.no_more()))
    })
}

static DEEP_DISCHARGE: Rule = Rule {
    name: "battery/deep-discharge",
    signal: Signal::Caution,
    waivable: true,
    title: "the battery is emptied further than its cells stand",
    source: "common practice by the kind of cell, from memory; the cell's sheet comes first",
    why: "a cell emptied too far loses capacity for good; some kinds heat when they are charged again",
    fix: "take the lamp off at a higher voltage",
    check: |case| {
        once(|| {
            let (battery, side) = battery(case)?;
            let (given, least) = (&battery.cutoff, side.empty.clone()?);
            let what = "voltage at which the lamp lets go";
            Measure::at_least(what, Some(given.path.clone()), given.low()?, least).judge(|m| {
                let message = format!("the lamp lets go of the battery at {}; its cells are empty at {least}", m.value);
                Finding::new(message, given.span, "lets go")
                    .also(battery.cells.span, "cells in a row")
                    .fix(format!("let go at {} or more", least.no_less()))
            })
        })
    },
};
