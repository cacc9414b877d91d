//! What is run on each input, and what must hold whatever it says. A broken law is a panic, as a crash is.

use std::sync::OnceLock;

use lampwright::diag::{Diag, Sources};
use lampwright::language::loading::{LoadError, Loaded, Loader};
use lampwright::language::{parse::parse, resolve::resolve, tidy::tidy_text};
use lampwright::packet::templates::Overrides;
use lampwright::schema::tables::ROOT;
use lampwright::{Compiled, compile, render};

/// The example whose templates are replaced, and the parts that specs may use.
const LAMP: &str = include_str!("../../../examples/alder-table.lamp");
const PARTS: &str = include_str!("../../../examples/parts/drawer.lamp");
/// The sheet whose template is the input.
const SHEET: &str = "sheets/assumptions.md";

/// Name of each target, and what runs it.
pub(crate) const ALL: [(&str, fn(&str)); 4] =
    [("parse", parsed), ("resolve", resolved), ("pipeline", whole), ("template", template)];

/// Files by name: one that is a file of parts, one that is broken.
struct Shelf;

impl Loader for Shelf {
    fn load(&mut self, _: &str, path: &str) -> Result<Loaded, LoadError> {
        let text = match path {
            "parts/drawer.lamp" => PARTS,
            "broken.lamp" => "part driver d { curent 1 A\nlet = }",
            "circle.lamp" => "language 1\nuse \"circle.lamp\"\n",
            _ => return Err(LoadError::Missing { near: vec!["parts/drawer.lamp".into()] }),
        };
        Ok(Loaded { name: path.into(), text: text.into() })
    }
}

/// Messages lie inside their files, speak in one line and offer a way out.
fn sound(diags: &[Diag], sources: &Sources) {
    for diag in diags {
        for label in &diag.labels {
            let text = &sources.get(label.span.file).expect("a message names a file that was read").text;
            let (start, end) = (label.span.start as usize, label.span.end as usize);
            assert!(start <= end && text.get(start..end).is_some(), "a place outside its file: {diag:?}");
        }
        assert!(!diag.message.is_empty() && !diag.message.ends_with('.'), "a message without words: {diag:?}");
    }
}

/// Parse, and the laws of `tidy`: what it makes parses without a message, and twice is once.
fn parsed(text: &str) {
    let mut diags = Vec::new();
    let mut sources = Sources::default();
    let file = sources.add("spec.lamp", text);
    parse(file, text, &mut diags);
    sound(&diags, &sources);
    if let Ok(once) = tidy_text(file, text, &ROOT) {
        let twice =
            tidy_text(file, &once, &ROOT).unwrap_or_else(|d| panic!("tidy made what does not parse: {d:?}\n{once}"));
        assert_eq!(once, twice, "tidy twice is not tidy once");
    }
}

fn resolved(text: &str) {
    let mut diags = Vec::new();
    let mut sources = Sources::default();
    let file = sources.add("spec.lamp", text);
    let tree = parse(file, text, &mut diags);
    for variant in [None, Some("v")] {
        let mut diags = diags.clone();
        resolve(&tree, &mut Shelf, &ROOT, variant, &mut sources, &mut diags);
        sound(&diags, &sources);
    }
}

/// Everything, up to the bytes of every file of the packet.
fn whole(text: &str) {
    let outcome = compile("spec.lamp", text, &mut Shelf, None);
    sound(&outcome.diags, &outcome.sources);
    let Some(compiled) = outcome.compiled else {
        return assert!(!outcome.diags.is_empty(), "refused without a word");
    };
    sound(&compiled.report.diags(), &compiled.sources);
    printed(&compiled, &Overrides::new(), None, true);
}

/// One sheet through a template that anybody may have written.
fn template(text: &str) {
    static COMPILED: OnceLock<Compiled> = OnceLock::new();
    let compiled =
        COMPILED.get_or_init(|| *compile("spec.lamp", LAMP, &mut Shelf, None).compiled.expect("the example compiles"));
    let overrides = Overrides::from([(SHEET.to_owned(), text.to_owned())]);
    printed(compiled, &overrides, Some(&["assumptions".to_owned()]), false);
}

/// The packet's files; `shipped` templates must compose whatever the spec says.
fn printed(compiled: &Compiled, overrides: &Overrides, only: Option<&[String]>, shipped: bool) {
    let packet = match compiled.packet(overrides, only) {
        Ok(packet) => packet,
        Err(error) if shipped => panic!("the shipped sheets do not compose: {error:?}"),
        Err(_) => return,
    };
    // What cannot be set is refused in words: a name wider than its cell, a letter that no face has.
    let Ok(files) = render::files(&packet) else { return };
    for file in &files {
        let text = String::from_utf8_lossy(&file.bytes);
        assert!(file.path.ends_with(".pdf") || !text.contains('\u{1b}'), "{}: a control sequence", file.path);
        let words = |word: &str| text.split(|c: char| !c.is_ascii_alphanumeric()).any(|w| w == word);
        let none = file.path.ends_with(".pdf") || !(words("NaN") || words("inf"));
        assert!(none, "{}: prints what is no number", file.path);
    }
}
