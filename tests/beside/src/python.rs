//! A question as JSON to one of the scripts beside us, its answer as JSON back, in the same run.

use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::Value;

/// Runs `tests/beside/NAME`; the question goes to its standard input.
pub(crate) fn ask(interpreter: &str, name: &str, question: &Value) -> Value {
    let script = format!("{}/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut child = Command::new(interpreter)
        .arg(&script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|e| panic!("{interpreter}: {e}"));
    child.stdin.take().unwrap().write_all(question.to_string().as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "{name} failed");
    serde_json::from_slice(&output.stdout).unwrap()
}
