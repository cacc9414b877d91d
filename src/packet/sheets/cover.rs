//! Sheet `cover`: what the lamp is, what the rules say of it, and which papers lie behind.

use serde_json::{Value, json};

use crate::lamp::given::Found;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::plain::plain;
use crate::packet::sheet::TextSize;
use crate::packet::waived;
use crate::quantity::Quantity;
use crate::rules::report::Raised;
use crate::schema::words::{Class, Word};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "cover",
    title: "Cover",
    moment: "on top of the binder: what it is, how it stands, what lies behind",
    template_name: "sheets/cover.md",
    template: include_str!("../../../templates/sheets/cover.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |_| true,
    data,
    required,
};

fn required(bench: &Bench<'_>) -> Vec<String> {
    let standing = bench.report.standing();
    let mut rows: Vec<String> = standing.iter().map(|raised| bench.spoken(&raised.finding.message)).collect();
    rows.push(bench.report.counts().line());
    rows.extend(bench.report.waivers.iter().map(|(waiver, _)| waiver.rule.value.clone()));
    rows
}

fn data(bench: &Bench<'_>) -> Value {
    let report = bench.report;
    let counts = report.counts();
    let shell = crate::packet::drawings::has_views(bench);
    let standing = report.standing();
    let (bound, left_out): (Vec<_>, Vec<_>) = super::ALL.iter().partition(|kind| (kind.applies)(bench));
    let line = |kind: &&&SheetKind| json!({ "title": kind.title, "moment": kind.moment });
    json!({
        "lamp": bench.lamp.name,
        "revision": bench.identity.revision,
        "date": bench.identity.date,
        "variant": bench.identity.variant,
        "digest": bench.identity.digest,
        "draft": bench.identity.draft,
        "danger": report.dangerous(),
        "views": shell,
        "key": key(bench),
        "counts": counts.line(),
        "passed": counts.passed,
        "not_checked": report.not_checked().len(),
        "findings": standing.iter().map(|raised| finding(bench, raised)).collect::<Vec<_>>(),
        "waivers": waived::rows(bench),
        "margins": !report.margins().is_empty(),
        "sheets": bound.iter().map(line).collect::<Vec<_>>(),
        "left_out": left_out.iter().map(|kind| kind.title).collect::<Vec<_>>().join(", "),
    })
}

fn finding(bench: &Bench<'_>, raised: &Raised<'_>) -> Value {
    let place = raised.finding.places.first().map_or_else(String::new, |(span, _)| bench.file(*span));
    json!({
        "signal": raised.rule.signal.word(),
        "rule": raised.rule.name,
        "message": raised.finding.message,
        "fix": raised.finding.fix,
        "place": place,
    })
}

/// The figures people ask for first, each as it stands in the spec or on the working sheet.
fn key(bench: &Bench<'_>) -> Vec<Value> {
    let lamp = bench.lamp;
    let mut rows: Vec<(&str, String)> = Vec::new();
    if let Some(model) = &lamp.identity.model.value {
        rows.push(("model", model.clone()));
    }
    match &lamp.mains {
        Some(mains) => {
            let (voltage, frequency) = (bench.shown(&mains.voltage.path), bench.shown(&mains.frequency.path));
            rows.push((bench.term("mains"), format!("{voltage}, {frequency}")));
            let class = mains.class.value.map_or_else(|| "not known".into(), class);
            rows.push(("class", bench.spoken(&class)));
        }
        None if bench.battery() => {
            rows.push(("fed by", "its battery; class III".to_owned()));
            rows.push(("burns at full, battery full", bench.shown("battery.lasts")));
        }
        None => rows.push(("fed by", "a separate supply of extra-low voltage; class III".to_owned())),
    }
    let output = if bench.battery() { "battery's voltage" } else { "supply output" };
    rows.push((output, bench.shown(&lamp.supply.output.path)));
    let power = format!("power {}, all at full", fed(bench));
    rows.push((power.as_str(), found(bench, &bench.solution.feed.mains)));
    let light = bench.solution.light.as_ref().map(|budget| budget.out).map_err(Clone::clone);
    rows.push(("light out", found(bench, &light)));
    let channels: Vec<&str> = lamp.driver.channels.iter().map(|channel| channel.name.as_str()).collect();
    rows.push(("channels", channels.join(", ")));
    rows.push(("size", bench.local(&bench.shown(&lamp.enclosure.size.path))));
    rows.push(("mass", bench.shown(&lamp.identity.mass.path)));
    rows.push(("room", bench.shown(&lamp.identity.room.path)));
    let words = [lamp.identity.mount.value.map(Word::word), lamp.identity.place.value.map(Word::word)];
    rows.push(("held and used", words.into_iter().flatten().map(plain).collect::<Vec<_>>().join(", ")));
    rows.push(("lamps in this batch", bench.shown(&lamp.identity.quantity.path)));
    rows.into_iter().map(|(what, value)| json!({ "what": what, "value": value })).collect()
}

/// Where its power comes from, in the words of its region and class.
pub(super) fn fed(bench: &Bench<'_>) -> &'static str {
    match (bench.mains(), bench.battery()) {
        (true, _) => bench.term("from mains"),
        (false, true) => "from the battery",
        (false, false) => "into its separate supply",
    }
}

fn found<Q: Quantity>(bench: &Bench<'_>, figure: &Found<Q>) -> String {
    match figure {
        Ok(value) => value.show(),
        Err(missing) => format!("not known: {}", bench.lacks(missing)),
    }
}

fn class(class: Class) -> String {
    let choice = Class::CHOICES.iter().find(|choice| choice.word == class.word());
    format!("{}: {}", class.word(), choice.map_or("", |choice| choice.doc))
}
