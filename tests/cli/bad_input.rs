//! Bad input: each a clear error and its exit code, nothing lost, never a crash.

use std::fs;

use super::{Ran, new_spec, place, run, run_with, write};

/// A panic ends with 101 and names its thread; neither may ever be seen.
fn no_crash(ran: &Ran, what: &str) {
    assert!((0..=3).contains(&ran.code), "{what}: exit code {}\n{}", ran.code, ran.err);
    assert!(!ran.err.contains("panicked"), "{what}: {}", ran.err);
}

#[test]
fn a_missing_file_a_folder_and_rubbish_are_files_trouble() {
    let folder = place("files");
    fs::create_dir(folder.join("some-folder")).expect("folder");
    write(&folder, "rubbish.lamp", [0x80u8, 0xFF, 0x00, 0x13, 0x37]);
    write(&folder, "quay.lamp", "language 1\n");
    for (spec, said) in [
        ("quai.lamp", "cannot read quai.lamp: it is not there"),
        ("some-folder", "it is a folder"),
        ("rubbish.lamp", "is not UTF-8 text"),
    ] {
        let ran = run(&folder, &["check", spec]);
        assert_eq!(ran.code, 3, "{spec}: {}", ran.err);
        assert!(ran.err.contains(said), "{spec}: {}", ran.err);
    }
    assert!(run(&folder, &["check", "quai.lamp"]).err.contains("did you mean `quay.lamp`?"));
}

#[test]
fn a_spec_cut_short_anywhere_says_so() {
    let folder = place("cut-short");
    let text = new_spec();
    let cuts = (0..text.len()).step_by(211).filter(|&at| text.is_char_boundary(at));
    for at in cuts {
        let ran = run_with(&folder, &["check", "-"], &text.as_bytes()[..at]);
        no_crash(&ran, &format!("cut at byte {at}"));
        // Between two blocks a cut leaves a whole spec, if a shorter one.
        let whole = text[..at].matches('{').count() == text[..at].matches('}').count();
        if whole && ran.code < 2 {
            continue;
        }
        assert!(ran.code == 2, "cut at byte {at}: exit code {}\n{}", ran.code, ran.err);
        assert!(!ran.err.trim().is_empty(), "cut at byte {at}: no message");
    }
}

#[test]
fn monsters_are_refused_with_a_word() {
    let folder = place("monsters");
    let long_line = format!("language 1\n# {}\n{}", "x".repeat(1 << 20), new_spec());
    let braces = format!("language 1\n{}", "lamp {".repeat(100_000));
    let brackets = format!("language 1\nlet a = {}1{}\n", "(".repeat(100_000), ")".repeat(100_000));
    for (what, text, said) in [
        ("a line of 1 MiB", long_line, "the limit is"),
        ("100,000 nested braces", braces, "deep"),
        ("100,000 nested brackets", brackets, "deep"),
        ("binary rubbish that is UTF-8", "\u{0}\u{1}\u{7f}%%%{{{}}}\u{feff}".repeat(500), ""),
    ] {
        let ran = run_with(&folder, &["check", "-"], text.as_bytes());
        no_crash(&ran, what);
        assert_eq!(ran.code, 2, "{what}: {}", ran.err);
        assert!(ran.err.contains(said), "{what}: {}", ran.err.chars().take(600).collect::<String>());
        assert!(ran.err.lines().count() < 600, "{what}: floods the terminal");
    }
}

#[test]
fn numbers_beyond_reason_are_refused() {
    let folder = place("numbers");
    for number in ["1e999", "1e31", "1e-31", "99999999999999999999999999999999999"] {
        let text = new_spec().replace("0.7 kg", &format!("{number} kg"));
        let ran = run_with(&folder, &["check", "-"], text.as_bytes());
        assert_eq!(ran.code, 2, "{number}: {}", ran.err);
        assert!(ran.err.contains("1e-30") || ran.err.contains("1e30"), "{number}: {}", ran.err);
    }
}

#[test]
fn use_neither_loops_nor_climbs() {
    let folder = place("use");
    fs::create_dir(folder.join(".git")).expect("the project's root");
    write(&folder, "a.lamp", "language 1\nuse \"b.lamp\"\n");
    write(&folder, "b.lamp", "language 1\nuse \"a.lamp\"\n");
    let ran = run(&folder, &["check", "a.lamp"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(ran.err.contains("use/loop") && ran.err.contains("b.lamp"), "{}", ran.err);

    let outside = folder.parent().expect("parent").join("secret.lamp");
    fs::write(&outside, "language 1\n").expect("file");
    for path in ["../secret.lamp", "/etc/hostname", "../../../../../etc/passwd"] {
        write(&folder, "climb.lamp", format!("language 1\nuse \"{path}\"\n"));
        let ran = run(&folder, &["check", "climb.lamp"]);
        assert_eq!(ran.code, 2, "{path}: {}", ran.err);
        assert!(ran.err.contains("climb.lamp:2"), "{path}: not at its line\n{}", ran.err);
        assert!(!ran.err.contains("root:"), "{path}: shows the file\n{}", ran.err);
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&outside, folder.join("link.lamp")).expect("link");
        write(&folder, "climb.lamp", "language 1\nuse \"link.lamp\"\n");
        let ran = run(&folder, &["check", "climb.lamp"]);
        assert_eq!(ran.code, 2, "through a link: {}", ran.err);
        assert!(ran.err.contains("use/"), "through a link: {}", ran.err);
    }
}

#[test]
fn three_mistakes_show_three() {
    let folder = place("three");
    let text = new_spec()
        .replace("buck-module", "buck-modul")
        .replace("thickness       3 mm", "thicknes        3 mm")
        .replace("12 W", "12 V");
    let ran = run_with(&folder, &["check", "-"], text.as_bytes());
    assert_eq!(ran.code, 2);
    for said in ["buck-module", "thickness", "power"] {
        assert!(ran.err.contains(said), "nothing about `{said}`:\n{}", ran.err);
    }
    assert!(ran.out.contains("3 errors"), "{}\n{}", ran.out, ran.err);
}
