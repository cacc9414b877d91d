//! The laws of `tidy`: twice is once, and nothing that is said changes.

use super::table::ROOT;
use lampwright::language::parse::parse;
use lampwright::language::syntax::{Expr, ExprForm, Form, Item, ItemForm, Value, ValueForm};
use lampwright::language::tidy::tidy_text;
use lampwright::language::units::spelled;

fn tidy(text: &str) -> String {
    tidy_text(0, text, &ROOT).unwrap_or_else(|diags| panic!("{text}\n{diags:?}"))
}

/// What a text says, without places: statements, comments, blank lines, values with one spelling of units.
fn said(text: &str) -> String {
    let mut diags = Vec::new();
    let tree = parse(0, text, &mut diags);
    assert!(diags.is_empty(), "{text}\n{diags:?}");
    let mut out = String::new();
    items(&tree.items, &mut out);
    out
}

fn items(list: &[Item], out: &mut String) {
    for (i, item) in list.iter().enumerate() {
        *out += if item.blank_before && i > 0 { "\n\n" } else { "\n" };
        match &item.form {
            ItemForm::Comment(c) => {
                let place = if item.begins_line { "own" } else { "behind" };
                *out += &format!("{place} {}", c.value.trim_start_matches('#').trim());
            }
            ItemForm::Wreck(_) => panic!("a wreck"),
            ItemForm::Statement(s) => {
                *out += &s.word.value;
                match &s.form {
                    Form::Property(v) => value(v, out),
                    Form::Equation(name, v) => {
                        *out += &name.value;
                        value(v, out);
                    }
                    Form::Block(head, body) => {
                        head.iter().for_each(|h| *out += &format!(" {:?} {}", h.text.value, h.quoted));
                        *out += "{";
                        items(&body.items, out);
                        *out += "\n}";
                    }
                }
            }
        }
    }
}

fn value(v: &Value, out: &mut String) {
    *out += match &v.form {
        ValueForm::Size(_) => " size",
        ValueForm::Amount { points, tolerance, condition } => match (points.len(), tolerance, condition) {
            (_, Some(_), Some(_)) => " both",
            (_, Some(_), None) => " tolerance",
            (_, None, Some(_)) => " condition",
            _ => " ",
        },
    };
    v.exprs().for_each(|e| expr(e, out));
    v.remarks.iter().for_each(|r| *out += &format!(" inside {}", r.text.value.trim_start_matches('#').trim()));
}

fn expr(e: &Expr, out: &mut String) {
    let mut all = |name: &str, list: &[Expr]| {
        *out += &format!("{name}(");
        list.iter().for_each(|e| expr(e, out));
        *out += ")";
    };
    match &e.form {
        ExprForm::Quantity(q) => {
            let unit = q.unit.as_ref().map(|u| spelled(&u.value).unwrap_or(u.value.clone()));
            *out += &format!("<{} {unit:?}>", q.number);
        }
        ExprForm::Text(t) => *out += &format!("{t:?}"),
        ExprForm::Date(t) | ExprForm::Path(t) => *out += &format!("<{t}>"),
        ExprForm::Call(name, list) => all(name, list),
        ExprForm::Group(list) => all("group", list),
        ExprForm::List(list) => all("list", list),
        ExprForm::Minus(inner) => all("minus", std::slice::from_ref(inner)),
        ExprForm::Chain(first, rest) => {
            all("chain", std::slice::from_ref(first));
            for (operator, operand) in rest {
                out.push(operator.sign());
                expr(operand, out);
            }
        }
    }
}

/// The lines of what is said; `tidy` may put properties into another order, so these are compared sorted.
fn lines(said: &str) -> Vec<&str> {
    let mut lines: Vec<&str> = said.split('\n').collect();
    lines.sort_unstable();
    lines
}

fn obeys(text: &str) {
    let once = tidy(text);
    assert_eq!(tidy(&once), once, "{text}");
    assert_eq!(lines(&said(&once)), lines(&said(text)), "{text}\n---\n{once}");
    assert!(!once.contains('\r') && !once.contains('\t') && !once.contains("\n\n\n"));
    assert!(once.is_empty() || once.ends_with('\n'));
    assert!(once.lines().all(|l| l.trim_end() == l), "{once}");
}

#[test]
fn known_texts() {
    let table = [
        ("", ""),
        ("language 1", "language 1\n"),
        ("\u{FEFF}a 1\r\n\r\n\r\n\r\nb 2\r\n", "a   1\n\nb   2\n"),
        ("a   {  b 1;c 2 }", "a { b 1; c 2 }\n"),
        ("a {\nb 1;c 2 }", "a {\n    b   1\n    c   2\n}\n"),
        ("a{b 3mm2;c 1uF}#x", "a { b 3 mm²; c 1 µF }  # x\n"),
        ("a { # first\nb 1 # second\n# third\n\n}", "a {  # first\n    b   1  # second\n    # third\n}\n"),
        (
            "driver { channel a {\nsense 10K\nfilter 10m\nchoke 10m\nlimit 10degC\nloss 10mW\n} }",
            concat!(
                "driver {\n    channel a {\n        sense   10K\n        filter  10m\n        choke   10m\n",
                "        limit   10 °C\n        loss    10 mW\n    }\n}\n",
            ),
        ),
        (
            "a { b 88×31 x 23mm; c 1V+/-1%;d (1mm,-2 mm); e [ x,y , ]}",
            "a { b 88 x 31 x 23 mm; c 1 V ± 1 %; d (1 mm, -2 mm); e [x, y] }\n",
        ),
        (
            "lamp \"A \\u{B5} \\\"b\\\"\" {\nrevision \"x\\ny\"\n}",
            "lamp \"A µ \\\"b\\\"\" {\n    revision    \"x\\ny\"\n}\n",
        ),
    ];
    for (text, expected) in table {
        assert_eq!(tidy(text), expected);
        obeys(text);
    }
}

/// Comments of a text, wherever they stand, sorted.
fn comments(text: &str) -> Vec<String> {
    let mut found: Vec<String> = text.lines().filter_map(|l| l.split_once('#')).map(|(_, c)| c.trim().into()).collect();
    found.sort();
    found
}

#[test]
fn comments_inside_a_value_are_kept() {
    let table = [
        (
            "a [1 mm, # one\n 2 mm # two\n, # three\n # four\n 3 mm\n # five\n]\n",
            "a   [\n    1 mm,  # one\n    2 mm,  # two\n    # three\n    # four\n    3 mm,\n    # five\n]\n",
        ),
        ("a [ # none\n x]\n", "a   [  # none\n    x,\n]\n"),
        ("a [ # none\n]\n", "a   [  # none\n]\n"),
        ("let a = (1 mm # one\n + # plus\n 2 mm)\n", "# one\n# plus\nlet a = (1 mm + 2 mm)\n"),
        ("a { b 1; c ( # x\n 1, 2) # y\n}\n", "a {\n    b   1\n    # x\n    c   (1, 2)  # y\n}\n"),
        ("a [(1 mm, # in\n 2 mm), (3 mm, 4 mm)]\n", "a   [\n    # in\n    (1 mm, 2 mm),\n    (3 mm, 4 mm),\n]\n"),
        ("let a = (1 mm\n + 2 mm)\n", "let a = (1 mm + 2 mm)\n"),
    ];
    for (text, expected) in table {
        let once = tidy(text);
        assert_eq!(once, expected, "{text}");
        assert_eq!(tidy(&once), once, "{text}");
        assert_eq!(comments(&once), comments(text), "{text}");
    }
}

#[test]
fn properties_take_the_order_of_the_schema_with_their_comments() {
    let table = [
        // Comments above and behind go with their property; the one above the paragraph belongs to its first line.
        (
            "lamp {\n made 2026-11-25 # behind\n # above\n title \"x\"\n # last\n}\n",
            "lamp {\n    # above\n    title   \"x\"\n    made    2026-11-25  # behind\n    # last\n}\n",
        ),
        // A blank line ends a paragraph, and a block, and a name that nobody knows.
        ("lamp {\n quantity 2\n\n title \"x\"\n}\n", "lamp {\n    quantity    2\n\n    title       \"x\"\n}\n"),
        ("mains { class I; cord { }; voltage 230 V }\n", "mains { class I; cord { }; voltage 230 V }\n"),
        ("mains { class I; voltage 230 V }\n", "mains { voltage 230 V; class I }\n"),
        ("mains { class I; odd 1; voltage 230 V }\n", "mains { class I; odd 1; voltage 230 V }\n"),
        (
            "lamp { # open\n quantity 2\n title \"x\"\n}\n",
            "lamp {  # open\n    title       \"x\"\n    quantity    2\n}\n",
        ),
    ];
    for (text, expected) in table {
        let once = tidy(text);
        assert_eq!(once, expected, "{text}");
        assert_eq!(tidy(&once), once, "{text}");
        assert_eq!(comments(&once), comments(text), "{text}");
    }
}

#[test]
fn whole_files() {
    let files = [include_str!("specs/stair.lamp"), include_str!("specs/whole.lamp"), include_str!("specs/drawer.lamp")];
    for text in files {
        obeys(text);
        obeys(&text.replace('\n', "\r\n"));
    }
}

#[test]
fn a_long_line_is_broken_once() {
    let block = format!("a {{ {} }}", (0..12).map(|i| format!("property-{i} {i}")).collect::<Vec<_>>().join("; "));
    assert_eq!(tidy(&block).lines().count(), 14);
    obeys(&block);
    let list = format!("a {{\nb [{}]\n}}", (0..30).map(|i| format!("word-{i}")).collect::<Vec<_>>().join(", "));
    assert_eq!(tidy(&list).lines().count(), 34);
    obeys(&list);
}

#[test]
fn a_file_with_errors_is_refused() {
    let errors = tidy_text(0, "a {\n b\n c 3,5 mm\n}\n", &ROOT).expect_err("two errors");
    assert_eq!(errors.len(), 2);
    assert!(tidy_text(0, "let b = min(a, 2 mm)*2\n", &ROOT).is_err(), "an operator wants its spaces");
}

/// Random specs, put together from pieces with careless spacing.
pub(crate) struct Soup(pub(crate) u64);

impl Soup {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 33) as usize % n
    }
    fn pick(&mut self, list: &[&str]) -> String {
        list[self.below(list.len())].to_owned()
    }
    pub(crate) fn block(&mut self, depth: usize) -> String {
        let mut text = String::new();
        for _ in 0..self.below(6) {
            text += &self.pick(&["", "  ", "\t", "\n", "\n\n\n", ";", "# note\n", "#!x ; { \"\n", "  ## }\r\n"]);
            text += &match self.below(4) {
                0 if depth < 4 => {
                    let head = self.pick(&[
                        "mains",
                        "driver",
                        "channel red",
                        "part driver a",
                        "lamp \"x\\\\ # y\"",
                        "a is b",
                        "waive a/b",
                    ]);
                    let open = self.pick(&["{", " {", " { ", " {\n", " { # so\n"]);
                    format!("{head}{open}{}{}", self.block(depth + 1), self.pick(&["}", " }", "\n}", "}\n"]))
                }
                _ => {
                    let name = self.pick(&[
                        "current",
                        "sense",
                        "a",
                        "filter",
                        "long-property-name",
                        "let x =",
                        "use",
                        "outer",
                    ]);
                    let value = self.pick(&[
                        "3mm",
                        "1R0 ± 1%",
                        "10K",
                        "220n",
                        "[a,b,\n c ]",
                        "[ a # in\n , b, # it\n # own\n ]",
                        "(a\n + b)",
                        "\"# ; }\"",
                        "2.0..2.2 .. 2.6V at 350mA",
                        "yes",
                        "2026-11-25",
                        "(1 mm,2mm)",
                        "3 x 4×5 mm",
                        "min(a, 2 * b) - -3 K",
                        "-(a.b / 2)",
                        "1/4 in",
                        "-5 °C",
                        "5 W/(m K)",
                        "unknown",
                        "3 zz",
                        "12V",
                    ]);
                    format!("{name} {value}{}", self.pick(&["\n", ";", " # why\n", "\n\n", " ; ", "\r\n"]))
                }
            };
        }
        text
    }
}

#[test]
fn random_soup() {
    let mut soup = Soup(7);
    for _ in 0..2000 {
        let text = soup.block(0);
        obeys(&text);
    }
}

#[test]
fn a_block_may_be_its_part_alone() {
    obeys("mains {\n  cord   is two-core # as bought\n a 1\n}\nsupply is closed-12v\nx { y is z; b 1 }\n");
    assert_eq!(tidy("x { y  is z;b 1 }\nsupply  is   closed-12v;"), "x { y is z; b 1 }\nsupply is closed-12v\n");
}
