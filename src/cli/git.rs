//! Text of files at a revision, through the `git` command: the only file that starts a process.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::language::loading::{LoadError, Loaded, Loader, beside};

use super::output::Trouble;

/// A repository, by the folder that holds it.
#[derive(Clone)]
pub(super) struct Repository {
    folder: PathBuf,
}

impl Repository {
    /// The repository that this folder lies in.
    pub(super) fn around(folder: &Path) -> Result<Self, Trouble> {
        let top = git(folder, &["rev-parse", "--show-toplevel"])?;
        Ok(Self { folder: PathBuf::from(top.trim_end()) })
    }

    /// Where the working copy stands.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The text of a file at a revision; `path` counts from the repository's root.
    pub(super) fn text(&self, revision: &str, path: &str) -> Result<String, Trouble> {
        git(&self.folder, &["show", "--end-of-options", &format!("{revision}:{path}")])
    }
}

/// Reads used files at the revision of the spec that uses them.
pub(super) struct AtRevision {
    pub(super) repository: Repository,
    pub(super) revision: String,
}

impl Loader for AtRevision {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        let name = beside(from, path);
        if path.starts_with('/') || name.starts_with("..") {
            return Err(LoadError::Outside);
        }
        match self.repository.text(&self.revision, &name) {
            Ok(text) => Ok(Loaded { name, text }),
            Err(_) => Err(LoadError::Missing { near: Vec::new() }),
        }
    }
}

fn git(folder: &Path, arguments: &[&str]) -> Result<String, Trouble> {
    let mut command = Command::new("git");
    command.arg("--no-pager").args(arguments).current_dir(folder).stdin(Stdio::null());
    let output = command.output().map_err(|e| {
        Trouble::new(format!("cannot run `git`: {e}")).help("install it, or name two files that lie on the disk")
    })?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        let first = said.lines().next().unwrap_or("no word from it").trim_start_matches("fatal: ").to_owned();
        return Err(Trouble::new(format!("git: {first}"))
            .help("write it as `HEAD~1:folder/my.lamp`, from the repository's root"));
    }
    String::from_utf8(output.stdout).map_err(|_| Trouble::new("git gave a file that is not UTF-8 text"))
}
