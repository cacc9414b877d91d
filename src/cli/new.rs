//! Verb `new`: a commented spec that passes, to start from.

use std::path::Path;

use super::Exit;
use super::files::{shown, write_new};
use super::output::{Trouble, narrate, say};

const SPEC: &str = include_str!("../../templates/new.lamp");

/// `new`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright new my.lamp    a commented spec that passes, to start from
  lampwright new -          the same on standard output")]
pub(super) struct Args {
    /// File to write; `-` prints it
    #[arg(default_value = "-")]
    file: String,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    if args.file == "-" {
        say(SPEC);
        return Ok(Exit::Clean);
    }
    let path = Path::new(&args.file);
    write_new(path, SPEC)?;
    narrate(&format!("{0}: written; next: lampwright packet {0} -o out\n", shown(path)));
    Ok(Exit::Clean)
}
