//! What must not get warmer: junctions, and the stuff of the body.

use super::{below, ladder};
use crate::diag::Signal;
use crate::figures::percent;
use crate::physics::thermal::materials;
use crate::quantity::Quantity;
use crate::rules::rule::{Case, Finding, Rule, Skip, each_channel, once};
use crate::schema::words::{Side, Word};
use crate::solve::heat::{Answers, Ladder};

pub(super) static JUNCTION: Rule = Rule {
    name: "heat/junction",
    signal: Signal::Warning,
    waivable: true,
    title: "the dice run hotter than they may",
    source: "the die's data sheet; 105 °C where it is not written, our margin; rise over the room times 1.2 for a sink inside, 1.15 outside, our margin",
    why: "light falls and life shortens steeply with junction temperature",
    fix: "take a larger sink, put it outside, or lower the current",
    check: |case| {
        each_channel(case, |channel, _| {
            let ladder = ladder(case)?;
            let found = ladder.judged.junctions.iter().find(|(name, _)| *name == channel.name);
            let hot = found.ok_or(Skip::NotApplicable)?.1.clone()?;
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let limit = die.hottest.nominal()?;
            let (what, path) =
                (format!("junction of {}", channel.name), format!("heat.judged.junction.{}", channel.name));
            below(ladder, &what, &path, hot, limit).judge(|_| {
                let over = (hot - limit).show();
                Finding::new(
                    format!(
                        "junctions of `{}` reach {hot} in the warmest room, {over} above their limit",
                        channel.name
                    ),
                    channel.span,
                    "this channel",
                )
                .also(die.hottest.span, "their limit")
                .fix(cure(case, ladder))
            })
        })
    },
};

/// What would just do, from the answers.
fn cure(case: &Case<'_>, ladder: &Ladder) -> String {
    let answers = ladder.answers.as_ref().map(Answers::just);
    let fins = case.lamp.sink.as_ref().is_some_and(|s| s.fins.is_some());
    match answers.and_then(|a| a.sink_needed) {
        Some(needed) if fins => format!("take a sink of {} or better", needed.show()),
        Some(needed) => format!("take a sink of {} or better in place of this one", needed.show()),
        None => match answers.and_then(|a| a.most_current) {
            Some(share) => format!("lower the currents to {} of what is set", percent(share)),
            None => "no sink and no lower current alone will do: put the sink outside or take a larger body".into(),
        },
    }
}

pub(super) static PLASTIC_SOFT: Rule = Rule {
    name: "heat/plastic-soft",
    signal: Signal::Warning,
    waivable: true,
    title: "the body is warmer than its material keeps its shape at",
    source: "usual service temperatures of materials under their own weight, from memory; a data sheet takes their place",
    why: "posts and walls creep under the sink's weight, and the air gap or the seat goes with them",
    fix: "take a material that stands the heat, stand the sink off on metal, or cool it better",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let enclosure = &case.lamp.enclosure;
            let material = enclosure.material.get()?.word();
            let service = materials::find(material).and_then(|row| row.service).ok_or(Skip::NotApplicable)?;
            // A sink inside stands on the body, so the body is as warm as the sink there.
            let held = case.lamp.sink.as_ref().filter(|s| s.place.value == Some(Side::Inside));
            let (hot, path, what) = match held {
                Some(_) => (ladder.judged.sink, "heat.judged.sink", "the sink it holds"),
                None => (ladder.judged.inside, "heat.judged.inside", "the air inside"),
            };
            below(ladder, what, path, hot, service).judge(|_| {
                Finding::new(
                    format!("{what} reaches {hot}; {material} keeps its shape up to about {service}"),
                    enclosure.material.span,
                    "material of the body",
                )
                .also(case.lamp.sink.as_ref().map_or(enclosure.span, |s| s.span), "the sink")
                .fix("take a material that stands more, stand the sink off on metal posts, or take a better sink")
            })
        })
    },
};
