//! Many specs in one run, and findings for review tools.

use serde_json::Value;

use super::{new_spec, place, run, write};

#[test]
fn one_bad_file_does_not_stop_the_rest_and_the_order_is_kept() {
    let folder = place("many");
    let names: Vec<String> = (0..12).map(|n| format!("lamp-{n:02}.lamp")).collect();
    for name in &names {
        write(&folder, name, new_spec());
    }
    write(&folder, "lamp-03.lamp", "language 1\nlamp {");
    let mut arguments = vec!["check"];
    arguments.extend(names.iter().map(String::as_str));
    arguments.insert(5, "not-there.lamp");
    let ran = run(&folder, &arguments);
    assert_eq!(ran.code, 3, "the worst of all counts: {}", ran.err);
    assert!(ran.err.contains("not-there.lamp"), "{}", ran.err);
    let lines: Vec<&str> = ran.out.lines().filter(|l| !l.starts_with("  not checked")).collect();
    assert_eq!(lines.len(), names.len(), "one line each: {}", ran.out);
    for (line, name) in lines.iter().zip(&names) {
        let shown = line.split(": ").next().unwrap_or("");
        assert!(shown.ends_with(name.as_str()), "{line} stands where {name} should");
    }
    assert!(lines[3].contains("cannot be compiled"), "{}", lines[3]);
    assert_eq!(run(&folder, &arguments).out, ran.out, "two runs say the same");
}

#[test]
fn packets_of_many_specs_get_a_folder_each() {
    let folder = place("many-packets");
    std::fs::create_dir_all(folder.join("b")).expect("a folder");
    for name in ["one.lamp", "two.lamp", "b/one.lamp"] {
        write(&folder, name, new_spec());
    }
    let ran = run(&folder, &["packet", "one.lamp", "two.lamp", "-o", "out", "--sheets", "assumptions"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(folder.join("out/one/packet.pdf").exists() && folder.join("out/two/packet.pdf").exists());
    let clash = run(&folder, &["packet", "one.lamp", "b/one.lamp", "-o", "out"]);
    assert_eq!(clash.code, 3);
    assert!(clash.err.contains("would both be written into out/one"), "{}", clash.err);
}

#[test]
fn sarif_has_rules_places_and_what_could_not_be_checked() {
    let folder = place("sarif");
    std::fs::create_dir_all(folder.join("my lamps")).expect("a folder");
    write(&folder, "my lamps/heavy.lamp", new_spec().replace("0.7 kg", "700 kg"));
    write(&folder, "broken.lamp", "language 1\nlamp \"x\" {\n    regoin eu\n}\n");
    let ran = run(&folder, &["check", "my lamps/heavy.lamp", "broken.lamp", "--format", "sarif"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    let sarif: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(sarif["version"], "2.1.0");
    let rules = sarif["runs"][0]["tool"]["driver"]["rules"].as_array().expect("rules");
    assert_eq!(rules.len(), lampwright::rules::ALL.len());
    let results = sarif["runs"][0]["results"].as_array().expect("results");
    let heavy = results.iter().find(|r| r["ruleId"] == "spec/implausible").expect("the finding");
    let index = heavy["ruleIndex"].as_u64().expect("an index") as usize;
    assert_eq!(rules[index]["id"], "spec/implausible");
    let place = &heavy["locations"][0]["physicalLocation"];
    let line = new_spec().lines().position(|l| l.contains("0.7 kg")).expect("the line") + 1;
    assert_eq!(place["region"]["startLine"], line);
    let uri = place["artifactLocation"]["uri"].as_str().expect("a name");
    assert!(uri.ends_with("my%20lamps/heavy.lamp"), "{uri}");
    for result in results {
        let (kind, level) = (&result["kind"], result["level"].as_str().expect("a level"));
        assert!(["error", "warning", "note", "none"].contains(&level));
        assert_eq!(kind == "open", level == "none", "{result:#}");
    }
    assert!(results.iter().any(|r| r["ruleId"] == "name/unknown-property" && r["level"] == "error"), "{results:#?}");
}

#[test]
fn the_matrix_shows_where_variants_differ() {
    let folder = crate::support::root().join("examples");
    let ran = run(&folder, &["check", "alder-table.lamp", "--matrix"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let head = ran.out.lines().find(|l| l.trim_start().starts_with("rule ")).expect("a head");
    assert!(head.contains("lamp") && head.contains("north-america"), "{head}");
    let same = ran.out.lines().last().expect("the last line");
    let count: usize = same.split_whitespace().next().and_then(|n| n.parse().ok()).expect("a count");
    assert!(count > 10 && same.ends_with("are the same in every variant"), "{same}");
    let plain = run(&folder, &["check", "heron-head.lamp", "--matrix"]);
    assert!(plain.out.contains("no variants"), "{}", plain.out);
}

#[test]
fn progress_is_for_a_terminal_only() {
    let folder = place("many-progress");
    for name in ["one.lamp", "two.lamp", "three.lamp"] {
        write(&folder, name, new_spec());
    }
    let piped = run(&folder, &["check", "one.lamp", "two.lamp", "three.lamp"]);
    assert!(!piped.err.contains("specs done"), "{}", piped.err);
    let line = format!("{} check one.lamp two.lamp three.lamp", env!("CARGO_BIN_EXE_lampwright"));
    for no_color in ["", "1"] {
        let seen = std::process::Command::new("script")
            .args(["-qec", &line, "/dev/null"])
            .env("TERM", "xterm")
            .env("NO_COLOR", no_color)
            .current_dir(&folder)
            .stdin(std::process::Stdio::null())
            .output();
        let Ok(seen) = seen else {
            eprintln!("SKIPPED: no `script` here to stand for a terminal");
            return;
        };
        let seen = String::from_utf8_lossy(&seen.stdout).into_owned();
        for part in ["\r0 of 3 specs done", "\r2 of 3 specs done", "\r\u{1b}[K", "one.lamp: "] {
            assert!(seen.contains(part), "no {part:?} in {seen:?}");
        }
        assert!(!seen.contains("3 of 3"), "the line is gone when all is done: {seen:?}");
    }
}
