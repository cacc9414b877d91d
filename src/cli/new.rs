//! Verb `new`: a commented spec that passes, to start from.

use std::path::Path;

use super::Exit;
use super::files::{shown, trouble};
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
    let made = std::fs::File::options().write(true).create_new(true).open(path);
    let mut file = made.map_err(|e| match e.kind() {
        std::io::ErrorKind::AlreadyExists => {
            Trouble::new(format!("{} is already there", shown(path))).help("name another file; nothing was written")
        }
        _ => trouble("cannot write", path, &e),
    })?;
    std::io::Write::write_all(&mut file, SPEC.as_bytes()).map_err(|e| trouble("cannot write", path, &e))?;
    narrate(&format!("{0}: written; next: lampwright packet {0} -o out\n", shown(path)));
    Ok(Exit::Clean)
}
