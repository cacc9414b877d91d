//! The body as protection: openings, lid, printed walls, and what holds live parts in a fire.

use crate::diag::Signal;
use crate::lamp::body::{Drilled, Vent};
use crate::lamp::given::Found;
use crate::physics::conductors::touch::{FINGER_LENGTH, Verdict as Opening};
use crate::rules::rule::{Case, Finding, Judgement, Rule, Skip, each, once, unless};
use crate::schema::words::{BodyMaterial, Flame, Lid, Word, Zone};

use super::{line, mains};

pub(super) static REACH: Rule = Rule {
    name: "mains/reach",
    signal: Signal::Danger,
    waivable: false,
    title: "a finger or a lid without a tool leads to live parts",
    source: "IEC 60598-1, 8.2, with the probes of IEC 60529; the baffle between 2.5 and 12 mm is our margin",
    why: "children's fingers, paper clips and necklaces go where an opening lets them",
    fix: "make openings over mains 2.5 mm or less, or put a baffle behind them; let the lid need a tool",
    check: |case| {
        let body = &case.lamp.enclosure;
        let mut said = each(&body.vents, |v| v.name.clone(), |vent| opening(case, vent));
        said.extend(each(&body.holes, |h| h.name.clone(), |hole| left_open(case, hole)));
        said.extend(each(&["lid"], |s| (*s).to_owned(), |_| lid(case)));
        said
    },
};

fn opening(case: &Case<'_>, vent: &Vent) -> Judgement {
    mains(case)?;
    if vent.over.get()? != Zone::Mains {
        return Err(Skip::NotApplicable);
    }
    let (width, verdict) = (vent.width.high()?, verdict(&line(case)?.vents, &vent.name)?);
    unless(verdict != Opening::Free, || {
        let message = match verdict {
            Opening::Refused => format!("vent `{}` is {width} wide over live parts and lets a finger in", vent.name),
            _ => format!(
                "vent `{}` is {width} wide over live parts closer than {FINGER_LENGTH}, without a baffle",
                vent.name
            ),
        };
        Finding::new(message, vent.width.span, "opening")
            .fix(format!("make `{}` 2.5 mm or less, or move it away from mains", vent.name))
    })
}

/// What an opening was found to be.
fn verdict(all: &[(String, Found<Opening>)], name: &str) -> Result<Opening, Skip> {
    let (_, found) = all.iter().find(|(own, _)| own == name).ok_or(Skip::NotApplicable)?;
    Ok(found.clone()?)
}

fn left_open(case: &Case<'_>, hole: &Drilled) -> Judgement {
    let (width, verdict) = (hole.diameter.high()?, verdict(&line(case)?.holes, &hole.name)?);
    unless(verdict != Opening::Free, || {
        let message = format!("hole `{}` is {width} wide over live parts, and nothing closes it", hole.name);
        Finding::new(message, hole.diameter.span, "hole")
            .also(hole.filled.span, "stays open")
            .fix(format!("close `{}` with a part that needs a tool, or drill it away from mains", hole.name))
    })
}

fn lid(case: &Case<'_>) -> Judgement {
    mains(case)?;
    let body = &case.lamp.enclosure;
    let bare = body.lid.get()? == Lid::Hand && !body.terminals_covered.get()?;
    unless(bare, || {
        Finding::new("the lid opens by hand and live terminals lie bare behind it", body.lid.span, "lid")
            .also(body.terminals_covered.span, "terminals")
            .fix("write `lid tool`, or cover the terminals and write `terminals-covered yes`")
    })
}

pub(super) static PRINTED_INSULATION: Rule = Rule {
    name: "mains/printed-insulation",
    signal: Signal::Danger,
    waivable: false,
    title: "a printed wall is the only insulation to mains",
    source: "our margin: gaps between printed lines are cracks that no table credits",
    why: "a print has pores from inside to outside; damp and dust fill them",
    fix: "put a tested layer between: a closed supply, sleeved wires, covered terminals",
    check: |case| {
        once(|| {
            mains(case)?;
            let body = &case.lamp.enclosure;
            if !body.printed.get()? {
                return Err(Skip::NotApplicable);
            }
            unless(body.only_insulation.get()?, || {
                let message = "the printed wall is the only insulation between live parts and a hand";
                Finding::new(message, body.only_insulation.span, "only insulation")
                    .also(body.printed.span, "printed")
                    .fix("enclose the live parts in a closed supply and covered terminals, and write `only-insulation no`")
            })
        })
    },
};

pub(super) static PLASTIC_FIRE: Rule = Rule {
    name: "mains/plastic-fire",
    signal: Signal::Warning,
    waivable: true,
    title: "live parts held by something that burns or softens",
    source: "IEC 60598-1, section 13: 125 °C ball pressure, 650 °C glow wire; that HB is too little is our margin",
    why: "a loose terminal glows; what holds it must neither feed a flame nor let it drop",
    fix: "hold live parts with stuff of a stated class, V-2 or a 650 °C glow wire at least",
    check: |case| once(|| fire(case)),
};

fn fire(case: &Case<'_>) -> Judgement {
    mains(case)?;
    let body = &case.lamp.enclosure;
    let material = body.material.get()?;
    let hard = matches!(
        material,
        BodyMaterial::Ceramic
            | BodyMaterial::Glass
            | BodyMaterial::Aluminium
            | BodyMaterial::Steel
            | BodyMaterial::Brass
    );
    if hard || !body.holds_live.get()? {
        return Err(Skip::NotApplicable);
    }
    let fix = "give the live parts a closed holder of their own and write `holds-live no`, or use a stated material";
    if matches!(material, BodyMaterial::Pla | BodyMaterial::Petg) {
        return unless(true, || {
            let message = format!("live parts are held by {}, which softens far below 125 °C", material.word());
            Finding::new(message, body.material.span, "material")
                .also(body.holds_live.span, "holds live parts")
                .fix(fix)
        });
    }
    if body.flame.unknown {
        return Err(body.flame.missing().into());
    }
    let weak = matches!(body.flame.value, None | Some(Flame::None | Flame::Hb));
    unless(weak, || {
        let said = body.flame.value.map_or_else(|| "not stated".to_owned(), |flame| format!("`{}`", flame.word()));
        let message = format!("`{}` holds live parts, and its behaviour in fire is {said}", material.word());
        Finding::new(message, body.holds_live.span, "holds live parts").also(body.flame.span, "flame").fix(fix)
    })
}
