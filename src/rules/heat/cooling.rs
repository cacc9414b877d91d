//! Cooling that cannot work or is wasted: a closed body, fins too close or too far, a thick layer, idle vents, bare metal.

use super::ladder;
use crate::diag::{Signal, Span};
use crate::figures::percent;
use crate::physics::thermal::materials::{self, SHINY as SHINY_BELOW};
use crate::quantity::{Kelvin, Metres, Quantity, WattsPerKelvin};
use crate::rules::rule::{Case, Finding, Measure, Outcome, Rule, Skip, once, unless};
use crate::schema::words::{Side, Word};
use crate::solve::heat::FinsWork;

pub(super) static SEALED_CANNOT_WORK: Rule = Rule {
    name: "heat/sealed-cannot-work",
    signal: Signal::Warning,
    waivable: true,
    title: "no sink of any size can cool this lamp where it stands",
    source: "the network solved with a perfect sink; our margin on the rise",
    why: "the body itself cannot pass the heat, so money spent on the sink is lost",
    fix: "put the sink or the supply outside, take a larger body, or lower the current",
    check: |case| {
        once(|| {
            let answers = ladder(case)?.answers.as_ref().ok_or(Skip::NotApplicable)?;
            let sink = case.lamp.sink.as_ref().ok_or(Skip::NotApplicable)?;
            unless(answers.excess > Kelvin::ZERO && answers.just().sink_needed.is_none(), || {
                let outside = sink.place.value == Some(Side::Outside);
                let first = if outside { "spread the heat over more dice" } else { "put the sink outside" };
                let fix = match answers.just().most_current {
                    Some(share) => format!("{first}, or lower the currents to {}", percent(share)),
                    None => format!("{first}, or take dice of less thermal resistance"),
                };
                let message = "with a perfect sink in the same place the dice would still be too hot";
                Finding::new(message, sink.span, "the sink")
                    .also(case.lamp.enclosure.span, "the body that keeps the heat in")
                    .fix(fix)
            })
        })
    },
};

fn fins(case: &Case<'_>) -> Result<(FinsWork, Span), Skip> {
    let given = case.lamp.sink.as_ref().and_then(|s| s.fins.as_ref()).ok_or(Skip::NotApplicable)?;
    Ok((ladder(case)?.fins.clone().ok_or(Skip::NotApplicable)?, given.span))
}

/// Fins that give this gap on the sink's width.
fn count_for(work: &FinsWork, best: Metres) -> f64 {
    let pitch = best.value() + work.sink.thickness.value();
    libm::floor((work.sink.width.value() + best.value()) / pitch)
}

/// A gap that is wrong, and the number of fins that would be right.
fn refit(work: &FinsWork, best: Metres, span: Span, message: String) -> Finding {
    let count = count_for(work, best);
    let fix = if count >= 2.0 {
        format!("take {count} fins on this width: {} between them is best", best.show())
    } else {
        format!("take a plain plate: it is narrower than the {} that two fins want between them", best.show())
    };
    Finding::new(message, span, "the fins").fix(fix)
}

pub(super) static FINS_CHOKED: Rule = Rule {
    name: "heat/fins-choked",
    signal: Signal::Caution,
    waivable: true,
    title: "the fins stand too close together",
    source: "Bar-Cohen and Rohsenow 1984: best gap 2.714 P^(-1/4); 0.6 of it is our limit",
    why: "air does not rise between fins this close, and the sink works like a block",
    fix: "take fewer fins",
    check: |case| {
        once(|| {
            let (work, span) = fins(case)?;
            let best = work.best.clone()?;
            let path = Some("heat.fins.gap".to_owned());
            Measure::at_least("gap between the fins", path, work.gap, best * 0.6).judge(|m| {
                refit(&work, best, span, format!("the fins are {} apart; air wants {} at least", m.value, m.limit))
            })
        })
    },
};

pub(super) static FINS_SPARSE: Rule = Rule {
    name: "heat/fins-sparse",
    signal: Signal::Notice,
    waivable: true,
    title: "the fins stand far apart",
    source: "Bar-Cohen and Rohsenow 1984: best gap 2.714 P^(-1/4); 1.8 of it is our limit",
    why: "there is room for more fins, and each would cool",
    fix: "take more fins",
    check: |case| {
        once(|| {
            let (work, span) = fins(case)?;
            let best = work.best.clone()?;
            let path = Some("heat.fins.gap".to_owned());
            Measure::at_most("gap between the fins", path, work.gap, best * 1.8).judge(|m| {
                refit(&work, best, span, format!("the fins are {} apart; more than {} wastes room", m.value, m.limit))
            })
        })
    },
};

pub(super) static ORIENTATION: Rule = Rule {
    name: "heat/orientation",
    signal: Signal::Caution,
    waivable: true,
    title: "the fins stand so that air cannot rise between them",
    source: "the sink's convection as it stands against upright fins; 70 % is our limit",
    why: "the same sink turned the right way stays cooler",
    fix: "turn the sink so that its fins run up and down",
    check: |case| {
        once(|| {
            let (work, span) = fins(case)?;
            let least: WattsPerKelvin = work.upright * 0.7;
            let path = Some("heat.fins.conductance".to_owned());
            Measure::at_least("convection of the sink as it stands", path, work.now.total, least).judge(|m| {
                let share = percent(work.now.total / work.upright);
                Finding::new(
                    format!("as they stand the fins give off {}, {share} of what they do upright", m.value),
                    span,
                    "the fins",
                )
                .fix("turn the sink so that its fins run up and down, or take a larger one")
            })
        })
    },
};

pub(super) static INTERFACE: Rule = Rule {
    name: "heat/interface",
    signal: Signal::Caution,
    waivable: true,
    title: "the layer under the emitter holds the heat up",
    source: "Fourier's law for a thin layer; 10 K is our margin",
    why: "a thick or poor layer costs more than a better sink can win back",
    fix: "take a thinner or better conducting layer, or a larger area",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let sink = case.lamp.sink.as_ref().ok_or(Skip::NotApplicable)?;
            let layer = sink.interface.as_ref().ok_or(Skip::NotApplicable)?;
            let drop = ladder.board - ladder.sink;
            let path = Some("heat.rise.layer".to_owned());
            Measure::at_most("rise over the layer", path, drop, Kelvin::si(10.0)).judge(|m| {
                Finding::new(
                    format!(
                        "the board is {} warmer than the sink under it; {} is the most to plan for",
                        m.value, m.limit
                    ),
                    layer.span,
                    "the layer between them",
                )
                .fix("take grease or thin tape, and press the board down evenly")
            })
        })
    },
};

pub(super) static VENTS_USELESS: Rule = Rule {
    name: "heat/vents-useless",
    signal: Signal::Notice,
    waivable: true,
    title: "the vents carry next to no heat",
    source: "stack flow with inertia and viscous loss; a tenth of the heat is our limit",
    why: "openings that do not cool only let dust, fingers and insects in",
    fix: "make them larger, set them further apart in height, or leave them out",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let vent = case.lamp.enclosure.vents.first().ok_or(Skip::NotApplicable)?;
            for vent in &case.lamp.enclosure.vents {
                vent.level.nominal()?;
                vent.width.nominal()?;
                vent.count.get()?;
            }
            let Some((carried, _)) = ladder.vents else {
                return Ok(Outcome::Finding(
                    Finding::new("all openings lie on one level, and air that rises wants two", vent.span, "the vents")
                        .fix("make half of them low and half of them high, or leave them out"),
                ));
            };
            let path = Some("heat.vents".to_owned());
            Measure::at_least("heat by the vents", path, carried, ladder.inside_heat * 0.1).judge(|m| {
                let share = percent(carried / ladder.inside_heat);
                Finding::new(
                    format!("the vents carry {} of {}, {share}", m.value, ladder.inside_heat.show()),
                    vent.span,
                    "the vents",
                )
                .fix("make them ten times larger in all, half low and half high, or leave them out")
            })
        })
    },
};

pub(super) static SHINY: Rule = Rule {
    name: "heat/shiny",
    signal: Signal::Notice,
    waivable: true,
    title: "bare metal radiates next to nothing",
    source: "emissivity by handbooks: bare metal 0.05 to 0.2, any paint or thick anodising 0.8 to 0.95",
    why: "half of a small lamp's heat leaves by radiation, and bare metal keeps it in",
    fix: "paint it, in any colour, or have it anodised",
    check: |case| {
        once(|| {
            ladder(case)?;
            let body = &case.lamp.enclosure;
            let word = body.material.get()?.word();
            let row = materials::find(if word == "aluminium" { "aluminium-sheet" } else { word });
            let shell = match body.emissivity.get() {
                Err(_) if body.emissivity.is_left_out() => row.ok_or(Skip::NotApplicable)?.emissivity,
                given => given?,
            };
            let fins = case.lamp.sink.as_ref().and_then(|s| s.fins.as_ref()).map(|f| &f.emissivity);
            let bare = fins.and_then(|given| Some((given.span, given.value?))).filter(|(_, e)| *e < SHINY_BELOW);
            let (span, what, value) = match bare {
                Some((span, emissivity)) => (span, "the sink", emissivity),
                None => (body.emissivity.span, "the body", shell),
            };
            unless(value < SHINY_BELOW, || {
                let share = percent(value);
                Finding::new(format!("{what} radiates only {share} of what a painted one does at best"), span, what)
                    .fix("paint it, in any colour, or have it anodised, and write `emissivity 85 %`")
            })
        })
    },
};
