//! `compare`: what a change asks of the bench, from two files or from the repository's history.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

use super::{place, run, with_parts, write};
use crate::support::{plain_spaced, root};

pub(super) fn alder() -> String {
    plain_spaced("alder-table")
}

/// A folder with the parts the examples use, and two revisions of one of them.
pub(super) fn revisions(name: &str, edits: &[(&str, &str)]) -> std::path::PathBuf {
    let folder = place(name);
    with_parts(&folder);
    write(&folder, "old.lamp", alder());
    let mut new = alder();
    for (from, to) in edits {
        assert!(new.contains(from), "the example has no `{from}`");
        new = new.replace(from, to);
    }
    write(&folder, "new.lamp", new);
    folder
}

pub(super) fn json(folder: &Path) -> Value {
    let ran = run(folder, &["compare", "old.lamp", "new.lamp", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    serde_json::from_str::<Value>(&ran.out).expect("JSON")["comparison"].clone()
}

pub(super) fn list<'v>(found: &'v Value, key: &str) -> &'v Vec<Value> {
    found[key].as_array().unwrap_or_else(|| panic!("no list {key}"))
}

fn work<'v>(found: &'v Value, task: &str) -> Vec<&'v Value> {
    list(found, "work").iter().filter(|w| w["task"] == task).collect()
}

#[test]
fn a_comment_has_no_effect_and_changes_no_byte() {
    let folder = revisions("compare-comment", &[("    region eu\n", "    # moved\n\n region eu # here\n")]);
    let ran = run(&folder, &["compare", "old.lamp", "new.lamp"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("no effect on lamp or papers"), "{}", ran.out);
    // The two under one name, as they are in version control.
    for (from, out) in [("old.lamp", "a"), ("new.lamp", "b")] {
        write(&folder, "lamp.lamp", std::fs::read(folder.join(from)).expect("a spec"));
        assert_eq!(run(&folder, &["packet", "lamp.lamp", "-o", out]).code, 0);
    }
    let files = std::fs::read_to_string(folder.join("a/packet.files")).expect("the list of files");
    assert!(files.lines().count() > 8, "{files}");
    for name in files.lines() {
        let read = |out: &str| std::fs::read(folder.join(out).join(name)).expect(name);
        assert!(read("a") == read("b"), "{name} differs");
    }
}

#[test]
fn a_current_leads_to_resistors_tests_and_sheets() {
    let edit = ("feeds red; pin p4; current 320 mA", "feeds red; pin p4; current 380 mA");
    let found = json(&revisions("compare-current", &[edit]));
    assert_eq!(found["reach"], "lamp");
    let buy = work(&found, "buy");
    let sense = buy.iter().find(|w| w["what"].as_str().is_some_and(|t| t.contains("sense"))).expect("a resistor");
    assert_ne!(sense["old"], sense["new"]);
    let cause = &sense["because"][0];
    assert_eq!(cause["change"]["path"], "driver.red.current");
    assert_eq!((&cause["change"]["old"], &cause["change"]["new"]), (&Value::from("320 mA"), &Value::from("380 mA")));
    let chain = cause["chain"].as_array().expect("a chain");
    assert_eq!(chain.last().expect("a link")["path"], "drive.red.sense");
    let tests: Vec<&str> = list(&found, "tests").iter().filter_map(|t| t["test"].as_str()).collect();
    assert_eq!(tests, ["low-voltage", "soak", "light"]);
    assert!(list(&found, "tests")[0]["units"].as_str().expect("units").contains("up to 2"));
    assert!(work(&found, "make").is_empty() && work(&found, "wire").is_empty(), "{found:#}");
    let stale: Vec<&str> = list(&found, "sheets").iter().filter_map(|s| s["name"].as_str()).collect();
    assert!(stale.contains(&"working"), "{stale:?}");
    assert!(list(&found, "sheets").iter().all(|s| s["because"][0]["change"]["path"] == "driver.red.current"));
    assert!(!list(&found, "margins").is_empty());
}

#[test]
fn a_worse_entry_is_a_new_finding_with_its_cause() {
    let folder = revisions("compare-finding", &[("anchorage clamp", "anchorage glue"), ("6.8 mm", "7.2 mm")]);
    let found = json(&folder);
    let new: Vec<&Value> = list(&found, "findings").iter().filter(|f| f["moved"] == "new").collect();
    let glue = new.iter().find(|f| f["signal"] == "DANGER").expect("a finding on the anchorage");
    assert_eq!(glue["because"][0]["change"]["path"], "mains.entry.anchorage");
    let hole = work(&found, "make");
    assert_eq!(hole.len(), 1, "{hole:?}");
    assert_eq!((&hole[0]["old"], &hole[0]["new"]), (&Value::from("hole 6.8 mm"), &Value::from("hole 7.2 mm")));
    let tests: Vec<&str> = list(&found, "tests").iter().filter_map(|t| t["test"].as_str()).collect();
    assert_eq!(tests, ["dead", "mains"]);
    assert_eq!(run(&folder, &["compare", "old.lamp", "new.lamp", "--exit-code"]).code, 1);
}

#[test]
fn geometry_wires_and_settings_are_told_apart() {
    let edits = [
        ("let seat-gap = 0.6 mm", "let seat-gap = 0.9 mm"),
        ("bits 8", "bits 9"),
        ("enclosure {\n", "wiring {\n run red-plus { length 420 mm }\n}\n\nenclosure {\n"),
    ];
    let found = json(&revisions("compare-work", &edits));
    let make = work(&found, "make");
    assert!(make.iter().any(|w| w["what"] == "diffuser" && w["old"] != w["new"]), "{make:?}");
    // What is written as before follows from the `let`, which alone is the cause.
    let diffuser = make.iter().find(|w| w["what"] == "diffuser").expect("a diffuser");
    let causes: Vec<&Value> =
        diffuser["because"].as_array().expect("causes").iter().map(|c| &c["change"]["path"]).collect();
    assert_eq!(causes, ["let seat-gap"], "{diffuser:#}");
    let wire = work(&found, "wire");
    assert_eq!(wire.len(), 1, "{wire:?}");
    assert!(wire[0]["what"].as_str().expect("a wire").contains("red-plus"));
    assert!(wire[0]["new"].as_str().expect("a wire").contains("420 mm"));
    assert!(work(&found, "set").iter().any(|w| w["what"].as_str().is_some_and(|t| t.contains("driver.bits"))));
    // A tenth of our limit is the same piece.
    let small = json(&revisions("compare-small", &[("let seat-gap = 0.6 mm", "let seat-gap = 0.605 mm")]));
    assert!(work(&small, "make").is_empty(), "{small:#}");
    assert!(list(&small, "keep").iter().any(|k| k.as_str().is_some_and(|t| t.starts_with("diffuser"))));
}

#[test]
fn a_renamed_channel_is_a_guess_and_nothing_else() {
    let folder = revisions("compare-rename", &[("channel warm {", "channel ww {")]);
    let found = json(&folder);
    assert_eq!(found["renames"], serde_json::json!([{ "kind": "channel", "old": "warm", "new": "ww" }]));
    assert_eq!(found["reach"], "words", "{found:#}");
    assert!(list(&found, "work").is_empty() && list(&found, "tests").is_empty());
    // What is printed has the old name on it: the labels on the wires do not hold, for no other reason.
    let labels = list(&found, "sheets").iter().find(|s| s["name"] == "wire-labels").expect("a sheet to print again");
    assert_eq!(labels["because"].as_array().expect("causes").len(), 1, "{labels:#}");
    assert_eq!(
        (&labels["because"][0]["change"]["old"], &labels["because"][0]["change"]["new"]),
        (&Value::from("warm"), &Value::from("ww"))
    );
    let text = run(&folder, &["compare", "old.lamp", "new.lamp"]).out;
    assert!(text.contains("channel warm is called ww now (a guess"), "{text}");
}

#[test]
fn words_on_paper_need_no_work() {
    let found = json(&revisions("compare-words", &[("revision \"A\"", "revision \"B\"")]));
    assert_eq!(found["reach"], "words");
    assert_eq!(found["words"][0]["path"], "lamp.revision");
    assert!(list(&found, "tests").is_empty() && list(&found, "work").is_empty());
    // A word on paper is a cause like any other, and here the only one.
    let maker = json(&revisions("compare-maker", &[("The bench at home", "The bench in town")]));
    let sheets = list(&maker, "sheets");
    assert!(!sheets.is_empty());
    for sheet in sheets {
        let causes = sheet["because"].as_array().expect("causes");
        let paths: Vec<&Value> = causes.iter().map(|c| &c["change"]["path"]).collect();
        assert_eq!(paths, ["lamp.maker"], "{}", sheet["name"]);
    }
}

#[test]
fn each_of_several_changes_is_the_cause_of_its_own_sheets() {
    let edits = [
        ("channel warm { feeds warm; pin p7; current 350 mA }", "channel warm { feeds warm; pin p6; current 300 mA }"),
        ("thermal 9 K/W", "thermal 11 K/W"),
        ("opening 104 mm", "opening 100 mm"),
        ("The bench at home", "The bench in town"),
    ];
    let folder = revisions("compare-causes", &edits);
    let found = json(&folder);
    let sheet = |name: &str| -> Vec<String> {
        let sheet = list(&found, "sheets").iter().find(|s| s["name"] == name).unwrap_or_else(|| panic!("no {name}"));
        let causes = sheet["because"].as_array().expect("causes");
        causes.iter().map(|c| c["change"]["path"].as_str().expect("a path").to_owned()).collect()
    };
    assert_eq!(sheet("cut"), ["enclosure.opening"]);
    assert_eq!(sheet("print"), ["enclosure.opening"]);
    assert_eq!(sheet("wire-labels"), ["driver.warm.pin"]);
    assert_eq!(sheet("label"), ["lamp.maker"]);
    assert!(list(&found, "sheets_kept").iter().any(|s| s == "drill"), "no hole moved");
    assert!(sheet("pins").contains(&"driver.warm.pin".to_owned()), "{:?}", sheet("pins"));
    assert!(!sheet("cut").iter().any(|c| c.starts_with("driver.") || c.starts_with("sink.")), "{:?}", sheet("cut"));
    assert!(!sheet("heat").contains(&"lamp.maker".to_owned()), "{:?}", sheet("heat"));
    for wire in work(&found, "wire") {
        let causes = wire["because"].as_array().expect("causes");
        assert!(!causes.is_empty(), "{wire:#}");
        assert!(causes.iter().all(|c| c["change"]["path"] != "sink.thermal"), "no wire hangs on the sink: {wire:#}");
    }
}

#[test]
fn what_cannot_be_traced_is_not_guessed() {
    use lampwright::compare::chain::{Changes, all_told};
    use lampwright::ledger::{Formula, Ledger};
    use lampwright::quantity::Volts;
    // A figure that moved though nothing it was made from did: no formula of ours does so, and no cause is made up.
    let ledger = |volts: f64| {
        let mut ledger = Ledger::default();
        let none = Formula { text: "U", source: "our margin" };
        ledger.computed("drive.made-up", "a voltage", Volts::si(volts), none, &[]);
        ledger
    };
    let (old, new) = (ledger(1.0), ledger(2.0));
    let changes = Changes::between(&old, &new);
    let causes = changes.because(&["drive.made-up".to_owned()], |_| true);
    assert!(causes.is_empty());
    assert_eq!(all_told(&causes), ["not traced"]);
}

#[test]
fn a_waiver_is_a_cause() {
    let folder = revisions("compare-waiver", &[]);
    let report = run(&folder, &["check", "old.lamp", "--format", "json"]);
    let found: Value = serde_json::from_str(&report.out).expect("JSON");
    let rule = found["runs"][0]["findings"][0]["code"].as_str().expect("a finding").to_owned();
    write(&folder, "new.lamp", format!("{}\nwaive {rule} {{ reason \"test\"; by \"n\" }}\n", alder()));
    let found = json(&folder);
    let waived = list(&found, "findings").iter().find(|f| f["moved"] == "waived").expect("a finding is let through");
    assert_eq!(waived["because"][0]["change"]["path"], "waivers", "{waived:#}");
}

#[test]
fn a_folder_is_no_change_and_a_message_names_its_own_file() {
    let folder = revisions("compare-folders", &[("    region eu\n", "    # moved\n\n region eu # here\n")]);
    std::fs::create_dir_all(folder.join("other/parts")).expect("a folder");
    std::fs::create_dir_all(folder.join(".git")).expect("a folder");
    for (from, to) in [("new.lamp", "other/new.lamp"), ("parts/drawer.lamp", "other/parts/drawer.lamp")] {
        std::fs::copy(folder.join(from), folder.join(to)).expect("a copy");
    }
    let ran = run(&folder, &["compare", "old.lamp", "other/new.lamp"]);
    assert!(ran.out.contains("no effect on lamp or papers"), "{}{}", ran.out, ran.err);
    let none = run(&folder, &["compare", "old.lamp", "new.lamp", "--variant", "nope"]);
    assert_eq!(none.code, 2);
    let places = ["old.lamp:1:1", "new.lamp:1:1"].map(|place| none.err.matches(place).count());
    assert_eq!(places, [1, 1], "each side under its own name: {}", none.err);
}

#[test]
fn an_opening_that_moved_is_said_to_have_moved() {
    let folder = place("compare-moved");
    let text = plain_spaced("longsill-linear");
    let moved = text.replace("hole fixed { at (-452 mm, 0 mm)", "hole fixed { at (-450 mm, 1 mm)");
    assert_ne!(text, moved);
    with_parts(&folder);
    write(&folder, "old.lamp", text);
    write(&folder, "new.lamp", moved);
    let found = json(&folder);
    let make = work(&found, "make");
    let plate = make.iter().find(|w| w["what"] == "diffuser").expect("the diffuser");
    let (old, new) = (plate["old"].as_str().expect("before"), plate["new"].as_str().expect("now"));
    assert!(old.contains("(-452 mm, 0 mm)") && new.contains("(-450 mm, 1 mm)"), "{old} / {new}");
}

#[test]
fn other_designs_are_refused() {
    let folder = root().join("examples");
    let ran = run(&folder, &["compare", "alder-table.lamp", "heron-head.lamp"]);
    assert_eq!(ran.code, 3, "{}", ran.out);
    assert!(ran.err.contains("different designs"), "{}", ran.err);
}

#[test]
fn the_revision_sheet_has_boxes_and_the_markdown_is_escaped() {
    let edits = [("outline disc", "outline polygon\n sides 8"), ("\"Alder\"", "\"Al*der|x\"")];
    let folder = revisions("compare-sheet", &edits);
    let ran = run(&folder, &["compare", "old.lamp", "new.lamp", "--sheet", "rev", "--format", "markdown"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.starts_with("### Al\\*der\\|x"), "{}", ran.out);
    assert!(ran.out.contains("### To cut, drill or print\n\n- "), "{}", ran.out);
    let sheet = std::fs::read_to_string(folder.join("rev/sheets/revision.md")).expect("the sheet");
    for part in ["## Cut, drill or print", "| ☐ | diffuser |", "## Units built before", "| 2 | ▭ | ☐ | ☐ | ▭ |"]
    {
        assert!(sheet.contains(part), "no `{part}` in\n{sheet}");
    }
    assert!(folder.join("rev/packet.pdf").exists() && folder.join("rev/drawings/diffuser-overlay.svg").exists());
}

#[test]
fn a_revision_of_the_repository_brings_its_own_parts() {
    let folder = revisions("compare-git", &[]);
    let git = |arguments: &[&str]| {
        let who = ["-c", "user.name=n", "-c", "user.email=n@example.invalid", "-c", "commit.gpgsign=false"];
        let done = Command::new("git").args(who).args(arguments).current_dir(&folder).output().expect("git runs");
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    };
    git(&["init", "-q"]);
    git(&["add", "."]);
    git(&["commit", "-q", "-m", "first"]);
    let parts = std::fs::read_to_string(folder.join("parts/drawer.lamp")).expect("parts");
    let newer = parts.replace("60 s\n", "90 s\n");
    assert!(newer != parts);
    write(&folder, "parts/drawer.lamp", newer);
    let ran = run(&folder, &["compare", "HEAD:old.lamp", "old.lamp", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let found: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(found["comparison"]["given"][0]["path"], "supply.discharge", "{found:#}");
    let same = run(&folder, &["compare", "HEAD:old.lamp", "HEAD:old.lamp"]);
    assert!(same.out.contains("no effect"), "{}", same.out);
    let none = run(&folder, &["compare", "nowhere:old.lamp", "old.lamp"]);
    assert_eq!(none.code, 3);
    assert!(none.err.contains("git:"), "{}", none.err);
}

/// The documented text conversion and hook, in a repository of their own.
#[test]
fn git_shows_paths_and_its_hook_takes_a_drawer() {
    let folder = revisions("compare-textconv", &[]);
    let program = env!("CARGO_BIN_EXE_lampwright");
    let git = |arguments: &[&str]| {
        let who = ["-c", "user.name=n", "-c", "user.email=n@example.invalid", "-c", "commit.gpgsign=false"];
        let path = std::env::var("PATH").unwrap_or_default();
        let beside = Path::new(program).parent().expect("a folder").display().to_string();
        let done = Command::new("git")
            .args(who)
            .args(arguments)
            .current_dir(&folder)
            .env("PATH", format!("{beside}:{path}"))
            .output()
            .expect("git runs");
        let told = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        (done.status.success(), told(&done.stdout), told(&done.stderr))
    };
    // As DEVELOPERS.md has them.
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("the page");
    let block = |from: &str| -> String {
        let rest = &page[page.find(from).unwrap_or_else(|| panic!("no {from}"))..];
        rest.split("```\n").next().expect("its end").to_owned()
    };
    assert!(git(&["init", "-q"]).0);
    write(&folder, ".gitattributes", block("*.lamp text eol=lf"));
    for line in block("git config diff.lamp.textconv").lines() {
        let words: Vec<&str> = line.splitn(4, ' ').collect();
        let [_, verb, key, value] = words.as_slice() else { panic!("{line}") };
        assert!(git(&[verb, key, value.trim_matches('\'')]).0, "{line}");
    }
    write(&folder, ".git/hooks/pre-commit", block("#!/bin/sh\n"));
    Command::new("chmod").args(["+x", ".git/hooks/pre-commit"]).current_dir(&folder).status().expect("chmod runs");
    for name in ["old.lamp", "new.lamp"] {
        write(&folder, name, std::fs::read(root().join("examples/alder-table.lamp")).expect("an example"));
    }
    assert!(git(&["add", "."]).0);
    let (made, out, err) = git(&["commit", "-q", "-m", "lamps and their drawer"]);
    assert!(made, "the hook takes a file of parts: {out}{err}");
    let text = std::fs::read_to_string(folder.join("old.lamp")).expect("a lamp");
    let current = text.lines().find(|l| l.contains("channel warm")).expect("a channel").to_owned();
    write(&folder, "old.lamp", text.replace(&current, &current.replace("350 mA", "300 mA")));
    let (_, out, err) = git(&["diff"]);
    assert!(out.contains("-driver.warm.current 350 mA\n+driver.warm.current 300 mA"), "{out}{err}");
    // A file that cannot be read is shown as it is written, and the hook stops it.
    write(&folder, "old.lamp", "lamp {{\n");
    let (shown, out, err) = git(&["diff"]);
    assert!(shown && out.contains("+lamp {{"), "{out}{err}");
    assert!(git(&["add", "."]).0);
    assert!(!git(&["commit", "-q", "-m", "broken"]).0);
}
