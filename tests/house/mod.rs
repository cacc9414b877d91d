//! House rules as tests: layers, file lengths, no unfinished work, no words the papers must not print.

mod generated;
mod licences;

use std::fs;
use std::path::{Path, PathBuf};

use crate::support::root;

/// The layers, first to last: a module may use those before it and its own.
const ORDER: [&str; 20] = [
    "threads", "diag", "figures", "quantity", "spread", "schema", "language", "lamp", "ledger", "physics", "solve",
    "rules", "packet", "built", "batch", "compare", "what_if", "editor", "render", "cli",
];

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(at) = open.pop() {
        for entry in fs::read_dir(&at).expect("a folder of the project").flatten().map(|e| e.path()) {
            if entry.is_dir() {
                open.push(entry);
            } else if entry.extension().is_some_and(|e| e == "rs") {
                found.push(entry);
            }
        }
    }
    found.sort();
    found
}

/// Source without its unit tests, as (line number, line).
fn source(path: &Path) -> Vec<(usize, String)> {
    let text = fs::read_to_string(path).expect("a source file");
    let body = text.split("#[cfg(test)]").next().unwrap_or("");
    body.lines().enumerate().map(|(i, l)| (i + 1, l.to_owned())).collect()
}

fn module_of(path: &Path) -> String {
    let below = path.strip_prefix(root().join("src")).expect("below src");
    let first = below.iter().next().expect("a name").to_string_lossy();
    first.trim_end_matches(".rs").to_owned()
}

#[test]
fn layers_only_look_back() {
    let rank = |name: &str| ORDER.iter().position(|m| *m == name);
    let mut faults = Vec::new();
    for path in rust_files(&root().join("src")) {
        let module = module_of(&path);
        let Some(here) = rank(&module) else { continue };
        for (line, text) in source(&path) {
            for used in text.split("crate::").skip(1) {
                let name: String = used.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                if rank(&name).is_some_and(|there| there > here) {
                    faults.push(format!("{}:{line}: `{module}` uses `{name}`, which comes after it", path.display()));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn physics_knows_no_lamp() {
    for path in rust_files(&root().join("src/physics")) {
        for (line, text) in source(&path) {
            let names = ["crate::lamp", "crate::solve", "crate::ledger", "crate::schema", "crate::language"];
            assert!(!names.iter().any(|n| text.contains(n)), "{}:{line}: {text}", path.display());
        }
    }
}

#[test]
fn files_say_what_they_are_for_and_stay_short() {
    let mut faults = Vec::new();
    for path in rust_files(&root().join("src")).into_iter().chain(rust_files(&root().join("tests"))) {
        let text = fs::read_to_string(&path).expect("a source file");
        if !text.starts_with("//!") {
            faults.push(format!("{}: does not say what it is for", path.display()));
        }
        let lines = text.lines().count();
        if lines > 400 {
            faults.push(format!("{}: {lines} lines, more than 400", path.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn nothing_is_left_unfinished() {
    let signs = ["todo!", "unimplemented!", "TODO", "FIXME", "XXX"].map(|s| s.to_owned());
    for path in rust_files(&root().join("src")) {
        for (line, text) in source(&path) {
            assert!(!signs.iter().any(|s| text.contains(s.as_str())), "{}:{line}: {text}", path.display());
        }
    }
}

/// The papers defer to local codes; they never claim what only a test house may.
#[test]
fn papers_claim_nothing_they_may_not() {
    let mut faults = Vec::new();
    let mut open = vec![root().join("templates/sheets")];
    while let Some(folder) = open.pop() {
        for path in fs::read_dir(&folder).expect("templates").flatten().map(|e| e.path()) {
            if path.is_dir() {
                open.push(path);
                continue;
            }
            let text = fs::read_to_string(&path).unwrap_or_default().to_lowercase();
            for word in ["certified", "compliant", "is safe", "are safe", "safe to"] {
                if text.contains(word) {
                    faults.push(format!("{}: says `{word}`", path.display()));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
