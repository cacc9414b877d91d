//! The verbs on one spec: new, check, tidy, rules, why, schema, a template of one's own, wrong arguments.

use serde_json::Value;

use super::which::{commit, git};
use super::{new_spec, place, run, run_with, write};

#[test]
fn new_writes_a_spec_that_passes() {
    let folder = place("new");
    assert_eq!(run(&folder, &["new", "my.lamp"]).code, 0);
    let ran = run(&folder, &["check", "my.lamp", "--fail-on", "caution"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let again = run(&folder, &["new", "my.lamp"]);
    assert_eq!(again.code, 3);
    assert!(again.err.contains("is already there"), "{}", again.err);
    assert_eq!(run(&folder, &["new"]).out, new_spec());
}

#[test]
fn check_speaks_json_and_sets_the_exit_code() {
    let folder = place("json");
    let heavy = new_spec().replace("0.7 kg", "700 kg");
    assert_ne!(heavy, new_spec());
    let ran = run_with(&folder, &["check", "-", "--format", "json"], heavy.as_bytes());
    assert_eq!(ran.code, 0, "a CAUTION is below --fail-on danger: {}", ran.err);
    let said: Value = serde_json::from_str(&ran.out).expect("JSON");
    let finding = &said["runs"][0]["findings"][0];
    assert_eq!(finding["code"], "spec/implausible");
    assert_eq!(finding["places"][0]["file"], "stdin");
    let strict = run_with(&folder, &["check", "-", "--fail-on", "caution"], heavy.as_bytes());
    assert_eq!(strict.code, 1);
    assert!(!strict.err.contains('\u{1b}'), "no colour where NO_COLOR is set");
}

#[test]
fn tidy_is_a_filter_and_a_check() {
    let folder = place("tidy");
    let messy = new_spec().replace("    region ", "  region ");
    let ran = run_with(&folder, &["tidy", "-"], messy.as_bytes());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let again = run_with(&folder, &["tidy", "-"], ran.out.as_bytes());
    assert_eq!(again.out, ran.out, "tidy of tidy is tidy");
    write(&folder, "messy.lamp", &messy);
    assert_eq!(run(&folder, &["tidy", "--check", "messy.lamp"]).code, 1);
    assert_eq!(std::fs::read_to_string(folder.join("messy.lamp")).expect("kept"), messy);
    assert_eq!(run(&folder, &["tidy", "messy.lamp"]).code, 0);
    assert_eq!(std::fs::read_to_string(folder.join("messy.lamp")).expect("tidied"), ran.out);
    let broken = run_with(&folder, &["tidy", "-"], b"language 1\nlamp { = }\n");
    assert_eq!(broken.code, 2);
    assert!(broken.out.is_empty(), "a spec with errors is left as it is");
}

#[test]
fn rules_are_listed_and_explained() {
    let folder = place("rules");
    let all = run(&folder, &["rules"]);
    assert_eq!(all.code, 0);
    assert_eq!(all.out.lines().count(), lampwright::rules::ALL.len());
    for rule in lampwright::rules::ALL {
        let one = run(&folder, &["rule", rule.name]);
        assert_eq!(one.code, 0, "{}", rule.name);
        for head in ["raised when", "why", "usual fix", "source", "waiver"] {
            assert!(one.out.contains(head), "{}: no `{head}`", rule.name);
        }
        assert!(one.out.lines().all(|l| l.chars().count() <= 80), "{}: wider than 80 columns", rule.name);
    }
    let near = run(&folder, &["rule", "spec/unknwon"]);
    assert_eq!(near.code, 3);
    assert!(near.err.contains("did you mean `spec/unknown`?"), "{}", near.err);
}

#[test]
fn why_reaches_the_line_of_the_spec() {
    let folder = place("why");
    write(&folder, "my.lamp", new_spec());
    let ran = run(&folder, &["why", "lamp.mass", "my.lamp"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let line = new_spec().lines().position(|l| l.contains("0.7 kg")).expect("the line") + 1;
    assert!(ran.out.contains("given as `0.7 kg`") && ran.out.contains(&format!("my.lamp:{line}")), "{}", ran.out);
    let near = run(&folder, &["why", "lamp.mas", "my.lamp"]);
    assert_eq!(near.code, 3);
    assert!(near.err.contains("did you mean `lamp.mass`?"), "{}", near.err);
}

#[test]
fn schema_is_json_schema_and_the_packet_says_so() {
    let folder = place("schema");
    let ran = run(&folder, &["schema"]);
    let schema: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    write(&folder, "my.lamp", new_spec());
    let packet = run(&folder, &["packet", "my.lamp", "--stdout", "packet.json"]);
    assert_eq!(packet.code, 0, "{}", packet.err);
    let packet: Value = serde_json::from_str(&packet.out).expect("JSON");
    for key in schema["required"].as_array().expect("required keys") {
        assert!(packet.get(key.as_str().expect("a key")).is_some(), "packet.json has no {key}");
    }
}

#[test]
fn a_wrong_template_is_an_error_at_its_line() {
    let folder = place("templates");
    write(&folder, "my.lamp", new_spec());
    let sheets = folder.join("mine/sheets");
    std::fs::create_dir_all(&sheets).expect("folder");
    write(&sheets, "assumptions.md", "Fine so far.\n\n{{ no_such_name }}\n");
    let ran = run(&folder, &["packet", "my.lamp", "--templates", "mine"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("sheets/assumptions.md, line 3"), "{}", ran.err);
    assert!(!folder.join("out").exists(), "nothing is written");
    write(&sheets, "assumptions.md", "{{ fig('no.such.figure') }}\n");
    let ran = run(&folder, &["packet", "my.lamp", "--templates", "mine"]);
    assert!(ran.err.contains("no figure `no.such.figure`"), "{}", ran.err);
}

#[test]
fn usage_errors_are_three_and_help_is_clean() {
    let folder = place("usage");
    assert_eq!(run(&folder, &[]).code, 3);
    assert_eq!(run(&folder, &["chekc", "x"]).code, 3);
    assert_eq!(run(&folder, &["--help"]).code, 0);
    assert_eq!(run(&folder, &["--version"]).code, 0);
    assert!(run(&folder, &["--help"]).out.contains("Exit codes:"));
    write(&folder, "my.lamp", new_spec());
    let ran = run(&folder, &["packet", "my.lamp", "--sheets", "nonsense"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("there is no sheet `nonsense`"), "{}", ran.err);
    assert_eq!(run(&folder, &["check", "my.lamp", "--variant", "nowhere"]).code, 2);
}

#[test]
fn a_file_of_a_library_counts_from_where_it_lies() {
    let folder = place("library");
    for path in ["lamp/.git", "shared/leds"] {
        std::fs::create_dir_all(folder.join(path)).expect("a folder");
    }
    let spec = new_spec().replace("language 1\n", "language 1\nuse \"leds/heavy.lamp\"\n").replace("0.7 kg", "heavy");
    write(&folder, "lamp/my.lamp", spec);
    write(&folder, "shared/leds/heavy.lamp", "language 1\nuse \"common.lamp\"\nlet heavy = common\n");
    write(&folder, "shared/leds/common.lamp", "language 1\nlet common = 0.7 kg\n");
    assert_eq!(run(&folder, &["check", "lamp/my.lamp"]).code, 2);
    let ran = run(&folder, &["check", "lamp/my.lamp", "--library", "shared"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

#[test]
fn a_revision_that_uses_a_library_is_compared() {
    let folder = place("compare-library");
    for path in ["lamp", "library"] {
        std::fs::create_dir_all(folder.join(path)).expect("a folder");
    }
    let spec = new_spec().replace("language 1\n", "language 1\nuse \"heavy.lamp\"\n").replace("0.7 kg", "heavy");
    write(&folder, "lamp/my.lamp", &spec);
    write(&folder, "library/heavy.lamp", "language 1\nlet heavy = 0.7 kg\n");
    let lamp = folder.join("lamp");
    git(&lamp, &["init", "-q"]);
    commit(&lamp, "A lamp");
    write(&lamp, "my.lamp", format!("{spec}\n# a remark\n"));
    let ran = run(&lamp, &["compare", "HEAD:my.lamp", "my.lamp", "--library", "../library"]);
    assert!(ran.code == 0 && ran.out.contains("no effect on lamp or papers"), "{}{}", ran.out, ran.err);
}
