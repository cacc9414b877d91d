//! What the program prints as data keeps to the schemas it prints: the packet of every example and variant, `check`,
//! `why` and `compare`.

use serde_json::Value;

use super::{place, run, with_parts, write};
use crate::support::{breaches, example, examples, packet, plain_spaced, root};

fn schema(of: &str) -> Value {
    let ran = run(&root(), &["schema", "--of", of]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

fn data(arguments: &[&str]) -> Value {
    let ran = run(&root(), arguments);
    serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{arguments:?}: {e}\n{}", ran.err))
}

#[test]
fn every_packet_keeps_to_the_printed_schema() {
    let schema = schema("packet");
    for name in examples() {
        let variants: Vec<String> = example(&name, None).document.variants.iter().map(|v| v.value.clone()).collect();
        for variant in std::iter::once(None).chain(variants.iter().map(|v| Some(v.as_str()))) {
            let text = lampwright::render::json(&packet(&name, variant)).expect("JSON");
            let document: Value = serde_json::from_str(&text).expect("JSON");
            assert_eq!(breaches(&schema, &document, "$"), Vec::<String>::new(), "{name} {variant:?}");
        }
    }
}

#[test]
fn check_keeps_to_the_printed_schema() {
    let schema = schema("check");
    for name in examples() {
        let found = data(&["check", &format!("examples/{name}.lamp"), "--format", "json"]);
        assert_eq!(breaches(&schema, &found, "$"), Vec::<String>::new(), "{name}");
    }
    let folder = place("shapes");
    write(&folder, "bad.lamp", "language 1\nlamp \"x\" { region eux }\n");
    let ran = run(&folder, &["check", "bad.lamp", "--format", "json"]);
    let mut found: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(breaches(&schema, &found, "$"), Vec::<String>::new());
    found["runs"][0]["errors"][0]["signal"] = "OUCH".into();
    found["runs"][0]["digest"] = "of 12 digits".into();
    assert_eq!(
        breaches(&schema, &found, "$"),
        ["$.runs[0].errors[0].signal has a wrong value", "$.runs[0].digest is no digest"]
    );
}

#[test]
fn why_keeps_to_the_printed_schema() {
    let schema = schema("why");
    for path in ["drive.warm.current", "diffuser.diameter", "lamp.region"] {
        let found = data(&["why", path, "examples/alder-table.lamp", "--format", "json"]);
        assert_eq!(breaches(&schema, &found, "$"), Vec::<String>::new(), "{path}");
    }
}

/// Changes of every kind, so that no list of the comparison stays empty; each object's keys are all looked at.
#[test]
fn compare_keeps_to_the_printed_schema() {
    let schema = schema("compare");
    let folder = place("shapes-compare");
    with_parts(&folder);
    let old = plain_spaced("alder-table");
    let mut new = old.clone();
    for (from, to) in [
        ("revision \"A\"", "revision \"B\""),
        ("pin p4; current 320 mA", "pin p4; current 380 mA"),
        ("anchorage clamp", "anchorage glue"),
        ("bits 8", "bits 9"),
        ("white candle", "white wick"),
        ("voltage 120 V", "voltage 110 V"),
        ("enclosure {\n", "wiring {\n run red-plus { length 420 mm }\n}\n\nenclosure {\n"),
    ] {
        assert!(new.contains(from), "the example has no `{from}`");
        new = new.replacen(from, to, 1);
    }
    write(&folder, "old.lamp", old);
    write(&folder, "new.lamp", new);
    let ran = run(&folder, &["compare", "old.lamp", "new.lamp", "--format", "json"]);
    let mut found: Value = serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}", ran.err));
    assert_eq!(breaches(&schema, &found, "$"), Vec::<String>::new());
    for (list, value) in found["comparison"].as_object().expect("an object") {
        let empty = value.as_array().is_some_and(Vec::is_empty);
        assert!(!empty, "nothing in `{list}`, so its shape was not looked at");
    }
    found["comparison"]["reach"] = "far".into();
    found["comparison"]["sheets"][0]["fate"] = 3.into();
    assert_eq!(
        breaches(&schema, &found, "$"),
        ["$.comparison.reach has a wrong value", "$.comparison.sheets[0].fate has a wrong value"]
    );
}
