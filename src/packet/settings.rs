//! `settings.json`: what the firmware must know of this lamp, as data. Pins, timer, tables, limits.
//! Every number is a given of the spec or an entry of the ledger; what nobody gave is `null`.

use serde_json::{Map, Value, json};

use super::bench::Bench;
use super::sheet::DataFile;
use crate::lamp::driver::Channel;
use crate::ledger::Entry;
use crate::schema::words::{Reference, Word};
use crate::solve::drive::{ChannelSolution, LEVELS};
use crate::solve::light::targets::Target;

/// Version of the file's shape; it rises when firmware that read the old shape could go wrong.
const VERSION: u32 = 2;

/// The file; none where no controller steers the lamp.
pub fn settings(bench: &Bench<'_>) -> Option<DataFile> {
    bench.lamp.controller.as_ref()?;
    let (driver, aim) = (&bench.lamp.driver, &bench.lamp.aim);
    let channels = driver.channels.iter().zip(&bench.solution.channels);
    let shutoff = driver.shutoff.as_ref().map(|s| json!({ "kind": word(s.kind.value), "pin": s.pin.value }));
    let value = json!({
        "format": "lampwright-settings",
        "version": VERSION,
        "lamp": bench.identity.lamp,
        "variant": bench.identity.variant,
        "revision": bench.identity.revision,
        "digest": bench.identity.digest,
        "reference": word(driver.reference.value),
        "pwm-hertz": driver.pwm.value.map(|f| f.nominal.value()),
        "bits": driver.bits.value,
        "cap-watts": driver.cap.value.map(|p| p.nominal.value()),
        "power-return": word(aim.power_return.value),
        "lowest-share": aim.lowest.value,
        "shutoff": shutoff,
        "dimming": dimming(bench),
        "targets": bench.solution.look.targets.iter().filter_map(|t| target(bench, t)).collect::<Vec<_>>(),
        "channels": channels.map(|(c, solved)| channel(bench, c, solved)).collect::<Vec<_>>(),
    });
    Some(DataFile { name: "settings".into(), value })
}

fn word<W: Word>(word: Option<W>) -> Value {
    word.map_or(Value::Null, |w| Value::from(w.word()))
}

fn number(bench: &Bench<'_>, path: &str) -> Value {
    let entry = bench.solution.ledger.get(path).map(Entry::for_machine);
    entry.and_then(|e| e.value).map_or(Value::Null, Value::from)
}

/// A white or colour with the code of every channel; nothing where it cannot be worked out or the timer has no codes.
fn target(bench: &Bench<'_>, target: &Target) -> Option<Value> {
    let codes = target.mix.as_ref().ok()?.codes.as_ref()?;
    let channels = bench.lamp.driver.channels.iter().zip(codes);
    let codes: Map<String, Value> = channels.map(|(channel, code)| (channel.name.clone(), json!(code))).collect();
    let at = |figure: &str| number(bench, &format!("light.target.{}.{figure}", target.name));
    Some(json!({
        "name": target.name,
        "x": at("reached-x"),
        "y": at("reached-y"),
        "lumens": at("flux"),
        "codes": codes,
    }))
}

/// Even steps of lightness: light as a share of full, and for each channel the level as a share of full and its counts.
fn dimming(bench: &Bench<'_>) -> Vec<Value> {
    let counts = |path: &str| bench.solution.ledger.shown(path)?.parse::<u64>().ok();
    let row = |l: u32| {
        let own = |channel: &Channel| {
            let at = |figure: &str| format!("dimming.{l}.{}.{figure}", channel.name);
            let counts = counts(&at("counts"))?;
            Some((channel.name.clone(), json!({ "share": number(bench, &at("level")), "counts": counts })))
        };
        let channels: Map<String, Value> = bench.lamp.driver.channels.iter().map(own).collect::<Option<_>>()?;
        let light = number(bench, &format!("dimming.{l}.share"));
        Some(json!({ "lightness": l, "light": light, "channels": channels }))
    };
    LEVELS.into_iter().filter_map(row).collect()
}

/// Pin, what it must do at start, current at full, and expected current for duties.
fn channel(bench: &Bench<'_>, channel: &Channel, solved: &ChannelSolution) -> Value {
    let at = |figure: &str| number(bench, &format!("drive.{}.{figure}", channel.name));
    let pin = bench.lamp.pin(channel);
    let expected: Vec<Value> = solved
        .notes
        .levels
        .iter()
        .map(|l| json!({ "duty": f64::from(*l) / 100.0, "amperes": at(&format!("at-{l}-current")) }))
        .collect();
    let mut row = Map::new();
    row.insert("name".into(), json!(channel.name));
    row.insert("pin".into(), json!(channel.pin.value));
    row.insert("strap".into(), word(pin.and_then(|p| p.strap.value)));
    row.insert("full-amperes".into(), at("current"));
    row.insert("lowest-share".into(), at("lowest"));
    row.insert("expected".into(), Value::from(expected));
    if bench.lamp.driver.reference.value != Some(Reference::Fixed) {
        // What two measurements replace: I = offset + slope·duty.
        row.insert(
            "calibration".into(),
            json!({
                "offset-amperes": at("calibration-offset"),
                "slope-amperes": at("calibration-slope"),
                "duty-for-full": at("calibration-duty"),
            }),
        );
    }
    Value::Object(row)
}
