//! Fuse, switch and inlet: there, of the right size, in the right pole.

use crate::diag::{Signal, Span};
use crate::lamp::given::Given;
use crate::lamp::mains::Mains;
use crate::quantity::{Amperes, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each, once, unless, wished};
use crate::schema::words::{Breaking, Class, InletKind, Lid, Pole, Region, Word};
use crate::solve::line::terms;
use crate::spread::Spread;

use super::{cord, fuse, line, mains};

pub(super) static NO_FUSE: Rule = Rule {
    name: "mains/no-fuse",
    signal: Signal::Danger,
    waivable: true,
    title: "no fuse, or one above what the cord carries",
    source: "BS 7671 table 4F3A and NEC 400.5(A) for the cord; that a lamp has a fuse is our margin",
    why: "the house's own fuse lets a thin cord glow before it acts",
    fix: "fit a fuse in the line, first thing after the entry, rated below the cord",
    check: |case| {
        each(&["fuse", "plug fuse"], |s| (*s).to_owned(), |s| if *s == "fuse" { inner(case) } else { plug(case) })
    },
};

fn inner(case: &Case<'_>) -> Judgement {
    let mains = mains(case)?;
    let Some(fuse) = &mains.fuse else {
        let plug_fuse = mains.cord.as_ref().is_some_and(|c| c.plug_fuse.is_known());
        if plug_fuse && case.lamp.identity.region.get()? == Region::Uk {
            return Ok(Outcome::Pass(None));
        }
        return unless(true, || {
            let next = line(case).ok().and_then(|l| l.fuse.next.as_ref().ok());
            let size = next.map_or_else(|| "the next rating above its current".to_owned(), Amperes::to_string);
            Finding::new("no fuse stands between the cord and the lamp", mains.span, "mains")
                .fix(format!("add a `fuse` block in the line, time-lag, {size}"))
        });
    };
    let (limit, what) = carries(case)?;
    below(&fuse.rating, "fuse in the lamp", limit, what)
}

fn plug(case: &Case<'_>) -> Judgement {
    let (cord, figures) = cord(case)?;
    wished(&cord.plug_fuse)?;
    below(&cord.plug_fuse, "fuse in the plug", figures.rating.clone()?, "cord")
}

/// What the fuse protects: the cord, or the inlet where the cord is a separate set.
fn carries(case: &Case<'_>) -> Result<(Amperes, &'static str), Skip> {
    let line = line(case)?;
    match (&line.cord, &line.inlet_rating) {
        (Some(cord), _) => Ok((cord.rating.clone()?, "cord")),
        (None, Some(inlet)) => Ok((inlet.clone()?, "inlet")),
        (None, None) => Err(Skip::NotApplicable),
    }
}

fn below(given: &Given<Spread<Amperes>>, what: &str, limit: Amperes, carrier: &str) -> Judgement {
    Measure::at_most(what, Some(given.path.clone()), given.high()?, limit).judge(|m| {
        let message = format!("the {what} is {}; the {carrier} carries {limit}", m.value);
        Finding::new(message, given.span, "fuse").fix(format!("fit a fuse of at most {}", limit.no_more()))
    })
}

pub(super) static FUSE_WRONG: Rule = Rule {
    name: "mains/fuse-wrong",
    signal: Signal::Warning,
    waivable: true,
    title: "the fuse blows too soon, or cannot break what the socket gives",
    source: "IEC 60127 for ratings and breaking capacity; shares of rating and inrush are common practice, from memory",
    why: "a fuse that blows at switch-on is soon replaced by a bigger one; one that cannot break a short circuit bursts",
    fix: "choose a time-lag fuse of high breaking capacity, next above the running current",
    check: |case| each(&["rating", "inrush", "breaking"], |s| (*s).to_owned(), |subject| suits(case, subject)),
};

fn suits(case: &Case<'_>, subject: &str) -> Judgement {
    let (fuse, needs) = (fuse(case)?, &line(case)?.fuse);
    match subject {
        "rating" => {
            let (given, least) = (&fuse.rating, needs.least.clone()?);
            Measure::at_least("fuse for the running current", Some(given.path.clone()), given.low()?, least).judge(
                |m| {
                    let next = needs.next.as_ref().map_or_else(|_| least.to_string(), Amperes::to_string);
                    Finding::new(
                        format!("the fuse is {}; the running current needs {least}", m.value),
                        given.span,
                        "fuse",
                    )
                    .fix(format!("fit a fuse of {next}"))
                },
            )
        }
        "inrush" => {
            let (given, need) = (&fuse.melting, needs.melting.clone()?);
            Measure::at_least("fuse melting I²t", Some(given.path.clone()), given.low()?, need).judge(|m| {
                let message = format!("the fuse melts at {}; to outlive the supply's inrush it needs {need}", m.value);
                Finding::new(message, given.span, "melting I²t")
                    .also(case.lamp.supply.inrush.span, "inrush")
                    .fix("take the next slower or larger fuse whose sheet states enough, still below the cord")
            })
        }
        _ => {
            let breaks = needs.breaks.clone().ok_or(Skip::NotApplicable)??;
            let given = &mains(case)?.prospective;
            let path = Some("line.fuse-breaks".to_owned());
            Measure::at_least("what the fuse can break", path, breaks, given.high()?).judge(|m| {
                let message = format!("the fuse breaks {}; the socket can give {}", m.value, m.limit);
                let fix = match fuse.breaking.value {
                    Some(Breaking::High) => {
                        format!("use it at sockets that give at most {}: no such fuse breaks more", m.value)
                    }
                    _ => "fit a fuse of high breaking capacity: `breaking high`".to_owned(),
                };
                Finding::new(message, fuse.breaking.span, "breaking capacity")
                    .also(given.span, "short-circuit current")
                    .fix(fix)
            })
        }
    }
}

pub(super) static FUSE_POLE: Rule = Rule {
    name: "mains/fuse-pole",
    signal: Signal::Danger,
    waivable: true,
    title: "the fuse opens the neutral only",
    source: "IEC 60364-4-43: a neutral is not broken without its line; from memory",
    why: "a blown fuse in the neutral leaves a dark lamp that is live to its last joint",
    fix: "put the fuse in the line",
    check: |case| {
        once(|| {
            let pole = &fuse(case)?.pole;
            unless(pole.get()? == Pole::Neutral, || {
                Finding::new("the fuse opens the neutral, so a blown fuse leaves the lamp live", pole.span, "pole")
                    .fix("write `pole line` and wire the fuse first after the entry")
            })
        })
    },
};

pub(super) static SWITCH_POLE: Rule = Rule {
    name: "mains/switch-pole",
    signal: Signal::Danger,
    waivable: true,
    title: "the switch opens the neutral only",
    source: "IEC 60364-4-46: a single pole opens the line; from memory",
    why: "a lamp switched off in the neutral is live while it is dark",
    fix: "put the switch in the line, or use one with two poles",
    check: |case| {
        once(|| {
            let switch = mains(case)?.switch.as_ref().ok_or(Skip::NotApplicable)?;
            let single = switch.poles.get()? < 2;
            unless(single && switch.pole.get()? == Pole::Neutral, || {
                Finding::new("the switch opens the neutral only, so a dark lamp stays live", switch.pole.span, "pole")
                    .fix("write `pole line`, or use a switch with `poles 2`")
            })
        })
    },
};

pub(super) static SWITCH_SMALL: Rule = Rule {
    name: "mains/switch-small",
    signal: Signal::Warning,
    waivable: true,
    title: "the mains switch is made for less than the lamp draws",
    source: "the switch's sheet; its rated current by IEC 61058-1, from memory",
    why: "contacts that carry too much grow hot and weld, and a welded switch no longer opens",
    fix: "use a switch for more current",
    check: |case| {
        once(|| {
            let given = &mains(case)?.switch.as_ref().ok_or(Skip::NotApplicable)?.rating;
            let (rated, current) = (given.low()?, line(case)?.current.clone()?);
            Measure::at_least("rating of the mains switch", Some(given.path.clone()), rated, current).judge(|m| {
                let message = format!("the mains switch is made for {}; the lamp draws up to {current}", m.value);
                Finding::new(message, given.span, "rating")
                    .fix(format!("use a switch for at least {}", current.no_less()))
            })
        })
    },
};

pub(super) static POLE_REVERSIBLE: Rule = Rule {
    name: "mains/pole-reversible",
    signal: Signal::Warning,
    waivable: true,
    title: "a single pole behind a plug that goes in either way round",
    source: "common practice, no source; plug sheets from memory",
    why: "with the plug turned over, a single pole opens the neutral and leaves the lamp live",
    fix: "open both poles, or use a plug that goes in one way only",
    check: |case| each(&["switch", "fuse"], |s| (*s).to_owned(), |subject| reversible(case, subject)),
};

/// A single-pole fuse is left alone in class II where no hand reaches its holder: the blown lamp has two layers
/// round everything that stays live.
fn reversible(case: &Case<'_>, subject: &str) -> Judgement {
    let mains = mains(case)?;
    let (turns, by, joined) = turns(case, mains)?;
    let (single, span) = match subject {
        "switch" => {
            let switch = mains.switch.as_ref().ok_or(Skip::NotApplicable)?;
            (switch.poles.get()? < 2 && switch.pole.get()? != Pole::Both, switch.span)
        }
        _ => {
            let fuse = fuse(case)?;
            let reached = mains.class.get()? != Class::II || case.lamp.enclosure.lid.get()? == Lid::Hand;
            (fuse.pole.get()? != Pole::Both && reached, fuse.span)
        }
    };
    unless(turns && single, || {
        let message = format!("the {subject} opens one pole and {by} goes in either way round");
        let fix = if subject == "switch" {
            "use a switch with `poles 2`"
        } else {
            "fuse both poles: `pole both`, with two fuses"
        };
        let (label, fix) = match mains.cord {
            Some(_) => ("plug", format!("{fix}, or a plug that goes in one way")),
            None => ("inlet", fix.to_owned()),
        };
        Finding::new(message, span, "single pole").also(joined, label).fix(fix)
    })
}

/// Whether line and neutral may change places, by what, and where the spec says so. A cord set is not the lamp's own: its
/// plug turns over in the sockets of continental Europe, and its connector on the symmetrical `c8` (from memory).
fn turns(case: &Case<'_>, mains: &Mains) -> Result<(bool, String, Span), Skip> {
    if let Some(cord) = &mains.cord {
        let plug = cord.plug.get()?;
        return Ok((terms::plug(plug).reversible, format!("plug `{}`", plug.word()), cord.plug.span));
    }
    let inlet = mains.inlet.as_ref().ok_or(Skip::NotApplicable)?;
    let kind = inlet.kind.get()?;
    let turns = kind == InletKind::C8 || case.lamp.identity.region.get()? == Region::Eu;
    Ok((turns, format!("the cord set of inlet `{}`", kind.word()), inlet.kind.span))
}

pub(super) static INLET_WRONG: Rule = Rule {
    name: "mains/inlet-wrong",
    signal: Signal::Danger,
    waivable: true,
    title: "the inlet does not suit the lamp's class, current or heat",
    source: "IEC 60320-1, standard sheets",
    why: "an inlet with earth promises an earth that a class II lamp does not use; too small a one overheats",
    fix: "choose the inlet by class and current: c8 for class II to 2.5 A, c14 for class I to 10 A",
    check: |case| each(&["class", "current", "heat"], |s| (*s).to_owned(), |subject| inlet(case, subject)),
};

fn inlet(case: &Case<'_>, subject: &str) -> Judgement {
    let mains = mains(case)?;
    let inlet = mains.inlet.as_ref().ok_or(Skip::NotApplicable)?;
    let kind = inlet.kind.get()?;
    let row = terms::inlet(kind).ok_or(Skip::NotApplicable)?;
    match subject {
        "class" if mains.class.get()? != Class::II => Err(Skip::NotApplicable),
        "class" => unless(row.earthed, || {
            let message = format!("inlet `{}` brings an earth and the lamp is class II", kind.word());
            Finding::new(message, inlet.kind.span, "inlet")
                .also(mains.class.span, "class II")
                .fix("use inlet `c8`, or `c18` above 2.5 A")
        }),
        "current" => {
            let rated = line(case)?.inlet_rating.clone().ok_or(Skip::NotApplicable)??;
            let current = line(case)?.current.clone()?;
            Measure::at_most("current in the inlet", Some("line.current".into()), current, rated).judge(|m| {
                let message = format!("the lamp draws up to {}; inlet `{}` carries {}", m.value, kind.word(), m.limit);
                Finding::new(message, inlet.kind.span, "inlet").fix("use an inlet for more current: `c14` or `c18`")
            })
        }
        _ => {
            let heat = case.solution.heat.as_ref()?;
            // Pins are at least as warm as the air behind them; the rest is for the soak.
            let (air, path) = (heat.judged.inside, Some("heat.judged.inside".to_owned()));
            Measure::rise_at_most("air behind the inlet", path, air, row.pins, heat.room).judge(|m| {
                let message = format!("the air inside is {}; pins of `{}` may reach {}", m.value, kind.word(), m.limit);
                Finding::new(message, inlet.kind.span, "inlet")
                    .fix("use inlet `c16`, or bring the inlet out of the heat")
            })
        }
    }
}
