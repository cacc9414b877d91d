//! The command line: verbs, their options, and the exit codes. The only folder that touches files and the terminal.

mod check;
mod compare;
mod editor;
mod files;
mod git;
mod many;
mod new;
mod output;
mod packet;
mod root;
mod rules;
mod sarif;
mod schema;
mod show;
mod tidy;
mod what_if;
mod why;

use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::diag::Signal;
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

const EXAMPLES: &str = "\
Examples:
  lampwright new my.lamp                      a commented spec to start from
  lampwright check my.lamp                    judge it, every variant
  lampwright packet my.lamp -o out            write the build packet
  lampwright compare HEAD:my.lamp my.lamp     what the change asks of the bench
  lampwright why drive.red.current my.lamp    how a number came about

Exit codes: 0 clean, 1 findings at or above --fail-on, 2 the spec cannot be compiled, 3 files or usage";

#[derive(Parser)]
#[command(name = "lampwright", version, about = "Compiles a lamp specification into a build packet for the bench", after_help = EXAMPLES)]
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
    /// Speak the language server protocol with an editor, over standard input and output
    Editor(editor::Args),
    /// Write a commented spec that passes
    New(new::Args),
    /// Print the JSON Schema of packet.json, or the language reference
    Schema(schema::Args),
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
        Verb::Editor(args) => editor::run(&args),
        Verb::New(args) => new::run(&args),
        Verb::Schema(args) => schema::run(&args),
    };
    outcome.unwrap_or_else(|trouble| {
        output::complain(&trouble);
        Exit::Usage
    })
}
