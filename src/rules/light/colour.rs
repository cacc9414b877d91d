//! Colours: can the channels mix what is wanted, with the light that is wanted, and does it stay that colour.

use crate::diag::{Signal, Span};
use crate::figures::fixed;
use crate::lamp::Lamp;
use crate::lamp::given::Given;
use crate::physics::light::chromaticity::{Chromaticity, PLAINLY_SEEN, STEP};
use crate::physics::light::gamut::is_a_light;
use crate::physics::light::temperature::Correlated;
use crate::quantity::{Kelvin, Lumens, Quantity, Ratio};
use crate::rules::rule::{
    Case, Finding, Judgement, Measure, Outcome, Rule, Skip, Verdict, each, each_channel, once, unless, wished,
};
use crate::solve::light::targets::{Blend, REACHED, Target};
use crate::spread::Spread;

/// The light that is wanted of a target.
fn asked<'a>(lamp: &'a Lamp, target: &Target) -> Result<&'a Given<Spread<Lumens>>, Skip> {
    let flux = if target.is_white {
        lamp.aim.whites.iter().find(|white| white.name == target.name).map(|white| &white.flux)
    } else {
        lamp.aim.colours.iter().find(|colour| colour.name == target.name).map(|colour| &colour.flux)
    };
    flux.ok_or(Skip::NotApplicable)
}

/// Asks of each target that could be worked out.
fn each_target(case: &Case<'_>, judge: impl Fn(&Target, &Blend) -> Judgement) -> Vec<Verdict> {
    each(&case.solution.look.targets, |t| t.name.clone(), |target| judge(target, target.mix.as_ref()?))
}

pub(super) static COLOUR_UNREACHABLE: Rule = Rule {
    name: "light/colour-unreachable",
    signal: Signal::Caution,
    waivable: true,
    title: "the channels cannot mix a wanted colour",
    source: "geometry of the chromaticity diagram, CIE 15; Δu'v' of 0.001 counts as reached, our margin",
    why: "no setting of the channels gives this colour; the nearest one may look plainly different",
    fix: "want the nearest colour, or take dice that reach it",
    check: |case| {
        each_target(case, |target, blend| {
            let away = if blend.reach.inside { 0.0 } else { blend.reach.distance };
            let path = Some(format!("light.target.{}.distance", target.name));
            let what = format!("distance of `{}` from what can be mixed, Δu'v'", target.name);
            Measure::at_most(what, path, Ratio::si(away), Ratio::si(REACHED)).judge(|_| {
                let near = blend.reach.nearest;
                let (x, y) = (fixed(near.x, 4), fixed(near.y, 4));
                Finding::new(
                    format!(
                        "`{}` lies Δu'v' = {} outside what the channels can mix; the nearest is x {x}, y {y}",
                        target.name,
                        fixed(away, 4)
                    ),
                    target.span,
                    "this target",
                )
                .also(case.lamp.emitter.span, "these dice")
                .fix(format!("want x {x}, y {y} in place of it, or choose dice whose colours enclose it"))
            })
        })
    },
};

pub(super) static NO_SUCH_COLOUR: Rule = Rule {
    name: "light/no-such-colour",
    signal: Signal::Error,
    waivable: false,
    title: "no light has this colour",
    source: "spectral locus and line of purples, CIE 15",
    why: "a point outside them is a slip of the pen, and everything worked out from it would be nonsense",
    fix: "look the point up again: x and y, not u' and v', and in this order",
    check: |case| {
        let judge = |at: Chromaticity, span: Span, what: &str| {
            unless(!is_a_light(at), || {
                let (x, y) = (fixed(at.x, 4), fixed(at.y, 4));
                Finding::new(format!("no light has the colour x {x}, y {y} {what}"), span, "this point").fix(
                    "look it up again; x and y of a light lie within the spectral locus, and x + y is no more than 1",
                )
            })
        };
        let mut verdicts = each_channel(case, |channel, _| {
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            if !die.x.is_known() && !die.y.is_known() {
                return Err(Skip::NotApplicable);
            }
            let at = Chromaticity { x: die.x.get()?, y: die.y.get()? };
            judge(at, die.x.span, &format!("that the dice of `{}` are said to have", channel.name))
        });
        verdicts.extend(each(
            &case.solution.look.targets,
            |t| t.name.clone(),
            |target| {
                if target.is_white {
                    return Err(Skip::NotApplicable);
                }
                judge(*target.wanted.as_ref()?, target.span, &format!("that is wanted as `{}`", target.name))
            },
        ));
        verdicts
    },
};

pub(super) static CODE_SHIFT: Rule = Rule {
    name: "light/code-shift",
    signal: Signal::Notice,
    waivable: true,
    title: "rounding to codes shifts a colour",
    source: "one step of Δu'v' 0.0011, CIE TN 001:2014, from memory",
    why: "a channel that is turned far down has only a few codes, and the next one is another colour",
    fix: "take more bits, or want more light of that colour",
    check: |case| {
        each_target(case, |target, blend| {
            if blend.codes.is_none() {
                return Err(Skip::NotApplicable);
            }
            let path = Some(format!("light.target.{}.rounding", target.name));
            let what = format!("shift of `{}` by rounding to codes, Δu'v'", target.name);
            Measure::at_most(what, path, Ratio::si(blend.rounding), Ratio::si(STEP)).judge(|_| {
                let (shift, step) = (fixed(blend.rounding, 4), fixed(STEP, 4));
                let message = format!("the codes of `{}` shift it by Δu'v' = {shift}; {step} is one step", target.name);
                Finding::new(message, target.span, "this target")
                    .also(case.lamp.driver.bits.span, "the resolution")
                    .fix("take more bits, or want more light of it")
            })
        })
    },
};

pub(super) static POWER_CAP: Rule = Rule {
    name: "light/power-cap",
    signal: Signal::Caution,
    waivable: true,
    title: "a wanted colour cannot be that bright",
    source: "linear programme over the channels under current limits, the supply's rating and the firmware's cap",
    why: "the mix of this colour runs into the limit of a channel or of the supply first",
    fix: "want less light of it, or give the channel that is at its limit more current",
    check: |case| {
        each_target(case, |target, blend| {
            let wanted = wished(asked(case.lamp, target)?)?.nominal;
            let path = Some(format!("light.target.{}.flux", target.name));
            let Some(most) = blend.short else { return Ok(Outcome::Pass(None)) };
            Measure::at_least(format!("light of `{}`", target.name), path, most, wanted).judge(|_| {
                let full = case.lamp.driver.channels.iter().zip(&blend.levels).filter(|(_, level)| **level > 0.999);
                let full: Vec<String> = full.map(|(channel, _)| format!("`{}`", channel.name)).collect();
                let (by, is) = match full.as_slice() {
                    [] if case.lamp.driver.cap.is_known() => {
                        ("the supply or the firmware's cap".to_owned(), "is at its limit")
                    }
                    [] => ("the supply".to_owned(), "is at its limit"),
                    [one] => (one.clone(), "is at its limit"),
                    more => (more.join(" and "), "are at their limits"),
                };
                Finding::new(
                    format!(
                        "`{}` reaches {} of the {} that are wanted; {by} {is}",
                        target.name,
                        most.show(),
                        wanted.show()
                    ),
                    target.span,
                    "this target",
                )
                .fix(format!("want {} of it, or raise what {by} can give", most.no_more()))
            })
        })
    },
};

pub(super) static DRIFT: Rule = Rule {
    name: "light/drift",
    signal: Signal::Notice,
    waivable: true,
    title: "a colour shifts plainly while the lamp warms up",
    source: "seven steps of Δu'v' 0.0011, CIE TN 001:2014, from memory; fading of dice with temperature from memory",
    why: "red dice lose light with heat sooner than the others, so that a mix set warm starts too red when cold",
    fix: "let the firmware follow the temperature, or mix more of it from white dice",
    check: |case| {
        each_target(case, |target, blend| {
            let path = Some(format!("light.target.{}.drift", target.name));
            let what = format!("shift of `{}` from cold to hot, Δu'v'", target.name);
            Measure::at_most(what, path, Ratio::si(blend.drift), Ratio::si(PLAINLY_SEEN)).judge(|_| {
                let start = blend.cold.map_or_else(String::new, |t: Kelvin| format!(", from {}", t.show()));
                Finding::new(
                    format!(
                        "`{}` shifts by Δu'v' = {} while the lamp warms up{start}; {} is plainly another colour",
                        target.name,
                        fixed(blend.drift, 4),
                        fixed(PLAINLY_SEEN, 4)
                    ),
                    target.span,
                    "this target",
                )
                .fix("set it warm and let the firmware follow the temperature, or let it warm up before colour matters")
            })
        })
    },
};

pub(super) static RGB_WHITE: Rule = Rule {
    name: "light/rgb-white",
    signal: Signal::Notice,
    waivable: true,
    title: "white is mixed from single colours alone",
    source: "common practice, no source",
    why: "white of three narrow lines makes skin, food and wood look wrong, and drifts most while it warms up",
    fix: "add a channel of white dice",
    check: |case| {
        once(|| {
            let white = case.lamp.aim.whites.first().ok_or(Skip::NotApplicable)?;
            let mut any = false;
            for (_, colour) in &case.solution.look.channels {
                any |= colour.as_ref()?.is_white;
            }
            unless(!any, || {
                Finding::new(
                    format!("`{}` is mixed without any white dice", white.name),
                    white.span,
                    "a white is wanted",
                )
                .also(case.lamp.emitter.span, "single colours only")
                .fix("add a channel of white dice near that colour temperature")
            })
        })
    },
};

pub(super) static MIDPOINT_PINK: Rule = Rule {
    name: "light/midpoint-pink",
    signal: Signal::Notice,
    waivable: true,
    title: "a white comes out tinted",
    source: "Duv within 0.006 looks untinted, common practice, no source; Duv by Ohno, LEUKOS 10 (2014) 47",
    why: "two whites mix along a straight line, which runs below the locus: half way between them it looks pink",
    fix: "take whites that are closer together, or add a little green",
    check: |case| {
        each_target(case, |target, blend| {
            let duv = blend.duv.ok_or(Skip::NotApplicable)?;
            let path = Some(format!("light.target.{}.duv", target.name));
            let what = format!("tint of `{}`, Duv either way", target.name);
            Measure::at_most(what, path, Ratio::si(duv.abs()), Ratio::si(Correlated::UNTINTED)).judge(|_| {
                let tint = if duv < 0.0 { "pink" } else { "green" };
                Finding::new(
                    format!(
                        "the nearest mix to `{}` looks {tint}: Duv {}, and 0.006 looks untinted",
                        target.name,
                        fixed(duv, 4)
                    ),
                    target.span,
                    "this target",
                )
                .also(case.lamp.emitter.span, "these dice")
                .fix("take dice whose colours are closer together, or add a channel on the other side of the locus")
            })
        })
    },
};
