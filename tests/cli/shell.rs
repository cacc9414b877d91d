//! Completions and manual pages: made for every shell and every verb, and read by tools that are not ours.

use std::process::Command;

use super::{place, run, run_with};

#[test]
fn completions_know_every_verb_and_the_shell_reads_them() {
    let folder = place("completions");
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let ran = run(&folder, &["completions", shell]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        for word in ["what-if", "compare", "--fail-on"] {
            let written = if shell == "fish" { word.trim_start_matches("--") } else { word };
            assert!(ran.out.contains(written), "{shell} does not know {word}");
        }
    }
    let script = run(&folder, &["completions", "bash"]).out;
    let mut bash = Command::new("bash");
    let check = format!(
        "{script}\nCOMP_WORDS=(lampwright com); COMP_CWORD=1; _lampwright lampwright com lampwright; echo ${{COMPREPLY[@]}}"
    );
    let output = bash.args(["--norc", "-c", &check]).output().expect("bash runs");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(said.contains("compare") && said.contains("completions"), "{said} {:?}", output.stderr);
    // A rule is completed by its name.
    let check = format!(
        "{script}\nCOMP_WORDS=(lampwright rule mains/f); COMP_CWORD=2; _lampwright lampwright mains/f rule; echo ${{COMPREPLY[@]}}"
    );
    let output = Command::new("bash").args(["--norc", "-c", &check]).output().expect("bash runs");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(said.contains("mains/fuse") && !said.contains("light/"), "{said}");
    let wrong = run(&folder, &["rule", "mains/no-erth"]);
    assert!(wrong.err.contains("did you mean"), "a name that is none has a near one: {}", wrong.err);
}

#[test]
fn every_verb_has_a_page_that_opens_with_its_name() {
    let folder = place("man");
    let ran = run(&folder, &["man", "pages"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let verbs = ["check", "packet", "which", "watch", "what-if", "tidy"];
    for page in std::iter::once("lampwright".to_owned()).chain(verbs.map(|v| format!("lampwright-{v}"))) {
        let text = std::fs::read_to_string(folder.join("pages").join(format!("{page}.1"))).expect(&page);
        assert!(text.contains(".SH NAME") && text.contains(".SH OPTIONS"), "{page}");
        assert!(text.contains("Examples:"), "{page} has no example");
    }
    let help = run_with(&folder, &["which", "--help"], b"");
    assert!(help.out.starts_with("Examples:\n  lampwright which "), "{}", help.out);
}
