//! The command line: verbs, their options, and the exit codes. The only folder that touches files and the terminal.

mod batch;
mod check;
mod compare;
mod editor;
mod files;
mod git;
mod laid;
mod many;
mod new;
mod output;
mod packet;
mod root;
mod rules;
mod sarif;
mod schema;
mod shapes;
mod shell;
mod show;
mod tidy;
mod unit;
mod watch;
mod what_if;
mod which;
mod why;

use std::process::ExitCode;

use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};

use crate::diag::{Diag, Signal, Sources};
use output::{narrate, say};

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// Done, nothing at or above `--fail-on`.
    Clean = 0,
    /// Findings at or above `--fail-on`.
    Findings = 1,
    /// The spec cannot be compiled.
    Broken = 2,
    /// A file could not be read or written, or the arguments are wrong.
    Usage = 3,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit as u8)
    }
}

/// Messages as `check` shows them, without colour and eighty columns wide.
pub fn shown(diags: &[Diag], sources: &Sources) -> String {
    show::on_paper(diags, sources)
}

const EXAMPLES: &str = "\
Examples:
  lampwright new my.lamp                      a commented spec to start from
  lampwright check my.lamp                    judge it, every variant
  lampwright packet my.lamp -o out            write the build packet
  lampwright compare HEAD:my.lamp my.lamp     what the change asks of the bench
  lampwright why drive.red.current my.lamp    how a number came about";

const EXIT_CODES: &str = "\
Exit codes: 0 clean, 1 findings at or above --fail-on, 2 the spec cannot be compiled, 3 files or usage";

#[derive(Parser)]
#[command(name = "lampwright", version, before_help = EXAMPLES, after_help = EXIT_CODES)]
#[command(about = "Compiles a lamp specification into a build packet for the bench")]
struct Cli {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Judge a lamp: every finding at its line
    Check(check::Args),
    /// Write the build packet
    Packet(packet::Args),
    /// Say what a change asks of the bench: buy, cut, wire, test again
    Compare(compare::Args),
    /// Put a spec in its canonical form
    Tidy(tidy::Args),
    /// List the rules
    Rules(rules::ListArgs),
    /// Explain one rule: why, source, fix
    Rule(rules::OneArgs),
    /// Show how a number came about
    Why(why::Args),
    /// Change figures without editing, and see verdict and margins side by side
    WhatIf(what_if::Args),
    /// Build on every save, say what changed, and show the packet in a browser
    Watch(watch::Args),
    /// Write the papers of several lamps built at once: pick list and travellers
    Batch(batch::Args),
    /// Judge as-built files: readings within, outside or open, and the lamp as it was fitted
    Unit(unit::Args),
    /// Say which lamp a printed page belongs to, and whether it still holds
    Which(which::Args),
    /// Speak the language server protocol with an editor, over standard input and output
    Editor(editor::Args),
    /// Write a commented spec that passes
    New(new::Args),
    /// Print the JSON Schema of packet.json and other data, or the language reference
    Schema(schema::Args),
    /// Print completions for a shell
    Completions(shell::CompletionArgs),
    /// Write the manual pages
    Man(shell::ManArgs),
}

/// The spec and how to read it, shared by the verbs that compile.
#[derive(Args)]
struct SpecArgs {
    /// The spec; `-` reads standard input
    spec: String,
    /// Lay this variant over the lamp
    #[arg(long)]
    variant: Option<String>,
    /// Let `use` reach up to this folder instead of the project's root
    #[arg(long, value_name = "DIR")]
    library: Option<String>,
}

/// One spec or many, and how to read them.
#[derive(Args)]
struct ManyArgs {
    /// The specs; `-` reads standard input
    #[arg(required = true, value_name = "SPEC")]
    specs: Vec<String>,
    /// Lay this variant over each lamp
    #[arg(long)]
    variant: Option<String>,
    /// Let `use` reach up to this folder instead of the project's root
    #[arg(long, value_name = "DIR")]
    library: Option<String>,
}

impl ManyArgs {
    /// The least signal word that is said in full: of many specs a NOTICE is counted in its line and no more.
    fn least(&self) -> Signal {
        if self.specs.len() > 1 { Signal::Caution } else { Signal::Notice }
    }

    /// How to read one of them.
    fn one(&self, name: &str) -> SpecArgs {
        SpecArgs { spec: name.to_owned(), variant: self.variant.clone(), library: self.library.clone() }
    }
}

/// What counts as failure.
#[derive(Args)]
struct ReportArgs {
    /// Least signal word that makes the exit code 1
    #[arg(long, value_enum, default_value_t = FailOn::Danger)]
    fail_on: FailOn,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

#[derive(Clone, Copy, ValueEnum)]
enum FailOn {
    Danger,
    Warning,
    Caution,
    Notice,
    Never,
}

impl FailOn {
    fn fails(self, signal: Signal) -> bool {
        let least = match self {
            Self::Danger => Signal::Danger,
            Self::Warning => Signal::Warning,
            Self::Caution => Signal::Caution,
            Self::Notice => Signal::Notice,
            Self::Never => return false,
        };
        signal >= least
    }
}

/// Runs the command line of this process.
pub fn run() -> Exit {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            let wanted = !error.use_stderr();
            let text = error.render().to_string();
            if wanted {
                say(&text)
            } else {
                narrate(&text)
            }
            return if wanted { Exit::Clean } else { Exit::Usage };
        }
    };
    let outcome = match cli.verb {
        Verb::Check(args) => check::run(&args),
        Verb::Packet(args) => packet::run(&args),
        Verb::Compare(args) => compare::run(&args),
        Verb::Tidy(args) => tidy::run(&args),
        Verb::Rules(args) => rules::list(&args),
        Verb::Rule(args) => rules::one(&args),
        Verb::Why(args) => why::run(&args),
        Verb::WhatIf(args) => what_if::run(&args),
        Verb::Watch(args) => watch::run(&args),
        Verb::Batch(args) => batch::run(&args),
        Verb::Unit(args) => unit::run(&args),
        Verb::Which(args) => which::run(&args),
        Verb::Editor(args) => editor::run(&args),
        Verb::New(args) => new::run(&args),
        Verb::Schema(args) => schema::run(&args),
        Verb::Completions(args) => Ok(shell::completions(&args, Cli::command())),
        Verb::Man(args) => shell::man(&args, Cli::command()),
    };
    outcome.unwrap_or_else(|trouble| {
        output::complain(&trouble);
        Exit::Usage
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples at the head of a verb's help, without what they are said to do.
    fn examples(command: &clap::Command) -> Vec<String> {
        let head = command.get_before_help().map(ToString::to_string).unwrap_or_default();
        let mut lines = head.lines();
        assert_eq!(lines.next(), Some("Examples:"), "{} does not open with an example", command.get_name());
        let call = |line: &str| line.trim_start().split("  ").next().unwrap_or_default().to_owned();
        lines.map(call).collect()
    }

    #[test]
    fn every_help_opens_with_examples_that_the_program_understands() {
        let mut root = Cli::command();
        root.build();
        for command in root.get_subcommands().filter(|c| c.get_name() != "help") {
            let found = examples(command);
            assert!(!found.is_empty(), "{}", command.get_name());
            for line in found {
                // A shell would take the redirection away.
                let words: Vec<&str> = line.split_whitespace().take_while(|w| *w != ">").collect();
                let parsed = Cli::try_parse_from(&words);
                assert!(parsed.is_ok(), "{line}: {}", parsed.err().map(|e| e.to_string()).unwrap_or_default());
                assert_eq!(words.get(1), Some(&command.get_name()), "{line}");
            }
        }
        assert!(examples(&root).len() > 3);
    }
}
