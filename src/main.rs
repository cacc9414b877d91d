//! Command line: arguments in, exit code out.

fn main() {}
