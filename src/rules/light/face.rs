//! The lit face: enough light, no dots, even, not too bright to look at, and dice that give no more than they can.

use crate::diag::Signal;
use crate::lamp::emitter::Die;
use crate::physics::light::beam::SOFT;
use crate::physics::light::face::BRIGHT;
use crate::physics::light::gamut::greatest_efficacy;
use crate::physics::light::spectrum::GREATEST_EFFICACY;
use crate::quantity::{LumensPerWatt, Quantity, Ratio};
use crate::rules::rule::{Finding, Measure, Rule, Skip, each, each_channel, once, unless};

pub(super) static MORE_THAN_RADIATED: Rule = Rule {
    name: "light/more-than-radiated",
    signal: Signal::Caution,
    waivable: true,
    title: "flux and efficiency of a die do not go together",
    source: "luminous efficacy of its spectrum, or of the best light of its colour, CIE 15; a quarter more is allowed for model and tolerances, our margin",
    why: "the heat of the lamp is worked out from the efficiency, its light from the flux: one of them is wrong",
    fix: "look both up again; a dominant wavelength is not a peak",
    check: |case| {
        each_channel(case, |channel, solved| {
            let look = &case.solution.look.channels;
            let colour = look.iter().find(|(name, _)| *name == channel.name).ok_or(Skip::NotApplicable)?.1.as_ref()?;
            // Without a spectrum only the bound of all light of that colour is left; half a per cent is the grid's.
            let bound = || greatest_efficacy(colour.at).map(|most| (most, most * 1.005));
            let (efficacy, most) =
                colour.rated.map(|own| (own, own * 1.25)).or_else(bound).ok_or(Skip::NotApplicable)?;
            let radiant = solved.power.clone()?.radiant;
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let stated = case.solution.light.as_ref()?.stated.iter().find(|(name, _)| *name == channel.name);
            let (_, flux) = stated.ok_or(Skip::NotApplicable)?;
            let found = LumensPerWatt::si(flux.value() / radiant.value());
            if beyond_all_light(die, found) {
                return Err(Skip::NotApplicable);
            }
            Measure::at_most(format!("lumens of `{}` by radiant watt", channel.name), None, found, most).judge(|_| {
                Finding::new(
                    format!(
                        "`{}` gives {} by radiant watt; light of its colour carries {}",
                        channel.name,
                        found.show(),
                        efficacy.show()
                    ),
                    die.flux.span,
                    "its flux",
                )
                .also(die.efficiency.span, "its efficiency")
                .fix("look up flux, efficiency and peak again at one and the same current")
            })
        })
    },
};

/// Whether no radiation of any colour carries so many lumens; the efficiency must be the author's, not a default.
fn beyond_all_light(die: &Die, found: LumensPerWatt) -> bool {
    die.efficiency.written && found > GREATEST_EFFICACY
}

pub(super) static BEYOND_ALL_LIGHT: Rule = Rule {
    name: "light/beyond-all-light",
    signal: Signal::Error,
    waivable: false,
    title: "a die gives more light than any light can",
    source: "K_cd = 683 lm/W, a defining constant of the SI",
    why: "flux or efficiency is a slip, and heat and light of the lamp are worked out from both",
    fix: "look both up again at one and the same current",
    check: |case| {
        each_channel(case, |channel, solved| {
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let radiant = solved.power.clone()?.radiant;
            let stated = case.solution.light.as_ref()?.stated.iter().find(|(name, _)| *name == channel.name);
            let (_, flux) = stated.ok_or(Skip::NotApplicable)?;
            let found = LumensPerWatt::si(flux.value() / radiant.value());
            unless(beyond_all_light(die, found), || {
                let (name, found, most) = (&channel.name, found.show(), GREATEST_EFFICACY.show());
                let message = format!("`{name}` gives {found} by radiant watt; no light carries more than {most}");
                Finding::new(message, die.flux.span, "its flux")
                    .also(die.efficiency.span, "its efficiency")
                    .fix("look up flux and efficiency again at one and the same current")
            })
        })
    },
};

pub(super) static FLUX_SHORT: Rule = Rule {
    name: "light/flux-short",
    signal: Signal::Caution,
    waivable: true,
    title: "the lamp gives less light than wanted",
    source: "light budget from die to room, our model",
    why: "box, sheet and heat each take their share before the light is in the room",
    fix: "raise currents, take a clearer sheet, or paint the box white",
    check: |case| {
        once(|| {
            let wanted = &case.lamp.aim.flux;
            if !wanted.is_known() && !wanted.unknown {
                return Err(Skip::NotApplicable);
            }
            let wanted_flux = wanted.nominal()?;
            let budget = case.solution.light.as_ref()?;
            Measure::at_least("light out of the lamp", Some("light.out".to_owned()), budget.out, wanted_flux).judge(
                |_| {
                    Finding::new(
                        format!(
                            "{} leave the lamp with all channels on; {} are wanted",
                            budget.out.show(),
                            wanted_flux.show()
                        ),
                        wanted.span,
                        "wanted",
                    )
                    .fix(format!(
                        "the dice give {}, and {} fall on the sheet, returns counted: find {} % more in current, box or sheet",
                        budget.dice.show(),
                        budget.at_sheet.show(),
                        libm::ceil((wanted_flux / budget.out - 1.0) * 100.0)
                    ))
                },
            )
        })
    },
};

pub(super) static HOT_SPOT: Rule = Rule {
    name: "light/hot-spot",
    signal: Signal::Caution,
    waivable: true,
    title: "the dice show as dots",
    source: "contrast of 10 % is still soft, our scale; direct light, box and blur of the sheet by our model",
    why: "an even face becomes a row of bright dots, all on or with a single channel",
    fix: "move the sheet away from the dice or set them closer together",
    check: |case| {
        let Ok(even) = &case.solution.look.even else {
            return once(|| Err(case.solution.look.even.as_ref().err().map_or(Skip::NotApplicable, Skip::from)));
        };
        each(
            even.channels.iter().chain([&even.all]),
            |lit| lit.name.clone(),
            |lit| {
                let path = Some(format!("light.even.{}.dots", lit.name));
                let who = if lit.name == "all" { "all channels".to_owned() } else { format!("`{}`", lit.name) };
                Measure::at_most(format!("contrast of dots, {who}"), path, Ratio::si(lit.dots), Ratio::si(SOFT)).judge(
                    |_| {
                        let distance = &case.lamp.emitter.distance;
                        let away = even.soft_at.filter(|d| distance.nominal().is_ok_and(|now| *d > now));
                        let away = away.map_or_else(
                            || "move the sheet away from the dice".to_owned(),
                            |d| format!("set the sheet about {} away", d.show()),
                        );
                        Finding::new(
                            format!(
                                "with {who} on, the dice stand out by {} on the sheet; {} is still soft",
                                crate::figures::percent(lit.dots),
                                crate::figures::percent(SOFT)
                            ),
                            distance.span,
                            "distance of the sheet",
                        )
                        .also(case.lamp.emitter.span, "places of the dice")
                        .fix(format!("{away}, or set the dice closer together"))
                    },
                )
            },
        )
    },
};

pub(super) static UNEVEN: Rule = Rule {
    name: "light/uneven",
    signal: Signal::Caution,
    waivable: true,
    title: "the lit sheet is less even than wanted",
    source: "direct light, box and blur of the sheet by our model",
    why: "the edge of the sheet falls dark against its middle",
    fix: "spread the dice, move the sheet away, or make the box whiter",
    check: |case| {
        once(|| {
            let given = &case.lamp.aim.evenness;
            if !given.is_known() && !given.unknown {
                return Err(Skip::NotApplicable);
            }
            let wanted = given.get()?;
            let even = case.solution.look.even.as_ref()?;
            let found = even.all.measures.least_by_most();
            let path = Some("light.even.all.least-by-most".to_owned());
            let mut measure = Measure::at_least(
                "darkest over brightest part of the sheet",
                path,
                Ratio::si(found),
                Ratio::si(wanted),
            );
            let (found, wanted) = (crate::figures::percent(found), crate::figures::percent(wanted));
            (measure.value, measure.limit) = (found.clone(), wanted.clone());
            measure.judge(|_| {
                Finding::new(
                    format!(
                        "the darkest part of the sheet has {found} of the light of the brightest; {wanted} is wanted"
                    ),
                    given.span,
                    "wanted",
                )
                .also(case.lamp.emitter.span, "places of the dice")
                .fix("bring dice nearer to the dark edge, or line the box with something whiter")
            })
        })
    },
};

pub(super) static GLARE: Rule = Rule {
    name: "light/glare",
    signal: Signal::Caution,
    waivable: true,
    title: "the face is bright to look at",
    source: "10 000 cd/m², from memory of the screening number of ICNIRP (2013); as a mark for glare our margin",
    why: "a face this bright in the field of view tires the eyes and hides what is beside it",
    fix: "take a larger face or less light, or hide it from view",
    check: |case| {
        once(|| {
            let face = case.solution.look.face.as_ref()?;
            let brightest = face.brightest.clone().unwrap_or(face.luminance);
            let path = if face.brightest.is_ok() { "light.face.brightest" } else { "light.face.luminance" };
            let what = "luminance of the face";
            Measure::at_most(what, Some(path.to_owned()), brightest, BRIGHT).judge(|_| {
                let diffuser = case.lamp.diffuser.as_ref().map_or(case.lamp.enclosure.span, |d| d.span);
                Finding::new(
                    format!("the face reaches {}; from {} on it is bright to look at", brightest.show(), BRIGHT.show()),
                    diffuser,
                    "this sheet",
                )
                .fix(format!(
                    "make the lit area {} times as large, dim it to match, or place it out of view",
                    crate::figures::trimmed(libm::ceil(brightest / BRIGHT * 100.0) / 100.0, 2)
                ))
            })
        })
    },
};
