//! The command line as a user meets it: exit codes, messages, files kept and files written.

mod bad_input;
mod batch;
mod chain;
mod compare;
mod compare_names;
mod editor;
mod editor_built;
mod editor_many;
mod faults;
mod folder;
mod hints;
mod hostile;
mod many;
mod messages;
mod same_bytes;
mod shapes;
mod shell;
mod unit;
mod usage;
mod verbs;
mod watch;
mod what_if;
mod which;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use crate::support::root;

/// A folder of its own for one test, emptied first.
fn place(name: &str) -> PathBuf {
    let folder = root().join("target").join("cli-tests").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder for the test");
    folder
}

struct Ran {
    code: i32,
    out: String,
    err: String,
}

fn ran(output: Output) -> Ran {
    Ran {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8_lossy(&output.stdout).into_owned(),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lampwright"));
    command.args(arguments).current_dir(folder).env("NO_COLOR", "1").env("COLUMNS", "80");
    command
}

/// Runs the program in a folder.
fn run(folder: &Path, arguments: &[&str]) -> Ran {
    ran(command(folder, arguments).stdin(Stdio::null()).output().expect("the program runs"))
}

/// Runs the program with this text on standard input.
fn run_with(folder: &Path, arguments: &[&str], input: &[u8]) -> Ran {
    use std::io::Write as _;
    let mut child = command(folder, arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut stdin = child.stdin.take().expect("standard input");
    let input = input.to_vec();
    let writer = std::thread::spawn(move || drop(stdin.write_all(&input)));
    let output = child.wait_with_output().expect("the program ends");
    writer.join().expect("the writer ends");
    ran(output)
}

fn write(folder: &Path, name: &str, text: impl AsRef<[u8]>) {
    std::fs::write(folder.join(name), text).expect("a file for the test");
}

/// Every file below a folder, by path; what another process takes away meanwhile is left out.
fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut open = vec![PathBuf::new()];
    while let Some(below) = open.pop() {
        let Ok(entries) = std::fs::read_dir(folder.join(&below)) else { continue };
        for entry in entries.flatten() {
            let path = below.join(entry.file_name());
            if entry.file_type().is_ok_and(|t| t.is_dir()) {
                open.push(path);
            } else if let Ok(bytes) = std::fs::read(entry.path()) {
                found.insert(path.display().to_string(), bytes);
            }
        }
    }
    found
}

/// Names in a folder, sorted; the project's mark is none of a test's.
fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder").flatten();
    let mut found: Vec<String> = entries.map(|e| e.file_name().display().to_string()).collect();
    found.retain(|name| name != ".git");
    found.sort();
    found
}

/// Puts the parts that the examples use into a folder; gives their text.
fn with_parts(folder: &Path) -> String {
    let text = std::fs::read_to_string(root().join("examples/parts/drawer.lamp")).expect("parts");
    std::fs::create_dir_all(folder.join("parts")).expect("a folder");
    write(folder, "parts/drawer.lamp", &text);
    text
}

/// The spec that `new` writes: it passes.
fn new_spec() -> String {
    std::fs::read_to_string(root().join("templates/new.lamp")).expect("the spec of `new`")
}
