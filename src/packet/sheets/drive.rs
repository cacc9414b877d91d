//! Sheet `drive`: what flows in each channel, what meters show, where the losses go, how far the current may be off.

use serde_json::{Value, json};

use crate::packet::bench::{Bench, SheetKind};
use crate::packet::drawings::margins::{bound, left};
use crate::packet::drawings::rungs::title;
use crate::packet::drawings::wave;
use crate::packet::sheet::TextSize;
use crate::schema::words::{Reference, Topology, Word};
use crate::solve::drive::ChannelSolution;

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "drive",
    title: "Drive: what to expect",
    moment: "measuring the drive: waves, meter volts, losses",
    template_name: "sheets/drive.md",
    template: include_str!("../../../templates/sheets/drive.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.solution.channels.iter().any(|c| c.set.is_ok()),
    data,
    required: |bench| {
        let live = bench.solution.channels.iter().filter(|c| c.set.is_ok());
        live.map(|c| format!("Channel {}", c.name)).collect()
    },
};

/// Levels of the table; the card for the first power asks for others too.
const SHOWN: [u32; 4] = [1, 10, 50, 100];

fn data(bench: &Bench<'_>) -> Value {
    let driver = &bench.lamp.driver;
    let live = bench.solution.channels.iter().filter(|c| c.set.is_ok());
    let topology = driver.topology.value;
    json!({
        "channels": live.map(|c| channel(bench, c)).collect::<Vec<_>>(),
        "topology": topology.map_or("not known", Word::word).replace('-', " "),
        "over": match topology {
            Some(Topology::BallastResistor) => "ballast resistor",
            Some(Topology::BuckModule) => "set resistor",
            _ => "sense resistor",
        },
        "switched": topology == Some(Topology::HystereticSink),
        "gated": driver.reference.value == Some(Reference::PwmGate),
        "fixed": driver.reference.value == Some(Reference::Fixed),
        "states": states(bench),
        "ratings": ratings(bench),
        "output": bench.lamp.supply.output.path,
        "has_pulses": wave::pulses(bench).is_some(),
    })
}

/// What each rule of the drive holds against a limit, by the channel that is nearest to it.
fn ratings(bench: &Bench<'_>) -> Vec<Value> {
    let mut seen: Vec<&str> = Vec::new();
    let mut rows = Vec::new();
    for (rule, _, m) in bench.report.margins() {
        let own = rule.name.starts_with("drive/") || rule.name.starts_with("supply/");
        if own && !seen.contains(&rule.name) {
            seen.push(rule.name);
            rows.push(json!({
                "what": m.what, "value": m.value, "limit": bound(m), "rule": rule.name, "margin": left(m),
            }));
        }
    }
    rows
}

/// Paths of each state's efficiency; none where the heat is not known.
fn states(bench: &Bench<'_>) -> Vec<Value> {
    let Ok(ladder) = &bench.solution.heat else { return Vec::new() };
    let plain = |name: &str| match name {
        "all" => "feed.all-capped".to_owned(),
        "uncapped" => "feed.all-uncapped".to_owned(),
        channel => format!("feed.alone.{channel}"),
    };
    let one = |name: &str| {
        let (warm, cold) = (format!("heat.state.{name}"), format!("heat.cold.{name}"));
        json!({ "title": title(name), "plain": plain(name), "warm": warm, "cold": cold })
    };
    ladder.states.iter().map(|state| one(&state.name)).collect()
}

fn channel(bench: &Bench<'_>, solved: &ChannelSolution) -> Value {
    let at = |figure: &str| format!("drive.{}.{figure}", solved.name);
    let titled = |paths: &[String]| -> Vec<Value> {
        let title = |p: &String| bench.solution.ledger.get(p).map_or_else(String::new, |e| e.title.clone());
        paths.iter().map(|p| json!({ "title": title(p), "path": p })).collect()
    };
    let given = bench.lamp.driver.channels.iter().find(|c| c.name == solved.name);
    // Where each string has a ballast of its own, a meter on it sees one string, and one in the wire all of them.
    let parallel = given.and_then(|c| c.strings.value).is_some_and(|strings| strings > 1);
    let in_state = |state: &str| format!("heat.state.{state}.efficiency.{}", solved.name);
    let notes = &solved.notes;
    let levels = notes.levels.iter().filter(|l| SHOWN.contains(l)).map(|l| {
        json!({
            "level": l,
            "high": at(&format!("at-{l}-high")),
            "reference": at(&format!("at-{l}-reference")),
            "sense": at(&format!("at-{l}-sense")),
            "current": at(&format!("at-{l}-current")),
        })
    });
    let corner = |name: &str| {
        let figure = |f: &str| at(&format!("{name}-{f}"));
        let words = name.replace('-', ", ");
        json!({
            "words": format!("{words} supply"), "peak": figure("peak"), "valley": figure("valley"),
            "mean": figure("mean"), "ripple": figure("ripple"), "frequency": figure("frequency"),
            "start": figure("start"),
        })
    };
    json!({
        "name": solved.name,
        "parallel": parallel,
        "ballasts": parallel && given.is_some_and(|c| c.balanced.value == Some(true)),
        "wave": wave::current(bench, solved).map(|d| d.name),
        "levels": levels.collect::<Vec<_>>(),
        "corners": notes.corners.iter().map(|c| corner(c)).collect::<Vec<_>>(),
        "losses": titled(&notes.losses),
        "contributions": titled(&notes.contributions),
        "current": at("current"), "peak": at("peak"), "valley": at("valley"), "ripple": at("ripple"),
        "frequency": at("frequency"), "start": at("start"), "start_filtered": at("start-filtered"),
        "loss": at("losses"), "efficiency": at("efficiency"), "alone": format!("feed.alone.{}", solved.name),
        "root": at("root-square"), "likely": at("likely"), "floor": at("floor"), "lowest": at("lowest"),
        "warm_string": at("warm-string"), "warm_current": at("warm-current"), "warm_power": at("warm-power"),
        "warm_input": at("warm-input"), "warm_efficiency": at("warm-efficiency"),
        "warm_alone": in_state(&solved.name), "warm_capped": in_state("all"),
        "unequal": at("unequal"), "survivor": at("survivor"), "hot": at("hot-current"), "gain": at("loop-gain"),
        "slope": at("calibration-slope"), "offset": at("calibration-offset"), "duty": at("calibration-duty"),
    })
}
