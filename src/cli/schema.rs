//! Verb `schema`: the JSON Schema of `packet.json`, or the language's blocks and properties.

use crate::schema::tables::ROOT;
use crate::schema::{highlight, reference};

use super::Exit;
use super::output::{Trouble, say};

/// `schema`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright schema               JSON Schema of packet.json
  lampwright schema --language    blocks, properties, words and units of the language
  lampwright schema --highlight > highlight.json    the colours, for an editor that reads this format")]
pub(super) struct Args {
    /// The language reference instead, as Markdown
    #[arg(long)]
    language: bool,
    /// The highlighting grammar for editors instead
    #[arg(long, conflicts_with = "language")]
    highlight: bool,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    if args.language {
        say(&reference::reference(&ROOT));
    } else if args.highlight {
        say(&format!("{:#}\n", highlight::grammar(&ROOT)));
    } else {
        say(&format!("{:#}\n", crate::render::schema()));
    }
    Ok(Exit::Clean)
}
