//! Parts against walls, each other and the other zone: by how much room is missing, on which axis, and the move that
//! helps.

use crate::diag::Signal;
use crate::lamp::given::Missing;
use crate::lamp::layout::Layout;
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, Verdict, each, once};
use crate::schema::words::Word;
use crate::solve::fit::{self, Advice, Against, Fit, Lack, Part, Source, wall_word};

use super::place::fit;

pub(super) static DOES_NOT_FIT: Rule = Rule {
    name: "make/does-not-fit",
    signal: Signal::Warning,
    waivable: true,
    title: "a part does not fit in the body where it stands",
    source: "geometry; room to walls is our margin",
    why: "what does not fit is found with the soldering done: parts are bent, insulation is squeezed, the lid is forced",
    fix: "move the part as the message says, turn it, or make the body larger",
    check: |case| match fit(case) {
        Ok(fit) => fit.parts.iter().flat_map(|part| each_lack(case, fit, part)).collect(),
        Err(skip) => once(|| Err(skip)),
    },
};

/// One verdict for all that a part lacks, each by its own; one where it lacks nothing.
fn each_lack(case: &Case<'_>, fit: &Fit, part: &Part) -> Vec<Verdict> {
    let all: Vec<&Lack> = part.lacks.iter().filter(|lack| !matches!(lack.against, Against::Zone(_))).collect();
    // Two parts that meet are one finding, at the one that can be moved.
    let told_there = |lack: &&Lack| match &lack.against {
        Against::Part(other) => fit.part(other).is_some_and(|other| tells(fit, other, part)),
        _ => false,
    };
    let lacks: Vec<&Lack> = all.iter().copied().filter(|lack| !told_there(lack)).collect();
    if lacks.is_empty() && !all.is_empty() {
        return each([part], |part| part.name.clone(), |_| Err(Skip::NotApplicable));
    }
    if part.solid.is_err() || lacks.is_empty() {
        return each([part], |part| part.name.clone(), |part| fits(case, fit, part));
    }
    each(lacks, |_| part.name.clone(), |lack| Ok(Outcome::Finding(said(fit, part, lack))))
}

/// Whether of two parts that meet this one is named first: it can be moved where the other cannot, or comes before it.
fn tells(fit: &Fit, one: &Part, other: &Part) -> bool {
    let place = |part: &Part| fit.parts.iter().position(|p| p.name == part.name);
    match (one.advice.is_some(), other.advice.is_some()) {
        (true, false) => true,
        (false, true) => false,
        _ => place(one) < place(other),
    }
}

fn fits(case: &Case<'_>, fit: &Fit, part: &Part) -> Judgement {
    if fit::homeless(part).is_some() {
        let inside = case.solution.ledger.shown("fit.inside").unwrap_or_default();
        return Ok(Outcome::Finding(
            Finding::new(format!("there is no free place for the {}", part.name), part.span, "this part")
                .also(case.lamp.enclosure.size.span, format!("{inside} inside"))
                .fix("make the body larger, move a part outside, or place the others by hand with `at`"),
        ));
    }
    let solid = part.solid.as_ref()?;
    for body in [&fit.kept.sheet, &fit.kept.light].into_iter().flatten() {
        body.as_ref()?;
    }
    let wanted = part.wall_wanted.clone()?;
    match fit::nearest_wall(fit, part, solid) {
        Some((_, room)) => {
            let path = Some(format!("fit.{}.wall", part.name));
            Measure::at_least(format!("room of the {} to the wall", part.name), path, room, wanted).judge(|m| {
                let message = format!("the {} has {} to the wall; {} is wanted", part.name, m.value, m.limit);
                Finding::new(message, part.span, "this part")
                    .fix(format!("move it {} off the wall", (wanted - room).no_less()))
            })
        }
        None => Ok(Outcome::Pass(None)),
    }
}

/// By how much, on which axis, and the move that helps.
fn said(fit: &Fit, part: &Part, lack: &Lack) -> Finding {
    let (name, wanted) = (&part.name, lack.wanted.show());
    let into = lack.room < Metres::ZERO;
    let amount = lack.room.abs().show();
    let message = match (&lack.against, into) {
        (Against::Wall(wall), true) => format!("the {name} reaches {amount} into the {} wall", wall_word(*wall)),
        (Against::Wall(wall), false) => {
            format!("the {name} has {amount} to the {} wall; {wanted} is wanted", wall_word(*wall))
        }
        (Against::Sheet, _) => format!("the {name} reaches {amount} into the diffuser"),
        (Against::Light, _) => format!("the {name} stands {amount} in the light between dice and diffuser"),
        (Against::Part(other), true) => format!("the {name} and the {other} run {amount} into each other"),
        (Against::Zone(other), true) => {
            format!("the {name} and the {other} run {amount} into each other; {wanted} of gap is wanted")
        }
        (Against::Part(other) | Against::Zone(other), false) => {
            format!("the {name} has {amount} to the {other}; {wanted} is wanted")
        }
    };
    let message = format!("{message}, along {}", lack.along);
    let other = match &lack.against {
        Against::Part(other) | Against::Zone(other) => fit.part(other).map(|other| other.span),
        Against::Wall(_) | Against::Sheet | Against::Light => None,
    };
    let finding = Finding::new(message, part.span, "this part");
    let finding = other.into_iter().fold(finding, |finding, span| finding.also(span, "the other"));
    finding.fix(match (&part.advice, &lack.against) {
        (Some(Advice::By(by)), _) => format!("move the {name} {}", told(by)),
        (Some(Advice::To(place, turn)), _) => {
            let place = place.map(|v| format!("{} mm", crate::figures::trimmed(v.value() * 1e3, 2))).join(", ");
            format!("write `at ({place})` and `turn {}` for the {name}", turn.word())
        }
        (None, Against::Part(other) | Against::Zone(other)) if part.source == Source::Emitter => {
            format!("move the {other}, or write another `distance` in `emitter`")
        }
        (None, _) if part.source == Source::Emitter => {
            "write another `distance` in `emitter`, or take a smaller sink".to_owned()
        }
        (None, _) => format!("there is no free place for the {name}: make the body larger, or move another part"),
    })
}

/// A move in words: `5.5 mm towards the front (z + 5.5 mm)`.
fn told(by: &[Metres; 3]) -> String {
    let ways = [("left", "right", "x"), ("bottom", "top", "y"), ("back", "front", "z")];
    let steps = by.iter().zip(ways).filter(|(by, _)| **by != Metres::ZERO);
    let words = steps.map(|(by, (less, more, axis))| {
        let (towards, sign) = if *by > Metres::ZERO { (more, "+") } else { (less, "−") };
        format!("{} towards the {towards} ({axis} {sign} {})", by.abs().show(), by.abs().show())
    });
    words.collect::<Vec<_>>().join(" and ")
}

pub(super) static ZONE_GAP: Rule = Rule {
    name: "make/zone-gap",
    signal: Signal::Danger,
    waivable: true,
    title: "live parts stand too near to extra-low voltage parts",
    source: "our margin: twice the clearance of reinforced insulation at 250 V and more, IEC 60598-1, 11.2, from memory",
    why: "a wire that slips or a part that shifts joins the mains to what may be touched",
    fix: "move the parts apart, or put a wall between them and call the live one `closed`",
    check: |case| {
        once(|| {
            let fit = fit(case)?;
            let layout = case.lamp.layout.as_ref().ok_or(Skip::NotApplicable)?;
            let open = unplaced(case, fit, layout);
            let Some((live, low, gap)) = &fit.zones else { return Err(open.map_or(Skip::NotApplicable, Skip::from)) };
            let wanted = layout.zone_gap.nominal()?;
            let path = Some("fit.zone-gap".to_owned());
            let measure = Measure::at_least("gap between live and extra-low voltage parts", path, *gap, wanted);
            if let Some(missing) = open.filter(|_| measure.holds()) {
                return Err(missing.into());
            }
            measure.judge(|m| {
                let zone = |part: &&Part| part.name == *live || part.name == *low;
                let of = fit.parts.iter().filter(zone);
                let lack = |part: &Part| part.lacks.iter().find(|l| matches!(l.against, Against::Zone(_))).cloned();
                let movable = of.filter_map(|part| Some((part, lack(part)?)));
                let found = movable.max_by_key(|(part, _)| part.advice.is_some());
                found.map_or_else(
                    || {
                        let message = format!("the {live} and the {low} are {} apart; {} is wanted", m.value, m.limit);
                        let fix = format!("move them {} apart, or put a wall between them", (wanted - *gap).no_less());
                        Finding::new(message, case.lamp.span, "here").fix(fix)
                    },
                    |(part, lack)| said(fit, part, &lack),
                )
            })
        })
    },
};

/// What is not known of a part that may stand nearer to one of the other zone than those whose places are known. A part
/// that found no room stands nowhere; another rule says so.
fn unplaced(case: &Case<'_>, fit: &Fit, layout: &Layout) -> Option<Missing> {
    if case.lamp.mains.is_none() && fit.zones.is_none() {
        return None;
    }
    let unsaid = layout.places.iter().find_map(|place| match (place.zone.unknown, place.closed.unknown) {
        (true, _) => Some(place.zone.missing()),
        (false, true) => Some(place.closed.missing()),
        (false, false) => None,
    });
    let faced = |part: &Part| fit.parts.iter().any(|other| !other.closed && other.zone != part.zone);
    let mut bare = fit.parts.iter().filter(|part| !part.closed && fit::homeless(part).is_none() && faced(part));
    unsaid.or_else(|| bare.find_map(|part| part.solid.as_ref().err().cloned()))
}
