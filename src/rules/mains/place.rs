//! Where the lamp hangs and lives, what its label says, and whether mains need be in it at all.

use crate::diag::{Signal, Span};
use crate::figures::stated;
use crate::physics::conductors::insulation::suggest_class_three;
use crate::quantity::{Amperes, Metres};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each, once, unless};
use crate::schema::words::{CordBuild, Mount, Place, Region, Word};
use crate::solve::line::terms;

use super::{cord, mains};

/// Largest residual current that protects a person (IEC 60364-4-41, 415.1).
const RESIDUAL: Amperes = Amperes::si(30e-3);
/// The same in North America (UL 943, from memory).
const RESIDUAL_US: Amperes = Amperes::si(6e-3);
/// Widest opening of a body for damp places: the wire of IEC 60529, first digit 4.
const DAMP_OPENING: Metres = Metres::si(1.0e-3);

pub(super) static HANGING: Rule = Rule {
    name: "mains/hanging",
    signal: Signal::Danger,
    waivable: true,
    title: "too much hangs on the cord",
    source: "IEC 60598-1, 4.14, from memory; leaving the earth core out is our margin",
    why: "copper under too much load creeps until it parts over somebody's head",
    fix: "hang the lamp on a rope or rod, and leave the cord slack",
    check: |case| once(|| hanging(case)),
};

fn hanging(case: &Case<'_>) -> Judgement {
    let (cord, figures) = cord(case)?;
    let identity = &case.lamp.identity;
    if identity.mount.get()? != Mount::Pendant {
        return Err(Skip::NotApplicable);
    }
    let (mass, most) = (&identity.mass, figures.hang.clone()?);
    Measure::at_most("mass on the cord", Some(mass.path.clone()), mass.high()?, most).judge(|m| {
        Finding::new(format!("{} hangs on the cord; it may carry {most}", m.value), mass.span, "mass")
            .also(cord.core_area.span, "core area")
            .fix("hang the lamp on a rope or rod, or use a cord with thicker cores")
    })
}

pub(super) static DAMP: Rule = Rule {
    name: "mains/damp",
    signal: Signal::Danger,
    waivable: true,
    title: "mains in a damp place without what that asks for",
    source: "IEC 60364-7-701 and 4-41, 415.1; IEC 60598-1, 5.2.2 for rubber cords; UL 943 in North America, from memory; the 1 mm opening is our margin",
    why: "wet skin lets several times the current through, and water finds every opening",
    fix: "close the body, use a rubber cord, and state a residual-current device of 30 mA or less, of 6 mA in North America",
    check: |case| each(&["residual current", "body", "cord"], |s| (*s).to_owned(), |subject| damp(case, subject)),
};

fn damp(case: &Case<'_>, subject: &str) -> Judgement {
    let mains = mains(case)?;
    let place = &case.lamp.identity.place;
    let word = place.get()?;
    if word == Place::IndoorDry {
        return Err(Skip::NotApplicable);
    }
    match subject {
        "residual current" => residual(case, word),
        "body" => {
            let Some((what, width, span)) = widest_opening(case)?.filter(|o| o.1 > DAMP_OPENING) else {
                return Ok(Outcome::Pass(None));
            };
            unless(true, || {
                Finding::new(format!("{what} is {width} wide in a place that is `{}`", word.word()), span, "opening")
                    .also(place.span, "place")
                    .fix("close it, or keep openings to 1 mm and lead water away from them")
            })
        }
        _ => {
            let cord = mains.cord.as_ref().ok_or(Skip::NotApplicable)?;
            if case.lamp.identity.region.get()? == Region::Us {
                return Err(Skip::NotApplicable);
            }
            let build = cord.build.get()?;
            unless(build != CordBuild::Rubber, || {
                Finding::new(
                    format!("a {} cord in a place that is `{}`", terms::build(build), word.word()),
                    cord.build.span,
                    "cord",
                )
                .also(place.span, "place")
                .fix("use a rubber cord: `build rubber`, cores of 1.0 mm²")
            })
        }
    }
}

/// The widest way for water into the body: a vent, or a hole that nothing closes.
fn widest_opening(case: &Case<'_>) -> Result<Option<(String, Metres, Span)>, Skip> {
    let body = &case.lamp.enclosure;
    let mut all = Vec::new();
    for vent in &body.vents {
        all.push((format!("vent `{}`", vent.name), vent.width.high()?, vent.span));
    }
    for hole in &body.holes {
        let wide = hole.diameter.high()?;
        if wide > DAMP_OPENING && !hole.filled.get()? {
            all.push((format!("hole `{}`", hole.name), wide, hole.span));
        }
    }
    Ok(all.into_iter().max_by(|a, b| a.1.value().total_cmp(&b.1.value())))
}

fn residual(case: &Case<'_>, word: Place) -> Judgement {
    let (given, place) = (&mains(case)?.residual_current, &case.lamp.identity.place);
    // UL 943, from memory: a person is protected at 6 mA there; IEC 60364-4-41, 415.1: at 30 mA elsewhere.
    let most = if case.lamp.identity.region.get()? == Region::Us { RESIDUAL_US } else { RESIDUAL };
    let most_said = stated(most.value(), "A");
    let fix = format!("state a residual-current device of {most_said} or less: `residual-current {most_said}`");
    if !given.is_known() {
        return unless(true, || {
            let message = format!("a place that is `{}`, and no residual-current device is stated", word.word());
            Finding::new(message, place.span, "place").fix(fix)
        });
    }
    Measure::at_most("residual current", Some(given.path.clone()), given.high()?, most).judge(|m| {
        Finding::new(
            format!("the residual-current device acts at {}; a person is protected to {most_said}", m.value),
            given.span,
            "device",
        )
        .also(place.span, "place")
        .fix(fix)
    })
}

pub(super) static NO_LABEL: Rule = Rule {
    name: "mains/no-label",
    signal: Signal::Notice,
    waivable: true,
    title: "the rating label lacks a figure",
    source: "IEC 60598-1, section 3",
    why: "years later the label is all that is known of the lamp",
    fix: "write maker and model, and give the figures that its power follows from",
    check: |case| once(|| label(case)),
};

fn label(case: &Case<'_>) -> Judgement {
    let identity = &case.lamp.identity;
    let mut lacks = Vec::new();
    if !identity.maker.is_known() {
        lacks.push("maker");
    }
    if !identity.model.is_known() {
        lacks.push("model");
    }
    if !lacks.is_empty() {
        return unless(true, || {
            Finding::new(format!("the rating label lacks: {}", lacks.join(", ")), case.lamp.span, "this lamp")
                .fix(format!("write `{} \"...\"` in `lamp`", lacks.join(" \"...\"` and `")))
        });
    }
    // Power and current follow from other figures: where those are missing the label is not checked.
    match &case.solution.line {
        Some(line) => (line.power.as_ref()?, line.current.as_ref()?),
        None => (case.solution.feed.most.as_ref()?, case.solution.feed.current_most.as_ref()?),
    };
    Ok(Outcome::Pass(None))
}

pub(super) static OUTSIDE_SUPPLY: Rule = Rule {
    name: "mains/outside-supply",
    signal: Signal::Notice,
    waivable: true,
    title: "a separate supply would keep mains out of the lamp",
    source: "our margin, to 60 W",
    why: "a lamp that no mains enters cannot give a shock, and needs no earth, fuse, cord clamp or mains tests",
    fix: "use a bought plug-in supply of the same voltage, and leave the `mains` block out",
    check: |case| {
        once(|| {
            let (mains, power) = (mains(case)?, case.solution.feed.mains.clone()?);
            unless(suggest_class_three(terms::class(mains.class.get()?), power), || {
                let output = case.lamp.supply.output.nominal().map_or_else(|_| "its".to_owned(), |u| u.to_string());
                Finding::new(
                    format!("at {power} a separate supply could keep mains out of this lamp"),
                    mains.span,
                    "mains inside",
                )
                .fix(format!(
                    "use a bought plug-in supply of {output}, write `place outside` in `supply` and drop `mains`"
                ))
            })
        })
    },
};
