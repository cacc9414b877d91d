//! What may go wrong around a run: killed at any moment, a full disk, a folder that cannot be written, two runs at
//! once, links, files that change. The folder holds the old packet or the new one, whole, and nothing is left over.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::time::Duration;

use super::{command, names, new_spec, place, ran, run, tree, write};

type Tree = BTreeMap<String, Vec<u8>>;

/// A folder with two specs, `old.lamp` and `new.lamp`, and the packets they make.
fn two(name: &str) -> (PathBuf, &'static Tree, &'static Tree) {
    static MADE: OnceLock<(Tree, Tree)> = OnceLock::new();
    let folder = place(name);
    // The project's root: papers name files from there.
    fs::create_dir(folder.join(".git")).expect("a folder");
    write(&folder, "old.lamp", new_spec());
    write(&folder, "new.lamp", new_spec().replace("0.7 kg", "0.8 kg"));
    let (old, new) = MADE.get_or_init(|| {
        let made = |spec: &str| {
            let ran = run(&folder, &["packet", spec, "-o", "made"]);
            assert_eq!(ran.code, 0, "{}", ran.err);
            let made = tree(&folder.join("made"));
            fs::remove_dir_all(folder.join("made")).expect("removed");
            made
        };
        (made("old.lamp"), made("new.lamp"))
    });
    assert!(old.len() > 20 && old != new);
    (folder, old, new)
}

fn start(folder: &Path, spec: &str) -> Child {
    let mut command = command(folder, &["packet", spec, "-o", "out"]);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("the program runs")
}

/// How many files stand in the folder that the packet is written into before it is swapped in.
fn staged(folder: &Path) -> Option<usize> {
    let staging = names(folder).into_iter().find(|n| n.starts_with(".out.new-"))?;
    Some(tree(&folder.join(staging)).len())
}

/// Kills the run when `files` of the new packet are written; `true` where it still lived then.
fn killed_at(mut child: Child, folder: &Path, files: usize) -> bool {
    loop {
        if staged(folder).is_some_and(|n| n >= files) {
            let lived = child.try_wait().expect("a child").is_none();
            child.kill().expect("killed");
            child.wait().expect("it ends");
            return lived;
        }
        if child.try_wait().expect("a child").is_some() {
            return false;
        }
    }
}

#[test]
fn a_run_killed_between_any_two_writes_leaves_a_whole_packet() {
    let (folder, old, new) = two("killed");
    assert_eq!(run(&folder, &["packet", "old.lamp", "-o", "out"]).code, 0);
    let all = new.len();
    let mut while_alive = 0;
    for files in [0, 1, 2, all / 4, all / 2, all - 1, all] {
        while_alive += usize::from(killed_at(start(&folder, "new.lamp"), &folder, files));
        let found = tree(&folder.join("out"));
        assert!(found == *old || found == *new, "killed at {files} files: {:?}", found.keys());
    }
    assert!(while_alive >= 3, "the kills came too late: {while_alive}");
    assert_eq!(run(&folder, &["packet", "new.lamp", "-o", "out"]).code, 0);
    assert!(tree(&folder.join("out")) == *new);
    assert_eq!(names(&folder), ["new.lamp", "old.lamp", "out"], "what killed runs left is cleared away");
}

#[test]
fn two_runs_at_once_leave_one_whole_packet() {
    let (folder, old, new) = two("at-once");
    for round in 0..2 {
        let children = ["old.lamp", "new.lamp", "old.lamp"].map(|spec| start(&folder, spec));
        for mut child in children {
            let ended = child.wait().expect("it ends");
            assert_eq!(ended.code(), Some(0), "round {round}");
        }
        let found = tree(&folder.join("out"));
        assert!(found == *old || found == *new, "round {round}: {:?}", found.keys());
        assert_eq!(names(&folder), ["new.lamp", "old.lamp", "out"], "round {round}");
    }
}

#[test]
fn a_file_that_comes_while_the_packet_is_written_is_kept() {
    let (folder, _, new) = two("late");
    assert_eq!(run(&folder, &["packet", "old.lamp", "-o", "out"]).code, 0);
    let mut child = start(&folder, "new.lamp");
    while staged(&folder).is_none() && child.try_wait().expect("a child").is_none() {}
    write(&folder.join("out"), "photo.txt", "taken just now");
    child.wait().expect("it ends");
    let mut found = tree(&folder.join("out"));
    assert_eq!(found.remove("photo.txt").as_deref(), Some("taken just now".as_bytes()));
    assert!(found == *new);
}

/// Runs a line of the shell with the program's path in `$P`.
#[cfg(unix)]
fn shell(folder: &Path, line: &str) -> super::Ran {
    let mut shell = Command::new("sh");
    shell.args(["-c", line]).current_dir(folder).env("P", env!("CARGO_BIN_EXE_lampwright")).env("NO_COLOR", "1");
    ran(shell.stdin(Stdio::null()).output().expect("a shell"))
}

/// A limit on the length of a file fails a write half way, as a full disk does.
#[cfg(unix)]
#[test]
fn where_a_file_cannot_be_written_to_its_end_the_old_packet_stays() {
    let (folder, old, _) = two("full");
    assert_eq!(run(&folder, &["packet", "old.lamp", "-o", "out"]).code, 0);
    for blocks in [8, 100] {
        let ran = shell(&folder, &format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$P\" packet new.lamp -o out"));
        assert_eq!(ran.code, 3, "{}", ran.err);
        assert!(ran.err.contains("lampwright: cannot write"), "{}", ran.err);
        assert!(tree(&folder.join("out")) == *old);
        assert_eq!(names(&folder), ["new.lamp", "old.lamp", "out"], "{blocks} blocks: something is left over");
    }
    write(&folder, "messy.lamp", format!("{}\n\n\n\n{}", new_spec(), "# much\n".repeat(1000)));
    let before = fs::read(folder.join("messy.lamp")).expect("a spec");
    let ran = shell(&folder, "trap '' XFSZ; ulimit -f 1; exec \"$P\" tidy messy.lamp");
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(fs::read(folder.join("messy.lamp")).expect("a spec") == before, "tidy lost the spec");
    assert_eq!(names(&folder), ["messy.lamp", "new.lamp", "old.lamp", "out"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_behind_standard_output_is_said() {
    let folder = place("full-output");
    write(&folder, "my.lamp", new_spec());
    for verb in ["check my.lamp --format json", "schema", "packet my.lamp --stdout packet.pdf", "why lamp.mass my.lamp"]
    {
        let ran = shell(&folder, &format!("exec \"$P\" {verb} > /dev/full"));
        assert_eq!(ran.code, 3, "{verb}: {}", ran.err);
        assert!(ran.err.contains("the output cannot be written: the disk is full"), "{verb}: {}", ran.err);
    }
}

/// Root may write anywhere, so it gives that right up first.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_may_only_be_read_is_said_and_left_alone() {
    let (folder, old, _) = two("read-only");
    fs::create_dir(folder.join("shut")).expect("a folder");
    assert_eq!(run(&folder, &["packet", "old.lamp", "-o", "shut/out"]).code, 0);
    let line = "chmod 555 shut; if [ $(id -u) = 0 ]; then drop='setpriv --bounding-set=-dac_override'; fi; \
                $drop \"$P\" packet new.lamp -o shut/out; code=$?; chmod 755 shut; exit $code";
    let ran = shell(&folder, line);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("shut/out") && ran.err.contains("permission is denied"), "{}", ran.err);
    assert!(tree(&folder.join("shut/out")) == *old);
    assert_eq!(names(&folder.join("shut")), ["out"]);
}

#[cfg(unix)]
#[test]
fn links_are_neither_followed_out_nor_lost() {
    use std::os::unix::fs::symlink;
    let folder = place("links");
    write(&folder, "my.lamp", new_spec());
    fs::create_dir(folder.join("elsewhere")).expect("a folder");
    symlink("elsewhere", folder.join("link")).expect("a link");
    let ran = run(&folder, &["packet", "my.lamp", "-o", "link"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("link is a link"), "{}", ran.err);
    assert!(names(&folder.join("elsewhere")).is_empty());
    // A spec may be a link; a link of the maker's own in the packet's folder stays one, even one that leads nowhere.
    symlink("my.lamp", folder.join("also.lamp")).expect("a link");
    assert_eq!(run(&folder, &["packet", "also.lamp", "-o", "out"]).code, 0);
    symlink("../elsewhere", folder.join("out/photos")).expect("a link");
    symlink("nowhere", folder.join("out/lost")).expect("a link");
    let again = run(&folder, &["packet", "also.lamp", "-o", "out"]);
    assert_eq!(again.code, 0, "{}", again.err);
    for (name, to) in [("photos", "../elsewhere"), ("lost", "nowhere")] {
        assert_eq!(fs::read_link(folder.join("out").join(name)).expect("still a link"), Path::new(to));
    }
    // A circle of links among templates ends; a link out of them is refused.
    fs::create_dir(folder.join("words")).expect("a folder");
    symlink(".", folder.join("words/a")).expect("a link");
    symlink("..", folder.join("words/b")).expect("a link");
    assert_eq!(run(&folder, &["packet", "my.lamp", "-o", "out", "--templates", "words"]).code, 0);
    write(&folder, "secret.md", "a secret");
    symlink("../secret.md", folder.join("words/safety.md")).expect("a link");
    let ran = run(&folder, &["packet", "my.lamp", "-o", "out", "--templates", "words"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("leads out of the folder of templates"), "{}", ran.err);
}

/// A file of parts that is exchanged again and again while runs read it: each run sees one of the two, for the lamp
/// and its variant alike.
#[test]
fn a_library_that_changes_while_it_is_read_is_read_once() {
    let folder = place("changing");
    // A lamp so heavy is asked about, with its figure, in each variant.
    let parts = |mass: u32| format!("let heavy = {mass} kg\n");
    let spec = new_spec().replace("language 1\n", "language 1\nuse \"parts.lamp\"\n").replace("0.7 kg", "heavy");
    write(
        &folder,
        "my.lamp",
        spec + "\nvariant other { lamp { quantity 2 } }\nvariant third { lamp { quantity 3 } }\n",
    );
    let mut said: Vec<String> = Vec::new();
    for mass in [700, 800] {
        write(&folder, "parts.lamp", parts(mass));
        let ran = run(&folder, &["check", "my.lamp", "--format", "json"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.out.matches("spec/implausible").count() >= 3, "{}", ran.out);
        said.push(ran.out);
    }
    assert_ne!(said[0], said[1]);
    let stop = std::sync::atomic::AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !stop.load(std::sync::atomic::Ordering::Relaxed) {
                for mass in [700, 800] {
                    write(&folder, "parts.new", parts(mass));
                    fs::rename(folder.join("parts.new"), folder.join("parts.lamp")).expect("renamed");
                    std::thread::sleep(Duration::from_micros(200));
                }
            }
        });
        for _ in 0..8 {
            let ran = run(&folder, &["check", "my.lamp", "--format", "json"]);
            assert!(ran.code == 0 && said.contains(&ran.out), "neither of the two: {}{}", ran.out, ran.err);
        }
        stop.store(true, std::sync::atomic::Ordering::Relaxed);
    });
}
