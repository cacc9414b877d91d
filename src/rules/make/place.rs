//! Rooms around the parts in the body: the cord's bend, a hand's room, an antenna's air, the way in, and the foot.

use crate::diag::{Signal, Span};
use crate::figures::stated;
use crate::lamp::given::Found;
use crate::physics::mechanics::hollow::Wall;
use crate::quantity::{Kilograms, Metres, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each, once, wished};
use crate::schema::words::{BodyMaterial, Face, Lid, Word};
use crate::solve::fit::{ANTENNA_ROOM, Before, Fit, Part, wall_word};

pub(super) fn fit<'a>(case: &Case<'a>) -> Result<&'a Fit, Skip> {
    Ok(case.solution.fit.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?)
}

pub(super) static CORD_ROOM: Rule = Rule {
    name: "make/cord-room",
    signal: Signal::Caution,
    waivable: true,
    title: "something stands in the way of the cord behind its hole",
    source: "our margin of five diameters for the bend; DIN VDE 0298-3 asks for three to five",
    why: "a cord squeezed between its hole and a part is bent at its clamp, where strands break first",
    fix: "move the part or the hole",
    check: |case| {
        once(|| {
            let fit = fit(case)?;
            let corridor = fit.corridor.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
            let path = Some("fit.cord-room".to_owned());
            let wanted = corridor.wanted.depth;
            Measure::at_least("free way of the cord behind its hole", path, corridor.free, wanted).judge(|m| {
                let by = corridor.stopped_by.as_deref();
                let what = by.map_or_else(|| "the wall or sheet opposite".to_owned(), |name| format!("the {name}"));
                let at = case.lamp.layout.as_ref().and_then(|layout| layout.place("entry")).map(|place| place.span);
                let message = format!("{what} leaves the cord {} behind its hole; it needs {}", m.value, m.limit);
                let finding = Finding::new(message, at.unwrap_or(case.lamp.span), "the hole");
                let span = by.and_then(|name| fit.part(name)).map(|part| part.span);
                let finding = span.into_iter().fold(finding, |f, span| f.also(span, "in its way"));
                finding.fix(format!("move the hole or what is in its way by {}", (wanted - corridor.free).no_less()))
            })
        })
    },
};

/// How far the middle of the cord's hole may be written off the face of its wall.
const ON_WALL: Metres = Metres::si(1e-3);

pub(super) static CORD_HOLE_OFF_WALL: Rule = Rule {
    name: "make/cord-hole-off-wall",
    signal: Signal::Warning,
    waivable: true,
    title: "the hole of the cord lies in no wall",
    source: "geometry; 1 mm off a face is our margin",
    why: "a hole that is drawn in the air is drilled by guess: cord, clamp and template end in different places",
    fix: "write the place of the hole on the inner face of its wall",
    check: |case| {
        once(|| {
            let fit = fit(case)?;
            let (wall, off) = fit.off_wall.ok_or(Skip::NotApplicable)?;
            let at = case.lamp.layout.as_ref().and_then(|layout| layout.place("entry")).map(|place| place.at.span);
            let at = at.unwrap_or(case.lamp.span);
            let open = wall == Wall::Front && fit.outer.1 <= Metres::ZERO;
            if open || (wall == Wall::Front && in_opening(case, fit)?) {
                let message = "the hole of the cord lies in the front opening, where the sheet is";
                return Ok(Outcome::Finding(Finding::new(message, at, "the hole").fix("put it in another wall")));
            }
            let path = Some("fit.entry-off".to_owned());
            Measure::at_most("hole of the cord off its wall", path, off, ON_WALL).judge(|m| {
                let message = format!("the hole of the cord is {} off the {} wall", m.value, wall_word(wall));
                Finding::new(message, at, "the hole")
                    .also(case.lamp.enclosure.size.span, "the body")
                    .fix(format!("move it {} onto the wall, or write the wall it is in", m.value))
            })
        })
    },
};

/// Whether the hole lies in the opening, where the body has one.
fn in_opening(case: &Case<'_>, fit: &Fit) -> Result<bool, Skip> {
    let opening = &case.lamp.enclosure.opening;
    let Some([x, y, _]) = fit.entry.filter(|_| !opening.is_left_out()) else { return Ok(false) };
    Ok(libm::hypot(x.value(), y.value()) < opening.nominal()?.value() / 2.0)
}

pub(super) static NO_SERVICE: Rule = Rule {
    name: "make/no-service-access",
    signal: Signal::Caution,
    waivable: true,
    title: "no room to work at a part",
    source: "common practice, no source",
    why: "a terminal that no screwdriver reaches is never checked again, and a part that cannot be reached is never replaced",
    fix: "turn the part, move what stands before it, or let the body open",
    check: |case| match (fit(case), case.lamp.layout.as_ref()) {
        (Ok(fit), Some(layout)) => {
            let asked: Vec<_> = layout.places.iter().filter(|p| !p.service.is_left_out()).collect();
            each(
                &asked,
                |place| place.name.clone(),
                |place| {
                    let part = fit.part(&place.name).ok_or(Skip::NotApplicable)?;
                    let wanted = place.service.nominal()?;
                    let side = place.service_side.get()?;
                    if case.lamp.enclosure.lid.get()? == Lid::None {
                        let message = format!("the {} wants room for a hand and the body cannot be opened", place.name);
                        let finding = Finding::new(message, place.service.span, "room wanted");
                        let finding = finding.also(case.lamp.enclosure.lid.span, "the lid");
                        return Ok(Outcome::Finding(finding.fix("write `lid tool` and build it so")));
                    }
                    service(fit, part, (side, wanted), place.service.span)
                },
            )
        }
        (Err(skip), _) => once(|| Err(skip)),
        (Ok(_), None) => once(|| Err(Skip::NotApplicable)),
    },
};

/// What was found of a room that a part asks for.
fn asked<'f>(all: &'f [(String, Found<Before>)], part: &Part) -> Result<&'f Before, Skip> {
    let (_, found) = all.iter().find(|(name, _)| *name == part.name).ok_or(Skip::NotApplicable)?;
    Ok(found.as_ref()?)
}

fn service(fit: &Fit, part: &Part, (side, wanted): (Face, Metres), span: Span) -> Judgement {
    let Before { room, by } = asked(&fit.hands, part)?;
    let what = format!("room before the {}", part.name);
    let path = Some(format!("fit.{}.service", part.name));
    Measure::at_least(what, path, *room, wanted).judge(|m| {
        let before = by.clone().unwrap_or_else(|| if side == Face::Front { "front".into() } else { "wall".into() });
        let message = format!(
            "on its {} side the {} has {} to the {before}; {} is wanted",
            side.word(),
            part.name,
            m.value,
            m.limit
        );
        let finding = Finding::new(message, span, "room wanted");
        let other = by.as_ref().and_then(|by| fit.part(by)).map(|other| other.span);
        let finding = other.into_iter().fold(finding, |f, span| f.also(span, "before it"));
        let short = (wanted - *room).no_less();
        finding.fix(match by {
            Some(by) => format!("move the {by} {short} away, or turn the {}", part.name),
            None => format!("move the {} {short} away from it, or let the body open there", part.name),
        })
    })
}

pub(super) static ANTENNA_CAGED: Rule = Rule {
    name: "make/antenna-caged",
    signal: Signal::Caution,
    waivable: true,
    title: "metal stands before the antenna",
    source: "common practice: 15 mm free of metal before a module's antenna, from memory",
    why: "metal beside an antenna detunes it: the lamp answers near the base station and nowhere else",
    fix: "turn the antenna towards the sheet or a plastic wall, away from sink and supply",
    check: |case| match (fit(case), case.lamp.layout.as_ref()) {
        (Ok(fit), Some(layout)) => {
            let radios: Vec<_> = layout.places.iter().filter(|p| !p.antenna.is_left_out()).collect();
            each(
                &radios,
                |place| place.name.clone(),
                |place| {
                    let part = fit.part(&place.name).ok_or(Skip::NotApplicable)?;
                    antenna(case, fit, part, place.antenna.get()?, place.antenna.span)
                },
            )
        }
        (Err(skip), _) => once(|| Err(skip)),
        (Ok(_), None) => once(|| Err(Skip::NotApplicable)),
    },
};

fn antenna(case: &Case<'_>, fit: &Fit, part: &Part, side: Face, span: Span) -> Judgement {
    let body = &case.lamp.enclosure;
    let metal = matches!(body.material.get()?, BodyMaterial::Aluminium | BodyMaterial::Steel | BodyMaterial::Brass);
    if metal && side != Face::Front {
        let message = format!("the antenna of the {} looks at a wall of {}", part.name, body.material.get()?.word());
        let finding = Finding::new(message, span, "its antenna").also(body.material.span, "the body");
        return Ok(Outcome::Finding(finding.fix("turn it so that `antenna front` is true: the sheet lets radio pass")));
    }
    let Before { room, by } = asked(&fit.antennas, part)?;
    let path = Some(format!("fit.{}.antenna", part.name));
    Measure::at_least(format!("room before the antenna of the {}", part.name), path, *room, ANTENNA_ROOM).judge(|m| {
        let by = by.clone().unwrap_or_default();
        let message = format!("the {by} stands {} before the antenna of the {}", m.value, part.name);
        let finding = Finding::new(message, span, "its antenna");
        let other = fit.part(&by).map(|other| other.span);
        let finding = other.into_iter().fold(finding, |f, span| f.also(span, "metal"));
        finding.fix(format!("move it {} away, or turn the antenna to another side", (ANTENNA_ROOM - *room).no_less()))
    })
}

pub(super) static TIPS_OVER: Rule = Rule {
    name: "make/tips-over",
    signal: Signal::Warning,
    waivable: true,
    title: "the lamp tips over too easily",
    source: "IEC 60598-2-4 for lamps on tables and floors, 60598-2-10 for children, 60598-2-7 for gardens",
    why: "a lamp that falls breaks its sheet, bares live parts and lies hot on what burns",
    fix: "widen the foot, bring heavy parts down, or add ballast",
    check: |case| {
        once(|| {
            let balance = case.solution.balance.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
            let stand = balance.stand.as_ref().ok_or(Skip::NotApplicable)?;
            let path = Some("fit.tip".to_owned());
            Measure::at_least("angle at which it tips", path, stand.angle, stand.wanted.angle).judge(|m| {
                let layout = case.lamp.layout.as_ref();
                let span = layout.map_or(case.lamp.span, |l| if l.foot.is_known() { l.foot.span } else { l.span });
                let round = |length: Metres| Metres::si(libm::ceil(length.value() * 1e3 - 1e-9) / 1e3);
                Finding::new(
                    format!("it tips over at {}; it must stand a tilt of {}", m.value, m.limit),
                    span,
                    "what it stands on",
                )
                .also(case.lamp.identity.mount.span, format!("{} above the foot", stand.height.show()))
                .fix(format!("make the foot {} wide at least", round(stand.support_wanted * 2.0).show()))
            })
        })
    },
};

pub(super) static MASS_SHORT: Rule = Rule {
    name: "make/mass-short",
    signal: Signal::Caution,
    waivable: true,
    title: "the stated mass is less than the parts add up to",
    source: "sum of body, sheet and parts as the section sheet has them; wires, screws and glue come on top",
    why: "hook, plate and label are judged by the stated mass, and what hangs overhead is heavier than they are told",
    fix: "weigh the finished lamp, or state what its parts add up to",
    check: |case| {
        once(|| {
            let given = &case.lamp.identity.mass;
            let most = wished(given)?.high;
            let balance = case.solution.balance.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
            let path = Some(given.path.clone());
            Measure::at_least("stated mass", path, most, balance.mass).judge(|m| {
                let heaviest = balance.counted.iter().reduce(|a, b| if b.mass > a.mass { b } else { a });
                let heaviest =
                    heaviest.map_or(String::new(), |h| format!(", {} of it for `{}`", h.mass.show(), h.name));
                // Up to the next gram, from a kilogram on to the next ten: kitchen scales show no more.
                let step = if balance.mass < Kilograms::si(1.0) { 1e-3 } else { 1e-2 };
                let least = Kilograms::si(libm::ceil(balance.mass.value() / step - 1e-9) * step);
                Finding::new(
                    format!("the lamp is said to be {}, and its parts add up to {}{heaviest}", m.value, m.limit),
                    given.span,
                    "stated here",
                )
                .fix(format!(
                    "weigh it and write what it shows, {} or more; or correct the part that is wrong",
                    stated(least.value(), Kilograms::UNIT)
                ))
            })
        })
    },
};

pub(super) static NO_WAY_IN: Rule = Rule {
    name: "make/no-way-in",
    signal: Signal::Caution,
    waivable: true,
    title: "a part does not pass the opening it must go in by",
    source: "geometry, 1 mm of play; our margin",
    why: "what does not go in cannot be fitted, and what was built in cannot be replaced",
    fix: "widen the opening, let the body open elsewhere, or take a smaller part",
    check: |case| match fit(case) {
        Ok(fit) => each(&fit.parts, |part| part.name.clone(), |part| passes(case, fit, part)),
        Err(skip) => once(|| Err(skip)),
    },
};

fn passes(case: &Case<'_>, fit: &Fit, part: &Part) -> Judgement {
    let body = &case.lamp.enclosure;
    if body.opens.get()? != Face::Front {
        return Err(Skip::NotApplicable);
    }
    let opening = body.opening.nominal()?;
    let needs = fit.passes(part.solid.as_ref()?);
    let most = opening - Metres::si(1e-3);
    let path = Some(format!("fit.{}.passes", part.name));
    Measure::at_most(format!("the {} through the opening", part.name), path, needs, most).judge(|m| {
        let message = format!("the {} needs {} to go in; the opening leaves {}", part.name, m.value, m.limit);
        Finding::new(message, part.span, "this part")
            .also(body.opening.span, "the opening")
            .fix("write `opens back` if the back comes off, or widen the opening")
    })
}
