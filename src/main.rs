//! Command line: arguments in, exit code out.

use std::process::ExitCode;

/// A lamp is many small texts: this allocator takes a tenth off a run, the more so on two threads.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    lampwright::cli::run().into()
}
