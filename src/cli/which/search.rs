//! A digest to the spec and variant it stands for: looked for in the files as they lie here, then in every commit.

use std::collections::BTreeMap;
use std::path::Path;

use crate::language::loading::{LoadError, Loaded, Loader};
use crate::{Reading, Said, digest};

use crate::cli::SpecArgs;
use crate::cli::git::{Commit, Repository, within};
use crate::cli::output::Trouble;
use crate::cli::root;

/// What a spec says of itself in one variant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Paper {
    /// Path of the spec: from the repository's root, or as it was named.
    pub(super) spec: String,
    pub(super) lamp: String,
    pub(super) revision: Option<String>,
    pub(super) variant: Option<String>,
    pub(super) digest: String,
    /// The spec and the files that it uses.
    pub(super) files: Vec<String>,
}

/// What each variant of a spec says of itself; nothing where it cannot be compiled.
pub(super) fn papers(spec: &str, name: &str, text: &str, loader: &mut dyn Loader) -> Vec<Paper> {
    // A file of parts has no block `lamp`; the word in a comment or a text costs a look, nothing else.
    if !text.contains("lamp") {
        return Vec::new();
    }
    let reading = Reading::new(name, text, loader, &[]);
    let files: Vec<String> = reading.sources().iter().map(|s| s.name.clone()).collect();
    let said = std::iter::once(None).chain(reading.variants().map(Some)).map(|v| reading.said(v));
    said.filter_map(|said| paper(spec, &said, &files)).collect()
}

fn paper(spec: &str, said: &Said, files: &[String]) -> Option<Paper> {
    let (document, lamp) = said.spec()?;
    Some(Paper {
        spec: spec.to_owned(),
        lamp: lamp.name.clone(),
        revision: lamp.identity.revision.value.clone(),
        variant: lamp.variant.clone(),
        digest: digest::of(document),
        files: files.to_vec(),
    })
}

/// What the specs say as they lie here.
pub(super) fn here(specs: &[String], folder: &Path) -> Vec<Paper> {
    let mut found = Vec::new();
    for spec in specs {
        let whole = folder.join(spec).to_string_lossy().into_owned();
        let args = SpecArgs { spec: whole, variant: None, library: None };
        // A file that cannot be read is none of whose papers could be in a hand.
        if let Ok(mut read) = root::read(&args) {
            found.extend(papers(spec, &read.name, &read.text, &mut read.loader));
        }
    }
    found
}

/// A file that was asked for, and its object at the commit; none where it was not there.
type Used = (String, Option<String>);

/// A commit whose files give the papers.
pub(super) struct Match {
    pub(super) commit: Commit,
    pub(super) paper: Paper,
}

/// Every commit whose files give papers of this digest, the newest first; `only` keeps these specs.
pub(super) fn history(repository: &Repository, code: &str, only: &[String]) -> Result<Vec<Match>, Trouble> {
    let mut found = Vec::new();
    let mut texts: BTreeMap<String, String> = BTreeMap::new();
    // What a spec gave at the commit looked at before: with the objects of the files it used.
    let mut known: BTreeMap<String, (Vec<Used>, Vec<Paper>)> = BTreeMap::new();
    for commit in repository.commits()? {
        let tree = repository.tree(&commit.id)?;
        for spec in tree.keys().filter(|path| only.is_empty() || only.contains(path)) {
            let unchanged = |used: &[Used]| used.iter().all(|(f, id)| tree.get(f) == id.as_ref());
            if !known.get(spec).is_some_and(|(used, _)| unchanged(used)) {
                let mut files = AtCommit { repository, tree: &tree, texts: &mut texts, asked: Vec::new() };
                let Some(text) = files.text(spec) else { continue };
                let papers = papers(spec, spec, &text, &mut files);
                let mut asked = std::mem::take(&mut files.asked);
                asked.push(spec.clone());
                let used = asked.into_iter().map(|file| (file.clone(), tree.get(&file).cloned())).collect();
                known.insert(spec.clone(), (used, papers));
            }
            let papers = known.get(spec).map_or(&[][..], |(_, papers)| papers);
            let matching = papers.iter().filter(|p| p.digest.starts_with(code));
            found.extend(matching.map(|paper| Match { commit: commit.clone(), paper: paper.clone() }));
        }
    }
    Ok(found)
}

/// Reads files of one commit, each object once.
struct AtCommit<'a> {
    repository: &'a Repository,
    tree: &'a BTreeMap<String, String>,
    texts: &'a mut BTreeMap<String, String>,
    asked: Vec<String>,
}

impl AtCommit<'_> {
    fn text(&mut self, path: &str) -> Option<String> {
        let id = self.tree.get(path)?;
        if !self.texts.contains_key(id) {
            self.texts.insert(id.clone(), self.repository.object(id).ok()?);
        }
        self.texts.get(id).cloned()
    }
}

impl Loader for AtCommit<'_> {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        let name = within(from, path)?;
        self.asked.push(name.clone());
        match self.text(&name) {
            Some(text) => Ok(Loaded { name, text }),
            None => Err(LoadError::Missing { near: Vec::new() }),
        }
    }
}
