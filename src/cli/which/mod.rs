//! Verb `which`: the code in a printed footer to revision, variant and unit; current or stale; what changed since.
//! Everything is found in the files here and in the repository's history; nothing is asked over a network.

mod search;

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::compare::{Comparison, compare, text};
use crate::language::loading::Loader;
use crate::packet::templates::Overrides;
use crate::{Compiled, compile};

use super::git::{AtRevision, Commit, Repository};
use super::laid::tell;
use super::output::{Trouble, say};
use super::{Exit, Format, SpecArgs, root};

use search::{Match, Paper};

/// `which`.
#[derive(clap::Args)]
#[command(
    before_help = "\
Examples:
  lampwright which 3f09a1c2b45e               the code in a page's footer
  lampwright which 3f09a1c2b45e-7             a page of unit 7
  lampwright which 3f09a1 lamps/alder.lamp    its first characters, in one spec's history",
    after_help = "Exit codes: 0 the page is current, 1 it is stale, 3 nothing here has this code"
)]
pub(super) struct Args {
    /// The code as printed; its first four characters or more
    code: String,
    /// Look at these specs only
    specs: Vec<String>,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// What a code stands for.
struct Answer {
    paper: Paper,
    unit: Option<String>,
    /// Oldest and newest commit that give these papers; none where they were never committed.
    commits: Option<(Commit, Commit)>,
    /// What the same spec and variant give now, where it is still here.
    now: Option<Paper>,
    since: Vec<Commit>,
    comparison: Option<Comparison>,
}

impl Answer {
    fn current(&self) -> bool {
        self.now.as_ref().is_some_and(|now| now.digest == self.paper.digest)
    }
    fn state(&self) -> &'static str {
        match &self.now {
            Some(_) if self.current() => "current",
            Some(_) => "stale",
            None => "gone",
        }
    }
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let (code, unit) = split(&args.code)?;
    let here = std::env::current_dir().map_err(|e| Trouble::new(format!("cannot look into this folder: {e}")))?;
    let place = Place::around(&here, &args.specs)?;
    let now = search::here(&place.specs, &place.folder);
    let history = match &place.repository {
        Some(repository) => search::history(repository, &code, &place.only)?,
        None => Vec::new(),
    };
    let paper = match (now.iter().find(|p| p.digest.starts_with(&code)), history.first()) {
        (Some(paper), _) => paper.clone(),
        (None, Some(found)) => found.paper.clone(),
        (None, None) => return Err(nothing(&code, &place, now.len())),
    };
    let answer = answer(paper, unit, &now, &history, &place);
    match args.format {
        Format::Text => tell(&as_text(&answer)),
        Format::Json => say(&format!("{:#}\n", as_json(&answer))),
    }
    Ok(if answer.current() { Exit::Clean } else { Exit::Findings })
}

/// The digest in small letters, and the unit after its hyphen.
fn split(code: &str) -> Result<(String, Option<String>), Trouble> {
    let code = code.trim();
    let (digest, unit) = code.split_once('-').map_or((code, None), |(d, u)| (d, Some(u)));
    let digest: String = digest.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_ascii_lowercase();
    let fits = (4..=12).contains(&digest.len()) && digest.chars().all(|c| c.is_ascii_hexdigit());
    let numbered = unit.is_none_or(|u| !u.is_empty() && u.chars().all(|c| c.is_ascii_digit()));
    if fits && numbered {
        return Ok((digest, unit.map(str::to_owned)));
    }
    Err(Trouble::new(format!("`{code}` is no code of a page"))
        .help("it has 4 to 12 characters of 0-9 and a-f; on papers of one unit a hyphen and its number follow"))
}

/// Where specs are looked for.
struct Place {
    folder: PathBuf,
    repository: Option<Repository>,
    /// Specs to look at as they lie here, below `folder`.
    specs: Vec<String>,
    /// Those of them that were named.
    only: Vec<String>,
}

impl Place {
    fn around(here: &Path, named: &[String]) -> Result<Self, Trouble> {
        let Ok(repository) = Repository::around(here) else {
            let specs = if named.is_empty() { lamps_in(here) } else { named.to_vec() };
            return Ok(Self { folder: here.to_owned(), repository: None, only: Vec::new(), specs });
        };
        let folder = repository.folder().to_owned();
        let only: Vec<String> = named.iter().map(|spec| repository.path_of(here, spec)).collect();
        let specs = if only.is_empty() { repository.here()? } else { only.clone() };
        Ok(Self { folder, repository: Some(repository), specs, only })
    }
}

fn lamps_in(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries.map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    names.retain(|name| name.ends_with(".lamp"));
    names.sort();
    names
}

fn nothing(code: &str, place: &Place, papers: usize) -> Trouble {
    let where_to = match &place.repository {
        Some(_) => "neither in the files here nor in any commit",
        None => "not in the files here, and this folder is in no repository",
    };
    Trouble::new(format!("no papers with the code {code}, {where_to}")).help(format!(
        "{papers} papers can be written from the files here; look for a misread character, run it in the \
             repository the page came from, or with the program's version that printed it (this one is {}); a pick \
             list of several lamps has a code of its own, and each lamp's in its first table",
        env!("CARGO_PKG_VERSION")
    ))
}

fn answer(paper: Paper, unit: Option<String>, now: &[Paper], history: &[Match], place: &Place) -> Answer {
    let same = |m: &&Match| m.paper.digest == paper.digest && m.paper.spec == paper.spec;
    let mut matches = history.iter().filter(same);
    let newest = matches.next().map(|m| m.commit.clone());
    let oldest = matches.next_back().map(|m| m.commit.clone()).or_else(|| newest.clone());
    let commits = oldest.zip(newest);
    let of_variant = |p: &&Paper| p.variant == paper.variant;
    let exact = now.iter().filter(of_variant).find(|p| p.digest == paper.digest);
    let same_file = || now.iter().filter(of_variant).find(|p| p.spec == paper.spec);
    let same_lamp = || now.iter().filter(of_variant).find(|p| p.lamp == paper.lamp);
    let now = exact.or_else(same_file).or_else(same_lamp).cloned();
    let mut answer = Answer { paper, unit, commits, now, since: Vec::new(), comparison: None };
    if let (false, Some(repository), Some((_, last))) = (answer.current(), &place.repository, &answer.commits) {
        let files: Vec<&str> = answer.paper.files.iter().map(String::as_str).collect();
        answer.since = repository.since(&last.id, &files).unwrap_or_default();
        answer.comparison = answer.now.as_ref().and_then(|now| changed(&answer.paper, now, last, repository));
    }
    answer
}

/// What the spec as it lies here asks of a lamp that was built to these papers.
fn changed(then: &Paper, now: &Paper, commit: &Commit, repository: &Repository) -> Option<Comparison> {
    let variant = then.variant.as_deref();
    let before = repository.text(&commit.id, &then.spec).ok()?;
    let mut loader = AtRevision { repository: repository.clone(), revision: commit.id.clone(), library: None };
    let old = compiled(&then.spec, &before, &mut loader, variant)?;
    let whole = repository.folder().join(&now.spec).to_string_lossy().into_owned();
    let mut read = root::read(&SpecArgs { spec: whole, variant: None, library: None }).ok()?;
    let new = compiled(&read.name, &read.text, &mut read.loader, variant)?;
    compare(&old, &new, &Overrides::default()).ok()
}

fn compiled(name: &str, text: &str, loader: &mut dyn Loader, variant: Option<&str>) -> Option<Box<Compiled>> {
    compile(name, text, loader, variant).compiled
}

/// `Alder, revision A, variant us, unit 7`.
fn called(paper: &Paper, unit: Option<&str>) -> String {
    let mut out = paper.lamp.clone();
    match &paper.revision {
        Some(revision) => out.push_str(&format!(", revision {revision}")),
        None => out.push_str(", no revision"),
    }
    if let Some(variant) = &paper.variant {
        out.push_str(&format!(", variant {variant}"));
    }
    if let Some(unit) = unit {
        out.push_str(&format!(", unit {unit}"));
    }
    out
}

fn as_text(answer: &Answer) -> String {
    let paper = &answer.paper;
    let mut out = format!("{}: {}\n", paper.digest, called(paper, answer.unit.as_deref()));
    let mut row = |what: &str, told: &str| out.push_str(&format!("  {what:<9}{told}\n"));
    row("spec", &paper.spec);
    let told = |c: &Commit| format!("{} {} {}", c.short(), c.date, c.subject);
    match &answer.commits {
        Some((first, last)) if first == last => row("commit", &told(last)),
        Some((first, last)) => {
            row("first in", &told(first));
            row("last in", &told(last));
        }
        None => row("commit", "none: this state of the spec was never committed"),
    }
    match &answer.now {
        Some(_) if answer.current() => row("state", "current: the spec as it lies here gives these papers"),
        Some(now) => {
            row("state", &format!("stale: {} now gives {}, {}", now.spec, now.digest, called(now, None)));
        }
        None => row("state", "gone: no spec here gives papers of this lamp and variant any longer"),
    }
    for commit in &answer.since {
        row("since", &told(commit));
    }
    if let Some(comparison) = &answer.comparison {
        out.push_str("\nWhat changed since this page was printed:\n\n");
        out.push_str(&text::plain(comparison));
    }
    out
}

fn as_json(answer: &Answer) -> Value {
    let paper = &answer.paper;
    json!({
        "format": "lampwright which 1",
        "digest": paper.digest,
        "spec": paper.spec,
        "lamp": paper.lamp,
        "revision": paper.revision,
        "variant": paper.variant,
        "unit": answer.unit,
        "state": answer.state(),
        "now": answer.now.as_ref().map(|now| json!({ "spec": now.spec, "digest": now.digest, "revision": now.revision })),
        "first": answer.commits.as_ref().map(|(first, _)| first),
        "last": answer.commits.as_ref().map(|(_, last)| last),
        "since": answer.since,
        "comparison": answer.comparison,
    })
}
