//! Every error the language knows: a small spec, the codes and the lines they must name, and nothing else.

use super::{compile, found};

/// A spec that is whole but for `text`, which begins on line 4.
fn with(text: &str) -> String {
    format!("language 1\nemitter {{ distance 3 mm; die red {{ forward 2 V at 1 A }} }}\n\n{text}\n")
}

type Row = (&'static str, &'static [(&'static str, usize)]);

fn check(rows: &[Row]) {
    for (text, expected) in rows {
        let text = with(text);
        let (_, diags, sources) = compile(&text, &[], None);
        let expected: Vec<_> = expected.iter().map(|(c, l)| (c.to_string(), *l)).collect();
        assert_eq!(found(&diags, &sources), expected, "{text}\n{diags:#?}");
        for diag in &diags {
            assert!(!diag.message.ends_with('.') && diag.help.is_some() && !diag.labels[0].text.is_empty(), "{diag:?}");
        }
    }
}

#[test]
fn names() {
    check(&[
        ("driver {\n channel red { curent 1 A }\n}", &[("name/unknown-property", 5)]),
        ("mains { length 3 m }", &[("name/unknown-property", 4)]),
        ("mains { cord 3 m }", &[("name/block-wanted", 4)]),
        ("mains {\n voltage { }\n}", &[("name/property-wanted", 5)]),
        ("mians {\n}", &[("name/unknown-block", 4)]),
        ("diffuser { channel red { current 1 A } }", &[("name/unknown-block", 4)]),
        ("mains { voltage 230 V\n voltage 120 V }", &[("name/twice", 5)]),
        ("mains { }\nmains { }", &[("name/twice", 5)]),
        ("driver {\n channel a { current 1 A }\n channel a { current 1 A }\n}", &[("name/twice", 6)]),
        ("driver { channel { current 1 A } }", &[("name/wanted", 4)]),
        ("mains big { }", &[("name/not-wanted", 4)]),
        ("driver { channel Red_1 { current 1 A } }", &[("name/spelling", 4)]),
        ("driver { channel finds { current 1 A } }", &[("name/taken", 4)]),
        ("driver { channel a b { current 1 A } }", &[("syntax/block-head", 4)]),
        ("driver { channel a { feeds rod; current 1 A } }", &[("name/unknown-reference", 4)]),
        ("driver { channel a { also [red, blue]; current 1 A } }", &[("name/unknown-reference", 4)]),
        ("driver is spare { }", &[("name/unknown-part", 4)]),
        ("part emitter spare { }\ndriver is spare { }", &[("name/wrong-part", 5)]),
        ("part driver spare { }\nmains is spare { }", &[("name/wrong-part", 5)]),
        ("part mains town { }", &[("name/unknown-part-kind", 4)]),
        ("part driver a { }\npart driver a { }", &[("name/twice", 5)]),
        ("part driver a is b { }\npart driver b is a { }\ndriver is a { }", &[("name/loop", 5)]),
        ("let a = 1 mm\nlet a = 2 mm", &[("name/twice", 5)]),
        ("diffuser { diameter rmi }\nlet rim = 4 mm", &[("name/unknown", 4)]),
        ("diffuser { diameter enclosure.opening }", &[("name/not-stated", 4)]),
        ("diffuser { diameter round(3 mm) }", &[("name/unknown-function", 4)]),
        ("mains { let a = 3 mm }", &[("name/top-only", 4)]),
        ("variant a { }\nvariant a { }", &[("name/twice", 5)]),
        ("let pi = 3", &[("name/spelling", 4)]),
    ]);
}

#[test]
fn circles_are_shown_whole() {
    let text = with("let a = b + 1 mm\nlet b = c\nlet c = 2 * a\ndiffuser { diameter a }");
    let (_, diags, sources) = compile(&text, &[], None);
    assert_eq!(found(&diags, &sources), [("name/loop".to_owned(), 4)]);
    assert_eq!(diags[0].message, "these figures need each other in a circle: a -> b -> c -> a");
    let labels: Vec<_> = diags[0].labels.iter().map(|l| (sources.place(l.span).0, l.text.as_str())).collect();
    assert_eq!(labels, [(4, "`a` needs `b`"), (5, "`b` needs `c`"), (6, "`c` needs `a`")]);
}

#[test]
fn a_chain_may_be_long() {
    let mut text = with("");
    for i in 0..5000 {
        text += &format!("let a{i} = a{} + 1 mm\n", i + 1);
    }
    text += "let a5000 = 1 mm\ndiffuser { diameter a0 }\n";
    let (document, diags, _) = compile(&text, &[], None);
    assert!(diags.is_empty(), "{diags:?}");
    assert!((document.expect("a document").lets[0].value.nominal - 5.001).abs() < 1e-9);
}

#[test]
fn values() {
    check(&[
        ("lamp { region eux }", &[("value/word", 4)]),
        ("lamp { region \"eu\" }", &[("value/kind", 4)]),
        ("lamp { region 3 mm }", &[("value/kind", 4)]),
        ("lamp { revision B }", &[("value/kind", 4)]),
        ("lamp { quantity 2.5 }", &[("value/not-whole", 4)]),
        ("lamp { quantity R10 }", &[("unit/letter-code", 4)]),
        ("mains { cord { outer R10 x 3 mm } }", &[("unit/letter-code", 4)]),
        ("diffuser { hole a { at (R10, 3 mm) } }", &[("unit/letter-code", 4)]),
        ("lamp { quantity 0 }", &[("value/bounds", 4)]),
        ("lamp { made 2026-02-29 }", &[("value/date", 4)]),
        ("lamp { made \"today\" }", &[("value/kind", 4)]),
        ("mains { cord { grip maybe } }", &[("value/kind", 4)]),
        ("mains { cord { length -3 m } }", &[("value/bounds", 4)]),
        ("mains { cord { length 101 m } }", &[("value/bounds", 4)]),
        ("diffuser { diameter 18446744073709551616 mm }", &[("value/bounds", 4)]),
        ("mains { cord { length 3 x 4 m } }", &[("value/kind", 4)]),
        ("mains { cord { outer 3 .. 4 mm } }", &[("value/kind", 4)]),
        ("mains { voltage 260 V .. 230 V }", &[("value/order", 4)]),
        ("mains { voltage 230 V at 3 A }", &[("value/condition", 4)]),
        ("driver { channel a { current \"1 A\" } }", &[("value/kind", 4)]),
        ("driver { channel a { current 32 A } }", &[("spec/implausible", 4)]),
        ("diffuser { hole a { at 3 mm } }", &[("value/kind", 4)]),
        ("diffuser { diameter 3 mm / (1 mm - 1 mm) * 1 mm }", &[("value/division", 4)]),
        ("diffuser { diameter sqrt(-3 mm²) }", &[("value/root", 4)]),
        ("diffuser { diameter max(3 mm) }", &[("value/arguments", 4)]),
        ("diffuser { diameter mains.class }", &[("value/kind", 4)]),
        ("diffuser { diameter 2 * \"a\" }", &[("value/kind", 4)]),
        ("driver { finds [shadow, ghost] }", &[("value/word", 4)]),
        ("driver { channel a { } }", &[("value/missing", 4)]),
        ("mains { fuse { } }\ndriver { channel a { } }", &[("value/missing", 4), ("value/missing", 5)]),
        ("waive a/b { by \"me\" }", &[("value/missing", 4)]),
        ("diffuser { diameter 1e999 mm }", &[("limit/number", 4)]),
        ("diffuser { diameter 1e-40 mm }", &[("limit/number", 4)]),
        ("diffuser { diameter 1/0 mm }", &[("limit/number", 4)]),
    ]);
}

#[test]
fn units() {
    check(&[
        ("driver { channel a { current 320 mV } }", &[("unit/dimension", 4)]),
        ("driver { channel a { current 320 } }", &[("unit/missing", 4)]),
        ("driver { channel a { current 320 maps } }", &[("unit/unknown", 4)]),
        ("diffuser { diameter 3 mm*2 }", &[("unit/unknown", 4)]),
        ("let a = 3 N·m/foo", &[("unit/unknown", 4)]),
        ("driver { channel a { current 1 A; sense 5 .. 7K5 } }", &[("unit/mixed", 4)]),
        ("lamp { room 20 °C ± 5 % }", &[("unit/tolerance", 4)]),
        ("diffuser { diameter 3 mm + 2 s }", &[("unit/mixed", 4)]),
        ("diffuser { diameter 3 mm * 2 mm }", &[("unit/dimension", 4)]),
        ("diffuser { diameter 3 mm ± 2 s }", &[("unit/tolerance", 4)]),
        ("lamp { room 20 K }", &[("unit/dimension", 4)]),
        ("driver { channel a { current 1 A; rise 20 °C } }", &[("unit/dimension", 4)]),
        ("driver { channel a { current 1 A; limit 2 * lamp.room } }", &[("unit/temperature", 4)]),
        ("driver { channel a { current 1 A; share 3 mm } }", &[("unit/dimension", 4)]),
        ("driver { channel a { current 1 A; label 3 W } }", &[("unit/dimension", 4)]),
        ("emitter { die b { forward 2 V at 3 V } }", &[("name/twice", 4)]),
    ]);
}

#[test]
fn messages_name_both_sides() {
    let first = |text: &str| compile(&with(text), &[], None).1.remove(0);
    let diag = first("driver { channel a { current 320 mV } }");
    assert_eq!(diag.message, "`current` wants a current; `320 mV` is a voltage");
    assert_eq!(diag.help.as_deref(), Some("write a current in `mA`, `A`, `µA` or `nA`, for example `320 mA`"));
    let diag = first("driver { channel a { current 32 A } }");
    assert_eq!(diag.message, "`current 32 A` is outside the usual 1 mA .. 3 A");
    assert_eq!(diag.help.as_deref(), Some("did you mean `32 mA`?"));
    let diag = first("driver { channel a { curent 1 A } }");
    assert_eq!(diag.help.as_deref(), Some("did you mean `current`?"));
    let diag = first("diffuser { length 1 A }");
    assert_eq!(diag.help.as_deref(), Some("`length` lives in `mains.cord`"));
    let diag = first("mains { fuse { } }\nemitter { }");
    assert_eq!(diag.labels.len(), 2);
}

#[test]
fn nothing_follows_from_an_error() {
    check(&[
        // The value is bad, not missing, and what refers to it is silent.
        (
            "driver { channel a { current } }\ndiffuser { diameter driver.a.current * 1 m/A }",
            &[("syntax/value-missing", 4)],
        ),
        ("let a = 3 maps\nlet b = 2 * a\ndiffuser { diameter b + a }", &[("unit/unknown", 4)]),
        ("let a =\ndiffuser { diameter a }", &[("syntax/value-missing", 4)]),
        ("driver { channel a { curent 1 A } }", &[("name/unknown-property", 4)]),
        ("use \"gone.lamp\"\ndriver is spare { }\ndiffuser { diameter rim }", &[("use/missing", 4)]),
        ("driver is spare { channel a { } }", &[("name/unknown-part", 4)]),
        ("driver { channel Red { current 1 A } }\ndiffuser { diameter driver.red.rise }", &[("name/spelling", 4)]),
    ]);
}

#[test]
fn the_language_comes_first() {
    let rows: &[Row] = &[
        ("emitter { distance 3 mm }\n", &[("syntax/language", 1)]),
        ("emitter { distance 3 mm }\nlanguage 1\n", &[("syntax/language", 2)]),
        ("language 2\nemitter { distance 3 mm }\n", &[("syntax/language", 1)]),
        ("language one\nemitter { distance 3 mm }\n", &[("syntax/language", 1)]),
        ("language 1\nlanguage 1\nemitter { distance 3 mm }\n", &[("name/twice", 2)]),
        ("# a comment\nlanguage 1\nemitter { distance 3 mm }\n", &[]),
        ("language 1\n", &[("value/missing-block", 1)]),
    ];
    for (text, expected) in rows {
        let (_, diags, sources) = compile(text, &[], None);
        let expected: Vec<_> = expected.iter().map(|(c, l)| (c.to_string(), *l)).collect();
        assert_eq!(found(&diags, &sources), expected, "{text}");
    }
}

#[test]
fn files_that_cannot_be_had() {
    check(&[
        ("use \"gone.lamp\"", &[("use/missing", 4)]),
        ("use \"folder\"", &[("use/folder", 4)]),
        ("use \"../out.lamp\"", &[("use/outside", 4)]),
        ("use \"binary.lamp\"", &[("use/not-text", 4)]),
        ("use \"locked.lamp\"", &[("use/unreadable", 4)]),
        ("use drawer", &[("use/path", 4)]),
    ]);
}

#[test]
fn used_files() {
    let check = |files: &[(&str, &str)], expected: &[(&str, &str, usize)]| {
        let (_, diags, sources) = compile(&with("use \"a.lamp\""), files, None);
        let found: Vec<_> = diags
            .iter()
            .map(|d| {
                (d.code.clone(), sources.get(d.span().file).expect("a file").name.clone(), sources.place(d.span()).0)
            })
            .collect();
        let expected: Vec<_> = expected.iter().map(|(c, f, l)| (c.to_string(), f.to_string(), *l)).collect();
        assert_eq!(found, expected, "{diags:#?}");
    };
    check(&[("a.lamp", "use \"b.lamp\""), ("b.lamp", "use \"a.lamp\"")], &[("use/loop", "b.lamp", 1)]);
    check(&[("a.lamp", "use \"spec.lamp\""), ("spec.lamp", "")], &[("use/loop", "a.lamp", 1)]);
    check(
        &[("a.lamp", "mains { }\nemitter { }")],
        &[("use/not-shareable", "a.lamp", 1), ("use/not-shareable", "a.lamp", 2)],
    );
    check(&[("a.lamp", "let a =\n")], &[("syntax/value-missing", "a.lamp", 1)]);
    check(&[("a.lamp", "part driver d { channel a { curent 1 A } }")], &[("name/unknown-property", "a.lamp", 1)]);
    check(&[("a.lamp", "part driver d { channel a { current 1 V } }")], &[("unit/dimension", "a.lamp", 1)]);
    check(
        &[("a.lamp", "use \"b.lamp\"\nuse \"c.lamp\""), ("b.lamp", "use \"c.lamp\""), ("c.lamp", "let q = 1 mm")],
        &[],
    );
    let names: Vec<String> = (0..20).map(|i| format!("f{i}.lamp")).collect();
    let texts: Vec<String> = (0..20).map(|i| format!("use \"f{}.lamp\"", i + 1)).collect();
    let mut files: Vec<_> = names.iter().map(String::as_str).zip(texts.iter().map(String::as_str)).collect();
    files.push(("a.lamp", "use \"f0.lamp\""));
    check(&files, &[("use/too-deep", "f14.lamp", 1)]);
}

#[test]
fn too_much() {
    let only = |text: &str, code: &str, line: usize| {
        let (document, diags, sources) = compile(text, &[], None);
        assert!(document.is_none());
        assert_eq!(found(&diags, &sources), [(code.to_owned(), line)]);
    };
    let many: String = (0..10_001).map(|i| format!("let a{i} = 1\n")).collect();
    only(&with(&many), "limit/statements", 1);
    // Short as written: each part doubles what the one before brings.
    let mut text = with("part driver p {");
    (0..1500).for_each(|i| text += &format!("channel c{i} {{ current 1 A }}\n"));
    text += "}\n";
    (0..100).for_each(|i| text += &format!("part driver p{i} is p {{ finds [shadow] }}\n"));
    only(&text, "limit/statements", 1);
    let chain: String = (0..100).map(|i| format!("part driver p{i} is p{} {{ }}\n", i + 1)).collect();
    only(&with(&(chain + "part driver p100 { }\ndriver is p0 { }")), "limit/part-depth", 19);
}

#[test]
fn many_circles_and_many_mistakes_are_answered_at_once() {
    let text: String = (0..1500).map(|i| format!("let a{i} = a{} + a{} + b{i}\n", i + 1, i / 2)).collect();
    let (_, diags, _) = compile(&with(&text), &[], None);
    let circles = diags.iter().filter(|d| d.code == "name/loop");
    assert!(circles.clone().count() > 1 && circles.clone().all(|d| d.labels.len() <= 16 && d.message.len() < 300));
    assert!(diags.iter().filter(|d| d.code == "name/unknown").count() >= 1500);
}

#[test]
fn an_unknown_variant() {
    let (document, diags, _) = compile(&with("variant us { }"), &[], Some("su"));
    assert!(document.is_none());
    assert_eq!(diags[0].code, "name/unknown-variant");
    assert_eq!(diags[0].help.as_deref(), Some("did you mean `us`?"));
}
