//! The language: syntax, values, names, `use`, parts, variants, tidy and the reference page.

mod errors;
mod figures;
mod laws;
mod real;
mod reference;
mod syntax;
mod table;
mod tidy;
mod whole;

use std::collections::BTreeMap;

use lampwright::diag::{Diag, Sources};
use lampwright::language::document::Document;
use lampwright::language::loading::{LoadError, Loaded, Loader};
use lampwright::language::parse::parse;
use lampwright::language::resolve::resolve;

/// Files by name.
struct Files(BTreeMap<String, String>);

impl Loader for Files {
    fn load(&mut self, _: &str, path: &str) -> Result<Loaded, LoadError> {
        match path {
            "folder" => Err(LoadError::Directory),
            "../out.lamp" => Err(LoadError::Outside),
            "binary.lamp" => Err(LoadError::NotText),
            "locked.lamp" => Err(LoadError::Other("permission denied".into())),
            _ => match self.0.get(path) {
                Some(text) => Ok(Loaded { name: path.into(), text: text.clone() }),
                None => Err(LoadError::Missing { near: self.0.keys().cloned().collect() }),
            },
        }
    }
}

/// Parses and resolves `text` with the test schema.
fn compile(text: &str, files: &[(&str, &str)], variant: Option<&str>) -> (Option<Document>, Vec<Diag>, Sources) {
    let mut sources = Sources::default();
    let mut diags = Vec::new();
    let file = sources.add("spec.lamp", text);
    let mut files = Files(files.iter().map(|(n, t)| (n.to_string(), t.to_string())).collect());
    let tree = parse(file, text, &mut diags);
    let document = resolve(&tree, &mut files, &table::ROOT, variant, &mut sources, &mut diags);
    (document, diags, sources)
}

/// Code and line of every message.
fn found(diags: &[Diag], sources: &Sources) -> Vec<(String, usize)> {
    diags.iter().map(|d| (d.code.clone(), sources.place(d.span()).0)).collect()
}
