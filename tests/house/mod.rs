//! House rules as tests: layers, file lengths, no unfinished work, no words the papers must not print.

mod generated;
mod licences;

use std::fs;
use std::path::{Path, PathBuf};

use crate::support::root;

/// The layers, first to last: a module may use those before it and its own.
const ORDER: [&str; 22] = [
    "threads", "diag", "figures", "quantity", "spread", "schema", "language", "lamp", "ledger", "physics", "solve",
    "rules", "packet", "digest", "built", "reading", "batch", "compare", "what_if", "editor", "render", "cli",
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

/// Modules that stand behind `crate::` in a line: one, or several in braces.
fn used(line: &str) -> Vec<String> {
    let name = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut found = Vec::new();
    for after in line.split("crate::").skip(1) {
        let Some(group) = after.strip_prefix('{') else {
            found.push(name(after));
            continue;
        };
        assert!(group.contains('}'), "a group of modules is read on one line only: {line}");
        let (mut depth, mut begins) = (0, true);
        for (at, c) in group.char_indices() {
            match c {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => begins = true,
                c if begins && !c.is_whitespace() => {
                    found.push(name(&group[at..]));
                    begins = false;
                }
                _ => {}
            }
        }
    }
    found
}

#[test]
fn layers_only_look_back() {
    let rank = |name: &str| ORDER.iter().position(|m| *m == name);
    let mut faults = Vec::new();
    for path in rust_files(&root().join("src")) {
        let module = module_of(&path);
        let Some(here) = rank(&module) else {
            // The pipeline itself stands above all layers.
            assert!(["lib", "main"].contains(&module.as_str()), "`{module}` has no place among the layers");
            continue;
        };
        for (line, text) in source(&path) {
            for name in used(&text).iter().filter(|name| rank(name).is_some_and(|there| there > here)) {
                faults.push(format!("{}:{line}: `{module}` uses `{name}`, which comes after it", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!(used("use crate::{digest, lamp::{facts, Lamp}, Compiled};"), ["digest", "lamp", "Compiled"]);
}

#[test]
fn physics_knows_no_lamp() {
    for path in rust_files(&root().join("src/physics")) {
        for (line, text) in source(&path) {
            for name in used(&text) {
                let known = ["physics", "quantity", "spread", "figures"].contains(&name.as_str());
                assert!(known, "{}:{line}: {text}", path.display());
            }
        }
    }
}

/// What a rule may take from physics: names of things, constants and rows of standards, and what bounds a figure.
/// Figures themselves are worked out in `solve`, which enters them in the ledger.
const LIMITS: [&str; 36] = [
    // Names: of a wall, a colour, a group, a fault.
    "Wall",
    "Colour",
    "Conductor",
    "Marking",
    "Region",
    "Chromaticity",
    "Group",
    "Touched",
    "Edge",
    "KerfFault",
    "PlateFault",
    "Verdict",
    "Correlated",
    // Constants and rows of standards and handbooks.
    "limits",
    "materials",
    "touch_limit",
    "conductor_colour",
    "reserved_for",
    "suggest_class_three",
    "TOUCHABLE",
    "TOUCHABLE_DAMP",
    "HOLE_EDGE_RADIUS",
    "FINGER_LENGTH",
    "SHINY",
    "PLAINLY_SEEN",
    "STEP",
    "SOFT",
    "BRIGHT",
    "GREATEST_EFFICACY",
    // What holds for a figure that the author wrote.
    "is_a_light",
    "edge_distance_wanted",
    "web_wanted",
    "slot_fits",
    "clean_for_camera",
    // Renamed where two words would clash.
    "Opening",
    "Paint",
];

#[test]
fn rules_take_limits_from_physics_and_no_figures() {
    for path in rust_files(&root().join("src/rules")) {
        for (line, text) in source(&path).into_iter().filter(|(_, text)| text.contains("crate::physics::")) {
            let names = text.rsplit("::").next().unwrap_or_default().trim_matches(|c| "{};".contains(c));
            let names = names.split([',', ' ']).map(|name| name.trim_matches(|c| "{};".contains(c)));
            for name in names.filter(|name| !["", "as", "self", "SHINY_BELOW"].contains(name)) {
                assert!(LIMITS.contains(&name), "{}:{line}: `{name}` is worked out in `solve`", path.display());
            }
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

/// Each file of `tests/published` has its row in SOURCES.md, and each test that the page names is there.
#[test]
fn every_published_test_names_its_source() {
    let page = fs::read_to_string(root().join("tests/SOURCES.md")).expect("the page");
    for path in rust_files(&root().join("tests/published")) {
        let text = fs::read_to_string(&path).expect("a source file");
        let name = format!("published/{}", path.file_name().unwrap_or_default().display());
        // The readers of tables test themselves and need no source.
        let asks_the_program =
            text.contains("#[test]") && (text.contains("lampwright::") || text.contains("support::"));
        assert!(!asks_the_program || page.contains(&format!("`{name}`")), "{name} has no row");
    }
    for name in page.split('`').filter(|name| name.ends_with(".rs")) {
        let there = |folder: &str| root().join(folder).join(name).is_file();
        assert!(there("tests") || there(""), "there is no {name}");
    }
}
