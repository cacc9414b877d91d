//! Equal bytes on any machine: locale, time zone, home, width of the terminal, number of cores, the folder's place and
//! the order in which files were made or named change nothing in a packet.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use super::{place, ran, run, tree, with_parts};
use crate::support::root;

fn same(one: &Path, other: &Path, what: &str) {
    let (one, other) = (tree(one), tree(other));
    assert!(one.len() > 20 && one.keys().eq(other.keys()), "{what}: other files");
    for (path, bytes) in &one {
        assert!(other.get(path) == Some(bytes), "{what}: {path} differs");
    }
}

fn project(folder: &Path, files: &[&str]) {
    with_parts(folder);
    fs::create_dir_all(folder.join(".git")).expect("the project's root");
    for file in files {
        fs::copy(root().join("examples").join(file), folder.join(file)).expect("copied");
    }
}

#[test]
fn another_machine_gives_the_same_packet() {
    let here = place("same-here");
    project(&here, &["alder-table.lamp"]);
    let one = run(&here, &["packet", "alder-table.lamp", "-o", "out"]);
    assert_eq!(one.code, 0, "{}", one.err);

    let there = place("same there ä λ 灯/deeper/and deeper");
    project(&there, &["slate-wall.lamp", "alder-table.lamp"]);
    let program = env!("CARGO_BIN_EXE_lampwright");
    let on_one_core = Path::new("/usr/bin/taskset").is_file();
    let mut command = if on_one_core { Command::new("taskset") } else { Command::new(program) };
    if on_one_core {
        command.args(["-c", "0", program]);
    }
    let spec = there.join("alder-table.lamp");
    command.arg("packet").arg(&spec).arg("-o").arg(there.join("out")).current_dir(std::env::temp_dir());
    command.env_clear().envs([
        ("LANG", "tr_TR.UTF-8"),
        ("LC_ALL", "de_DE.UTF-8"),
        ("LC_NUMERIC", "fr_FR.UTF-8"),
        ("TZ", "Asia/Kathmandu"),
        ("HOME", "/nonexistent"),
        ("COLUMNS", "47"),
        ("SOURCE_DATE_EPOCH", "1"),
        ("RAYON_NUM_THREADS", "1"),
        ("TERM", "dumb"),
    ]);
    let two = ran(command.stdin(Stdio::null()).output().expect("the program runs"));
    assert_eq!(two.code, 0, "{}", two.err);
    same(&here.join("out"), &there.join("out"), "another machine");
}

#[test]
fn many_at_once_in_any_order_give_the_packets_of_each_alone() {
    let folder = place("same-many");
    project(&folder, &["alder-table.lamp", "slate-wall.lamp"]);
    assert_eq!(run(&folder, &["packet", "alder-table.lamp", "slate-wall.lamp", "-o", "one"]).code, 0);
    assert_eq!(run(&folder, &["packet", "slate-wall.lamp", "alder-table.lamp", "-o", "two"]).code, 0);
    assert_eq!(run(&folder, &["packet", "slate-wall.lamp", "-o", "alone"]).code, 0);
    same(&folder.join("one"), &folder.join("two"), "another order");
    same(&folder.join("one/slate-wall"), &folder.join("alone"), "alone");
}
