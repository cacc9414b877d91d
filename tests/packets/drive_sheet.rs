//! The drive sheet, its figures against balances that hold whatever the drive, and the settings for the firmware.

use lampwright::Compiled;
use lampwright::figures::for_machine;
use lampwright::ledger::Entry;
use serde_json::Value;

use crate::support::{compile, example, examples, figure, files, packet, sheet, text_of};

fn entry<'a>(compiled: &'a Compiled, path: &str) -> &'a Entry {
    compiled.solution.ledger.get(path).unwrap_or_else(|| panic!("no figure {path}"))
}

#[test]
fn losses_and_string_add_up_to_what_is_taken() {
    for name in examples() {
        let compiled = example(&name, None);
        for channel in &compiled.solution.channels {
            let at = |what: &str| figure(&compiled, &format!("drive.{}.{what}", channel.name));
            let (given, taken) = (at("power") + at("losses"), at("input"));
            // The input of a switching drive leaves out the edges and the gain resistors, which are small.
            let room = if name == "alder-table" { 0.03 } else { 1e-9 };
            assert!((given / taken - 1.0).abs() < room, "{name} {}: {given} and {taken}", channel.name);
            assert!((at("efficiency") - at("power") / given).abs() < 1e-12);
        }
    }
}

/// What the drive works out at its junctions by whole cycles, and what the network of heat took, on every example.
#[test]
fn network_and_circuits_agree() {
    for name in examples() {
        let compiled = example(&name, None);
        let channels = &compiled.solution.channels;
        let sum = |what: &str| -> f64 {
            channels.iter().map(|c| figure(&compiled, &format!("drive.{}.{what}", c.name))).sum()
        };
        let strings = figure(&compiled, "heat.state.uncapped.strings");
        assert!((strings / sum("warm-power") - 1.0).abs() < 1e-4, "{name}: {strings} W and {} W", sum("warm-power"));
        let taken = figure(&compiled, "heat.state.uncapped.taken");
        let warm = figure(&compiled, "feed.warm");
        assert!((taken / warm - 1.0).abs() < 1e-4, "{name}: {taken} W and {warm} W");
        assert!((1.0..=4.0).contains(&figure(&compiled, "heat.turns")), "{name}");
        assert!(entry(&compiled, "heat.electrics").shown.starts_with("less than"), "{name}");
    }
}

#[test]
fn likely_limits_lie_within_the_worst_case() {
    for name in examples() {
        let compiled = example(&name, None);
        for channel in &compiled.solution.channels {
            let at = |figure: &str| entry(&compiled, &format!("drive.{}.{figure}", channel.name)).clone();
            let (worst, likely) = (at("current").band.expect("a band"), at("likely").band.expect("a band"));
            assert!(worst.0 <= likely.0 && likely.0 < likely.1 && likely.1 <= worst.1, "{name}: {worst:?} {likely:?}");
            let root = at("root-square").value.expect("a number");
            assert!(root > 0.0 && root < worst.1 - worst.0, "{name}: {root}");
            let adds: Vec<f64> = channel.notes.contributions.iter().map(|p| figure(&compiled, p)).collect();
            assert!(adds.windows(2).all(|w| w[0] >= w[1]), "largest first: {adds:?}");
            let squares: f64 = adds.iter().map(|a| a * a).sum();
            assert!((squares.sqrt() / root - 1.0).abs() < 1e-12, "{name}");
        }
    }
}

#[test]
fn meters_agree_with_ohm() {
    // Example, channel, resistor, strings that each have one.
    for (name, channel, resistor, strings) in
        [("heron-head", "warm", "sense", 1.0), ("longsill-linear", "warm", "ballast", 5.0)]
    {
        let compiled = example(name, None);
        for level in [10, 50, 100] {
            let at = |what: &str| figure(&compiled, &format!("drive.{channel}.{what}"));
            let (volts, amperes) = (at(&format!("at-{level}-sense")), at(&format!("at-{level}-current")));
            assert!((volts / (amperes / strings * at(resistor)) - 1.0).abs() < 1e-9, "{name} at {level} %");
            assert!((amperes / at("at-100-current") / (f64::from(level) / 100.0) - 1.0).abs() < 1e-9, "{name}");
        }
    }
    let alder = example("alder-table", None);
    let at = |what: &str| figure(&alder, &format!("drive.red.{what}"));
    assert!((at("at-100-sense") / (at("sense") * at("switch-current")) - 1.0).abs() < 1e-12);
}

#[test]
fn corners_surround_the_nominal_cycle() {
    let compiled = example("alder-table", None);
    for channel in &compiled.solution.channels {
        let at = |what: &str| figure(&compiled, &format!("drive.{}.{what}", channel.name));
        assert_eq!(channel.notes.corners.len(), 4);
        assert!(at("cold-low-mean") < at("current") && at("current") < at("hot-high-mean"));
        assert!(at("cold-low-frequency") < at("frequency") && at("frequency") < at("hot-high-frequency"));
        assert!(at("start") >= at("peak") && at("start-filtered") >= at("peak") * (1.0 - 1e-9));
        let slowest = 1.0 / (at("on-time") + at("fall-time"));
        assert!((slowest / at("frequency") - 1.0).abs() < 1e-9, "the two times make the period");
    }
}

#[test]
fn the_sheet_shows_each_channel_with_its_wave() {
    let (compiled, packet) = (example("alder-table", None), packet("alder-table", None));
    let sheet = packet.sheets.iter().find(|s| s.name == "drive").expect("the sheet");
    for channel in &compiled.solution.channels {
        let drawing = format!("current-{}", channel.name);
        assert!(packet.drawings.contains_key(&drawing) && sheet.markdown.contains(&format!("({drawing}.svg)")));
    }
    assert!(packet.drawings.contains_key("pulses"));
}

#[test]
fn settings_repeat_the_figures_of_the_ledger() {
    for name in examples() {
        let compiled = example(&name, None);
        let files = files(&name, None);
        let file = files.iter().find(|f| f.path == "settings.json").expect("the file");
        let settings: Value = serde_json::from_slice(&file.bytes).expect("JSON");
        let channels = settings["channels"].as_array().expect("channels");
        assert_eq!(channels.len(), compiled.lamp.driver.channels.len(), "{name}");
        for (row, channel) in channels.iter().zip(&compiled.lamp.driver.channels) {
            assert_eq!(row["pin"].as_str(), channel.pin.value.as_deref());
            let full = figure(&compiled, &format!("drive.{}.current", channel.name));
            // To the twelve digits that data for machines have.
            assert_eq!(row["full-amperes"].as_f64(), Some(for_machine(full)));
            assert_eq!(row["expected"].as_array().map(Vec::len), Some(5), "{name}");
        }
        // A white or colour has the codes that the sheets print.
        let targets = settings["targets"].as_array().expect("targets");
        assert_eq!(targets.len(), compiled.solution.look.targets.len(), "{name}");
        for target in targets {
            for channel in &compiled.lamp.driver.channels {
                let path = format!("light.target.{}.code.{}", target["name"].as_str().expect("a name"), channel.name);
                let code = target["codes"][&channel.name].as_u64().expect("a code");
                assert_eq!(Some(code.to_string().as_str()), compiled.solution.ledger.shown(&path), "{name}: {path}");
            }
        }
        let full = (1_u64 << compiled.lamp.driver.bits.value.expect("bits")) - 1;
        let table = settings["dimming"].as_array().expect("a table");
        for channel in compiled.lamp.driver.channels.iter().map(|c| c.name.as_str()) {
            let counts = |row: &Value| row["channels"][channel]["counts"].as_u64().expect("counts");
            let counts: Vec<u64> = table.iter().map(counts).collect();
            assert!(counts.windows(2).all(|w| w[0] <= w[1]) && counts.last() == Some(&full), "{name}: {counts:?}");
        }
    }
}

#[test]
fn a_bulk_capacitor_left_out_is_chosen_and_still_judged() {
    let text = text_of("slate-wall");
    let bare = text.replace("    bulk        220 µF\n", "");
    assert_ne!(bare, text);
    let compiled = compile(&bare, None).unwrap_or_else(|diags| panic!("{diags}"));
    let most: f64 = ["warm", "cool"]
        .into_iter()
        .map(|c| entry(&compiled, &format!("drive.{c}.current")).band.expect("a band").1)
        .sum();
    let exact = figure(&compiled, "feed.bulk-exact");
    assert!((exact / (100e-6 * most / 0.8) - 1.0).abs() < 1e-9, "100 µF for each ampere, less a fifth");
    let chosen = figure(&compiled, "feed.bulk");
    assert!(chosen >= exact && chosen <= 1.6 * exact, "the next of E6: {chosen}");
    let unjudged: Vec<&str> = compiled.report.not_checked().iter().map(|(rule, _, _)| rule.name).collect();
    assert!(!unjudged.contains(&"supply/inrush"), "{unjudged:?}");
    assert!(sheet(&compiled, "values").contains(compiled.solution.ledger.shown("feed.bulk").expect("shown")));

    let open = bare.replace("    bits        12\n", "    bits        12\n    bulk        unknown\n");
    let compiled = compile(&open, None).unwrap_or_else(|diags| panic!("{diags}"));
    let unjudged: Vec<&str> = compiled.report.not_checked().iter().map(|(rule, _, _)| rule.name).collect();
    assert!(unjudged.contains(&"supply/inrush"), "unknown is never a pass: {unjudged:?}");
}

#[test]
fn a_second_section_meets_what_one_cannot() {
    let base = text_of("alder-table");
    let fast = base.replace("settle          0.2 s", "settle          6 ms");
    assert_ne!(fast, base);
    let compiled = compile(&fast, None).unwrap_or_else(|diags| panic!("{diags}"));
    let at = |what: &str| figure(&compiled, &format!("drive.red.{what}"));
    assert!(at("settling") < 6e-3 && at("reference-ripple") <= at("reference-step"));
    let ratio = at("filter-resistor-2") / at("filter-resistor");
    assert!((9.0..11.0).contains(&ratio), "{ratio}");
    let single = fast.replace("    channel red", "    filter { stages 1 }\n    channel red");
    assert_ne!(single, fast);
    let compiled = compile(&single, None).unwrap_or_else(|diags| panic!("{diags}"));
    assert!(figure(&compiled, "drive.red.settling") > 6e-3, "one section alone is too slow");
    assert!(compiled.solution.ledger.get("drive.red.filter-resistor-2").is_none());
}
