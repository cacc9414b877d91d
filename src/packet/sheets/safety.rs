//! Sheet `safety`: hazards of this lamp, how each metal part is protected, distances, hot parts, the staged checklist.

use serde_json::{Value, json};

use super::checklist;
use crate::lamp::mains::Metal;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::schema::words::{Class, Cutter, Insulation, Mount, Word};
use crate::solve::label;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "safety",
    title: "Safety",
    moment: "read aloud before any mains work, and signed",
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
    danger.map(|r| r.finding.message.clone()).collect()
}

fn data(bench: &Bench<'_>) -> Value {
    let class = label::class(bench.lamp);
    let not_checked = bench.report.not_checked();
    let not_checked =
        not_checked.iter().filter(|(rule, ..)| rule.signal.word() == "DANGER" || rule.name.starts_with("mains/"));
    let not_checked: Vec<_> = not_checked
        .map(|(rule, subject, m)| json!({ "rule": rule.name, "signal": rule.signal.word(), "subject": subject, "title": rule.title, "missing": m.path }))
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
        "class_why": class.map(why),
        "metal": metal_rows(bench),
        "hot": hot(bench),
        "blocks": checklist::blocks(checklist::steps(bench)),
        "waivers": waivers,
        "not_checked": not_checked,
        "children": bench.lamp.identity.children.value == Some(true),
    })
}

fn why(class: Class) -> &'static str {
    match class {
        Class::I => {
            "one layer of insulation everywhere, and every metal part that a hand reaches is bonded to earth, so that a fault blows the fuse"
        }
        Class::II => "two layers of insulation between mains and every hand; no earth, and none may be added",
        Class::III => "no mains in the lamp: a separate supply gives extra-low voltage",
    }
}

fn metal_rows(bench: &Bench<'_>) -> Vec<Value> {
    let metals = bench.lamp.mains.iter().flat_map(|m| &m.metal);
    metals.map(|m| json!({ "name": m.name, "touchable": said(m.touchable.value), "how": protection(m) })).collect()
}

fn said(yes: Option<bool>) -> &'static str {
    match yes {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not known",
    }
}

fn protection(metal: &Metal) -> String {
    let layers = match metal.insulation.value {
        Some(Insulation::None) => "no insulation counted",
        Some(Insulation::Basic) => "one layer of insulation",
        Some(Insulation::Double) => "two layers of insulation",
        Some(Insulation::Reinforced) => "reinforced insulation",
        None => "insulation not known",
    };
    let bond = if metal.bonded.value == Some(true) { "bonded to earth, " } else { "" };
    format!("{bond}{layers}")
}

/// What can hurt on this lamp: what it is, where, and what keeps it away.
fn hazards(bench: &Bench<'_>) -> Vec<Value> {
    let lamp = bench.lamp;
    let mut rows = Vec::new();
    let mut add =
        |what: &str, here: String, guard: String| rows.push(json!({ "what": what, "here": here, "guard": guard }));
    if bench.solution.line.is_some() {
        let here = format!("{} from the cord to the supply's terminals", bench.shown("mains.voltage"));
        add("electric shock", here, "plug pulled and in sight while the body is open".into());
        let here = "capacitors in the supply keep their charge after the plug is out".into();
        add("stored charge", here, format!("wait {}, then measure", bench.shown("supply.discharge")));
        let here = format!("a fault behind the fuse, {}", bench.shown("line.fuse-marking"));
        add("fire", here, "fuse as marked, terminals tight, first hours watched".into());
    }
    let sink = bench.shown("heat.sink");
    add(
        "burns",
        format!("sink up to {sink}, wall up to {}", bench.shown("heat.wall")),
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
        _ => ("saw", "eyes covered, sheet clamped, dust caught"),
    }
}

/// Hot parts that the ladder knows.
fn hot(bench: &Bench<'_>) -> Vec<Value> {
    let parts = [
        ("wall, outside", "heat.wall"),
        ("air inside", "heat.inside"),
        ("sink", "heat.sink"),
        ("emitter board", "heat.board"),
    ];
    let known = parts.iter().filter(|(_, path)| bench.solution.ledger.get(path).is_some());
    known.map(|(what, path)| json!({ "what": what, "path": path })).collect()
}
