//! Laws of the real schema: names that can be written, defaults that can be read, specs we ship in canonical form.

use lampwright::diag::Sources;
use lampwright::language::loading::NoFiles;
use lampwright::language::parse::parse;
use lampwright::language::resolve::resolve;
use lampwright::language::tidy::tidy_text;
use lampwright::schema::tables::ROOT;
use lampwright::schema::{Arity, Block, Default, Shape};

use crate::support::{examples, root};

fn every(block: &'static Block, visit: &mut dyn FnMut(&'static Block)) {
    visit(block);
    block.blocks.iter().for_each(|b| every(b, visit));
}

fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}

#[test]
fn every_word_can_be_written() {
    every(&ROOT, &mut |block| {
        let mut words: Vec<&str> = block.properties.iter().map(|p| p.name).collect();
        words.extend(block.blocks.iter().map(|b| b.kind));
        assert!(words.iter().all(|w| is_name(w)), "{words:?}");
        // At the top these words mean something of their own; `is` joins a block and its part everywhere.
        let top = ["language", "use", "let", "part", "variant", "waive"];
        assert!(words.iter().all(|w| *w != "is" && (!block.kind.is_empty() || !top.contains(w))), "{words:?}");
        let count = words.len();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), count, "a word of `{}` stands twice", block.kind);
        for property in block.properties {
            let (Shape::Word(choices) | Shape::Words(choices)) = property.shape else { continue };
            for choice in choices {
                let text = format!("a {}\n", choice.word);
                let mut diags = Vec::new();
                parse(0, &text, &mut diags);
                assert!(diags.is_empty() && !choice.word.contains(' '), "{}: {}", property.name, choice.word);
            }
        }
    });
}

#[test]
fn every_default_is_a_usual_value() {
    every(&ROOT, &mut |block| {
        // The block alone, with what need not be written, as a lamp of its own.
        let properties: Vec<_> = block.properties.iter().copied().filter(|p| p.default != Default::Required).collect();
        let alone = Block { arity: Arity::One, properties: properties.leak(), blocks: &[], ..*block };
        let schema: &'static Block =
            Box::leak(Box::new(Block { kind: "", blocks: Vec::leak(vec![alone]), properties: &[], ..ROOT }));
        let text = "language 1\n";
        let (mut sources, mut diags) = (Sources::default(), Vec::new());
        let file = sources.add("spec.lamp", text);
        let tree = parse(file, text, &mut diags);
        let document = resolve(&tree, &mut NoFiles, schema, None, &mut sources, &mut diags);
        assert!(document.is_some() && diags.is_empty(), "`{}`: {diags:#?}", block.kind);
    });
}

#[test]
fn usual_lies_within_bounds() {
    every(&ROOT, &mut |block| {
        for property in block.properties {
            let ordered = |range: Option<(f64, f64)>| range.is_none_or(|(low, high)| low <= high);
            assert!(ordered(property.usual) && ordered(property.bounds), "{}", property.name);
            if let (Some(usual), Some(bounds)) = (property.usual, property.bounds) {
                assert!(bounds.0 <= usual.0 && usual.1 <= bounds.1, "{}.{}", block.kind, property.name);
            }
        }
    });
}

#[test]
fn shipped_specs_are_tidy() {
    let names = examples().into_iter().map(|name| format!("examples/{name}.lamp"));
    for name in names.chain(["examples/parts/drawer.lamp".to_owned(), "templates/new.lamp".to_owned()]) {
        let text = std::fs::read_to_string(root().join(&name)).expect("text");
        let once = tidy_text(0, &text, &ROOT).unwrap_or_else(|d| panic!("{name}: {d:?}"));
        assert!(once == text, "{name} is not as `tidy` writes it");
    }
}
