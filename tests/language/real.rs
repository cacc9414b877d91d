//! What the real schema says of values: `unknown` inside them, how many lengths they have, what they need beside them,
//! letter codes and gauges. The wall light of the examples, with a variant laid over it.

use lampwright::diag::{Diag, Sources};
use lampwright::language::document::{Document, Value};

use crate::support::{Examples, compile, text_of, varied};

fn base() -> String {
    text_of("slate-wall")
}

/// The example with `text` added and its variant `x` laid over, where it has one.
fn with(text: &str) -> (Option<Document>, Vec<Diag>, Sources) {
    let text = format!("{}\n{text}\n", base());
    let variant = text.contains("variant x").then_some("x");
    let outcome = lampwright::compile("spec.lamp", &text, &mut Examples, variant);
    match outcome.compiled {
        Some(compiled) => (Some(Document::clone(&compiled.document)), outcome.diags, outcome.sources),
        None => (None, outcome.diags, outcome.sources),
    }
}

fn value(document: &Document, path: &str) -> Value {
    document.entries().find(|e| e.path == path).unwrap_or_else(|| panic!("no {path}")).value.clone()
}

fn errors(text: &str) -> Vec<(String, String)> {
    let (document, diags, _) = with(text);
    assert!(document.is_none() || diags.is_empty(), "{text}");
    diags.into_iter().map(|d| (d.code, d.message)).collect()
}

#[test]
fn unknown_inside_a_value_makes_it_unknown_and_is_told() {
    for (path, text) in [
        ("diffuser.thickness", "diffuser { thickness unknown ± 1 mm }"),
        ("diffuser.thickness", "diffuser { thickness unknown + 1 mm }"),
        ("diffuser.thickness", "diffuser { thickness min(unknown, 3 mm) }"),
        ("diffuser.thickness", "diffuser { thickness -(unknown) }"),
        ("diffuser.thickness", "diffuser { thickness 3 mm ± unknown }"),
        ("diffuser.thickness", "diffuser { thickness 2 mm .. unknown }"),
        ("enclosure.size", "enclosure { size unknown x 140 x 80 mm }"),
        ("diffuser.left.at", "diffuser { hole left { at (unknown, 0 mm) } }"),
        ("emitter.warm.forward", "emitter { die warm { forward 2 V .. unknown at 350 mA } }"),
        ("emitter.warm.forward", "emitter { die warm { forward 2 V .. 3 V at unknown } }"),
        ("emitter.warm.flux", "emitter { die warm { flux unknown at 350 mA } }"),
    ] {
        let compiled = varied(&base(), text);
        assert_eq!(value(&compiled.document, path), Value::Unknown, "{text}");
        let noticed = compiled.report.findings().iter().any(|r| r.rule.name == "spec/unknown" && r.subject == path);
        assert!(noticed, "{path} is not told");
    }
}

#[test]
fn a_size_and_a_point_have_as_many_lengths_as_they_should() {
    for (text, message) in [
        (
            "enclosure { shape cylinder; size 120 mm }",
            "`size` of `enclosure` with `shape cylinder` wants two lengths; this is one length",
        ),
        (
            "enclosure { shape cylinder; size 120 x 220 x 30 mm }",
            "`size` of `enclosure` with `shape cylinder` wants two lengths; this is three lengths",
        ),
        (
            "enclosure { size 260 x 140 mm }",
            "`size` of `enclosure` with `shape box` wants three lengths; this is two lengths",
        ),
        (
            "diffuser { hole left { at (-452 mm, 0 mm, 5 mm) } }",
            "`at` of `hole left` wants two lengths; this is three lengths",
        ),
        (
            "enclosure { hole hang-left { at (-40 mm, 0 mm, 3 mm) } }",
            "`at` of `hole hang-left` wants two lengths; this is three lengths",
        ),
        (
            "layout { place supply { at (16 mm, 0 mm) } }",
            "`at` of `place supply` wants three lengths; this is two lengths",
        ),
        (
            "layout { place fuse { round yes } }",
            "`size` of `place fuse` with `round yes` wants two lengths; this is three lengths",
        ),
    ] {
        let found = errors(&format!("variant x {{ {text} }}"));
        assert_eq!(found, [("value/lengths".to_owned(), message.to_owned())], "{text}");
    }
    assert_eq!(errors("variant x { enclosure { size 260 x -140 x 80 mm } }")[0].0, "value/bounds");
}

#[test]
fn an_outline_needs_its_figures() {
    for (outline, wants) in
        [("disc", "`diameter`"), ("ring", "`diameter` and `inner`"), ("polygon", "`sides` and `diameter`")]
    {
        let found = errors(&format!("variant x {{ diffuser {{ outline {outline} }} }}"));
        let message = format!("`outline {outline}` cannot be cut without {wants}");
        assert_eq!(found, [("value/missing".to_owned(), message)]);
    }
    // The author may say that nobody has the figure yet; then it is not checked, and told.
    assert!(errors("variant x { diffuser { outline disc; diameter unknown } }").is_empty());
}

#[test]
fn a_figure_holds_at_some_current() {
    for at in ["0 A", "-350 mA"] {
        let found = errors(&format!("variant x {{ emitter {{ die warm {{ flux 90 lm at {at} }} }} }}"));
        assert_eq!(found, [("value/bounds".to_owned(), format!("`flux` cannot hold at {at}"))]);
    }
}

/// One path would stand for both.
#[test]
fn a_variant_gives_no_name_that_another_block_has() {
    let slot = "slot left { at (0 mm, 0 mm); length 20 mm; width 4 mm }";
    let found = errors(&format!("variant x {{ diffuser {{ {slot} }} }}"));
    assert_eq!(found, [("name/twice".to_owned(), "the name `left` stands twice".to_owned())]);
}

#[test]
fn the_ends_of_a_usual_range_are_usual() {
    let text = format!("{}\nvariant x {{ emitter {{ die warm {{ drift -10 mV/K }} }} }}\n", base());
    let compiled = crate::support::compile(&text, Some("x")).unwrap_or_else(|e| panic!("{e}"));
    let found: Vec<_> = compiled.report.findings().iter().map(|r| r.finding.message.clone()).collect();
    assert!(found.iter().all(|m| !m.contains("outside the usual")), "{found:?}");
}

#[test]
fn a_channel_of_no_current_is_no_channel() {
    let found = errors("variant x { driver { channel warm { current 0 A } } }");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, "value/bounds");
}

/// ASTM B258, table 1, rounded (from memory): area in mm² of the thick gauges and of one thin one.
#[test]
fn gauges() {
    for (written, area) in [
        ("0000", 107.2),
        ("4/0", 107.2),
        ("000", 85.03),
        ("3/0", 85.03),
        ("00", 67.43),
        ("0", 53.49),
        ("1/0", 53.49),
        ("18", 0.8230),
    ] {
        let (document, diags, _) = with(&format!("let a = {written} AWG"));
        let document = document.unwrap_or_else(|| panic!("{diags:?}"));
        let a = document.lets.iter().find(|l| l.name.value == "a").expect("the let").value.nominal * 1e6;
        assert!((a / area - 1.0).abs() < 1e-3, "{written} AWG is {a} mm²");
    }
    for wrong in ["0.5", "1/2", "-1", "00000", "5/0", "57", "1e1"] {
        assert_eq!(errors(&format!("let a = {wrong} AWG"))[0].0, "value/gauge", "{wrong}");
    }
}

#[test]
fn letter_codes() {
    let lowest = |text: &str| {
        let (document, diags, _) = with(text);
        document.unwrap_or_else(|| panic!("{text} {diags:?}"))
    };
    let spread = |text: &str, path: &str| match value(&lowest(text), path) {
        Value::Quantity(s) => (s.low, s.nominal, s.high),
        other => panic!("{other:?}"),
    };
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-12;
    // The micro sign may stand first, in both its forms, as its stand-in may.
    for code in ["u22", "\u{B5}22", "\u{3BC}22"] {
        let (_, nominal, _) = spread(&format!("variant x {{ driver {{ bulk {code} }} }}"), "driver.bulk");
        assert!(near(nominal, 0.22e-6), "{code} is {nominal}");
    }
    // IEC 60062: the last letter is the tolerance (from memory).
    for (code, ohms, percent) in [("1R0F", 1.0, 1.0), ("4K7J", 4700.0, 5.0), ("R47G", 0.47, 2.0), ("10KK", 1e4, 10.0)] {
        let text = format!("variant x {{ driver {{ channel warm {{ sense {code} }} }} }}");
        let (low, nominal, high) = spread(&text, "driver.warm.sense");
        assert!(near(nominal, ohms) && near(high, ohms * (1.0 + percent / 100.0)), "{code}: {low} {nominal} {high}");
        assert!(near(low, ohms * (1.0 - percent / 100.0)), "{code}: {low}");
    }
    for (text, message) in [
        ("bulk 4R7", "`4R7` is the letter code of a resistance; a capacitance is wanted here"),
        ("bulk R47", "`R47` is the letter code of a resistance; a capacitance is wanted here"),
        ("bulk 2u2J", "the last letter of `2u2J` could be a tolerance or a unit"),
        (
            "channel warm { sense 2u2 }",
            "`2u2` is the letter code of a capacitance or an inductance; a resistance is wanted here",
        ),
    ] {
        let found = errors(&format!("variant x {{ driver {{ {text} }} }}"));
        assert_eq!(found, [("unit/letter-code".to_owned(), message.to_owned())], "{text}");
    }
    assert_eq!(errors("variant x { aim { settle 3u5 } }")[0].0, "unit/letter-code");
    let (_, diags, _) = with("variant x { driver { bulk 2u2J } }");
    assert_eq!(diags[0].help.as_deref(), Some("write `2u2`, or with its tolerance `2u2 ± 5 %`"));
    let (_, diags, _) = with("variant x { driver { channel warm { sense 820m } } }");
    assert_eq!(diags[0].help.as_deref(), Some("milliohms have the letter `L`: `820L`, or write `820 mΩ`"));
}

#[test]
fn names_waivers_and_spreads_that_say_nothing() {
    let nameless = base().replace("lamp \"Slate\" {", "lamp {");
    let outcome = lampwright::compile("spec.lamp", &nameless, &mut Examples, None);
    let found: Vec<_> = outcome.diags.iter().map(|d| (d.code.as_str(), d.message.as_str())).collect();
    assert_eq!(found, [("name/wanted", "the lamp has no name")]);
    for (text, code) in [
        ("waive spec/unknown { reason \"\"; by \"me\" }", "value/empty"),
        ("waive spec/unknown { reason \"why\"; by \" \" }", "value/empty"),
        ("waive spec/unknown { reason unknown; by \"me\" }", "value/empty"),
        ("waive spec/unknown { reason \"why\"; by \"me\"; subject unknown }", "value/empty"),
        ("let a = 2 V .. 2.2 V ± 10 %", "value/two-spreads"),
        ("variant x { emitter { die warm { forward 2 V .. 2.2 V ± 10 % at 350 mA } } }", "value/two-spreads"),
        ("lamp \u{201C}x\u{201D} { }", "syntax/quotes"),
        ("let a = 3 mm // three", "syntax/comment"),
        ("// a comment", "syntax/comment"),
        ("variant x { lamp { maker \u{201C}me\u{201D} } }", "syntax/quotes"),
        ("emitter { from \"a sheet\" }", "name/twice"),
        ("waive spec/unknown { reason \"a\" by \"b\" until 2026-12-01 }", "syntax/unexpected"),
    ] {
        let found: Vec<String> = errors(text).into_iter().map(|(code, _)| code).collect();
        assert_eq!(found, [code], "{text}");
    }
    let (_, diags, _) = with(&"}\n".repeat(100_000));
    let strays = diags.iter().filter(|d| d.code == "syntax/stray-brace").count();
    assert_eq!(strays, 1);
}

#[test]
fn a_variant_may_hold_a_waiver_of_its_own() {
    let variant = "variant x { lamp { mass 40 kg }\n waive spec/implausible { reason \"cast iron\"; by \"me\"; until 2027-01-01 } }";
    let text = format!("{}\n{variant}\n", base());
    let waived = |variant: Option<&str>| {
        let compiled = compile(&text, variant).unwrap_or_else(|e| panic!("{e}"));
        compiled.report.waivers.iter().map(|(w, used)| (w.rule.value.clone(), *used)).collect::<Vec<_>>()
    };
    assert_eq!(waived(Some("x")), [("spec/implausible".to_owned(), true)]);
    assert!(waived(None).is_empty());
}

#[test]
fn a_waiver_of_nothing_says_what_there_is() {
    let waiver = "waive spec/unknown { reason \"later\"; by \"me\"; until 2027-01-01; subject diffuser.thicknes }";
    let compiled = varied(&base(), &format!("diffuser {{ thickness unknown }}\n {waiver}"));
    let found: Vec<_> =
        compiled.report.findings().into_iter().filter(|r| r.rule.name == "spec/waiver-unused").collect();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].finding.fix, "did you mean `diffuser.thickness`?");
}

#[test]
fn an_opening_as_wide_as_its_ring_is_called_that() {
    let compiled = varied(&base(), "diffuser { outline ring; diameter 100 mm; inner 120 mm }");
    let found = compiled.report.findings();
    let ring = found.iter().find(|r| r.finding.message.contains("its opening leaves no ring"));
    assert_eq!(ring.map(|r| r.finding.fix.as_str()), Some("make it smaller than 100 mm"));
}
