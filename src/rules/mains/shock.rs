//! Earth and touchable metal: what class I and class II ask of every part that a hand can reach.

use crate::diag::{Signal, Span};
use crate::lamp::Lamp;
use crate::lamp::mains::Metal;
use crate::rules::rule::{Case, Finding, Judgement, Rule, Skip, Verdict, each, once, unless, wished};
use crate::schema::words::{BodyMaterial, Class, Insulation, Side, Word};
use crate::solve::line::terms;

use super::of_class;

pub(super) static NO_EARTH: Rule = Rule {
    name: "mains/no-earth",
    signal: Signal::Danger,
    waivable: false,
    title: "class I and no way in for the earth",
    source: "IEC 61140 and IEC 60598-1, section 7",
    why: "without earth the first fault puts mains on the metal that a hand touches, and no fuse blows",
    fix: "use a three-core cord with an earthed plug, or build the lamp as class II",
    check: |case| each(&["cord", "plug", "inlet"], |s| (*s).to_owned(), |subject| no_earth(case, subject)),
};

fn no_earth(case: &Case<'_>, subject: &str) -> Judgement {
    let mains = of_class(case, Class::I)?;
    let (class, fix) =
        (mains.class.span, "use a three-core cord with an earthed plug, or write `class II` and build it so");
    let wrong =
        |message: String, span: Span| Finding::new(message, span, "no earth").also(class, "class I needs it").fix(fix);
    match (subject, &mains.cord, &mains.inlet) {
        ("cord", None, None) => {
            unless(true, || wrong("class I, and neither a cord nor an inlet brings an earth in".into(), mains.span))
        }
        ("cord", Some(cord), _) => {
            let cores = cord.cores.get()?;
            unless(cores < 3, || {
                wrong(format!("class I needs an earth core; the cord has {cores} cores"), cord.cores.span)
            })
        }
        ("plug", Some(cord), _) => {
            // An inlet has its own earth; without one the plug is the only way, and one that nobody named is not known.
            let plug = if mains.inlet.is_some() { *wished(&cord.plug)? } else { cord.plug.get()? };
            unless(!terms::plug(plug).earthed, || {
                wrong(format!("class I needs an earthed plug; `{}` has no earth contact", plug.word()), cord.plug.span)
            })
        }
        ("inlet", _, Some(inlet)) => {
            let kind = inlet.kind.get()?;
            let earthed = terms::inlet(kind).is_some_and(|row| row.earthed);
            unless(!earthed, || {
                wrong(
                    format!("class I needs an earthed inlet; `{}` has no earth contact", kind.word()),
                    inlet.kind.span,
                )
                .fix("use inlet `c14`, or write `class II` and build it so")
            })
        }
        _ => Err(Skip::NotApplicable),
    }
}

pub(super) static METAL_UNBONDED: Rule = Rule {
    name: "mains/metal-unbonded",
    signal: Signal::Danger,
    waivable: false,
    title: "touchable metal without a bond to earth",
    source: "IEC 60598-1, 7.2.1; from memory",
    why: "a loose live wire that touches this part makes it live, and nothing switches off",
    fix: "bond it to protective earth, or put two layers between it and live parts",
    check: |case| metals(case, Class::I, unbonded),
};

fn unbonded(metal: &Metal, class: Span) -> Judgement {
    let bare = metal.touchable.get()? && !two_layers(metal)?;
    unless(bare && !metal.bonded.get()?, || {
        let message = format!("`{}` can be touched, is not bonded, and has not two layers to live parts", metal.name);
        Finding::new(message, metal.span, "this part")
            .also(class, "class I")
            .fix(format!("write `bonded yes` in `metal {}` and fit an earth wire to it", metal.name))
    })
}

fn two_layers(metal: &Metal) -> Result<bool, Skip> {
    Ok(matches!(metal.insulation.get()?, Insulation::Double | Insulation::Reinforced))
}

pub(super) static EARTH_IN_CLASS_TWO: Rule = Rule {
    name: "mains/earth-in-class-two",
    signal: Signal::Warning,
    waivable: true,
    title: "a bonded part in a class II lamp",
    source: "IEC 61140: class II has no means for protective earthing; from memory",
    why: "the next person trusts an earth that the two-core cord does not bring",
    fix: "take the bond out and keep two layers, or build the lamp as class I with a three-core cord",
    check: |case| {
        let metals = case.lamp.mains.as_ref().map_or(&[][..], |m| &m.metal);
        let said = each(
            metals,
            |m| m.name.clone(),
            |metal| {
                let class = of_class(case, Class::II)?.class.span;
                unless(metal.bonded.get()?, || {
                    Finding::new(
                        format!("`{}` is bonded to earth in a class II lamp", metal.name),
                        metal.bonded.span,
                        "bonded",
                    )
                    .also(class, "class II")
                    .fix(format!("write `bonded no` in `metal {}`, or `class I` with a three-core cord", metal.name))
                })
            },
        );
        if said.is_empty() { once(|| Err(Skip::NotApplicable)) } else { said }
    },
};

pub(super) static TOUCHABLE_METAL_CLASS_TWO: Rule = Rule {
    name: "mains/touchable-metal-class-two",
    signal: Signal::Danger,
    waivable: false,
    title: "touchable metal of a class II lamp with less than two layers",
    source: "IEC 60598-1, 8.2 and section 2.2",
    why: "class II has no earth: one broken layer and the part a hand touches is live",
    fix: "put double or reinforced insulation between it and live parts, or build the lamp as class I and bond it",
    check: |case| metals(case, Class::II, single_layer),
};

fn single_layer(metal: &Metal, class: Span) -> Judgement {
    let thin = metal.touchable.get()? && !two_layers(metal)?;
    unless(thin, || {
        let kind = metal.insulation.value.map_or("none", Word::word);
        let message = format!("`{}` can be touched and its insulation to live parts is `{kind}`", metal.name);
        let fix = "give it reinforced insulation, or write `class I`, a three-core cord and `bonded yes`";
        Finding::new(message, metal.span, "this part").also(class, "class II").fix(fix)
    })
}

/// Asks of each metal part, and of metal that the spec implies and does not list.
fn metals(case: &Case<'_>, class: Class, judge: fn(&Metal, Span) -> Judgement) -> Vec<Verdict> {
    let listed = case.lamp.mains.as_ref().map_or(&[][..], |m| &m.metal);
    let mut said = each(listed, |m| m.name.clone(), |metal| judge(metal, of_class(case, class)?.class.span));
    said.extend(once(|| unlisted(case, class)));
    said
}

/// A metal body, or a sink outside it, must be listed: what is not listed has no row to test.
fn unlisted(case: &Case<'_>, class: Class) -> Judgement {
    let mains = of_class(case, class)?;
    let listed = mains.metal.iter().any(|m| m.touchable.value == Some(true));
    let (what, name, span) = implied(case.lamp)?;
    unless(!listed, || {
        Finding::new(format!("{what} can be touched and no touchable metal part is listed"), span, "metal")
            .also(mains.class.span, "the class decides how it is protected")
            .fix(format!("list it: `metal {name} {{ touchable yes; bonded ...; insulation ... }}` in `mains`"))
    })
}

/// Metal that a hand meets whether it is listed or not: in words, what to call it, and where the spec says so.
fn implied(lamp: &Lamp) -> Result<(String, &'static str, Span), Skip> {
    let material = &lamp.enclosure.material;
    if let word @ (BodyMaterial::Aluminium | BodyMaterial::Steel | BodyMaterial::Brass) = material.get()? {
        return Ok((format!("the {} body", word.word()), "body", material.span));
    }
    let sink = lamp.sink.as_ref().ok_or(Skip::NotApplicable)?;
    match sink.place.get()? {
        Side::Outside => Ok(("the sink outside the body".into(), "sink", sink.place.span)),
        Side::Inside => Err(Skip::NotApplicable),
    }
}
