//! The lit face: enough light, no dots, even, not too bright to look at, and dice that give no more than they can.

use crate::diag::Signal;
use crate::figures::trimmed;
use crate::lamp::driver::Channel;
use crate::lamp::emitter::Die;
use crate::physics::light::beam::SOFT;
use crate::physics::light::face::BRIGHT;
use crate::physics::light::spectrum::GREATEST_EFFICACY;
use crate::quantity::{Lumens, LumensPerWatt, Quantity};
use crate::rules::rule::{Case, Finding, Measure, Rule, Skip, each, each_channel, once, unless, wished};
use crate::solve::light::Budget;

pub(super) static MORE_THAN_RADIATED: Rule = Rule {
    name: "light/more-than-radiated",
    signal: Signal::Caution,
    waivable: true,
    title: "flux and efficiency of a die do not go together",
    source: "luminous efficacy of its spectrum, or of the best light of its colour, CIE 15; a quarter more is allowed for model and tolerances, our margin",
    why: "the heat of the lamp is worked out from the efficiency, its light from the flux: one of them is wrong",
    fix: "look both up again; a dominant wavelength is not a peak",
    check: |case| {
        each_channel(case, |channel, _| {
            let look = &case.solution.look.channels;
            let colour = look.iter().find(|(name, _)| *name == channel.name).ok_or(Skip::NotApplicable)?.1.as_ref()?;
            // Without a spectrum only the bound of all light of that colour is left; half a per cent is the grid's.
            let bound = || colour.bound.map(|most| (most, most * 1.005));
            let (efficacy, most) =
                colour.rated.map(|own| (own, own * 1.25)).or_else(bound).ok_or(Skip::NotApplicable)?;
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let found = by_radiant_watt(case, channel)?;
            if beyond_all_light(die, found) {
                return Err(Skip::NotApplicable);
            }
            let path = Some(format!("light.channel.{}.by-radiant-watt", channel.name));
            Measure::at_most(format!("lumens of `{}` by radiant watt", channel.name), path, found, most).judge(|_| {
                Finding::new(
                    format!(
                        "`{}` gives {} of what it radiates; light of its colour carries {}",
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

/// Light of a channel's dice by what they radiate, both as stated.
fn by_radiant_watt(case: &Case<'_>, channel: &Channel) -> Result<LumensPerWatt, Skip> {
    let all = &case.solution.light.as_ref()?.radiated;
    let (_, found) = all.iter().find(|(name, _)| *name == channel.name).ok_or(Skip::NotApplicable)?;
    Ok(found.clone()?)
}

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
        each_channel(case, |channel, _| {
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let found = by_radiant_watt(case, channel)?;
            unless(beyond_all_light(die, found), || {
                let (name, found, most) = (&channel.name, found.show(), GREATEST_EFFICACY.show());
                let message = format!("`{name}` gives {found} of what it radiates; no light carries more than {most}");
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
            let wanted_flux = wished(wanted)?.nominal;
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
                    .fix(brighter(budget, wanted_flux))
                },
            )
        })
    },
};

/// Where light is to be found: a share more of what there is, else where it ends.
fn brighter(budget: &Budget, wanted: Lumens) -> String {
    let (dice, at_sheet) = (budget.dice.show(), budget.at_sheet.show());
    if budget.dice <= Lumens::ZERO {
        return "the dice give no light: see that their strings have voltage enough, and what `flux` they state"
            .to_owned();
    }
    let more = libm::ceil((wanted / budget.out - 1.0) * 100.0);
    if more.is_finite() && more < 1e6 {
        return format!(
            "the dice give {dice}, and {at_sheet} fall on the sheet, returns counted: find {more} % more in current, box or sheet"
        );
    }
    let lost = if budget.at_sheet > Lumens::ZERO {
        format!("and {at_sheet} fall on the sheet, which lets next to nothing through: take one that transmits light")
    } else {
        "and nothing falls on the sheet: line the box with something white".to_owned()
    };
    format!("the dice give {dice}, {lost}")
}

pub(super) static HOT_SPOT: Rule = Rule {
    name: "light/hot-spot",
    signal: Signal::Caution,
    waivable: true,
    title: "the dice show as dots",
    source: "contrast of 10 % is still soft, our scale; direct light, box and blur of the sheet by our model",
    why: "an even face becomes a row of bright dots, all on or with a single channel",
    fix: "move the sheet away from the dice or set them closer together",
    check: |case| {
        let even = match &case.solution.look.even {
            Ok(even) => even,
            Err(missing) => return once(|| Err(missing.into())),
        };
        each(
            even.channels.iter().chain([&even.all]),
            |lit| lit.name.clone(),
            |lit| {
                let path = Some(format!("light.even.{}.dots", lit.name));
                let who = if lit.name == "all" { "all channels".to_owned() } else { format!("`{}`", lit.name) };
                let what = format!("contrast of dots, {who}");
                Measure::share_at_most(what, path, lit.dots, SOFT).judge(|m| {
                    let distance = &case.lamp.emitter.distance;
                    let away = even.soft_at.filter(|d| distance.nominal().is_ok_and(|now| *d > now));
                    let away = away.map_or_else(
                        || "move the sheet away from the dice".to_owned(),
                        |d| format!("set the sheet about {} away", d.show()),
                    );
                    Finding::new(
                        format!(
                            "with {who} on, the dice stand out by {} on the sheet; {} is still soft",
                            m.value, m.limit
                        ),
                        distance.span,
                        "distance of the sheet",
                    )
                    .also(case.lamp.emitter.span, "places of the dice")
                    .fix(format!("{away}, or set the dice closer together"))
                })
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
            let wanted = *wished(given)?;
            let found = case.solution.look.even.as_ref()?.all.measures.least_by_most();
            let (what, path) = ("darkest over brightest part of the sheet", "light.even.all.least-by-most");
            Measure::share_at_least(what, Some(path.to_owned()), found, wanted).judge(|m| {
                Finding::new(
                    format!(
                        "the darkest part of the sheet has {} of the light of the brightest; {} is wanted",
                        m.value, m.limit
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
            // The mean is enough to find a face bright, and not to pass one.
            let (brightest, path) = match &face.brightest {
                Ok(brightest) => (*brightest, "light.face.brightest"),
                Err(_) if face.luminance > BRIGHT => (face.luminance, "light.face.luminance"),
                Err(missing) => return Err(missing.into()),
            };
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
                    trimmed(libm::ceil(brightest / BRIGHT * 100.0) / 100.0, 2)
                ))
            })
        })
    },
};
