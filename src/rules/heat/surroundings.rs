//! Where heat meets its surroundings or the model its end: the surface under the lamp, a body that starves its sink,
//! laws outside their range, light that feeds the heat.

use super::super::drive::unbalanced;
use super::{below, ladder};
use crate::diag::Signal;
use crate::physics::thermal::limits;
use crate::quantity::{Kelvin, Quantity};
use crate::rules::rule::{Finding, Measure, Outcome, Rule, Skip, once};
use crate::schema::words::{Side, Word};
use crate::solve::heat::Strayed;

pub(super) static MOUNTING_SURFACE: Rule = Rule {
    name: "heat/mounting-surface",
    signal: Signal::Danger,
    waivable: false,
    title: "what the lamp is fixed to or stands on gets too warm",
    source: "IEC 60598-1, thermal test: 90 °C for a normally flammable mounting surface, from memory; rise over the room times 1.15, our margin",
    why: "wood and wallpaper that are kept this warm for years char, and then take fire far below their usual point",
    fix: "keep the body off the surface, or let less heat into it",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let under = ladder.judged.mount.ok_or(Skip::NotApplicable)?;
            let row = limits::find("mounting-surface").ok_or(Skip::NotApplicable)?;
            let lamp = case.lamp;
            below(ladder, "surface under the lamp", "heat.judged.mount", under, row.limit).judge(|m| {
                let mount = &lamp.identity.mount;
                let how = mount.value.map_or("", Word::word);
                Finding::new(
                    format!("the {how} the lamp touches gets {}; {} is the most for wood or paper", m.value, m.limit),
                    mount.span,
                    "how it is held",
                )
                .also(lamp.enclosure.span, "the body that warms it")
                .fix(format!(
                    "stand the body off on feet so that air passes behind it, or take off {} of rise",
                    (under - row.limit).no_less()
                ))
            })
        })
    },
};

/// Nearer to the limit than this, a better sink is what one would reach for.
const SHORT: Kelvin = Kelvin::si(15.0);

pub(super) static SINK_STARVED: Rule = Rule {
    name: "heat/sink-starved",
    signal: Signal::Notice,
    waivable: true,
    title: "the body, not the sink, keeps the heat",
    source: "the two rungs of the ladder against each other; asked where the dice come within 15 K of their limit, our margin",
    why: "a larger sink would save less than the smaller of the two rungs, and its price is lost",
    fix: "let the heat out of the body before buying a larger sink",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let sink = case.lamp.sink.as_ref().ok_or(Skip::NotApplicable)?;
            let answers = ladder.answers.as_ref().ok_or(Skip::NotApplicable)?;
            if sink.place.get()? != Side::Inside {
                return Err(Skip::NotApplicable);
            }
            if answers.excess < Kelvin::ZERO - SHORT {
                return Ok(Outcome::Pass(None));
            }
            let (body, own) = (ladder.inside - ladder.room, ladder.sink - ladder.inside);
            let path = Some("heat.rise.body".to_owned());
            Measure::at_most("rise of the air inside against that of the sink", path, body, own).judge(|m| {
                Finding::new(
                    format!(
                        "the body costs {} of rise, the sink only {}: a larger sink helps little",
                        m.value, m.limit
                    ),
                    case.lamp.enclosure.span,
                    "the body",
                )
                .also(sink.span, "the sink in it")
                .fix(match answers.just().vent_area {
                    Some(area) => format!("open {} low and as much high, or put the sink outside", area.show()),
                    None => "put the sink or the supply outside, or take a larger body".to_owned(),
                })
            })
        })
    },
};

pub(super) static OUT_OF_RANGE: Rule = Rule {
    name: "heat/out-of-range",
    signal: Signal::Notice,
    waivable: true,
    title: "a law of convection is used outside the range it was made for",
    source: "the range each law was published with; it stands in the reference of this program's heat formulas",
    why: "beyond its range a correlation may be off by more than the margins allow for",
    fix: "measure that part in the soak before you rely on its figure",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let Some(first) = ladder.strayed.first() else { return Ok(Outcome::Pass(None)) };
            let number = crate::figures::powers;
            let said = |s: &Strayed| {
                let (low, high) = s.range;
                format!("{} at Ra {}, made for {} to {}", s.body, number(s.rayleigh), number(low), number(high))
            };
            let all: Vec<String> = ladder.strayed.iter().map(said).collect();
            Ok(Outcome::Finding(
                Finding::new(
                    format!("convection outside the range of its law: {}", all.join("; ")),
                    case.lamp.enclosure.span,
                    "sizes that lead there",
                )
                .fix(format!(
                    "measure in the soak what hangs on `{}`, and keep twice the margin until then",
                    first.body
                )),
            ))
        })
    },
};

/// Share of a rise that may come back as heat because light fades.
const LOOP: f64 = 0.5;

pub(super) static RUNAWAY: Rule = Rule {
    name: "heat/runaway",
    signal: Signal::Warning,
    waivable: true,
    title: "light that fades feeds the heat that makes it fade",
    source: "gain of the loop from junction to light to heat and back; stable below 1, half of it is our limit",
    why: "each kelvin brings more heat, so a warm day or a dusty sink costs far more than it should",
    fix: "take a better sink, less current, or dice that fade less",
    check: |case| {
        once(|| {
            let ladder = match ladder(case) {
                // Currents that rise with warmth are `drive/runaway`'s; this rule then has no balance to judge.
                Err(Skip::Missing(missing)) if missing.path == "heat.balance" && unbalanced(case).is_none() => {
                    let said = case.solution.ledger.shown("heat.balance").unwrap_or("no balance of heat");
                    return Ok(Outcome::Finding(
                        Finding::new(said.to_owned(), case.lamp.emitter.span, "these dice")
                            .also(case.lamp.enclosure.span, "what must carry their heat")
                            .fix("halve the currents and look again; then take a better sink or a larger body"),
                    ));
                }
                other => other?,
            };
            let path = Some("heat.gain".to_owned());
            Measure::share_at_most("gain of light to heat", path, ladder.gain, LOOP).judge(|m| {
                Finding::new(
                    format!("of each kelvin at the junctions {} comes back as heat; {} is the most", m.value, m.limit),
                    case.lamp.emitter.span,
                    "dice that fade",
                )
                .fix(match ladder.answers.as_ref().and_then(|a| a.just().sink_needed) {
                    Some(needed) => format!("take a sink of {} or better, or lower the currents", needed.show()),
                    None => "lower the currents, or take a body that lets more heat out".to_owned(),
                })
            })
        })
    },
};
