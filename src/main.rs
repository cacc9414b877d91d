//! Command line: arguments in, exit code out.

use std::process::ExitCode;

fn main() -> ExitCode {
    lampwright::cli::run().into()
}
