//! Sheet `safety`: hazards of this lamp, how each metal part is protected, distances, hot parts, the staged checklist.

use serde_json::{Value, json};

use super::assumptions::not_checked;
use super::checklist;
use crate::diag::Signal;
use crate::lamp::mains::Metal;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::heat::most;
use crate::packet::sheet::TextSize;
use crate::packet::terms::in_terms;
use crate::packet::waived;
use crate::schema::words::{Class, Cutter, Insulation, Mount, Polarity, Pole, Region, Word};
use crate::solve::battery::inside;
use crate::solve::label;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "safety",
    title: "Safety",
    moment: "read aloud before the work begins, and signed",
    template_name: "sheets/safety.md",
    template: include_str!("../../../templates/sheets/safety.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required,
};

fn required(bench: &Bench<'_>) -> Vec<String> {
    let steps = checklist::steps(bench).into_iter().map(|s| s.text);
    let metals = bench.lamp.mains.iter().flat_map(|m| &m.metal).map(|m| m.name.clone());
    steps.chain(metals).chain(standing(bench)).collect()
}

/// Messages of the DANGERs that stand.
fn standing(bench: &Bench<'_>) -> Vec<String> {
    let danger = bench.report.standing().into_iter().filter(|r| r.rule.signal == Signal::Danger);
    danger.map(|r| bench.spoken(&r.finding.message)).collect()
}

fn data(bench: &Bench<'_>) -> Value {
    let class = label::class(bench.lamp);
    let not_checked = not_checked(bench, |rule| rule.signal == Signal::Danger || rule.name.starts_with("mains/"));
    let waivers: Vec<Value> =
        waived::rows(bench).into_iter().filter(|row| row.get("used") == Some(&Value::Bool(true))).collect();
    let steps = checklist::steps(bench);
    let sources = checklist::sources(&steps);
    json!({
        "mains": bench.mains(),
        "dangers": standing(bench),
        "hazards": hazards(bench),
        "class": class.map(Word::word),
        "class_why": class.map(|c| in_terms(bench.region(), why(c, bench.battery()))),
        "metal": metal_rows(bench),
        "hot": hot(bench),
        "blocks": checklist::blocks(steps),
        "sources": sources,
        "battery": bench.battery(),
        "fuse_may_turn": fuse_may_turn(bench),
        "tables": tables(bench),
        "waivers": waivers,
        "not_checked": not_checked,
        "children": bench.lamp.identity.children.value == Some(true),
    })
}

/// Why the one fuse may come to stand in the neutral: the plug goes in either way round, is not known, or is that of a
/// loose cord.
pub(super) fn fuse_may_turn(bench: &Bench<'_>) -> Option<&'static str> {
    let mains = bench.lamp.mains.as_ref()?;
    let alone = mains.fuse.as_ref()?.pole.value != Some(Pole::Both);
    let plug = mains.cord.as_ref().map(|cord| cord.plug.value);
    let why = match plug {
        None if bench.plug_turns() => "inlet",
        _ if bench.plug_turns() => "turns",
        Some(None) => "unknown",
        None if bench.inlet() => "loose",
        _ => return None,
    };
    alone.then_some(why)
}

fn why(class: Class, battery: bool) -> &'static str {
    match class {
        Class::I => {
            "one layer of insulation towards metal that is bonded to [earth], so that a fault blows the fuse; two layers or \
             reinforced insulation towards low voltage and all else that a hand reaches"
        }
        Class::II => "two layers of insulation between [mains] and every hand; no [earth], and none may be added",
        Class::III if battery => "extra-low voltage only, from its battery",
        Class::III => "extra-low voltage only, from a separate supply that stays outside the lamp",
    }
}

fn metal_rows(bench: &Bench<'_>) -> Vec<Value> {
    let metals = bench.lamp.mains.iter().flat_map(|m| &m.metal);
    let row = |metal: &Metal| {
        let how = protection(metal, bench.term("earth"));
        json!({ "name": metal.name, "touchable": said(metal.touchable.value), "how": how })
    };
    metals.map(row).collect()
}

fn said(yes: Option<bool>) -> &'static str {
    match yes {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not known",
    }
}

fn protection(metal: &Metal, earth: &str) -> String {
    let layers = match metal.insulation.value {
        Some(Insulation::None) => "no insulation counted",
        Some(Insulation::Basic) => "one layer of insulation",
        Some(Insulation::Double) => "two layers of insulation",
        Some(Insulation::Reinforced) => "reinforced insulation",
        None => "insulation not known",
    };
    let bond = match metal.bonded.value {
        Some(true) => format!("bonded to {earth}, "),
        _ => String::new(),
    };
    format!("{bond}{layers}")
}

/// What can hurt on this lamp: what it is, where, and what keeps it away.
fn hazards(bench: &Bench<'_>) -> Vec<Value> {
    let lamp = bench.lamp;
    let mut rows = Vec::new();
    let outside = !bench.mains() && !inside(lamp);
    let mut add = |what: &str, here: String, guard: String| {
        rows.push(json!({ "what": what, "here": bench.local(&here), "guard": bench.local(&guard) }))
    };
    if bench.mains() {
        let cord = bench.term("cord");
        let here = format!(
            "{} from the {cord} to the supply's terminals",
            bench.known("mains.voltage").unwrap_or("a voltage not known")
        );
        add("electric shock", here, "plug pulled and in sight while the body is open".into());
        let here = "capacitors in the supply keep their charge after the plug is out".into();
        let wait = bench.known("supply.discharge").unwrap_or("five minutes");
        add("stored charge", here, format!("wait {wait}, then measure"));
        let (here, guard) = match (bench.known("line.fuse-marking"), bench.known("line.plug-fuse")) {
            (Some(marking), _) => (format!("a fault behind the fuse, {marking}"), "fuse as marked, "),
            (None, Some(rating)) => (format!("a fault behind the fuse in the plug, {rating}"), "fuse as rated, "),
            (None, None) => ("a fault in the lamp, which has no fuse of its own".to_owned(), ""),
        };
        add("fire", here, format!("{guard}terminals tight, first hours watched"));
    }
    if let Some(battery) = &lamp.supply.battery {
        let fault = bench.known(&battery.fault.path).unwrap_or("a current not known");
        let here = format!("a short circuit draws up to {fault} from the battery");
        let guard = match &battery.fuse {
            Some(fuse) => format!(
                "fuse of {} at its plus; rings and bracelets off",
                bench.known(&fuse.rating.path).unwrap_or("a rating not known")
            ),
            None => "no fuse: do not join it".to_owned(),
        };
        add("fire and burns", here, guard);
        let guard = match battery.polarity.value {
            Some(Polarity::None) | None => "plus checked against plus with a meter each time".to_owned(),
            Some(kept) => Polarity::CHOICES.iter().find(|c| c.word == kept.word()).map_or("", |c| c.doc).to_owned(),
        };
        add("wrong polarity", "driver and controller die of a battery turned round".into(), guard);
        let here = format!("up to {} on the wires", bench.known(&battery.surge.path).unwrap_or("a voltage not known"));
        add(
            "surge",
            here,
            format!(
                "driver and controller stand {}",
                bench.known(&battery.withstand.path).unwrap_or("a voltage not known")
            ),
        );
    }
    if outside {
        let here = "driver and controller die of a supply turned round".into();
        add("wrong polarity", here, "plus checked against plus with a meter before they meet".into());
        let here = format!("a fault behind a supply of {}", bench.known("supply.power").unwrap_or("a power not known"));
        add("fire", here, "its own supply and no larger one, terminals tight, first hours watched".into());
    }
    // The same figures as in the table of hot parts: two limits for one sink would be one too many.
    let here = match (bench.known("heat.judged.sink"), bench.known("heat.judged.wall")) {
        (Some(sink), Some(wall)) => format!("sink up to {sink}, wall up to {wall}, with margin"),
        _ => "how hot sink and wall get is not known".to_owned(),
    };
    add("burns", here, "let it cool before touching inside".into());
    let here = "bare emitters are far brighter than they look through the diffuser".into();
    add("eyes", here, "diffuser on, or look away; never look in along the axis".into());
    if lamp.identity.mount.value == Some(Mount::Pendant) {
        let here = format!("{} over heads", bench.known("lamp.mass").unwrap_or("a mass not known"));
        add("falling", here, "fixing proved with four times its mass for an hour".into());
    }
    if let Some(diffuser) = &lamp.diffuser {
        let (here, guard) = cutting(diffuser.cut.method.value);
        add(
            "cutting",
            format!("{here}: {}", bench.known("diffuser.material").unwrap_or("a material not known")),
            guard.into(),
        );
    }
    rows
}

fn cutting(method: Option<Cutter>) -> (&'static str, &'static str) {
    match method {
        Some(Cutter::Laser) => ("laser", "material known by its paper, extraction on, never left alone"),
        Some(Cutter::Router) => ("milling cutter", "eyes and ears covered, sheet clamped, no gloves"),
        Some(Cutter::Glazier) => ("glazier", "gloves against cuts, every edge ground before it is handled"),
        _ => ("saw", "eyes covered, sheet clamped, dust caught"),
    }
}

/// In North America: what each of the two families of tables says, and which of them this lamp keeps.
fn tables(bench: &Bench<'_>) -> Vec<Value> {
    if bench.region() != Region::Us || !bench.mains() {
        return Vec::new();
    }
    // Figure of each family, the one that is kept, and where each stands.
    let rows = [
        (
            "along surfaces, reinforced",
            ["line.creepage-lamp", "line.creepage-general", "line.creepage"],
            ["IEC 60598-1", "IEC 60664-1"],
            "larger",
        ),
        (
            "through air, reinforced",
            ["line.clearance-lamp", "line.clearance-general", "line.clearance"],
            ["IEC 60598-1", "IEC 60664-1"],
            "larger",
        ),
        (
            "current of the cord",
            ["line.cord-rating-nec", "line.cord-rating-iec", "line.cord-rating"],
            ["NEC 400.5(A)", "BS 7671 table 4F3A"],
            "smaller",
        ),
        (
            "fuse, share of its rating",
            ["line.fuse-loading-ul", "line.fuse-loading-iec", "line.fuse-loading"],
            ["UL 248-14", "IEC 60127"],
            "smaller",
        ),
    ];
    rows.into_iter()
        .map(|(what, [first, second, least], [one, other], taken)| {
            let value = |path: &str| bench.solution.ledger.get(path).and_then(|entry| entry.value);
            // The one that is kept looks as it does in its own column.
            let kept = if value(least) == value(first) { first } else { second };
            let [a, b, kept] = [first, second, kept].map(|path| bench.local(&bench.shown(path)));
            let (one, other) = (format!("{a}, {one}"), format!("{b}, {other}"));
            json!({ "what": what, "one": one, "other": other, "kept": kept, "taken": taken })
        })
        .collect()
}

/// Hot parts, with the margin of their place, and the limit that a rule holds them against.
fn hot(bench: &Bench<'_>) -> Vec<Value> {
    let held = match bench.lamp.identity.mount.value {
        Some(Mount::Wall) => "wall of the room behind the lamp",
        Some(Mount::Ceiling) => "ceiling above the lamp",
        _ => "surface under the lamp",
    };
    let parts = [
        ("wall, outside", "heat.judged.wall"),
        ("front", "heat.judged.front"),
        (held, "heat.judged.mount"),
        ("air inside", "heat.judged.inside"),
        (if inside(bench.lamp) { "battery" } else { "supply, its case" }, "heat.judged.supply"),
        ("sink", "heat.judged.sink"),
    ];
    let known = parts.iter().filter(|(_, path)| bench.solution.ledger.get(path).is_some());
    let row = |(what, path): &(&str, &str)| {
        let held = most(bench, path.trim_start_matches("heat.judged."));
        json!({ "what": what, "path": path, "limit": held.map(|(_, shown)| shown) })
    };
    known.map(row).collect()
}
