//! Every complaint about files, folders and arguments, as a maker sees it, in one page to read and judge:
//! `tests/cli/usage.snap`. `INSTA_UPDATE=always cargo test --test main cli::usage` writes it anew.

use std::fs;
use std::path::Path;

use super::{new_spec, place, run, with_parts, write};
use crate::support::text_of;

/// Arguments that ask for what cannot be, one entry of the page each. All end with exit code 3 but for the last, whose
/// spec is at fault.
const ASKED: &[&str] = &[
    "chek my.lamp",
    "check",
    "check my.lamp --fail-on nothing",
    "check my.lamp --variat eu",
    "check gone.lamp",
    "check mu.lamp",
    "check sub",
    "check large.lamp",
    "check rubbish.lamp",
    "check sub/lost.lamp",
    "check my.lamp --library gone",
    "check my.lamp --matrix --format json",
    "packet my.lamp other.lamp --stdout packet.pdf",
    "packet my.lamp sub/my.lamp",
    "packet my.lamp --stdout packet.doc",
    "packet my.lamp --sheets cuts",
    "packet my.lamp --templates gone",
    "packet my.lamp --templates broken",
    "packet my.lamp --templates dropping",
    "packet my.lamp --templates leading",
    "packet my.lamp -o my.lamp",
    "packet my.lamp -o link",
    "packet my.lamp -o mine",
    "why driver.warm my.lamp",
    "why drive my.lamp",
    "why nothing.at.all my.lamp",
    "rules fire",
    "rule heat/tuch",
    "rule fire",
    "compare my.lamp other.lamp",
    "compare HEAD:my.lamp my.lamp",
    "compare my.lamp gone.lamp",
    "what-if my.lamp driver.warm.current",
    "what-if my.lamp driver.warm.current=1mA..2mA/3 driver.cool.current=1mA..2mA/3",
    "what-if my.lamp driver.warm.current=1mA..2mA/1",
    "what-if my.lamp driver.warm.currant=300mA",
    "what-if my.lamp driver.warm.current=300mA..350mA/2 --figure drive.warm.none",
    "which xyz",
    "which 0123456789ab",
    "batch many.lamp",
    "unit my.lamp other.lamp --start 1",
    "unit my.lamp --start 1 -o my.lamp",
    "unit fishy.built",
    "unit gone.built",
    "new my.lamp",
    "new sub/gone/new.lamp",
    "watch -",
    "tidy gone.lamp",
    "completions fish-and-chips",
    "man my.lamp",
    "check my.lamp --variant nowhere",
];

fn files(folder: &Path) {
    fs::create_dir(folder.join(".git")).expect("the project's root");
    let spec = new_spec();
    write(folder, "my.lamp", &spec);
    write(folder, "other.lamp", text_of("lantern-trail"));
    write(folder, "many.lamp", spec.replacen("quantity    1", "quantity    5000", 1));
    write(folder, "rubbish.lamp", [0xFFu8, 0xFE, 0x00]);
    write(folder, "large.lamp", "# much\n".repeat(1_300_000));
    write(
        folder,
        "fishy.built",
        "language 1\nunit { number 1; spec \"my.lamp\" }\nmeasured { channel nothing { current 3 mA } }\n",
    );
    for below in ["sub", "mine", "mine/sheets", "broken/sheets", "dropping/sheets", "leading/sheets"] {
        fs::create_dir_all(folder.join(below)).expect("a folder");
    }
    with_parts(folder);
    write(folder, "sub/my.lamp", &spec);
    write(folder, "mine/packet.pdf", "a thing of mine");
    write(folder, "broken/sheets/parts.md", "{% for part in %}\n");
    write(folder, "dropping/sheets/dead-tests.md", "Nothing to do.\n");
    #[cfg(unix)]
    {
        write(folder, "outside.md", "far away\n");
        let link = |to: &str, name: &str| std::os::unix::fs::symlink(to, folder.join(name)).expect("a link");
        link("../../outside.md", "leading/sheets/parts.md");
        link("mine", "link");
        link("nowhere.lamp", "sub/lost.lamp");
    }
}

/// What the program says when it is asked so, and how it ends.
fn said(folder: &Path, asked: &str) -> String {
    let ran = run(folder, &asked.split(' ').collect::<Vec<_>>());
    assert!((0..=3).contains(&ran.code), "{asked}: {}", ran.err);
    // What the program says of the lamp itself stands on other pages.
    let ours = ran.err.split("\n\n").find(|part| part.contains("lampwright:"));
    format!("$ lampwright {asked}\n{}\n[{}]\n\n", ours.unwrap_or(&ran.err).trim_end(), ran.code)
}

#[test]
#[cfg(unix)]
fn every_complaint_is_shown_once() {
    let folder = place("complaints");
    files(&folder);
    let part = |asked: &[&str]| asked.iter().map(|asked| said(&folder, asked)).collect::<String>();
    let page: String = std::thread::scope(|scope| {
        let parts: Vec<_> = ASKED.chunks(13).map(|asked| scope.spawn(move || part(asked))).collect();
        parts.into_iter().map(|part| part.join().expect("a part of the page")).collect()
    });
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("usage", page);
    });
}
