//! `which`: the code of a printed page to revision, variant, unit, and what changed since.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

use super::{new_spec, place, run, write};

pub(super) fn git(folder: &Path, arguments: &[&str]) {
    let who = ["-c", "user.name=n", "-c", "user.email=n@example.invalid", "-c", "commit.gpgsign=false"];
    let done = Command::new("git").args(who).args(arguments).current_dir(folder).output().expect("git runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
}

pub(super) fn commit(folder: &Path, subject: &str) {
    git(folder, &["add", "."]);
    git(folder, &["commit", "-q", "-m", subject]);
}

/// The code in the footer of the papers, as a reader of the sheets finds it.
fn code(folder: &Path, spec: &str, variant: Option<&str>) -> String {
    let mut arguments = vec!["packet", spec, "--stdout", "packet.json"];
    arguments.extend(variant.iter().flat_map(|v| ["--variant", v]));
    let ran = run(folder, &arguments);
    let packet: Value = serde_json::from_str(&ran.out).expect("JSON");
    packet["identity"]["digest"].as_str().expect("a digest").to_owned()
}

/// A lamp with a variant and a part of its own file, three commits long; gives the code of each commit's papers.
fn history(name: &str) -> (std::path::PathBuf, [String; 3]) {
    let folder = place(name);
    git(&folder, &["init", "-q"]);
    std::fs::create_dir_all(folder.join("lamps")).expect("a folder");
    let spec = new_spec() + "\nuse \"shared.lamp\"\n\nvariant cold { lamp { room 5 °C .. shade } }\n";
    write(&folder, "lamps/one.lamp", &spec);
    write(&folder, "lamps/shared.lamp", "language 1\n\nlet shade = 20 °C\n");
    let first = code(&folder, "lamps/one.lamp", Some("cold"));
    commit(&folder, "The first lamp");
    write(&folder, "lamps/one.lamp", spec.replace("0.7 kg", "0.8 kg"));
    let second = code(&folder, "lamps/one.lamp", None);
    commit(&folder, "Weighed it");
    write(&folder, "lamps/shared.lamp", "language 1\n\nlet shade = 22 °C\n");
    let third = code(&folder, "lamps/one.lamp", Some("cold"));
    commit(&folder, "A warmer shade");
    (folder, [first, second, third])
}

#[test]
fn a_page_is_found_in_any_commit_with_its_variant_and_unit() {
    let (folder, [first, second, third]) = history("which");
    assert!(first != second && second != third);
    // Of the first commit: stale, with the commits and the figures that changed since.
    let old = run(&folder, &["which", &format!("{first}-7")]);
    assert_eq!(old.code, 1, "{}", old.err);
    for part in ["variant cold, unit 7", "lamps/one.lamp", "The first lamp", "stale", "Weighed it", "A warmer shade"] {
        assert!(old.out.contains(part), "no `{part}` in\n{}", old.out);
    }
    assert!(old.out.contains("lamp.mass") || old.out.contains("700 g"), "no change named in\n{}", old.out);
    // Without its variant the lamp did not move since the second commit.
    let now = run(&folder, &["which", &second.to_uppercase()]);
    assert_eq!(now.code, 0, "{}", now.err);
    assert!(now.out.contains("state    current") && now.out.contains("last in"), "{}", now.out);
    assert!(!now.out.contains("variant"), "{}", now.out);
    // From a folder below, by the first characters, of one spec, as data.
    for spec in ["one.lamp", "../lamps/one.lamp"] {
        let ran = run(&folder.join("lamps"), &["which", &third[..6], spec, "--format", "json"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        let found: Value = serde_json::from_str(&ran.out).expect("JSON");
        assert_eq!((&found["state"], &found["variant"]), (&Value::from("current"), &Value::from("cold")));
        assert_eq!(found["last"]["subject"], "A warmer shade", "{spec}");
    }
}

#[test]
fn papers_of_no_commit_of_a_lost_spec_and_of_nobody_are_told_apart() {
    let (folder, [first, ..]) = history("which-lost");
    write(&folder, "lamps/two.lamp", new_spec().replace("0.7 kg", "0.9 kg"));
    let fresh = run(&folder, &["which", &code(&folder, "lamps/two.lamp", None)]);
    assert_eq!(fresh.code, 0, "{}", fresh.err);
    assert!(fresh.out.contains("never committed"), "{}", fresh.out);
    git(&folder, &["rm", "-q", "lamps/one.lamp"]);
    let gone = run(&folder, &["which", &first]);
    assert_eq!(gone.code, 1, "{}", gone.err);
    assert!(gone.out.contains("gone:") && gone.out.contains("The first lamp"), "{}", gone.out);
    let nobody = run(&folder, &["which", "0123456789ab"]);
    assert_eq!(nobody.code, 3);
    assert!(nobody.err.contains("no papers with the code 0123456789ab"), "{}", nobody.err);
    for wrong in ["abc", "xyzw1234", "0123456789abcd", "3f09-", "3f09-x"] {
        let ran = run(&folder, &["which", wrong]);
        assert_eq!(ran.code, 3, "{wrong}");
        assert!(ran.err.contains("is no code of a page"), "{}", ran.err);
    }
}
