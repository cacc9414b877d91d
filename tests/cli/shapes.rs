//! What the program prints as data keeps to the schemas it prints: the packet of every example and variant, `check` and
//! `why`.

use serde_json::Value;

use super::{place, run, write};
use crate::support::{breaches, example, examples, root};

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
            let packet = example(&name, variant).packet(&Default::default(), None).expect("a packet");
            let text = lampwright::render::json(&packet).expect("JSON");
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
