//! Verbs `completions` and `man`: what a shell and a manual reader need, written from the same table as the arguments.

use std::path::Path;

use super::Exit;
use super::files::{shown, trouble};
use super::output::{Trouble, narrate, say_bytes};

/// `completions`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright completions bash > ~/.local/share/bash-completion/completions/lampwright
  lampwright completions zsh > ~/.zfunc/_lampwright
  lampwright completions fish > ~/.config/fish/completions/lampwright.fish")]
pub(super) struct CompletionArgs {
    /// The shell
    #[arg(value_enum)]
    shell: clap_complete::Shell,
}

/// `man`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright man ~/.local/share/man/man1    lampwright.1 and a page for each verb")]
pub(super) struct ManArgs {
    /// Folder to write the pages into
    #[arg(value_name = "DIR")]
    folder: String,
}

pub(super) fn completions(args: &CompletionArgs, mut command: clap::Command) -> Exit {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut command, "lampwright", &mut script);
    say_bytes(&script);
    Exit::Clean
}

pub(super) fn man(args: &ManArgs, mut command: clap::Command) -> Result<Exit, Trouble> {
    let folder = Path::new(&args.folder);
    std::fs::create_dir_all(folder)
        .map_err(|e| trouble("cannot make", folder, &e).help("name a folder to write the pages into"))?;
    command.build();
    let mut pages = vec![command.clone()];
    pages.extend(command.get_subcommands().filter(|c| c.get_name() != "help").cloned());
    for page in &pages {
        let name = page.get_display_name().unwrap_or(page.get_name()).to_owned();
        let path = folder.join(format!("{name}.1"));
        let man = clap_mangen::Man::new(examples_behind(page.clone()));
        let mut text = Vec::new();
        man.render(&mut text).map_err(|e| trouble("cannot set", &path, &e))?;
        #[expect(clippy::disallowed_methods, reason = "files are written in cli/ only")]
        std::fs::write(&path, text).map_err(|e| trouble("cannot write", &path, &e))?;
    }
    narrate(&format!("{} pages in {}\n", pages.len(), shown(folder)));
    Ok(Exit::Clean)
}

/// A manual page has no room for examples before its name; they stand at its end.
fn examples_behind(page: clap::Command) -> clap::Command {
    let told = [page.get_before_help(), page.get_after_help()];
    let text: Vec<String> = told.into_iter().flatten().map(ToString::to_string).collect();
    page.after_help(text.join("\n\n"))
}
