//! Verb `watch`: builds the packet anew whenever the spec, a file it uses or a template is saved, says what changed,
//! and shows the packet in a browser on this machine.

mod page;
mod stamps;

use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

use crate::compare::papers::Fate;
use crate::compare::{Reach, compare, text, variants};
use crate::diag::Signal;
use crate::language::loading::{LoadError, Loaded, Loader, beside};
use crate::packet::templates::Overrides;
use crate::render::File;
use crate::render::live::Panel;
use crate::{Compiled, compile};

use super::files::write_packet;
use super::laid::{lines, tell};
use super::output::{Trouble, complaint, narrate_messages, say};
use super::root::{self, Root};
use super::{Exit, SpecArgs, check, packet, show};

use page::Server;
use stamps::Stamps;

/// `watch`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright watch my.lamp -o out            build on each save; the live page's address is printed
  lampwright watch my.lamp --port 8080       the page at http://127.0.0.1:8080/
  lampwright watch my.lamp --no-page         only the folder and what changed")]
pub(super) struct Args {
    #[command(flatten)]
    spec: SpecArgs,
    /// Folder to write the packet into
    #[arg(short, long, value_name = "DIR", default_value = "out")]
    output: String,
    /// Folder of templates that stand in for the shipped ones; watched too
    #[arg(long, value_name = "DIR")]
    templates: Option<String>,
    /// Port of the live page; a free one where none is named
    #[arg(long, default_value_t = 0)]
    port: u16,
    /// Serve no page
    #[arg(long)]
    no_page: bool,
}

/// How often the files are looked at.
const LOOK: Duration = Duration::from_millis(100);
/// A file that was just written may not be whole: it is read once two looks this far apart agree.
const SETTLE: Duration = Duration::from_millis(60);
/// A file that an editor takes away to save it is back by then.
const BACK: Duration = Duration::from_millis(600);

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let spec = PathBuf::from(&args.spec.spec);
    if args.spec.spec == "-" {
        return Err(Trouble::new("standard input cannot be watched").help("name a file"));
    }
    // A slip in the name is said now; what goes wrong later is waited out.
    root::read(&args.spec)?;
    let server = if args.no_page { None } else { Some(Server::start(args.port)?) };
    if let Some(server) = &server {
        say(&format!("live page: {}\n", server.address()));
    }
    let mut bench = Bench { args, server, last: None, version: 0, asked: Stamps::default() };
    loop {
        let before = Stamps::take(&bench.watched(&spec));
        bench.build();
        // Every file counts as it stood before it was read, so that no save falls between.
        let template = |path: &Path| args.templates.as_ref().is_some_and(|folder| path.starts_with(folder));
        let seen = before.then(&bench.asked, |path| path == spec || template(path));
        while Stamps::take(&bench.watched(&spec)) == seen {
            sleep(LOOK);
        }
        settle(&bench.watched(&spec), &spec);
    }
}

/// Waits until the files stand still, and for a spec that is away to come back.
fn settle(watched: &[PathBuf], spec: &Path) {
    let (mut last, mut waited) = (Stamps::take(watched), Duration::ZERO);
    loop {
        sleep(SETTLE);
        waited += SETTLE;
        let now = Stamps::take(watched);
        let away = now.is_away(spec) && waited < BACK;
        if now == last && !away {
            return;
        }
        last = now;
    }
}

/// Columns of what changed on the page.
const PAGE: usize = 80;

/// A build that could be written.
struct Good {
    compiled: Box<Compiled>,
    files: Vec<File>,
}

/// What a build has to say.
struct Told {
    err: String,
    out: String,
}

struct Bench<'a> {
    args: &'a Args,
    server: Option<Server>,
    last: Option<Good>,
    version: u64,
    /// Files that the last build asked for, there or not, as they stood before they were read.
    asked: Stamps,
}

impl Bench<'_> {
    fn watched(&self, spec: &Path) -> Vec<PathBuf> {
        let mut all = vec![spec.to_owned()];
        all.extend(self.asked.paths().cloned());
        all.extend(self.args.templates.iter().flat_map(|folder| stamps::below(Path::new(folder))));
        all
    }

    fn build(&mut self) {
        self.version += 1;
        let mut panel = Panel { version: self.version, ..Panel::default() };
        let told = self.try_build(&mut panel).unwrap_or_else(|trouble| {
            panel.messages = complaint(&trouble);
            Told { err: panel.messages.clone(), out: String::new() }
        });
        if let Some(server) = &self.server {
            let files = self.last.as_ref().map_or(&[][..], |good| &good.files);
            server.show(&panel, files);
        }
        // Said last: whoever reads it finds the page and the folder as it says.
        narrate_messages(&told.err);
        tell(&told.out);
    }

    fn try_build(&mut self, panel: &mut Panel) -> Result<Told, Trouble> {
        let args = self.args;
        let mut spec = root::read(&args.spec)?;
        let mut loader = Asked { root: &mut spec.loader, asked: Stamps::default() };
        let variant = args.spec.variant.as_deref();
        let outcome = compile(&spec.name, &spec.text, &mut loader, variant);
        let asked = std::mem::take(&mut loader.asked);
        // A spec that is broken before its `use` asks for nothing; what it asked for last is watched on.
        if !asked.is_empty() || outcome.compiled.is_some() {
            self.asked = asked;
        }
        panel.summary = check::summary(&spec.name, variant, &outcome);
        let first = self.last.is_none();
        let err = match &outcome.compiled {
            Some(_) if !first => String::new(),
            _ => show::messages(&check::messages(&outcome, Signal::Caution), &outcome.sources),
        };
        let Some(compiled) = outcome.compiled else {
            panel.messages = show::plain_messages(&outcome.diags, &outcome.sources);
            return Ok(Told { err, out: format!("{}; the last packet stays\n", panel.summary) });
        };
        let overrides = packet::overrides_of(args.templates.as_deref())?;
        let made = compiled.packet(&overrides, None).map_err(|e| packet::composing(&e))?;
        let files = packet::files(&made)?;
        if let Some(last) = &self.last {
            (panel.changed, panel.sheets) = changed(last, &compiled, &overrides, &files);
        }
        if first || !panel.changed.is_empty() {
            write_packet(Path::new(&args.output), &files)?;
        }
        let told = match (first, panel.changed.is_empty()) {
            (true, _) => format!("{} sheets: {}/packet.pdf\n", made.sheets.len(), args.output),
            (false, true) => "no effect on lamp or papers\n".to_owned(),
            (false, false) => panel.changed.clone(),
        };
        let out = format!("{}\n{told}", panel.summary);
        panel.changed = lines(&panel.changed, PAGE);
        self.last = Some(Good { compiled, files });
        Ok(Told { err, out })
    }
}

/// What changed, in words, and the sheets that it changed; empty where lamp and papers are the same.
fn changed(last: &Good, new: &Compiled, overrides: &Overrides, files: &[File]) -> (String, Vec<String>) {
    let compared = compare(&last.compiled, new, overrides).map(|mut found| {
        if new.document.variant.is_none() {
            variants::add(&mut found, &last.compiled, new);
        }
        found
    });
    match compared {
        Ok(found) if found.reach == Reach::None && found.variants.is_empty() => {
            // The same lamp from the same spec: what differs now, a template did.
            let sheets = sheets_that_differ(&last.files, files);
            let told =
                if sheets.is_empty() { String::new() } else { format!("sheets set anew: {}\n", sheets.join(", ")) };
            (told, sheets)
        }
        Ok(found) => {
            let stale = found.sheets.iter().filter(|s| s.fate != Fate::Gone).map(|s| s.name.clone());
            (text::plain(&found), stale.collect())
        }
        Err(_) => (format!("another design: {} in place of {}\n", new.lamp.name, last.compiled.lamp.name), Vec::new()),
    }
}

/// Names of the sheets whose text is not what it was.
fn sheets_that_differ(old: &[File], new: &[File]) -> Vec<String> {
    let moved = new.iter().filter(|file| !old.contains(file));
    moved.filter_map(|f| Some(f.path.strip_prefix("sheets/")?.strip_suffix(".md")?.to_owned())).collect()
}

/// Remembers which files were asked for.
struct Asked<'a> {
    root: &'a mut Root,
    asked: Stamps,
}

impl Loader for Asked<'_> {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        self.asked.look(self.root.place_of(&beside(from, path)));
        let loaded = self.root.load(from, path);
        // Found in the library instead.
        if let Ok(loaded) = &loaded {
            self.asked.look(self.root.place_of(&loaded.name));
        }
        loaded
    }
}
