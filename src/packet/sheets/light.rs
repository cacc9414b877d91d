//! Sheet `light`: can I have that colour, how even, how bright: budget, gamut, duties, maps, lux, flicker, blue light.

use serde_json::{Value, json};

use crate::lamp::given::Found;
use crate::packet::bench::{Bench, SheetKind};
use crate::packet::sheet::TextSize;
use crate::quantity::Quantity;
use crate::solve::light::targets::{REACHED, Target};
use crate::solve::light::together::{Mixed, Together};

/// The sheet.
pub(super) static SHEET: SheetKind = SheetKind {
    name: "light",
    title: "Light and colour",
    moment: "can I have that colour, and how even will it be",
    template_name: "sheets/light.md",
    template: include_str!("../../../templates/sheets/light.md"),
    size: TextSize::Body,
    landscape: false,
    applies: |bench| bench.solution.light.is_ok(),
    data,
    required: |bench| bench.solution.ledger.shown("light.out").map(str::to_owned).into_iter().collect(),
};

fn data(bench: &Bench<'_>) -> Value {
    let look = &bench.solution.look;
    let face = look.face.as_ref().ok();
    let lux = face.map_or_else(Vec::new, |f| {
        f.lux
            .iter()
            .map(|(distance, path, _)| json!({ "distance": distance.show(), "lux": bench.shown(path) }))
            .collect()
    });
    let blue = look.blue.as_ref().ok();
    json!({
        "fed": super::cover::fed(bench),
        "channels": bench.lamp.driver.channels.iter().map(|c| channel(bench, &c.name)).collect::<Vec<_>>(),
        "names": bench.lamp.driver.channels.iter().map(|c| c.name.clone()).collect::<Vec<_>>(),
        "targets": look.targets.iter().map(|t| target(bench, t)).collect::<Vec<_>>(),
        "gamut": look.channels.iter().any(|(_, c)| c.is_ok()),
        "even": even(bench),
        "even_missing": look.even.as_ref().err().map(|m| bench.lacks(m)),
        "face": face.is_some(),
        "brightest": face.is_some_and(|f| f.brightest.is_ok()),
        "lux": lux,
        "flicker": look.flicker.iter().map(|(name, found)| flicker(bench, name, found.is_ok())).collect::<Vec<_>>(),
        "together": look.together.iter().flat_map(|mix| together(bench, mix)).collect::<Vec<_>>(),
        "seen": seen(bench),
        "gated": bench.solution.channels.iter().all(|c| c.filter.is_none()),
        "camera": bench.lamp.aim.exposure.is_known(),
        "blue": blue.map(|b| json!({
            "of": match (b.bare, b.dice) {
                (true, 1) => format!("the bare die of {}", b.of),
                (true, dice) => format!("the {dice} bare dice of {}, what one field of view holds added up", b.of),
                (false, _) => format!("the sheet with {} on", b.of),
            },
            "violet": b.violet,
        })),
        "low": look.low.iter().filter(|(_, low)| low.is_ok()).map(|(name, _)| low(bench, name)).collect::<Vec<_>>(),
        "blue_missing": look.blue.as_ref().err().map(|m| bench.lacks(m)),
    })
}

/// Stroboscopic measure that the European Union allows mains lamps at full load.
const STROBOSCOPIC: f64 = 0.4;

/// Which channels flicker so that it may be seen in movement, as the begin of a sentence.
fn seen(bench: &Bench<'_>) -> Option<String> {
    let known = bench.solution.look.flicker.iter().filter_map(|(name, f)| Some((name, f.as_ref().ok()?)));
    let over =
        known.filter(|(_, f)| f.no_effect.is_some_and(|limit| f.modulation > limit) || f.stroboscopic > STROBOSCOPIC);
    let names: Vec<&str> = over.map(|(name, _)| name.as_str()).collect();
    match names.split_last() {
        None => None,
        Some((one, [])) => Some(format!("Dimmed, {one} flickers")),
        Some((last, more)) => Some(format!("Dimmed, {} and {last} flicker", more.join(", "))),
    }
}

fn channel(bench: &Bench<'_>, name: &str) -> Value {
    let figure = |what: &str| bench.shown(&format!("light.channel.{name}.{what}"));
    json!({
        "name": name,
        "flux": bench.shown(&format!("light.channel.{name}")),
        "x": figure("x"),
        "y": figure("y"),
        "hue": hue(bench, name),
        "cold": figure("cold"),
        "drift": figure("drift"),
    })
}

/// Temperature of a white, else the wavelength of a colour; a purple has none of its own, only its complement's.
fn hue(bench: &Bench<'_>, name: &str) -> String {
    let path = |what: &str| format!("light.channel.{name}.{what}");
    let known = |what: &str| bench.solution.ledger.shown(&path(what)).map(str::to_owned);
    let complement = || known("complementary").map(|shown| format!("{shown}, complementary: it is a purple"));
    known("temperature").or_else(complement).unwrap_or_else(|| bench.shown(&path("dominant")))
}

fn low(bench: &Bench<'_>, name: &str) -> Value {
    let figure = |what: &str| bench.shown(&format!("light.low.{name}.{what}"));
    json!({
        "name": name,
        "level": figure("level"),
        "share": figure("share"),
        "flux": figure("flux"),
        "step": figure("step"),
    })
}

fn target(bench: &Bench<'_>, target: &Target) -> Value {
    let figure = |what: &str| bench.shown(&format!("light.target.{}.{what}", target.name));
    let levels = bench.lamp.driver.channels.iter().map(|c| {
        let known = |what: &str| bench.known(&format!("light.target.{}.{what}.{}", target.name, c.name));
        match (known("level"), known("code")) {
            (Some(level), Some(code)) => format!("{level}, {code}"),
            (Some(level), None) => level.to_owned(),
            (None, _) => "–".to_owned(),
        }
    });
    let blend = target.mix.as_ref().ok();
    let point = |what: &str| bench.known(&format!("light.target.{}.{what}", target.name));
    let wanted = point("x").zip(point("y"));
    let wanted = wanted.map_or_else(|| "not worked out".to_owned(), |(x, y)| format!("{x}, {y}"));
    json!({
        "name": target.name,
        "wanted": wanted,
        "reached": blend.is_some_and(|b| b.reach.inside || b.reach.distance <= REACHED),
        "near_x": figure("reached-x"),
        "near_y": figure("reached-y"),
        "distance": figure("distance"),
        "flux": figure("flux"),
        "short": blend.is_some_and(|b| b.short.is_some()),
        "power": figure("power"),
        "rounding": figure("rounding"),
        "drift": figure("drift"),
        "cold": figure("cold"),
        "levels": levels.collect::<Vec<_>>(),
        "mixed": blend.is_some(),
        "missing": target.mix.as_ref().err().map(|m| bench.lacks(m)),
    })
}

fn even(bench: &Bench<'_>) -> Vec<Value> {
    let Ok(even) = &bench.solution.look.even else { return Vec::new() };
    let rows = even.channels.iter().chain([&even.all]).map(|lit| {
        let figure = |what: &str| bench.shown(&format!("light.even.{}.{what}", lit.name));
        json!({
            "name": if lit.name == "all" { "all on" } else { lit.name.as_str() },
            "least": figure("least-by-most"),
            "mean": figure("least-by-mean"),
            "hot": figure("hot-spot"),
            "dots": figure("dots"),
        })
    });
    rows.collect()
}

fn flicker(bench: &Bench<'_>, name: &str, known: bool) -> Value {
    let figure = |what: &str| bench.shown(&format!("light.flicker.{name}.{what}"));
    let limit = |what: &str| {
        let known = bench.solution.ledger.get(&format!("light.flicker.{name}.{what}"));
        known.map_or_else(|| "no limit".to_owned(), |entry| entry.shown.clone())
    };
    json!({
        "name": name,
        "known": known,
        "modulation": if known { figure("modulation") } else { "–".to_owned() },
        "low": limit("low-risk"),
        "none": limit("no-effect"),
        "index": figure("index"),
        "strobe": figure("stroboscopic"),
        "slow": figure("slow"),
        "bands": figure("bands"),
    })
}

/// A row at the levels of the target, and one at half of them.
fn together(bench: &Bench<'_>, mix: &Together) -> Vec<Value> {
    let row = |at: &str, label: &str, missing: Option<String>| {
        let path = |what: &str| format!("light.together.{}.{at}.{what}", mix.target);
        let limit = bench.solution.ledger.shown(&path("low-risk")).unwrap_or("no limit");
        json!({
            "name": mix.target,
            "at": label,
            "missing": missing,
            "modulation": bench.shown(&path("modulation")),
            "low": limit,
            "index": bench.shown(&path("index")),
            "strobe": bench.shown(&path("stroboscopic")),
        })
    };
    let missing = |found: &Found<Mixed>| found.as_ref().err().map(|m| bench.lacks(m));
    vec![row("asked", "its levels", missing(&mix.asked)), row("half", "half of them", missing(&mix.half))]
}
