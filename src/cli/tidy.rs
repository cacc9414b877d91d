//! Verb `tidy`: a spec in its canonical form, in place, to standard output, or only checked.

use std::path::Path;

use crate::diag::Sources;
use crate::language::{flat, tidy};
use crate::schema::tables::ROOT;

use super::files::{shown, trouble};
use super::output::{Trouble, narrate, say};
use super::root::read_text;
use super::{Exit, SpecArgs, root, show};

/// `tidy`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright tidy my.lamp            put it in canonical form, comments kept
  lampwright tidy --check a.lamp b.lamp    only say which are not, and change nothing
  lampwright tidy -                  standard input to standard output
  lampwright tidy --flat my.lamp     every property on a line under its full path: what `git diff` can show")]
pub(super) struct Args {
    /// The specs; `-` reads standard input and writes standard output
    #[arg(required = true)]
    specs: Vec<String>,
    /// Change nothing; exit with 1 where a spec is not in canonical form
    #[arg(long)]
    check: bool,
    /// Change nothing; print every property on a line under its full path, and a file that cannot be read as it is
    #[arg(long, conflicts_with = "check")]
    flat: bool,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let mut exit = Exit::Clean;
    for name in &args.specs {
        if args.flat {
            say(&flat(name)?);
            continue;
        }
        exit = exit.max(one(name, args.check)?);
    }
    Ok(exit)
}

fn text_of(name: &str) -> Result<String, Trouble> {
    if name == "-" {
        return Ok(root::read(&SpecArgs { spec: "-".into(), variant: None, library: None })?.text);
    }
    read_text(Path::new(name))
}

/// A diff of a file with a slip in it is a diff all the same: such a file is shown as it was written.
fn flat(name: &str) -> Result<String, Trouble> {
    let text = text_of(name)?;
    let lines = flat::lines(name, &text);
    Ok(lines.map_or(text, |lines| lines.iter().map(|line| format!("{line}\n")).collect()))
}

fn one(name: &str, check: bool) -> Result<Exit, Trouble> {
    let text = text_of(name)?;
    let mut sources = Sources::default();
    let shown_name = if name == "-" { "stdin" } else { name };
    let file = sources.add(shown_name, text.as_str());
    match tidy::tidy_text(file, &text, &ROOT) {
        Err(diags) => {
            show::narrate(&diags, &sources);
            narrate(&format!("{shown_name}: left as it is\n"));
            Ok(Exit::Broken)
        }
        Ok(tidied) if check => {
            if tidied != text {
                say(&format!("{shown_name}: not in canonical form\n"));
                return Ok(Exit::Findings);
            }
            Ok(Exit::Clean)
        }
        Ok(tidied) if name == "-" => {
            say(&tidied);
            Ok(Exit::Clean)
        }
        Ok(tidied) => {
            if tidied != text {
                replace(Path::new(name), &tidied)?;
            }
            Ok(Exit::Clean)
        }
    }
}

/// Writes beside the file and renames, so that a run that is interrupted loses nothing.
#[expect(clippy::disallowed_methods, reason = "files are written in cli/ only")]
fn replace(path: &Path, text: &str) -> Result<(), Trouble> {
    let target = std::fs::canonicalize(path).map_err(|e| trouble("cannot write", path, &e))?;
    let beside = target.with_extension(format!("lamp.new-{}", std::process::id()));
    let written = std::fs::write(&beside, text)
        .and_then(|()| std::fs::set_permissions(&beside, std::fs::metadata(&target)?.permissions()))
        .and_then(|()| std::fs::rename(&beside, &target));
    written.map_err(|e| {
        let _ = std::fs::remove_file(&beside);
        trouble("cannot write", path, &e)
    })?;
    narrate(&format!("{}: put in canonical form\n", shown(path)));
    Ok(())
}
