//! Text of files at a revision, through the `git` command: the only file that starts a process.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::language::loading::{LoadError, Loaded, Loader, beside};

use super::output::Trouble;
use super::root::Root;

/// A repository, by the folder that holds it.
#[derive(Clone)]
pub(super) struct Repository {
    folder: PathBuf,
}

impl Repository {
    /// The repository that this folder lies in.
    pub(super) fn around(folder: &Path) -> Result<Self, Trouble> {
        let top = git(folder, &["rev-parse", "--show-toplevel"]);
        let top = top
            .map_err(|t| t.or_help("`REVISION:path` is for a repository; else name two files that lie on the disk"))?;
        Ok(Self { folder: PathBuf::from(top.trim_end()) })
    }

    /// Where the working copy stands.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The path from the repository's root of a file that is called so from this folder.
    pub(super) fn path_of(&self, here: &Path, called: &str) -> String {
        let whole = here.join(called);
        let Ok(below) = whole.strip_prefix(&self.folder) else { return whole.to_string_lossy().into_owned() };
        let steps: Vec<String> = below.iter().map(|step| step.to_string_lossy().into_owned()).collect();
        beside("", &steps.join("/"))
    }

    /// The text of a file at a revision; `path` counts from the repository's root.
    pub(super) fn text(&self, revision: &str, path: &str) -> Result<String, Trouble> {
        let shown = git(&self.folder, &["show", "--end-of-options", &format!("{revision}:{path}")]);
        shown.map_err(|trouble| trouble.or_help("write it as `HEAD~1:folder/my.lamp`, from the repository's root"))
    }

    /// The text of a file by its object's name.
    pub(super) fn object(&self, id: &str) -> Result<String, Trouble> {
        git(&self.folder, &["cat-file", "blob", id])
    }

    /// Specs and parts of the working copy, those not committed yet included, from the repository's root.
    pub(super) fn here(&self) -> Result<Vec<String>, Trouble> {
        let listed = git(&self.folder, &["ls-files", "-z", "-co", "--exclude-standard", "--", LAMPS])?;
        let mut names: Vec<String> = listed.split_terminator('\0').map(str::to_owned).collect();
        names.sort();
        names.dedup();
        Ok(names)
    }

    /// Specs and parts at a commit: path to the object's name.
    pub(super) fn tree(&self, commit: &str) -> Result<BTreeMap<String, String>, Trouble> {
        let listed = git(&self.folder, &["ls-tree", "-r", "-z", "--end-of-options", commit])?;
        let entry = |line: &str| {
            let (head, path) = line.split_once('\t')?;
            let id = head.split(' ').nth(2)?;
            path.ends_with(".lamp").then(|| (path.to_owned(), id.to_owned()))
        };
        Ok(listed.split_terminator('\0').filter_map(entry).collect())
    }

    /// Commits of every branch that touched a spec or a part, the newest first.
    pub(super) fn commits(&self) -> Result<Vec<Commit>, Trouble> {
        self.log(&["--all", "--full-history"], &[LAMPS])
    }

    /// Commits after this one, up to where the working copy stands, that touched one of these files.
    pub(super) fn since(&self, commit: &str, paths: &[&str]) -> Result<Vec<Commit>, Trouble> {
        self.log(&[&format!("{commit}..HEAD")], paths)
    }

    fn log(&self, which: &[&str], paths: &[&str]) -> Result<Vec<Commit>, Trouble> {
        let mut arguments = vec!["log", "--date-order", "--format=%H%x1f%cs%x1f%s"];
        arguments.extend(which);
        arguments.push("--");
        arguments.extend(paths);
        let listed = git(&self.folder, &arguments)?;
        let commit = |line: &str| {
            let mut fields = line.splitn(3, '\u{1f}').map(str::to_owned);
            Some(Commit { id: fields.next()?, date: fields.next()?, subject: fields.next()? })
        };
        Ok(listed.lines().filter_map(commit).collect())
    }
}

/// Files of the language, as git matches paths: `*` reaches into folders.
const LAMPS: &str = "*.lamp";

/// One commit.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(super) struct Commit {
    pub(super) id: String,
    /// Day of the commit.
    pub(super) date: String,
    pub(super) subject: String,
}

impl Commit {
    /// The start of its name, as people write it.
    pub(super) fn short(&self) -> &str {
        self.id.get(..9).unwrap_or(&self.id)
    }
}

/// Reads used files at the revision of the spec that uses them; what the repository has not, a library on the disk may.
pub(super) struct AtRevision {
    pub(super) repository: Repository,
    pub(super) revision: String,
    pub(super) library: Option<Root>,
}

impl Loader for AtRevision {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        let found = within(from, path).and_then(|name| match self.repository.text(&self.revision, &name) {
            Ok(text) => Ok(Loaded { name, text }),
            Err(_) => Err(LoadError::Missing { near: Vec::new() }),
        });
        match (found, &mut self.library) {
            (Err(LoadError::Missing { .. } | LoadError::Outside), Some(library)) => library.load(from, path),
            (found, _) => found,
        }
    }
}

/// The path from the repository's root of a file that one at `from` uses.
pub(super) fn within(from: &str, path: &str) -> Result<String, LoadError> {
    let name = beside(from, path);
    let above = name == ".." || name.starts_with("../");
    if path.starts_with('/') || above { Err(LoadError::Outside) } else { Ok(name) }
}

fn git(folder: &Path, arguments: &[&str]) -> Result<String, Trouble> {
    let mut command = Command::new("git");
    command.arg("--no-pager").args(arguments).current_dir(folder).stdin(Stdio::null());
    // A repository that holds only a part of its history must not reach for the rest over the network.
    command.env("GIT_NO_LAZY_FETCH", "1").env("GIT_OPTIONAL_LOCKS", "0");
    let output = command.output().map_err(|e| {
        Trouble::new(format!("cannot run `git`: {e}")).help("install it, or name two files that lie on the disk")
    })?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        let first = said.lines().next().unwrap_or("no word from it").trim_start_matches("fatal: ").to_owned();
        return Err(Trouble::new(format!("git: {first}")));
    }
    String::from_utf8(output.stdout).map_err(|_| Trouble::new("git gave a file that is not UTF-8 text"))
}
