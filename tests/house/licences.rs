//! What the program is built from may be used as we use it: the licences of all crates, read without a network.

use std::collections::BTreeSet;
use std::process::Command;

use serde_json::Value;

use crate::support::root;

/// Licences that ask for no more than their text beside the program. `OR` in an expression needs one of these.
const TAKEN: [&str; 12] = [
    "MIT",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "0BSD",
    "Unicode-3.0",
    "Unlicense",
    "CC0-1.0",
    "BSL-1.0",
];

/// Whether an SPDX expression can be met: `AND` needs every side, `OR` or the old `/` one of them; `AND` binds closer.
fn met(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut at = 0;
    any(&words, &mut at) && at == words.len()
}

fn any(words: &[&str], at: &mut usize) -> bool {
    let mut found = every(words, at);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        found |= every(words, at);
    }
    found
}

fn every(words: &[&str], at: &mut usize) -> bool {
    let mut found = one(words, at);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        found &= one(words, at);
    }
    found
}

/// One licence, with its exception where it has one, or an expression in parentheses.
fn one(words: &[&str], at: &mut usize) -> bool {
    let first = words.get(*at).copied().unwrap_or_default();
    *at += 1;
    if first == "(" {
        let found = any(words, at);
        *at += 1;
        return found;
    }
    let mut licence = first.to_owned();
    if words.get(*at) == Some(&"WITH") {
        licence = words[*at - 1..words.len().min(*at + 2)].join(" ");
        *at += 2;
    }
    TAKEN.contains(&licence.as_str())
}

#[test]
fn an_expression_of_licences_is_met_by_its_meaning() {
    for (expression, wanted) in [
        ("MIT", true),
        ("GPL-3.0", false),
        ("GPL-3.0 OR MIT", true),
        ("MIT/Apache-2.0", true),
        ("Apache-2.0 WITH LLVM-exception OR GPL-2.0", true),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
        ("(MIT OR Apache-2.0) AND GPL-3.0", false),
        ("GPL-3.0 AND (MIT OR ISC)", false),
        ("MIT OR ISC AND GPL-3.0", true),
        ("MIT AND", false),
        ("", false),
    ] {
        assert_eq!(met(expression), wanted, "{expression}");
    }
}

/// The platform's name, as the compiler that builds us says it.
fn host() -> String {
    let rustc = std::env::var("RUSTC").unwrap_or_else(|_| "rustc".to_owned());
    let output = Command::new(rustc).arg("-vV").output().expect("rustc");
    let said = String::from_utf8(output.stdout).expect("text");
    said.lines().find_map(|l| l.strip_prefix("host: ")).expect("a host").to_owned()
}

#[test]
fn every_crate_has_a_licence_that_we_take() {
    // Of this platform only: a fresh machine has fetched no crate of another.
    let platform = host();
    let arguments =
        ["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", platform.as_str()];
    let output = Command::new(env!("CARGO")).args(arguments).current_dir(root()).output().expect("cargo");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let packages = metadata["packages"].as_array().expect("packages");
    assert!(packages.len() > 50, "only {} packages", packages.len());
    let refused: Vec<String> = packages
        .iter()
        .filter(|p| !p["license"].as_str().is_some_and(met))
        .map(|p| format!("{} {}: {}", p["name"], p["version"], p["license"]))
        .collect();
    assert!(refused.is_empty(), "licences to look at:\n{}", refused.join("\n"));
}

/// Everything comes from the registry, with its checksum; nothing from a branch that may move.
#[test]
fn every_crate_is_pinned() {
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).expect("Cargo.lock");
    let mut names = BTreeSet::new();
    for package in lock.split("[[package]]").skip(1) {
        let name = package.lines().find_map(|l| l.strip_prefix("name = ")).expect("a name").trim_matches('"');
        assert!(names.insert(package.lines().take(3).collect::<String>()), "{name} stands twice");
        if name != "lampwright" {
            assert!(package.contains("registry+") && package.contains("checksum = "), "{name} is not pinned");
        }
    }
    assert!(names.len() > 50);
}
