//! Sheet `cut`: everything the one who cuts the diffuser needs, with the outline in true size.

use serde_json::{Value, json};

use crate::figures::percent;
use crate::lamp::cutting::Tab;
use crate::lamp::diffuser::{Diffuser, Notch};
use crate::lamp::given::Found;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::openings;
use crate::packet::sheet::TextSize;
use crate::packet::tool_path;
use crate::quantity::{Metres, MetresPerSecond, Quantity};
use crate::schema::words::{Cutter, OutlineKind, Word};
use crate::solve::sheet::{Feature, FeatureKind, Net, SheetSolution, hazard};

use super::cut_notes;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "cut",
    title: "Cut the diffuser",
    moment: "stuck on the sheet, or sent to the machine with its drawing",
    template_name: "sheets/cut.md",
    template: include_str!("../../../templates/sheets/cut.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.lamp.diffuser.is_some(),
    data,
    required,
};

fn solved<'a>(bench: &Bench<'a>) -> Option<&'a SheetSolution> {
    bench.solution.sheet.as_ref()?.as_ref().ok()
}

/// A disc or ring that could be made: measured by its diameter.
fn round(bench: &Bench<'_>) -> bool {
    let outline = bench.lamp.diffuser.as_ref().and_then(|d| d.outline.value);
    let made = solved(bench).is_some_and(|sheet| sheet.net.is_ok());
    made && matches!(outline, Some(OutlineKind::Disc | OutlineKind::Ring))
}

fn required(bench: &Bench<'_>) -> Vec<String> {
    let paths = ["cut.diameter", "cut.width", "cut.height"];
    let sizes = if round(bench) { &paths[..1] } else { &paths[1..] };
    let sizes = sizes.iter().map(|path| bench.solution.ledger.shown(path));
    let kerf = bench.lamp.diffuser.as_ref().and_then(|d| bench.solution.ledger.shown(&d.cut.kerf.path));
    sizes.chain([kerf]).flatten().map(str::to_owned).collect()
}

fn data(bench: &Bench<'_>) -> Value {
    let Some(given) = &bench.lamp.diffuser else { return json!({}) };
    let missing = bench.solution.sheet.as_ref().and_then(|sheet| sheet.as_ref().err()).map(|m| m.path.clone());
    let net = solved(bench).and_then(|sheet| sheet.net.as_ref().ok());
    let hazard =
        given.material.value.zip(given.cut.method.value).and_then(|(material, method)| hazard(material, method));
    // What is sent to a machine or a glazier, or stuck on the sheet.
    let unknown = bench.cut_unknown().map(|missing| missing.path);
    let sent = hazard.is_none() && unknown.is_none() && solved(bench).is_some_and(|sheet| sheet.path().is_some());
    let word = |word: Option<&'static str>| word.unwrap_or("not known");
    json!({
        "missing": missing,
        "drawn": net.is_some(),
        "unknown": unknown,
        "sound": solved(bench).is_some_and(|sheet| sheet.path().is_some()),
        "round": round(bench),
        "material": word(given.material.value.map(Word::word)),
        "outline": word(given.outline.value.map(Word::word)),
        "transmission": given.transmission.get().ok().map(percent),
        "method": word(given.cut.method.value.map(Word::word)),
        "features": net.map_or_else(Vec::new, |net| features(bench, given, net)),
        "notches": notches(given),
        "seat": solved(bench).is_some_and(|sheet| matches!(sheet.seat, Some(Ok(_)))),
        "seat_missing": seat_missing(bench),
        "across": if around(given) { "diameter" } else { "width" },
        "rows": solved(bench).and_then(|sheet| sheet.nest.as_ref()?.as_ref().ok()).map(|nest| nest.layout.rows.words()),
        "nested": solved(bench).is_some_and(|sheet| matches!(&sheet.nest, Some(Ok(n)) if !n.layout.places.is_empty())),
        "standing": standing(bench),
        "routed": tool_path::routed(bench).is_some(),
        "engraved": tool_path::routed(bench).is_some_and(|(_, made)| made.engraving.is_some()),
        "router_faults": router_faults(bench),
        "corners": corners(given),
        "notes": cut_notes::notes(given, net, (sent, tool_path::routed(bench).is_some())),
        "feed_word": given.cut.feed.nominal().ok().map(feed_word),
        "plunge_word": given.cut.router.as_ref().and_then(|r| r.plunge.nominal().ok()).map(feed_word),
        "bar": super::drill::bar(bench),
        "sent": sent,
        "path_sent": given.cut.method.value != Some(Cutter::Glazier),
        "forbidden": hazard.map(|hazard| hazard.said),
        "tabs": tabs(given),
        "sag_bound": sag_bound(bench, given),
        "moisture": given.seat.as_ref().and_then(|seat| seat.moisture.get().ok()).map(percent),
        "wood_small": wood_small(bench),
    })
}

/// A feed as the program of the router has it.
fn feed_word(feed: MetresPerSecond) -> String {
    format!("F{}", tool_path::per_minute(feed))
}

/// Whether the sag printed is more than the theory behind it holds for.
fn sag_bound(bench: &Bench<'_>, given: &Diffuser) -> bool {
    let sag = solved(bench).and_then(|sheet| sheet.sag.as_ref()?.as_ref().ok());
    sag.zip(given.thickness.nominal().ok()).is_some_and(|(sag, thickness)| sag.middle > thickness / 2.0)
}

/// By how much a dried recess is too small, where it is.
fn wood_small(bench: &Bench<'_>) -> Option<String> {
    let seat = solved(bench)?.seat.as_ref()?.as_ref().ok()?;
    let least = seat.wood?.least;
    (least < Metres::ZERO).then(|| least.abs().show())
}

/// Whether the recess is round: one that is not has a height.
fn around(given: &Diffuser) -> bool {
    given.seat.as_ref().is_some_and(|seat| !seat.height.is_known() && !seat.height.unknown)
}

fn seat_missing(bench: &Bench<'_>) -> Option<String> {
    match solved(bench)?.seat.as_ref()? {
        Ok(_) => None,
        Err(missing) => Some(missing.path.clone()),
    }
}

/// Whether the round of the cutter leaves waste in an inside corner.
fn standing(bench: &Bench<'_>) -> bool {
    let path = solved(bench).and_then(|sheet| sheet.path());
    path.is_some_and(|(_, tool)| tool.left_standing.value() > 0.0)
}

/// What the router cannot do, each in a line.
fn router_faults(bench: &Bench<'_>) -> Vec<String> {
    let made = solved(bench).and_then(|sheet| sheet.routed.as_ref());
    match made {
        Some(Ok(Err(faults))) => faults.iter().map(|fault| format!("{}: {}", fault.said, fault.fix)).collect(),
        Some(Err(missing)) => vec![format!("`{}` is not given", missing.path)],
        _ => Vec::new(),
    }
}

/// Corners of every path, for those who mark out by hand.
fn corners(given: &Diffuser) -> Vec<Value> {
    let outline = (given.outline.value == Some(OutlineKind::Path)).then_some(("outline", &given.points));
    let cutouts = given.cutouts.iter().map(|c| (c.name.as_str(), &c.points));
    let rows = outline.into_iter().chain(cutouts).flat_map(|(name, points)| {
        let known = points.value.as_deref().unwrap_or_default();
        known.iter().enumerate().map(move |(k, lengths)| {
            let show = |at: usize| lengths.get(at).map(|l| l.show());
            let by = lengths.get(2).map(|radius| match radius.value() < 0.0 {
                true => format!("an arc to the right, radius {}", radius.abs().show()),
                false => format!("an arc to the left, radius {}", radius.show()),
            });
            json!({
                "name": name,
                "number": k + 1,
                "x": show(0),
                "y": show(1),
                "by": by.unwrap_or_else(|| "a line".to_owned()),
            })
        })
    });
    rows.collect()
}

fn features(bench: &Bench<'_>, given: &Diffuser, net: &Net) -> Vec<Value> {
    let round = |kind: FeatureKind| matches!(kind, FeatureKind::Round | FeatureKind::Opening);
    let row = |feature: &Feature| {
        let path = |what: &str| format!("cut.{}.{what}", feature.name);
        json!({
            "name": feature.name,
            "what": openings::told(given, feature),
            "path": bench.shown(&path("path")),
            "edge": bench.shown(&path("edge")),
            "edge_wanted": bench.shown(&path("edge-wanted")),
            "web": bench.shown(&path("web")),
            "size_path": path("size"),
            "size_what": if round(feature.kind) { "diameter" } else { "narrowest width" },
        })
    };
    net.features.iter().map(row).collect()
}

/// A figure as printed; a dash where it is not known.
fn show<Q: Quantity>(figure: Found<Q>) -> String {
    figure.map_or_else(|_| "–".to_owned(), |figure| figure.show())
}

fn tabs(given: &Diffuser) -> Vec<Value> {
    let row = |tab: &Tab| {
        json!({
            "name": tab.name,
            "towards": show(tab.towards.nominal()),
            "width": show(tab.width.nominal()),
            "reach": show(tab.reach.nominal()),
            "corner": show(tab.corner.nominal()),
            "root": show(tab.root.nominal()),
        })
    };
    given.tabs.iter().map(row).collect()
}

fn notches(given: &Diffuser) -> Vec<Value> {
    let row = |notch: &Notch| {
        json!({
            "name": notch.name,
            "towards": show(notch.towards.nominal()),
            "width": show(notch.width.nominal()),
            "depth": show(notch.depth.nominal()),
            "corner": show(notch.corner.nominal()),
        })
    };
    given.notches.iter().map(row).collect()
}
