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

/// Whether an SPDX expression can be met: `AND` needs every side, `OR` or the old `/` one of them.
fn met(expression: &str) -> bool {
    let flat = expression.replace(['(', ')'], " ").replace('/', " OR ");
    // Without nesting beyond one level, which no crate of ours has, a sum of alternatives is met by one clean one.
    flat.split(" OR ").any(|side| side.split(" AND ").all(|one| TAKEN.contains(&one.trim())))
        || flat.split(" AND ").all(|side| side.split(" OR ").any(|one| TAKEN.contains(&one.trim())))
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
