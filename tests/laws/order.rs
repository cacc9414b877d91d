//! The order of statements, comments and white space say nothing: the packet is the same, byte for byte.

use lampwright::Compiled;
use lampwright::language::parse::parse;
use lampwright::language::syntax::{Form, Item, ItemForm};
use lampwright::language::tidy::tidy_text;
use lampwright::packet::templates::Overrides;
use lampwright::render::{self, File};
use lampwright::schema::tables::ROOT;

use super::Random;
use crate::support::{compile, examples, text_of};

/// The statements of a block, or of the file, in another order, with comments and odd white space between them.
/// Blocks of one kind keep their order: it is the order of the channels on the papers.
fn shuffled(text: &str, items: &[Item], random: &mut Random) -> String {
    let statements: Vec<_> =
        items.iter().filter_map(|i| if let ItemForm::Statement(s) = &i.form { Some(s) } else { None }).collect();
    let mut order: Vec<usize> = (0..statements.len()).collect();
    random.shuffle(&mut order);
    let is_block = |i: &usize| matches!(statements[*i].form, Form::Block(..));
    let mut out = String::new();
    let mut blocks = (0..statements.len()).filter(is_block);
    for place in order {
        let at = if is_block(&place) { blocks.next().unwrap_or(place) } else { place };
        let statement = statements[at];
        let span = statement.span;
        let said = &text[span.start as usize..span.end as usize];
        match &statement.form {
            // `cord is two-core` is a block without braces.
            Form::Block(_, body) if said.contains('{') => {
                let open = said.find('{').unwrap_or(0);
                out += &format!("{}{{\n{}}}", &said[..open], shuffled(text, &body.items, random));
            }
            _ => out += said,
        }
        out += ["\n", " # a remark\n", "\n\n\t# { not a block }\n", " ;\n"][random.below(4)];
    }
    out
}

fn another(text: &str, random: &mut Random) -> String {
    let mut diags = Vec::new();
    let tree = parse(0, text, &mut diags);
    assert!(diags.is_empty());
    let (first, rest) = tree
        .items
        .iter()
        .position(|i| matches!(i.form, ItemForm::Statement(_)))
        .map_or_else(|| panic!("an empty file"), |at| (&tree.items[at], &tree.items[at + 1..]));
    let ItemForm::Statement(language) = &first.form else { panic!("the language comes first") };
    let head = &text[language.span.start as usize..language.span.end as usize];
    format!("# another order\n{head}\n{}", shuffled(text, rest, random))
}

fn files(compiled: &Compiled) -> Vec<File> {
    let packet = compiled.packet(&Overrides::new(), None).expect("a packet");
    render::files(&packet).expect("files")
}

/// What the papers are made from, without places in the text.
fn substance(compiled: &Compiled) -> String {
    let figures: String = compiled
        .solution
        .ledger
        .iter()
        .map(|e| format!("{} {:?} {:?} {}\n", e.path, e.value, e.band, e.shown))
        .collect();
    let findings: String = compiled.report.diags().iter().map(|d| format!("{} {}\n", d.code, d.message)).collect();
    format!("{}{figures}{findings}", compiled.identity().digest)
}

#[test]
fn order_and_comments_change_no_byte() {
    let mut random = Random(31);
    for (index, name) in examples().into_iter().enumerate() {
        let text = text_of(&name);
        let first = compile(&text, None).unwrap_or_else(|e| panic!("{name}: {e}"));
        let wanted = substance(&first);
        for round in 0..3 {
            let other = another(&text, &mut random);
            assert_ne!(other, text);
            let second = compile(&other, None).unwrap_or_else(|e| panic!("{name}, round {round}: {e}\n{other}"));
            let found = substance(&second);
            let differs = wanted.lines().zip(found.lines()).find(|(a, b)| a != b);
            assert!(wanted == found, "{name}, round {round}: {differs:?}\n{other}");
            // To set a whole packet takes long: one example, once.
            if (index, round) == (0, 0) {
                let (one, two) = (files(&first), files(&second));
                assert_eq!(one.len(), two.len(), "{name}: as many files");
                for (a, b) in one.iter().zip(&two) {
                    assert!(a == b, "{name}: {} differs when the spec is written in another order", a.path);
                }
            }
        }
    }
}

/// What `tidy` makes of a shuffled spec says the same: every figure, finding and the digest.
#[test]
fn tidy_changes_nothing_that_is_said() {
    let mut random = Random(32);
    for name in examples() {
        let text = text_of(&name);
        let messy = another(&text, &mut random);
        let tidied = tidy_text(0, &messy, &ROOT).unwrap_or_else(|d| panic!("{name}: {d:?}"));
        assert_eq!(tidy_text(0, &tidied, &ROOT).as_ref(), Ok(&tidied), "{name}: twice is once");
        let [before, after] =
            [&messy, &tidied].map(|t| substance(&compile(t, None).unwrap_or_else(|e| panic!("{name}: {e}"))));
        assert!(before == after, "{name}: tidy changed what is said\n{tidied}");
    }
}
