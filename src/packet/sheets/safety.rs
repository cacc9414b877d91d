//! Sheet `safety`: hazards of this lamp, how each metal part is protected, distances, hot parts, the staged checklist.

use serde_json::{Value, json};

use super::checklist;
use crate::lamp::mains::Metal;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::heat::most;
use crate::packet::sheet::TextSize;
use crate::packet::terms::in_terms;
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
    let danger = bench.report.standing().into_iter().filter(|r| r.rule.signal.word() == "DANGER");
    danger.map(|r| bench.spoken(&r.finding.message)).collect()
}

fn data(bench: &Bench<'_>) -> Value {
    let class = label::class(bench.lamp);
    let not_checked = bench.report.not_checked();
    let not_checked =
        not_checked.iter().filter(|(rule, ..)| rule.signal.word() == "DANGER" || rule.name.starts_with("mains/"));
    let not_checked: Vec<_> = not_checked
        .map(|(rule, subject, m)| json!({ "rule": rule.name, "signal": rule.signal.word(), "subject": subject, "title": rule.title, "missing": bench.lacks(m) }))
        .collect();
    let used = bench.report.waivers.iter().filter(|(_, used)| *used);
    let waivers: Vec<_> = used
        .map(|(w, _)| json!({ "rule": w.rule.value, "reason": w.reason, "by": w.by, "until": w.until.as_ref().map(|d| d.value.to_string()) }))
        .collect();
    json!({
        "mains": bench.solution.line.is_some(),
        "dangers": standing(bench),
        "hazards": hazards(bench),
        "class": class.map(Word::word),
        "class_why": class.map(|c| in_terms(bench.region(), why(c, bench.battery()))),
        "metal": metal_rows(bench),
        "hot": hot(bench),
        "blocks": checklist::blocks(checklist::steps(bench)),
        "sources": checklist::sources(&checklist::steps(bench)),
        "battery": bench.lamp.supply.battery.is_some(),
        "fuse_may_turn": fuse_may_turn(bench),
        "tables": tables(bench),
        "waivers": waivers,
        "not_checked": not_checked,
        "children": bench.lamp.identity.children.value == Some(true),
    })
}

/// Whether the one fuse may come to stand in the neutral, because the plug goes in either way round.
pub(super) fn fuse_may_turn(bench: &Bench<'_>) -> bool {
    let fuse = bench.lamp.mains.as_ref().and_then(|m| m.fuse.as_ref());
    bench.plug_turns() && fuse.is_some_and(|fuse| fuse.pole.value != Some(Pole::Both))
}

fn why(class: Class, battery: bool) -> &'static str {
    match class {
        Class::I => {
            "one layer of insulation towards metal that is bonded to [earth], so that a fault blows the fuse; two layers or reinforced insulation towards low voltage and all else that a hand reaches"
        }
        Class::II => "two layers of insulation between [mains] and every hand; no [earth], and none may be added",
        Class::III if battery => "extra-low voltage only, from its battery",
        Class::III => "extra-low voltage only, from a separate supply that stays outside the lamp",
    }
}

fn metal_rows(bench: &Bench<'_>) -> Vec<Value> {
    let metals = bench.lamp.mains.iter().flat_map(|m| &m.metal);
    metals.map(|m| json!({ "name": m.name, "touchable": said(m.touchable.value), "how": protection(m, bench.term("earth")) })).collect()
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
    let outside = bench.solution.line.is_none() && !inside(lamp);
    let mut add = |what: &str, here: String, guard: String| {
        rows.push(json!({ "what": what, "here": bench.local(&here), "guard": bench.local(&guard) }))
    };
    if bench.solution.line.is_some() {
        let cord = bench.term("cord");
        let here = format!("{} from the {cord} to the supply's terminals", bench.shown("mains.voltage"));
        add("electric shock", here, "plug pulled and in sight while the body is open".into());
        let here = "capacitors in the supply keep their charge after the plug is out".into();
        add("stored charge", here, format!("wait {}, then measure", bench.shown("supply.discharge")));
        let here = format!("a fault behind the fuse, {}", bench.shown("line.fuse-marking"));
        add("fire", here, "fuse as marked, terminals tight, first hours watched".into());
    }
    if let Some(battery) = &lamp.supply.battery {
        let fault = bench.shown(&battery.fault.path);
        let here = format!("a short circuit draws up to {fault} from the battery");
        let guard = match &battery.fuse {
            Some(fuse) => format!("fuse of {} at its plus; rings and bracelets off", bench.shown(&fuse.rating.path)),
            None => "no fuse: do not join it".to_owned(),
        };
        add("fire and burns", here, guard);
        let guard = match battery.polarity.value {
            Some(Polarity::None) | None => "plus checked against plus with a meter each time".to_owned(),
            Some(kept) => Polarity::CHOICES.iter().find(|c| c.word == kept.word()).map_or("", |c| c.doc).to_owned(),
        };
        add("wrong polarity", "driver and controller die of a battery turned round".into(), guard);
        let here = format!("up to {} on the wires", bench.shown(&battery.surge.path));
        add("surge", here, format!("driver and controller stand {}", bench.shown(&battery.withstand.path)));
    }
    if outside {
        let here = "driver and controller die of a supply turned round".into();
        add("wrong polarity", here, "plus checked against plus with a meter before they meet".into());
        let here = format!("a fault behind a supply of {}", bench.shown("supply.power"));
        add("fire", here, "its own supply and no larger one, terminals tight, first hours watched".into());
    }
    // The same figures as in the table of hot parts: two limits for one sink would be one too many.
    let sink = bench.shown("heat.judged.sink");
    add(
        "burns",
        format!("sink up to {sink}, wall up to {}, with margin", bench.shown("heat.judged.wall")),
        "let it cool before touching inside".into(),
    );
    let here = "bare emitters are far brighter than they look through the diffuser".into();
    add("eyes", here, "diffuser on, or look away; never look in along the axis".into());
    if lamp.identity.mount.value == Some(Mount::Pendant) {
        let here = format!("{} over heads", bench.shown("lamp.mass"));
        add("falling", here, "fixing proved with four times its mass for an hour".into());
    }
    if let Some(diffuser) = &lamp.diffuser {
        let (here, guard) = cutting(diffuser.cut.method.value);
        add("cutting", format!("{here}: {}", bench.shown("diffuser.material")), guard.into());
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
    if bench.region() != Region::Us || bench.solution.line.is_none() {
        return Vec::new();
    }
    let rows = [
        ("along surfaces, reinforced", ["line.creepage-lamp", "line.creepage-general", "line.creepage"], "larger"),
        ("through air, reinforced", ["line.clearance-lamp", "line.clearance-general", "line.clearance"], "larger"),
        ("current of the cord", ["line.cord-rating-nec", "line.cord-rating-iec", "line.cord-rating"], "smaller"),
        (
            "fuse, share of its rating",
            ["line.fuse-loading-ul", "line.fuse-loading-iec", "line.fuse-loading"],
            "smaller",
        ),
    ];
    let names = [
        ("IEC 60598-1", "IEC 60664-1"),
        ("IEC 60598-1", "IEC 60664-1"),
        ("NEC 400.5(A)", "BS 7671 table 4F3A"),
        ("UL 248-14", "IEC 60127"),
    ];
    rows.iter()
        .zip(names)
        .map(|((what, paths, taken), (one, other))| {
            let value = |path: &str| bench.solution.ledger.get(path).and_then(|entry| entry.value);
            let [first, second, least] = paths;
            // The one that is kept looks as it does in its own column.
            let kept = if value(least) == value(first) { first } else { second };
            let [a, b, kept] = [first, second, kept].map(|path| bench.local(&bench.shown(path)));
            json!({ "what": what, "one": format!("{a}, {one}"), "other": format!("{b}, {other}"), "kept": kept, "taken": taken })
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
