//! Syntax: what is read, what is reported and where, and that no text brings the parser down.

use lampwright::diag::{Diag, Sources};
use lampwright::language::parse::parse;

const STAIR: &str = include_str!("specs/stair.lamp");

/// Code and line of every message.
fn errors(text: &str) -> Vec<(String, usize)> {
    let mut sources = Sources::default();
    let file = sources.add("spec.lamp", text);
    let mut diags: Vec<Diag> = Vec::new();
    parse(file, text, &mut diags);
    diags.iter().map(|d| (d.code.clone(), sources.place(d.span()).0)).collect()
}

#[test]
fn a_good_spec_has_no_errors() {
    for text in [STAIR.to_owned(), format!("\u{FEFF}{STAIR}"), STAIR.replace('\n', "\r\n")] {
        assert_eq!(errors(&text), []);
    }
}

#[test]
fn each_mistake_is_reported_at_its_line() {
    let table: &[(&str, &[(&str, usize)])] = &[
        ("a {\n depth\n}\n", &[("syntax/value-missing", 2)]),
        ("a {\n depth 3 mm +\n width 2 mm\n}\n", &[("syntax/value-missing", 2)]),
        ("a {\n depth = 3 mm\n width: 2 mm\n}\n", &[("syntax/sign", 2), ("syntax/sign", 3)]),
        ("a {\n name \"open\n depth 3 mm\n}\n", &[("syntax/unclosed-text", 2)]),
        ("a {\n name \"a \\q\"\n}\n", &[("syntax/escape", 2)]),
        ("a {\n depth (3 mm + 2 mm\n}\n", &[("syntax/unclosed", 2)]),
        ("a {\n depth a + b*c\n}\n", &[("syntax/operator", 2)]),
        ("a {\n depth 3,5 mm\n}\n", &[("syntax/decimal-comma", 2)]),
        ("a {\n feeds red, warm\n}\n", &[("syntax/comma", 2)]),
        ("a {\n depth 3 mm wide\n}\n", &[("syntax/unexpected", 2)]),
        ("a {\n 3 mm\n ? x\n}\n", &[("syntax/statement", 2), ("syntax/statement", 3)]),
        ("a {\n depth 1 .. 2 .. 3 .. 4 mm\n}\n", &[("syntax/too-many-figures", 2)]),
        ("a {\n size 1 x 2 x 3 x 4 mm\n}\n", &[("syntax/too-many-figures", 2)]),
        ("a 3 {\n depth\n}\nb {\n}\n", &[("syntax/block-head", 1), ("syntax/value-missing", 2)]),
        ("{ depth 3 mm }\n", &[("syntax/block-head", 1)]),
        ("a {\n}\n}\n", &[("syntax/stray-brace", 3)]),
        ("a {\n depth 3 mm\n", &[("syntax/unclosed-block", 1)]),
        ("a {\n  b {\n    depth 3 mm\n  c {\n  }\n}\nd {\n}\n", &[("syntax/unclosed-block", 2)]),
        (
            "a {\n depth\n width 1 mm\n}\nb {\n length 3 mm 4\n name \"x\n}\n",
            &[("syntax/value-missing", 2), ("syntax/unexpected", 6), ("syntax/unclosed-text", 7)],
        ),
    ];
    for (text, expected) in table {
        let expected: Vec<_> = expected.iter().map(|(c, l)| (c.to_string(), *l)).collect();
        assert_eq!(errors(text), expected, "{text}");
    }
}

#[test]
fn a_mistake_is_told_in_the_makers_words() {
    let mut diags = Vec::new();
    parse(0, "a {\n    depth\n}\n", &mut diags);
    assert_eq!(diags[0].message, "expected a value after `depth`");
    assert_eq!((diags[0].span().start, diags[0].span().end), (13, 13));
}

#[test]
fn limits_are_errors() {
    let braces = "a {".repeat(100_000);
    let parentheses = format!("depth {}", "(".repeat(100_000));
    let long = "#".repeat((1 << 20) + 1);
    for (text, code) in [(braces, "limit/nesting"), (parentheses, "limit/nesting"), (long, "limit/file-size")] {
        assert_eq!(errors(&text), [(code.to_string(), 1)]);
    }
    let deep = format!("{}{}", "a {".repeat(32), "}".repeat(32));
    assert_eq!(errors(&deep), []);
}

#[test]
fn no_text_brings_it_down() {
    for end in (0..STAIR.len()).filter(|i| STAIR.is_char_boundary(*i)) {
        errors(&STAIR[..end]);
        errors(&STAIR[end..]);
    }
    let mut state = 12345u64;
    let mut next = || {
        state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (state >> 33) as u32
    };
    let signs: Vec<char> = "{}()[]\"\\#;\n =+-*/.,xat1Ωµ°²×±\u{0}\u{FEFF}ab".chars().collect();
    for _ in 0..1500 {
        let text: String = (0..next() % 60).map(|_| signs[next() as usize % signs.len()]).collect();
        errors(&text);
        let bytes: Vec<u8> = (0..next() % 60).map(|_| next() as u8).collect();
        errors(&String::from_utf8_lossy(&bytes));
    }
    let line = format!("depth {}", "1 + ".repeat(1 << 17));
    assert_eq!(errors(&line), [("syntax/value-missing".to_string(), 1)]);
    assert_eq!(errors(&format!("depth {}1", "1 + ".repeat(1 << 17))), []);
    assert_eq!(errors(&format!("depth {}", "a".repeat(1 << 19))), []);
}
