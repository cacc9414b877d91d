//! One spec with every sort of statement, worked out: values, paths, origins, variants.

use super::tidy::Soup;
use super::{compile, found};
use lampwright::language::document::{Date, Document, Origin, Value};
use lampwright::schema::Dimension;

const SPEC: &str = include_str!("specs/whole.lamp");
const DRAWER: &str = include_str!("specs/drawer.lamp");

fn document(variant: Option<&str>) -> Document {
    let (document, diags, sources) = compile(SPEC, &[("drawer.lamp", DRAWER)], variant);
    assert_eq!(found(&diags, &sources), [], "{diags:?}");
    document.expect("a document")
}

fn nominal(document: &Document, path: &str) -> f64 {
    match &document.entries().find(|e| e.path == path).unwrap_or_else(|| panic!("{path}")).value {
        Value::Quantity(s) | Value::QuantityAt(s, _) => s.nominal,
        Value::Count(n) => *n as f64,
        other => panic!("{path}: {other:?}"),
    }
}

#[test]
fn figures_are_in_si_units() {
    let document = document(None);
    let table = [
        ("lamp.quantity", 4.0),
        ("mains.voltage", 230.0),
        ("mains.cord.core-area", 0.75e-6),
        ("mains.cord.length", 1.5),
        ("emitter.distance", 0.046),
        ("emitter.gap", 0.023),
        ("emitter.pad", 5.0),
        ("emitter.red.forward", 2.2),
        ("emitter.red.flux", 50.0),
        ("driver.red.current", 0.32),
        ("driver.warm.current", 0.16),
        ("driver.red.sense", 1.0),
        ("diffuser.diameter", 0.120 + 2.0 * 0.004 - 2.0 * 0.0004),
        ("diffuser.area", std::f64::consts::PI / 4.0 * 0.1272 * 0.1272),
    ];
    for (path, expected) in table {
        assert!((nominal(&document, path) / expected - 1.0).abs() < 1e-12, "{path}");
    }
}

#[test]
fn values_have_their_shapes() {
    let document = document(None);
    let cord = document.root.node("mains").and_then(|m| m.node("cord")).expect("cord");
    assert_eq!(cord.entry("outer").expect("outer").value, Value::Size(vec![3.2e-3, 5.4e-3]));
    assert_eq!(cord.entry("build").expect("build").value, Value::Word("round"));
    assert_eq!(cord.entry("grip").expect("grip").value, Value::YesNo(true));
    let lamp = document.root.node("lamp").expect("lamp");
    assert_eq!(lamp.entry("title").expect("title").value, Value::Text("Stair light".into()));
    assert_eq!(lamp.entry("made").expect("made").value, Value::Date(Date { year: 2026, month: 11, day: 25 }));
    let driver = document.root.node("driver").expect("driver");
    assert_eq!(driver.nodes("channel").count(), 2);
    let warm = driver.named("channel", "warm").expect("warm");
    assert_eq!(warm.entry("feeds").expect("feeds").value, Value::Reference("warm".into()));
    assert_eq!(warm.entry("also").expect("also").value, Value::List(vec!["red".into(), "warm".into()]));
    let Value::Quantity(sense) = driver.nodes("channel").next().expect("red").entry("sense").expect("sense").value
    else {
        panic!("a quantity")
    };
    assert!((sense.low - 0.99).abs() < 1e-12 && (sense.high - 1.01).abs() < 1e-12);
    let hole = document.root.node("diffuser").and_then(|d| d.node("hole")).expect("hole");
    assert_eq!(hole.entry("at").expect("at").value, Value::Point(vec![12e-3, -4e-3]));
    let red = document.root.node("emitter").and_then(|e| e.named("die", "red")).expect("red");
    let Value::QuantityAt(forward, at) = red.entry("forward").expect("forward").value else { panic!("a quantity at") };
    assert_eq!((forward.low, forward.nominal, forward.high, at), (2.0, 2.2, 2.6, 0.35));
}

#[test]
fn everything_says_where_it_comes_from() {
    let document = document(None);
    let origin = |path: &str| document.entries().find(|e| e.path == path).expect(path).origin.clone();
    let from = Some("measured on 3 pieces".to_owned());
    assert_eq!(origin("driver.red.current"), Origin::Written);
    assert_eq!(origin("emitter.distance"), Origin::Overrides { part: "quad".into(), instead_of: "30 mm".into() });
    assert_eq!(
        origin("emitter.red.flux"),
        Origin::Overrides { part: "quad".into(), instead_of: "45 lm at 350 mA".into() }
    );
    assert_eq!(origin("emitter.red.forward"), Origin::Part { part: "quad".into(), from: from.clone() });
    assert_eq!(origin("mains.cord.length"), Origin::Default);
    let parts: Vec<_> = document.parts.iter().map(|p| (p.kind, p.name.value.as_str(), p.used)).collect();
    assert_eq!(parts, [("emitter", "quad", true), ("driver", "spare", false)]);
    assert_eq!(document.parts[0].from, from);
    let lets: Vec<_> = document.lets.iter().map(|l| (l.name.value.as_str(), l.dimension, l.text.as_str())).collect();
    assert_eq!(lets, [("seat-gap", Dimension::Length, "0.4 mm"), ("rim", Dimension::Length, "4 mm")]);
    let waiver = &document.waivers[0];
    assert_eq!((waiver.rule.value.as_str(), waiver.by.as_str()), ("optics/gap", "the workshop"));
    assert_eq!(waiver.subject.as_ref().expect("subject").value, "red");
    assert_eq!(waiver.until.as_ref().expect("until").value.to_string(), "2027-11-25");
}

#[test]
fn a_variant_is_laid_over() {
    let us = document(Some("us"));
    assert_eq!(us.variant.as_deref(), Some("us"));
    assert_eq!(us.variants.iter().map(|v| v.value.as_str()).collect::<Vec<_>>(), ["us"]);
    assert_eq!(nominal(&us, "mains.voltage"), 120.0);
    assert!((nominal(&us, "mains.cord.length") - 1.8288).abs() < 1e-12);
    let voltage = us.entries().find(|e| e.path == "mains.voltage").expect("voltage");
    assert_eq!(voltage.origin, Origin::Variant("us".into()));
    let build = us.entries().find(|e| e.path == "mains.cord.build").expect("build");
    assert_eq!(build.origin, Origin::Written);
}

#[test]
fn blocks_of_defaults_are_made() {
    let (document, diags, _) = compile("language 1\nemitter { distance 3 mm }\n", &[], None);
    assert!(diags.is_empty(), "{diags:?}");
    let document = document.expect("a document");
    let mains = document.root.node("mains").expect("mains");
    assert!(!mains.written && !mains.node("cord").expect("cord").written);
    assert!(document.root.node("emitter").expect("emitter").written);
    assert!(document.root.node("driver").is_none());
    let kinds: Vec<_> = document.root.nodes.iter().map(|n| n.schema.kind).collect();
    assert_eq!(kinds, ["lamp", "mains", "emitter"]);
}

#[test]
fn no_spec_brings_it_down() {
    let mut documents = 0;
    for end in (0..SPEC.len()).filter(|i| SPEC.is_char_boundary(*i)).step_by(2) {
        let (document, diags, _) = compile(&SPEC[..end], &[("drawer.lamp", &DRAWER[..end.min(DRAWER.len())])], None);
        // Either a document or a reason.
        assert!(document.is_some() || !diags.is_empty(), "{}", &SPEC[..end]);
        documents += usize::from(document.is_some());
    }
    assert!(documents > 4, "{documents}");
    let mut soup = Soup(99);
    for _ in 0..1000 {
        let text = format!("language 1\n{}\nemitter {{ distance 3 mm }}\n{}", soup.block(0), soup.block(0));
        let (document, diags, _) = compile(&text, &[], None);
        assert!(document.is_some() || !diags.is_empty(), "{text}");
    }
}
