//! What heat does to bought parts: cables and supply, the life of its capacitors, and whether the soak will show it.

use super::{below, ladder};
use crate::diag::Signal;
use crate::physics::thermal::limits;
use crate::quantity::{Quantity, Temperature};
use crate::rules::rule::{Case, Finding, Measure, Rule, Skip, once, wished};
use crate::schema::words::Word;
use crate::solve::battery::inside;
use crate::solve::heat::hours;

pub(super) static CABLE: Rule = Rule {
    name: "heat/cable",
    signal: Signal::Warning,
    waivable: true,
    title: "the wires inside are warmer than their insulation stands",
    source: "rating of the wires' insulation; rise of the air inside times 1.2, our margin",
    why: "insulation that is too warm hardens and cracks, years before anybody looks",
    fix: "take wires of a higher rating, or let the heat out",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let rating = &case.lamp.wiring.temperature;
            let limit = rating.nominal()?;
            below(ladder, "air around the wires", "heat.judged.inside", ladder.judged.inside, limit).judge(|m| {
                Finding::new(
                    format!("the air inside reaches {}; the wires stand {}", m.value, m.limit),
                    rating.span,
                    "rating of the wires",
                )
                .fix("take wires rated 105 °C, or silicone where that is not enough, and keep them off the sink")
            })
        })
    },
};

pub(super) static SUPPLY_TOO_WARM: Rule = Rule {
    name: "heat/supply-too-warm",
    signal: Signal::Warning,
    waivable: true,
    title: "the supply's case gets too warm",
    source: "the supply's data sheet (t_c); where it is not written 70 °C for a supply, our margin, and 50 or 60 °C for a battery by its kind, from memory",
    why: "a supply above its case temperature shuts down, ages in months, or fails",
    fix: "put the supply outside or low in the body, or let the heat out",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let supply = &case.lamp.supply;
            let hot = ladder.judged.supply.clone().ok_or(Skip::NotApplicable)??;
            let limit = match supply.case_limit.nominal() {
                Err(missing) if supply.case_limit.is_left_out() => ours(case)?.ok_or(missing)?,
                given => given?,
            };
            let (what, whole) = if inside(case.lamp) {
                ("battery", "the battery")
            } else {
                ("case of the supply", "the supply's case")
            };
            below(ladder, what, "heat.judged.supply", hot, limit).judge(|m| {
                let at = if supply.case_limit.is_known() { supply.case_limit.span } else { supply.span };
                Finding::new(format!("{whole} reaches {}; {} is its limit", m.value, m.limit), at, "the supply").fix(
                    format!(
                        "take {} off it: let less than {} of heat into the body, or write `place outside`",
                        (hot - limit).no_less(),
                        ladder.inside_heat.show()
                    ),
                )
            })
        })
    },
};

/// The limit where none is written: cells stand less than a supply's case, each kind its own.
fn ours(case: &Case<'_>) -> Result<Option<Temperature>, Skip> {
    let item = match case.lamp.supply.battery.as_ref().filter(|_| inside(case.lamp)) {
        Some(battery) => format!("battery-{}", battery.chemistry.get()?.word()),
        None => "supply-case".to_owned(),
    };
    Ok(limits::find(&item).map(|row| row.limit))
}

pub(super) static SUPPLY_LIFE: Rule = Rule {
    name: "heat/supply-life",
    signal: Signal::Caution,
    waivable: true,
    title: "the supply's capacitors will not last as long as wanted",
    source: "life doubles for each 10 K less, common practice, no source; at most 15 years; case temperature taken for the capacitor's",
    why: "capacitors that dry out flicker first and then take the supply with them",
    fix: "take a supply of longer life or keep it cooler",
    check: |case| {
        once(|| {
            let ladder = ladder(case)?;
            let (supply, wanted) = (&case.lamp.supply, &case.lamp.aim.life);
            let hot = ladder.judged.supply.clone().ok_or(Skip::NotApplicable)?;
            let least = wished(wanted)?.nominal;
            let hot = hot?;
            let life = ladder.supply_life.clone().ok_or(Skip::NotApplicable)??;
            let path = Some("heat.supply-life".to_owned());
            let mut measure = Measure::at_least("life of the supply's capacitors", path, life, least);
            (measure.value, measure.limit) = (hours(life), hours(least));
            measure.judge(|m| {
                Finding::new(
                    format!("at {hot} the supply's capacitors last about {}; {} are wanted", m.value, m.limit),
                    supply.life.span,
                    "their life",
                )
                .also(wanted.span, "the life wanted")
                .fix("take capacitors of twice the life, or make the supply 10 K cooler: either doubles it")
            })
        })
    },
};

pub(super) static SOAK_SHORT: Rule = Rule {
    name: "heat/soak-short",
    signal: Signal::Notice,
    waivable: true,
    title: "the soak ends before the lamp is warm",
    source: "five of the slowest time constants, at least an hour, our rule",
    why: "a lamp that is still warming up when the last figure is written looks cooler than it will be",
    fix: "watch it for longer",
    check: |case| {
        once(|| {
            let needed = ladder(case)?.soak.as_ref()?.needed;
            let planned = &case.lamp.workshop.soak;
            let length = wished(planned)?.nominal;
            let path = Some(planned.path.clone());
            Measure::at_least("length of the soak", path, length, needed).judge(|m| {
                Finding::new(
                    format!("the soak is planned for {}; this lamp needs {} to get warm", m.value, m.limit),
                    planned.span,
                    "the soak planned",
                )
                .fix(format!("plan {}", needed.no_less()))
            })
        })
    },
};
