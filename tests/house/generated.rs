//! Pages that the program writes are current; `BLESS=1 cargo test --test main house::` writes them anew.

use std::fs;

use lampwright::schema::{highlight, reference, tables};

use crate::support::root;

fn held(path: &str, page: &str) {
    let file = root().join(path);
    if std::env::var_os("BLESS").is_some() {
        fs::write(&file, page).expect("a page of the project");
    }
    let stands = fs::read_to_string(&file).unwrap_or_default();
    assert!(stands == page, "{path} is stale: run `BLESS=1 cargo test --test main house::` and look at the difference");
}

#[test]
fn the_language_reference_is_current() {
    held("grammar/reference.md", &reference::reference(&tables::ROOT));
}

#[test]
fn the_reference_of_as_built_files_is_current() {
    held("grammar/as-built.md", &reference::as_built(&tables::BUILT));
}

#[test]
fn the_highlighting_grammar_is_current() {
    held("grammar/highlight.json", &format!("{:#}\n", highlight::grammar(&tables::ROOT)));
}
