//! What a hand meets: the body, the front, a sink outside. A limit the author wrote, else one by material and time; for
//! children the lower of both, and a finding that no waiver lets through.

use super::{below, ladder};
use crate::diag::{Signal, Span};
use crate::physics::thermal::limits::{Touched, touch_limit};
use crate::quantity::{Quantity, Seconds, Temperature};
use crate::rules::rule::{Case, Finding, Judgement, Rule, Skip, Verdict, each, once};
use crate::schema::words::{BodyMaterial, SheetMaterial, Side};

pub(super) static TOUCH: Rule = Rule {
    name: "heat/touch",
    signal: Signal::Warning,
    waivable: true,
    title: "the outside is too hot to touch",
    source: "the author's own limit; else IEC 62368-1, table 38 (TS1), by analogy, 10 s of contact; from memory",
    why: "a hand that meets a hot lamp flinches, and what it holds falls",
    fix: "take a larger or better radiating body, or lower the current",
    check: |case| all(case, false),
};

pub(super) static TOUCH_CHILDREN: Rule = Rule {
    name: "heat/touch-children",
    signal: Signal::Danger,
    waivable: false,
    title: "a child that holds on to the lamp is burnt",
    source: "IEC 62368-1, table 38 (TS1), by analogy, a minute of contact; from memory; the author's own limit where it is lower",
    why: "a small child does not let go of what hurts, and its skin is thin",
    fix: "take a larger or better radiating body, lower the current, or hang it out of reach",
    check: |case| all(case, true),
};

/// A surface that can be met.
struct Surface {
    name: &'static str,
    path: &'static str,
    hot: Temperature,
    stuff: Touched,
    span: Span,
}

fn all(case: &Case<'_>, children: bool) -> Vec<Verdict> {
    // A lamp of which nobody knows whether children reach it is held to a grown hand, and not judged for theirs.
    match case.lamp.identity.children.get() {
        Ok(reached) if reached != children => return once(|| Err(Skip::NotApplicable)),
        Err(missing) if children => return once(|| Err(missing.into())),
        _ => {}
    }
    match surfaces(case) {
        Ok(surfaces) => each(&surfaces, |s| s.name.to_owned(), |s| judge(case, s, children)),
        Err(skip) => once(|| Err(skip)),
    }
}

fn surfaces(case: &Case<'_>) -> Result<Vec<Surface>, Skip> {
    let ladder = ladder(case)?;
    let lamp = case.lamp;
    let body = match lamp.enclosure.material.get()? {
        BodyMaterial::Aluminium | BodyMaterial::Steel | BodyMaterial::Brass => Touched::Metal,
        BodyMaterial::Glass | BodyMaterial::Ceramic => Touched::Glass,
        BodyMaterial::Plywood | BodyMaterial::Softwood | BodyMaterial::Oak => Touched::Wood,
        _ => Touched::Plastic,
    };
    let (path, span) = ("heat.judged.wall", lamp.enclosure.span);
    let mut found = vec![Surface { name: "body", path, hot: ladder.judged.wall, stuff: body, span }];
    if let (Some(hot), Some(diffuser)) = (ladder.judged.front, &lamp.diffuser) {
        let glass = diffuser.material.get()? == SheetMaterial::Glass;
        let stuff = if glass { Touched::Glass } else { Touched::Plastic };
        found.push(Surface { name: "front", path: "heat.judged.front", hot, stuff, span: diffuser.span });
    }
    if let Some(sink) = lamp.sink.as_ref().filter(|sink| sink.place.value == Some(Side::Outside)) {
        let (hot, span) = (ladder.judged.sink, sink.span);
        found.push(Surface { name: "sink", path: "heat.judged.sink", hot, stuff: Touched::Metal, span });
    }
    Ok(found)
}

fn judge(case: &Case<'_>, surface: &Surface, children: bool) -> Judgement {
    let ladder = ladder(case)?;
    let aim = &case.lamp.aim.touch;
    let usual = touch_limit(surface.stuff, Seconds::si(if children { 60.0 } else { 10.0 })).limit;
    let limit = match aim.nominal() {
        Ok(own) if children => own.min(usual),
        Err(_) if aim.is_left_out() => usual,
        given => given?,
    };
    let what = if surface.name == "body" { "outside of the body".to_owned() } else { format!("the {}", surface.name) };
    below(ladder, &what, surface.path, surface.hot, limit).judge(|m| {
        let (name, hand) = (surface.name, if children { "a child's hand" } else { "a hand" });
        let where_from = if aim.is_known() { aim.span } else { case.lamp.enclosure.material.span };
        let over = (surface.hot - limit).show();
        Finding::new(
            format!("the {name} gets {}; {} is the most for {hand}", m.value, m.limit),
            surface.span,
            "this surface",
        )
        .also(if children { case.lamp.identity.children.span } else { where_from }, "its limit")
        .fix(match name {
            "sink" => format!("take off {over} of rise: a larger sink, or a guard that keeps hands off"),
            _ => format!("take off {over} of rise: a larger body, or less power inside"),
        })
    })
}
