//! Verb `schema`: the JSON Schema of `packet.json` and of other data, or the language's blocks and properties.

use crate::schema::tables::ROOT;
use crate::schema::{highlight, reference};

use super::output::{Trouble, say};
use super::{Exit, shapes};

/// `schema`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright schema               JSON Schema of packet.json
  lampwright schema --of check    of what `check --format json` prints
  lampwright schema --language    blocks, properties, words and units of the language
  lampwright schema --highlight > highlight.json    the colours, for an editor that reads this format")]
pub(super) struct Args {
    /// The language reference instead, as Markdown
    #[arg(long)]
    language: bool,
    /// The highlighting grammar for editors instead
    #[arg(long, conflicts_with = "language")]
    highlight: bool,
    /// Whose data the JSON Schema is of
    #[arg(long, value_enum, default_value_t = Of::Packet, conflicts_with_all = ["language", "highlight"])]
    of: Of,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum Of {
    /// packet.json
    Packet,
    /// check --format json
    Check,
    /// why --format json
    Why,
    /// compare --format json
    Compare,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    if args.language {
        say(&reference::reference(&ROOT));
    } else if args.highlight {
        say(&format!("{:#}\n", highlight::grammar(&ROOT)));
    } else {
        let schema = match args.of {
            Of::Packet => crate::render::schema(),
            Of::Check => shapes::check(),
            Of::Why => shapes::why(),
            Of::Compare => shapes::compare(),
        };
        say(&format!("{schema:#}\n"));
    }
    Ok(Exit::Clean)
}
