//! Eyes: blue light, flicker, and the camera's eye.

use crate::diag::Signal;
use crate::lamp::Lamp;
use crate::physics::light::blue_light::Group;
use crate::physics::light::flicker::clean_for_camera;
use crate::quantity::Quantity;
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, Verdict, each, once, wished};
use crate::solve::light::flicker::Flicker;
use crate::solve::light::together::Together;

pub(super) static BLUE_LIGHT: Rule = Rule {
    name: "light/blue-light",
    signal: Signal::Warning,
    waivable: true,
    title: "a screening for blue light suggests group 2 or more at 200 mm",
    source: "screening after IEC 62471:2006 and ICNIRP (2013) from a modelled spectrum, limits from memory; not a measurement, not a classification",
    why: "looking into it from close by for longer than a glance can harm the retina",
    fix: "keep an opal sheet before the dice that only a tool removes",
    check: |case| {
        once(|| {
            let blue = case.solution.look.blue.as_ref()?;
            if blue.near.group < Group::Moderate {
                return Ok(Outcome::Pass(None));
            }
            let what = match (blue.bare, blue.dice) {
                (true, 1) => format!("the bare die of `{}`", blue.of),
                (true, dice) => format!("the {dice} bare dice of {}", name_of(case.lamp, &blue.of)),
                (false, _) => format!("the face with {} on", blue.of),
            };
            let longest = blue.near.longest.map_or_else(String::new, |t| format!(", a look of {} at most", t.show()));
            Ok(Outcome::Finding(
                Finding::new(
                    format!(
                        "{what} {} as {} at 200 mm: {} of blue-light radiance, {} over 100 mrad{longest}",
                        if blue.bare && blue.dice > 1 { "screen" } else { "screens" },
                        blue.near.group.name(),
                        blue.near.radiance.show(),
                        blue.near.averaged[0].show()
                    ),
                    case.lamp.diffuser.as_ref().map_or(case.lamp.emitter.span, |d| d.material.span),
                    "what stands before the dice",
                )
                .also(case.lamp.emitter.span, "these dice")
                .fix("set an opal sheet before the dice, fixed so that it takes a tool to remove"),
            ))
        })
    },
};

/// A channel in backquotes; words as they are.
fn name_of(lamp: &Lamp, of: &str) -> String {
    if lamp.driver.channels.iter().any(|c| c.name == of) { format!("`{of}`") } else { of.to_owned() }
}

/// Asks of each channel's flicker.
fn each_flicker(case: &Case<'_>, judge: impl Fn(&str, &Flicker) -> Judgement) -> Vec<Verdict> {
    each(&case.solution.look.flicker, |(name, _)| name.clone(), |(name, found)| judge(name, found.as_ref()?))
}

pub(super) static FLICKER: Rule = Rule {
    name: "light/flicker",
    signal: Signal::Warning,
    waivable: true,
    title: "the light flickers more than is thought of low risk",
    source: "IEEE 1789-2015, practice of low risk; 8 % at 100 Hz from a public excerpt, the rest from memory",
    why: "slow, deep flicker gives headache and makes moving things look still; some people are harmed by it",
    fix: "raise the frequency of the modulation, or filter it",
    check: |case| {
        let mut verdicts = each_flicker(case, |name, flicker| {
            let frequency = flicker.frequency.ok_or(Skip::NotApplicable)?;
            let Some(limit) = flicker.low_risk else { return Ok(Outcome::Pass(None)) };
            let path = Some(format!("light.flicker.{name}.modulation"));
            let what = format!("percent flicker of `{name}`");
            Measure::share_at_most(what, path, flicker.modulation, limit).judge(|m| {
                Finding::new(
                    format!(
                        "dimmed, `{name}` flickers by {} at {}; {} is the most of low risk there",
                        m.value,
                        frequency.show(),
                        m.limit
                    ),
                    case.lamp.driver.pwm.span,
                    "its frequency",
                )
                .fix("modulate at more than 1250 Hz, better at more than 3 kHz")
            })
        });
        verdicts.extend(each(&case.solution.look.together, |mix| mix.target.clone(), |mix| mixed(case, mix)));
        verdicts
    },
};

/// The mixed light of a target. Where a channel alone is over its limit that finding speaks for its mixes too.
fn mixed(case: &Case<'_>, mix: &Together) -> Judgement {
    let (asked, half) = (mix.asked.as_ref()?, mix.half.as_ref()?);
    let (at, worse) = if half.modulation > asked.modulation { ("half", half) } else { ("asked", asked) };
    let Some(limit) = worse.low_risk else { return Ok(Outcome::Pass(None)) };
    let path = Some(format!("light.together.{}.{at}.modulation", mix.target));
    let what = format!("percent flicker of the mix `{}`", mix.target);
    let mut alone = case.solution.look.flicker.iter().filter_map(|(_, f)| f.as_ref().ok());
    if worse.modulation > limit && alone.any(|f| f.low_risk.is_some_and(|limit| f.modulation > limit)) {
        return Err(Skip::NotApplicable);
    }
    let level = if at == "half" { "half its level" } else { "its level" };
    Measure::share_at_most(what, path, worse.modulation, limit).judge(|m| {
        let (name, f) = (&mix.target, worse.frequency.show());
        let message =
            format!("at {level} `{name}` flickers by {} at {f}; {} is the most of low risk there", m.value, m.limit);
        Finding::new(message, mix.span, "this mix")
            .also(case.lamp.driver.pwm.span, "its frequency")
            .fix("modulate at more than 1250 Hz, or filter more")
    })
}

/// Contrast of bands that a picture may show.
const BANDS: f64 = 0.01;

pub(super) static CAMERA: Rule = Rule {
    name: "light/camera",
    signal: Signal::Notice,
    waivable: true,
    title: "a camera sees dark bands",
    source: "geometry of a rolling shutter, worst phase; contrast of 1 %, our margin",
    why: "a part of a period more or less in the exposure shows as bands that wander over the picture",
    fix: "raise the frequency of the modulation or expose longer",
    check: |case| {
        each_flicker(case, |name, flicker| {
            let exposure = wished(&case.lamp.aim.exposure)?.low;
            let contrast = flicker.bands.ok_or(Skip::NotApplicable)?;
            let path = Some(format!("light.flicker.{name}.bands"));
            let what = format!("bands of `{name}` in a picture");
            Measure::share_at_most(what, path, contrast, BANDS).judge(|m| {
                Finding::new(
                    format!("pictures exposed for {} show bands of {} from `{name}`", exposure.show(), m.value),
                    case.lamp.aim.exposure.span,
                    "the exposure",
                )
                .also(case.lamp.driver.pwm.span, "the frequency")
                .fix(format!("modulate at {} or more", clean_for_camera(exposure).no_less()))
            })
        })
    },
};
