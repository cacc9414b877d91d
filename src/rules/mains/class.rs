//! Whether the class of protection fits what enters the lamp, and whether mains has one way in.

use crate::diag::Signal;
use crate::rules::rule::{Case, Finding, Judgement, Outcome, Rule, once, unless};
use crate::schema::words::{Class, Side};

use super::mains;

pub(super) static CLASS_MISMATCH: Rule = Rule {
    name: "mains/class-mismatch",
    signal: Signal::Danger,
    waivable: false,
    title: "the class does not fit what enters the lamp",
    source: "IEC 61140, 7.4: class III is fed by extra-low voltage alone; IEC 60598-1, 1.2.24, from memory",
    why: "papers of class III ask for no earth, no distance and no mains test, while mains stands inside",
    fix: "class I or II where mains enters; else no `mains` block, and the supply outside",
    check: |case| once(|| class(case)),
};

fn class(case: &Case<'_>) -> Judgement {
    let lamp = case.lamp;
    let Some(mains) = &lamp.mains else { return enters_unsaid(case) };
    let class = mains.class.get()?;
    unless(class == Class::III, || {
        Finding::new("class III, and mains enters the lamp", mains.class.span, "class")
            .also(mains.span, "mains")
            .fix("write `class I` or `class II`; or put the supply outside and leave the `mains` block out")
    })
}

/// A supply that stands inside and makes its voltage from nothing that the spec names.
fn enters_unsaid(case: &Case<'_>) -> Judgement {
    let supply = &case.lamp.supply;
    let inside = supply.battery.is_none() && supply.place.get()? == Side::Inside;
    unless(inside, || {
        Finding::new("the supply stands inside, and nothing is said of the mains that feeds it", supply.span, "supply")
            .also(supply.place.span, "place")
            .fix("write a `mains` block with class, cord and fuse; or `place outside` for a supply that stays outside")
    })
}

pub(super) static NO_WAY_IN: Rule = Rule {
    name: "mains/no-way-in",
    signal: Signal::Warning,
    waivable: true,
    title: "mains comes in by no way, or by two",
    source: "IEC 60598-1, 5.2.1: a cord or an appliance inlet; fixed wiring is beyond this program",
    why: "without cord or inlet no core, clamp, hole or plug can be judged; with both, one of them is a live end",
    fix: "one block: `cord` or `inlet`",
    check: |case| once(|| way_in(case)),
};

fn way_in(case: &Case<'_>) -> Judgement {
    let mains = mains(case)?;
    match (&mains.cord, &mains.inlet) {
        (Some(_), None) | (None, Some(_)) => Ok(Outcome::Pass(None)),
        (None, None) => unless(true, || {
            Finding::new("mains enters by neither a cord nor an inlet", mains.span, "mains")
                .fix("write `cord` with its cores, plug and clamp, or `inlet`; fixed wiring is work for the installer")
        }),
        (Some(cord), Some(inlet)) => unless(true, || {
            Finding::new("mains enters by a cord and by an inlet", inlet.span, "inlet")
                .also(cord.span, "cord")
                .fix("take one of the two out")
        }),
    }
}
