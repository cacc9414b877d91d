//! The dark end of the dimmer, and dice that can be looked into.

use crate::diag::Signal;
use crate::figures::{percent, powers, shown_below};
use crate::quantity::Quantity;
use crate::rules::rule::{Finding, Measure, Rule, Skip, each, once};

pub(super) static TOO_BRIGHT_LOW_END: Rule = Rule {
    name: "light/too-bright-low-end",
    signal: Signal::Caution,
    waivable: true,
    title: "the lowest light is brighter than wished",
    source: "light of cool dice at a low current against that at full and hot; droop and fading by the dice's data",
    why: "low currents are more efficient and leave the dice cool, so the light does not go down as far as the level does",
    fix: "take more bits, or a drive that holds a lower level",
    check: |case| {
        each(
            &case.solution.look.low,
            |(name, _)| name.clone(),
            |(name, found)| {
                let low = found.as_ref()?;
                let wish = case.lamp.aim.lowest.get()?;
                let path = Some(format!("light.low.{name}.share"));
                let what = format!("lowest light of `{name}`");
                Measure::share_at_most(what, path, low.share, wish).judge(|m| {
                    let more = libm::log2(low.share / wish).max(1.0);
                    let channel = case.lamp.driver.channels.iter().find(|c| c.name == *name);
                    Finding::new(
                        format!(
                            "`{name}` gives {} of its light at its lowest level, {}; {} is wished",
                            m.value,
                            percent(low.level),
                            m.limit
                        ),
                        case.lamp.aim.lowest.span,
                        "wished here",
                    )
                    .also(channel.map_or(case.lamp.driver.span, |c| c.span), "this channel")
                    .fix(if wish <= 0.0 {
                        format!("wish for {} or more: nothing that is lit is dark", m.value)
                    } else if low.by_step {
                        let bits = libm::ceil(more - 1e-9);
                        let noun = if bits > 1.0 { "bits" } else { "bit" };
                        format!("take {bits} {noun} more, or wish for {}", m.value)
                    } else {
                        format!(
                            "make the drive hold {} of its current, or wish for {}",
                            percent(shown_below(low.level * wish / low.share, "")),
                            m.value
                        )
                    })
                })
            },
        )
    },
};

pub(super) static BEAM_CUTOFF: Rule = Rule {
    name: "light/beam-cutoff",
    signal: Signal::Caution,
    waivable: true,
    title: "bare dice can be seen from a normal seat",
    source: "EN 12464-1, shielding of bright sources, from memory; geometry of the opening",
    why: "a die in view dazzles: it is a thousand times as bright as the paper under it",
    fix: "set the dice deeper, make the opening smaller, or hide them behind an opal sheet",
    check: |case| {
        once(|| {
            let cutoff = case.solution.look.cutoff.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
            let path = Some("light.cutoff.angle".to_owned());
            Measure::at_least("shielding angle of the dice", path, cutoff.angle, cutoff.needed).judge(|m| {
                let front = case.lamp.diffuser.as_ref().map_or(case.lamp.enclosure.span, |d| d.material.span);
                Finding::new(
                    format!(
                        "dice of {} cd/m² are hidden only below {} from the opening; {} is wanted",
                        powers(cutoff.luminance.value()),
                        m.value,
                        m.limit
                    ),
                    case.lamp.emitter.distance.span,
                    "how deep they sit",
                )
                .also(front, "what does not hide them")
                .fix(format!("set the dice {} behind the opening, or take an opal sheet", cutoff.depth.no_less()))
            })
        })
    },
};
