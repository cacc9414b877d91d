//! Verb `compare`: what a change of the spec asks of the bench. Either side is a file or `REVISION:path` through git.

use std::path::Path;

use crate::compare::{Comparison, Reach, Refusal, compare, revision, text, variants};
use crate::diag::Sources;
use crate::figures::percent;
use crate::language::loading::{LoadError, Loaded, Loader, beside, is_parts_only};
use crate::language::parse::parse;
use crate::{Compiled, compile};

use super::files::write_packet;
use super::git::{AtRevision, Repository};
use super::laid::tell;
use super::output::{Trouble, narrate, say};
use super::{Exit, SpecArgs, packet, root, show};

/// `compare`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright compare HEAD:my.lamp my.lamp            what I changed since the last commit
  lampwright compare old.lamp new.lamp --sheet rev   a printable revision sheet with tick boxes
  lampwright compare main:my.lamp my.lamp --format markdown    for a review comment")]
pub(super) struct Args {
    /// Before: a file, or REVISION:path from the repository's root
    old: String,
    /// Now: a file, or REVISION:path
    new: String,
    /// Lay this variant over both
    #[arg(long)]
    variant: Option<String>,
    /// Let `use` reach up to this folder instead of the project's root
    #[arg(long, value_name = "DIR")]
    library: Option<String>,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Form::Text)]
    format: Form,
    /// Also write the revision sheet into this folder
    #[arg(long, value_name = "DIR")]
    sheet: Option<String>,
    /// Folder of templates that stand in for the shipped ones
    #[arg(long, value_name = "DIR")]
    templates: Option<String>,
    /// Exit with 1 where a test has to be done again
    #[arg(long)]
    exit_code: bool,
}

#[derive(Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Form {
    /// For the terminal
    Text,
    /// For a review comment
    Markdown,
    /// For programs
    Json,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let (old, new) = (side(&args.old, args)?, side(&args.new, args)?);
    for one in [&old, &new] {
        if is_parts_only(&parse(0, &one.text, &mut Vec::new())) {
            return Err(Trouble::new(format!("{} holds parts and no lamp", one.shown)).help(
                "compare a lamp that uses it: `lampwright compare HEAD:my.lamp my.lamp` says what its parts changed",
            ));
        }
    }
    // Both are called by the new name, so that papers do not differ by a file's name.
    let called = new.shown.clone();
    let (Some(old), Some(new)) = (compiled(old, &called, args), compiled(new, &called, args)) else {
        return Ok(Exit::Broken);
    };
    let overrides = packet::overrides_of(args.templates.as_deref())?;
    let mut found = compare(&old, &new, &overrides).map_err(refused)?;
    if args.variant.is_none() {
        variants::add(&mut found, &old, &new);
    }
    match args.format {
        Form::Text => tell(&text::plain(&found)),
        Form::Markdown => say(&text::markdown(&found)),
        Form::Json => say(&format!("{:#}\n", json(&found))),
    }
    if let Some(folder) = &args.sheet {
        let sheet = revision::packet(&found, &old, &new, &overrides, new.paper()).map_err(|e| packet::composing(&e))?;
        let files = packet::files(&sheet)?;
        write_packet(Path::new(folder), &files)?;
        narrate(&format!("revision sheet: {folder}/packet.pdf\n"));
    }
    let tests = found.reach == Reach::Lamp && !found.tests.is_empty();
    let again = args.exit_code && (tests || found.variants.iter().any(|v| v.again));
    Ok(if again { Exit::Findings } else { Exit::Clean })
}

fn json(found: &Comparison) -> serde_json::Value {
    serde_json::json!({ "format": "lampwright compare 1", "verdict": text::verdict(found), "comparison": found })
}

fn refused(refusal: Refusal) -> Trouble {
    match refusal {
        Refusal::Unrelated(common) => {
            Trouble::new(format!("these are different designs: {} of their figures are equal", percent(common)))
                .help("`compare` is for two revisions of one lamp")
        }
        Refusal::Packet(error) => packet::composing(&error),
    }
}

/// One side as it was named.
struct Named {
    /// Name to show.
    shown: String,
    /// Name from which `use` counts.
    from: String,
    text: String,
    loader: Box<dyn Loader>,
}

fn side(name: &str, args: &Args) -> Result<Named, Trouble> {
    if let Some((revision, path)) = name.split_once(':').filter(|_| !Path::new(name).exists()) {
        return at_revision(revision, path, args.library.as_deref());
    }
    let spec = SpecArgs { spec: name.to_owned(), variant: None, library: args.library.clone() };
    let spec = root::read(&spec)?;
    Ok(Named { shown: spec.name.clone(), from: spec.name, text: spec.text, loader: Box::new(spec.loader) })
}

/// A file at a revision; a path that the root does not have is tried from the folder we stand in.
fn at_revision(revision: &str, path: &str, library: Option<&str>) -> Result<Named, Trouble> {
    let here = std::env::current_dir().map_err(|e| Trouble::new(format!("cannot look into this folder: {e}")))?;
    let repository = Repository::around(&here)?;
    let from_here = repository.path_of(&here, path);
    // As git takes it: `./` and `../` count from here, all else from the root; what the root has not, from here too.
    let relative = path.starts_with("./") || path.starts_with("../");
    let mut whole = if relative { from_here.clone() } else { path.to_owned() };
    let text = match repository.text(revision, &whole) {
        Err(_) if whole != from_here => {
            whole = from_here;
            repository.text(revision, &whole)?
        }
        found => found?,
    };
    let loader = AtRevision { repository, revision: revision.to_owned(), library: root::library(library)? };
    Ok(Named { shown: whole.clone(), from: whole, text, loader: Box::new(loader) })
}

/// Gives files the names they would have beside the file that the lamp is called by: in two folders, or before and
/// after a move, the same file of parts has one name, and papers do not differ by it.
struct Renamed {
    inner: Box<dyn Loader>,
    /// Shown name and real name of what was read.
    names: Vec<(String, String)>,
}

impl Renamed {
    fn real(&self, shown: &str) -> String {
        self.names.iter().find(|(name, _)| name == shown).map_or_else(|| shown.to_owned(), |(_, real)| real.clone())
    }

    /// The sources as they are called on the disk, for messages.
    fn as_they_are(&self, sources: &Sources) -> Sources {
        let mut found = Sources::default();
        for source in sources.iter() {
            found.add(self.real(&source.name), source.text.clone());
        }
        found
    }
}

impl Loader for Renamed {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        let real_from = self.real(from);
        let mut loaded = self.inner.load(&real_from, path)?;
        if let Some((shown, _)) = self.names.iter().find(|(_, real)| *real == loaded.name) {
            loaded.name.clone_from(shown);
            return Ok(loaded);
        }
        // A file of a library has a name of its own, whichever lamp asks for it.
        let beside_it = loaded.name == beside(&real_from, path);
        let shown = if beside_it { beside(from, path) } else { loaded.name.clone() };
        self.names.push((shown.clone(), std::mem::replace(&mut loaded.name, shown)));
        Ok(loaded)
    }
}

fn compiled(side: Named, called: &str, args: &Args) -> Option<Box<Compiled>> {
    let mut loader = Renamed { inner: side.loader, names: vec![(called.to_owned(), side.from)] };
    let outcome = compile(called, &side.text, &mut loader, args.variant.as_deref());
    if outcome.compiled.is_none() {
        show::narrate(&outcome.diags, &loader.as_they_are(&outcome.sources));
        narrate(&format!("{}: cannot be compiled, so nothing was compared\n", side.shown));
    }
    outcome.compiled
}
