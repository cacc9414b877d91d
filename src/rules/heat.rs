//! Rules about temperatures of the ladder: junctions, and what softens around the sink.

use crate::diag::Signal;
use crate::physics::thermal::materials;
use crate::quantity::Quantity;
use crate::schema::words::{Side, Word};

use super::rule::{Finding, Measure, Rule, Skip, each_channel, once};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[&JUNCTION, &PLASTIC_SOFT];

static JUNCTION: Rule = Rule {
    name: "heat/junction",
    signal: Signal::Warning,
    waivable: true,
    title: "the dice run hotter than they may",
    source: "the die's data sheet; 105 °C where it is not written, our margin; ladder one-dimensional and steady, our simplification",
    why: "light falls and life shortens steeply with junction temperature",
    fix: "take a larger sink, put it outside, or lower the current",
    check: |case| {
        each_channel(case, |channel, _| {
            let ladder = case.solution.heat.clone()?;
            let hot = ladder.junctions.iter().find(|(name, _)| *name == channel.name).ok_or(Skip::NotApplicable)?;
            let hot = hot.1.clone()?;
            let die = case.lamp.die(channel).ok_or(Skip::NotApplicable)?;
            let limit = die.hottest.nominal()?;
            // A share of kelvins would say nothing, so the margin is taken from the rise above the room.
            let (rise, may) = (hot - ladder.room, limit - ladder.room);
            let path = Some(format!("heat.junction.{}", channel.name));
            let mut measure = Measure::at_most(format!("junction of {}", channel.name), path, rise, may);
            (measure.value, measure.limit) = (hot.show(), limit.show());
            measure.judge(|_| {
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
                .fix(format!(
                    "take {} off: the sink at {} and the board at {} show which rung is short",
                    over, ladder.sink, ladder.board
                ))
            })
        })
    },
};

static PLASTIC_SOFT: Rule = Rule {
    name: "heat/plastic-soft",
    signal: Signal::Warning,
    waivable: true,
    title: "the body is warmer than its material keeps its shape at",
    source: "usual service temperatures of materials under their own weight, from memory; a data sheet takes their place",
    why: "posts and walls creep under the sink's weight, and the air gap or the seat goes with them",
    fix: "take a material that stands the heat, stand the sink off on metal, or cool it better",
    check: |case| {
        once(|| {
            let ladder = case.solution.heat.clone()?;
            let enclosure = &case.lamp.enclosure;
            let material = enclosure.material.get()?.word();
            let service = materials::find(material).and_then(|row| row.service).ok_or(Skip::NotApplicable)?;
            // A sink inside stands on the body, so the body is as warm as the sink there.
            let held = case.lamp.sink.as_ref().filter(|s| s.place.value == Some(Side::Inside));
            let (hot, path, what) = match held {
                Some(_) => (ladder.sink, "heat.sink", "the sink it holds"),
                None => (ladder.inside, "heat.inside", "the air inside"),
            };
            let mut measure = Measure::at_most(what, Some(path.into()), hot - ladder.room, service - ladder.room);
            (measure.value, measure.limit) = (hot.show(), service.show());
            measure.judge(|_| {
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
