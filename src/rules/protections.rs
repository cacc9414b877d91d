//! What keeps a lamp's user from harm, as far as its spec says so, each with how strong it is: so that a variant can be
//! held against its lamp one by one.

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::given::Given;
use crate::lamp::mains::Mains;
use crate::quantity::{Amperes, Quantity};
use crate::schema::words::{Anchorage, Class, Flame, Insulation, Lid, Word, Zone};
use crate::spread::Spread;

/// One protection.
struct Protection {
    /// In a few words.
    what: String,
    /// Of two strengths the larger protects better; 0 is none at all; not a number where the two cannot be compared.
    strength: f64,
    /// What it is here: `v-0`; empty where it is only there or not.
    told: String,
    /// Where it is said.
    span: Span,
}

/// A cap or a fuse that is larger by less than this is the same (our limit).
const SAME: f64 = 1.01;

/// Protections of `base` that `lamp` lacks or has in a weaker form: words and place of each.
pub fn weakened(base: &Lamp, lamp: &Lamp) -> Vec<(String, Span)> {
    let now = all(lamp);
    let lost = all(base).into_iter().filter_map(|was| {
        let is = now.iter().find(|p| p.what == was.what)?;
        (is.strength * SAME < was.strength).then(|| match (was.told.as_str(), is.told.as_str()) {
            ("", _) | (_, "") => (was.what, is.span),
            (old, new) => (format!("{} ({old} → {new})", was.what), is.span),
        })
    });
    lost.collect()
}

/// Every protection that a lamp may have, those it lacks with strength 0. A metal part or vent that a lamp does not have
/// needs none and is not in the list.
fn all(lamp: &Lamp) -> Vec<Protection> {
    let outside = lamp.mains.as_ref().is_none_or(|m| m.class.value == Some(Class::III));
    let head = lamp.mains.as_ref().map_or(lamp.span, |m| m.span);
    let mut found = vec![there("mains kept outside the lamp", outside, head)];
    if let Some(mains) = &lamp.mains {
        of_mains(mains, &mut found);
    }
    found.push(word("the supply's isolation", &lamp.supply.isolation, layers));
    if let Some(battery) = &lamp.supply.battery {
        let rating = battery.fuse.as_ref().map(|f| &f.rating);
        let strength = rating.and_then(|r| r.value).map_or(0.0, |r| 1.0 / r.nominal.value());
        let told = rating.and_then(|r| r.value).map_or_else(String::new, |r| r.nominal.show());
        let span = rating.map_or(battery.span, |r| r.span);
        found.push(Protection { what: "the battery fuse".into(), strength, told, span });
    }
    let shutoff = lamp.driver.shutoff.as_ref();
    found.push(there("the shut-off", shutoff.is_some(), shutoff.map_or(lamp.driver.span, |s| s.span)));
    found.push(limit("the firmware's cap of the LED power", &lamp.driver.cap));
    found.push(yes("covered terminals", &lamp.enclosure.terminals_covered));
    found.push(word("the way the body opens", &lamp.enclosure.lid, |lid| match lid {
        Lid::Tool | Lid::None => 1.0,
        Lid::Hand => 0.0,
    }));
    let live = lamp.enclosure.vents.iter().filter(|vent| vent.over.value == Some(Zone::Mains));
    found.extend(live.map(|vent| yes(&format!("the baffle of vent {}", vent.name), &vent.baffle)));
    let flame = &lamp.enclosure.flame;
    found.push(word("the body's class by UL 94", flame, |f| burning(f).0));
    found.push(word("the body's class by the glow wire", flame, |f| burning(f).1));
    found
}

fn of_mains(mains: &Mains, found: &mut Vec<Protection>) {
    found.push(fuse("the fuse", mains.fuse.as_ref().map(|fuse| &fuse.rating), mains));
    let in_plug = mains.cord.as_ref().map(|cord| &cord.plug_fuse).filter(|rating| !rating.is_left_out());
    found.push(fuse("the fuse in the plug", in_plug, mains));
    found.push(limit("residual-current protection", &mains.residual_current));
    if let Some(entry) = &mains.entry {
        found.push(yes("the bushing of the cord entry", &entry.bushing));
        found.push(word("the cord anchorage", &entry.anchorage, |a| match a {
            Anchorage::Clamp | Anchorage::Gland => 2.0,
            Anchorage::Knot => 1.0,
            Anchorage::Glue | Anchorage::None => 0.0,
        }));
    }
    for metal in &mains.metal {
        found.push(yes(&format!("the bond of {} to protective earth", metal.name), &metal.bonded));
        found.push(word(&format!("the insulation of {}", metal.name), &metal.insulation, layers));
    }
}

/// At half the voltage the same power wants twice the fuse: what it lets through is held against the voltage.
fn fuse(what: &str, rating: Option<&Given<Spread<Amperes>>>, mains: &Mains) -> Protection {
    let volts = mains.voltage.value.map(|v| v.nominal);
    let rated = rating.and_then(|r| r.value).map(|r| r.nominal);
    let told = rated.map_or_else(String::new, |amperes| {
        let at = volts.map_or_else(String::new, |v| format!(" at {}", v.show()));
        format!("{}{at}", amperes.show())
    });
    let strength = match (rating, rated) {
        (Some(_), Some(amperes)) => 1.0 / (amperes.value() * volts.map_or(1.0, |v| v.value())),
        (Some(_), None) => f64::NAN,
        (None, _) => 0.0,
    };
    Protection { what: what.to_owned(), strength, told, span: rating.map_or(mains.span, |r| r.span) }
}

/// A limit protects better the lower it is.
fn limit<Q: Quantity>(what: &str, given: &Given<Spread<Q>>) -> Protection {
    let most = given.value.map(|most| most.nominal);
    let strength = most.map_or(0.0, |most| 1.0 / most.value());
    let told = most.map_or_else(|| "none".to_owned(), |most| most.show());
    Protection { what: what.to_owned(), strength, told, span: given.span }
}

fn there(what: &str, is: bool, span: Span) -> Protection {
    Protection { what: what.to_owned(), strength: f64::from(u8::from(is)), told: String::new(), span }
}

fn yes(what: &str, given: &Given<bool>) -> Protection {
    there(what, given.value == Some(true), given.span)
}

fn word<W: Word + Copy>(what: &str, given: &Given<W>, strength: impl Fn(W) -> f64) -> Protection {
    let told = given.value.map_or_else(|| "not said".to_owned(), |w| w.word().to_owned());
    Protection { what: what.to_owned(), strength: given.value.map_or(0.0, strength), told, span: given.span }
}

/// Layers between live parts and a hand; double insulation and reinforced insulation count as much (IEC 61140).
fn layers(insulation: Insulation) -> f64 {
    match insulation {
        Insulation::None => 0.0,
        Insulation::Basic => 1.0,
        Insulation::Double | Insulation::Reinforced => 2.0,
    }
}

/// Rank by UL 94 and by the glow wire; a class of the one says nothing of the other.
fn burning(flame: Flame) -> (f64, f64) {
    match flame {
        Flame::None => (0.0, 0.0),
        Flame::Hb => (1.0, f64::NAN),
        Flame::V2 => (2.0, f64::NAN),
        Flame::V1 => (3.0, f64::NAN),
        Flame::V0 => (4.0, f64::NAN),
        Flame::GlowWire650 => (f64::NAN, 650.0),
        Flame::GlowWire850 => (f64::NAN, 850.0),
    }
}
