//! As-built files: a reading is within, outside or open, and never passed because nobody wrote it.

use std::path::{Path, PathBuf};

use serde_json::Value;

use super::{Ran, new_spec, place, run, write};

/// A folder with a spec and the as-built file of its unit 7.
fn begun(name: &str) -> PathBuf {
    let folder = place(name);
    write(&folder, "my.lamp", new_spec());
    let ran = run(&folder, &["unit", "my.lamp", "--start", "7", "-o", "built/7.built"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    folder
}

fn text(folder: &Path) -> String {
    std::fs::read_to_string(folder.join("built/7.built")).expect("the file")
}

fn json(folder: &Path, more: &[&str]) -> (Ran, Value) {
    let mut arguments = vec!["unit", "built/7.built", "--format", "json"];
    arguments.extend(more);
    let ran = run(folder, &arguments);
    let found = serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}{}", ran.out, ran.err));
    (ran, found)
}

fn verdict<'v>(found: &'v Value, key: &str) -> &'v Value {
    let rows = found["units"][0]["rows"].as_array().expect("rows");
    rows.iter().find(|r| r["key"] == key).unwrap_or_else(|| panic!("no row {key}: {found:#}"))
}

#[test]
fn a_new_file_is_all_open_and_in_canonical_form() {
    let folder = begun("unit-new");
    let (ran, found) = json(&folder, &[]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let rows = found["units"][0]["rows"].as_array().expect("rows");
    assert!(rows.len() > 8 && rows.iter().all(|r| r["verdict"] == "open"), "{found:#}");
    assert_eq!(found["units"][0]["current"], true);
    assert_eq!(json(&folder, &["--complete"]).0.code, 1, "what is open is not passed");
    assert_eq!(run(&folder, &["tidy", "--check", "built/7.built"]).code, 0);
    let again = run(&folder, &["unit", "my.lamp", "--start", "7", "-o", "built/7.built"]);
    assert_eq!(again.code, 3);
    assert!(again.err.contains("already there"), "{}", again.err);
}

/// The file with these properties written, each in place of its open line.
fn filled(text: &str, values: &[(&str, &str)]) -> String {
    let line = |line: &str| {
        let name = line.split_whitespace().next().unwrap_or_default();
        let meant = line.contains("unknown") || name == "number";
        match values.iter().find(|(n, _)| *n == name && meant) {
            Some((name, value)) => format!("    {name} {value}\n"),
            None => format!("{line}\n"),
        }
    };
    text.lines().map(line).collect()
}

#[test]
fn readings_are_held_against_bands_limits_the_room_and_the_meter() {
    let folder = begun("unit-readings");
    let start = text(&folder);
    let (_, open) = json(&folder, &[]);
    let expect = verdict(&open, "measured.supply")["expect"].as_str().expect("a band").to_owned();
    assert!(expect.contains(" to "), "{expect}");
    for (value, wanted) in [
        ("12 V", "within"),
        ("12 V ± 0.1 V", "within"),
        ("13 V", "outside"),
        ("12 V ± 5 %", "unsure"),
        ("unknown", "open"),
    ] {
        write(&folder, "built/7.built", filled(&start, &[("supply", value)]));
        let (ran, found) = json(&folder, &[]);
        assert_eq!(verdict(&found, "measured.supply")["verdict"], wanted, "{value} against {expect}");
        assert_eq!(ran.code, i32::from(matches!(wanted, "outside" | "unsure")), "{value}");
    }
    // A warm wall says nothing without its room; in a cool room it counts as if it were the warmest.
    for (room, wall, wanted) in
        [("unknown", "24 °C", "open"), ("20 °C", "24 °C", "within"), ("20 °C", "28 °C", "outside")]
    {
        write(&folder, "built/7.built", filled(&start, &[("room", room), ("wall", wall)]));
        let (_, found) = json(&folder, &[]);
        assert_eq!(verdict(&found, "measured.wall")["verdict"], wanted, "{wall} in {room}: {found:#}");
    }
}

#[test]
fn what_was_fitted_is_laid_over_and_judged_again() {
    let folder = begun("unit-fitted");
    let start = text(&folder);
    let plain = json(&folder, &[]).1;
    write(&folder, "built/7.built", format!("{start}\nfitted {{\n    supply {{ output 12.1 V ± 1 % }}\n}}\n"));
    let fitted = json(&folder, &[]).1;
    let said = run(&folder, &["unit", "built/7.built"]).out;
    assert!(said.contains("\nIn it\n") && said.contains("on unit 7"), "{said}");
    assert!(!said.contains("To buy") && !said.contains("every unit built"), "what is in it is not bought: {said}");
    assert_ne!(verdict(&plain, "measured.supply")["expect"], verdict(&fitted, "measured.supply")["expect"]);
    let told = run(&folder, &["unit", "built/7.built"]);
    assert!(told.out.contains("in place of the spec") && told.out.contains("supply.output"), "{}", told.out);
    // Papers of another state of the spec are stale.
    write(&folder, "built/7.built", &start);
    write(&folder, "my.lamp", new_spec().replace("0.7 kg", "0.8 kg"));
    let stale = run(&folder, &["unit", "built/7.built"]);
    assert_eq!(stale.code, 1, "{}", stale.out);
    assert!(stale.out.contains("STALE"), "{}", stale.out);
}

#[test]
fn measured_figures_take_the_place_of_given_ones_and_the_lamp_is_judged_once_more() {
    let folder = begun("unit-measured");
    let start = text(&folder);
    let (_, open) = json(&folder, &[]);
    assert!(open["units"][0]["measured"].is_null(), "what is open is laid over nothing: {open:#}");
    assert_eq!(open["units"][0]["laid_over"], serde_json::json!([]));
    let path = |found: &Value, key: &str| {
        let rows = found["units"][0]["laid_over"].as_array().expect("rows").clone();
        let row = rows.iter().find(|r| r["key"] == key).unwrap_or_else(|| panic!("no {key}: {found:#}")).clone();
        row["path"].as_str().map(str::to_owned)
    };
    let moved = |found: &Value| found["units"][0]["measured"]["moved"].as_array().expect("moved").clone();
    // A supply read low leaves less for the driver: a rule turns, and that alone fails the run.
    write(&folder, "built/7.built", filled(&start, &[("supply", "7 V")]));
    let (ran, found) = json(&folder, &["--fail-on", "danger"]);
    assert_eq!(path(&found, "measured.supply").as_deref(), Some("supply.output"));
    let headroom = moved(&found).into_iter().find(|m| m["rule"].as_str().is_some_and(|r| r.starts_with("supply/")));
    assert!(headroom.is_some(), "{found:#}");
    assert_eq!(ran.code, 1);
    // The voltage of a string alone is of no known current; with the current both move what hangs on them.
    write(&folder, "built/7.built", filled(&start, &[("voltage", "9.3 V")]));
    assert_eq!(path(&json(&folder, &[]).1, "measured.warm.voltage"), None);
    write(&folder, "built/7.built", filled(&start, &[("voltage", "9.3 V"), ("current", "250 mA ± 1 %")]));
    let (_, found) = json(&folder, &[]);
    assert!(path(&found, "measured.warm.voltage").is_some_and(|p| p.ends_with(".forward")), "{found:#}");
    assert_eq!(path(&found, "measured.warm.current").as_deref(), Some("driver.warm.current"));
    let junction = moved(&found).into_iter().find(|m| m["rule"] == "heat/junction").expect("less current, less heat");
    assert_ne!(junction["from"], junction["to"]);
    let told = run(&folder, &["unit", "built/7.built"]).out;
    assert!(told.contains("measured.warm.current takes the place of driver.warm.current"), "{told}");
    assert!(told.contains("moved: heat/junction, warm"), "{told}");
    // A reading of what nobody gives says that it moves nothing.
    write(&folder, "built/7.built", filled(&start, &[("idle", "40 mA")]));
    let (_, found) = json(&folder, &[]);
    assert_eq!((path(&found, "measured.idle"), &found["units"][0]["measured"]), (None, &Value::Null));
}

/// Every topology can be worked out with measured figures, here the low ends of its own bands.
#[test]
fn every_example_can_be_measured_and_says_where_another_current_flows() {
    for name in crate::support::examples() {
        let folder = crate::support::root();
        let spec = format!("examples/{name}.lamp");
        let begun = run(&folder, &["unit", &spec, "--start", "1"]);
        assert_eq!(begun.code, 0, "{name}: {}", begun.err);
        let mut channels = 0;
        let read = |line: &str| {
            let word = line.trim_start().split(' ').next().unwrap_or_default();
            let figure = line.rsplit_once(": ").map_or("", |f| f.1);
            match word {
                "voltage" | "current" if line.contains("unknown") && !figure.is_empty() => {
                    channels += 1;
                    let low = figure.split(" (").next().unwrap_or(figure).split(" to ").next().unwrap_or(figure);
                    format!("{word} {low}\n")
                }
                _ => format!("{line}\n"),
            }
        };
        let text: String = begun.out.lines().map(read).collect();
        assert!(channels >= 2, "{name}: {text}");
        let here = place(&format!("unit-every-{name}"));
        let inside = here.join("1.built");
        let text = text.replace(&format!("\"{spec}\""), &format!("\"{}\"", folder.join(&spec).display()));
        write(&here, "1.built", text);
        let ran = run(&folder, &["unit", &inside.display().to_string(), "--format", "json"]);
        let found: Value =
            serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{name}: {e}: {}{}", ran.out, ran.err));
        let unit = &found["units"][0];
        let laid = unit["laid_over"].as_array().expect("rows");
        assert!(laid.iter().any(|r| r["path"].as_str().is_some_and(|p| p.ends_with(".current"))), "{name}: {unit:#}");
        assert!(
            laid.iter().all(|r| r["path"].is_null()
                || r["note"] == ""
                || r["note"].as_str().is_some_and(|n| n.contains("drawer set"))),
            "{name} flows what was read: {laid:#?}"
        );
        assert!(unit["measured"]["moved"].as_array().is_some_and(|m| !m.is_empty()), "{name}: {unit:#}");
    }
}

#[test]
fn an_odd_reading_is_asked_about_and_still_read() {
    let folder = begun("unit-odd");
    write(&folder, "built/7.built", filled(&text(&folder), &[("sink", "200 °C")]));
    let (ran, found) = json(&folder, &[]);
    assert!(ran.err.contains("`sink 200 °C` is outside the usual"), "{}", ran.err);
    assert!(found["units"][0]["rows"].as_array().is_some_and(|rows| rows.len() > 8));
}

#[test]
fn a_slip_is_shown_where_it_stands() {
    let folder = begun("unit-slips");
    let start = text(&folder);
    for (wrong, code, said) in [
        (start.replace("stages {", "stagse {"), 2, "stages"),
        (format!("{start}\nfitted {{\n    suply {{ output 24 V }}\n}}\n"), 2, "built/7.built:"),
        (filled(&start, &[("supply", "12 A")]), 2, "built/7.built:"),
        (start.replace("channel ", "channel not-"), 3, "no channel `not-"),
        (start.replace("my.lamp", "mine.lamp"), 3, "mine.lamp"),
    ] {
        assert_ne!(wrong, start);
        write(&folder, "built/7.built", &wrong);
        let ran = run(&folder, &["unit", "built/7.built"]);
        assert_eq!(ran.code, code, "{said}: {}{}", ran.out, ran.err);
        assert!(ran.err.contains(said), "{said}: {}", ran.err);
    }
}

#[test]
fn one_lamp_of_a_batch_stands_out_and_a_bad_file_does_not_stop_the_rest() {
    let folder = begun("unit-batch");
    let start = text(&folder);
    for (number, idle) in [(1, "40 mA"), (2, "41 mA"), (3, "40.5 mA"), (4, "60 mA")] {
        let numbered = filled(&start, &[("number", &number.to_string()), ("idle", idle)]);
        write(&folder, &format!("built/{number}.built"), numbered);
    }
    let names = ["built/1.built", "built/none.built", "built/2.built", "built/3.built", "built/4.built"];
    let ran = run(&folder, &[&["unit"], &names[..]].concat());
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.out.contains("unit 4 stands out: measured.idle is"), "{}", ran.out);
    assert_eq!(ran.out.matches("stands out").count(), 1, "{}", ran.out);
    assert_eq!(ran.out.matches(": unit ").count(), 4, "{}", ran.out);
}
