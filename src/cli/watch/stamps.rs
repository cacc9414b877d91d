//! When files were last written, without reading them: what tells `watch` that somebody saved.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Time and length of each file; none where it is not there.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Stamps(BTreeMap<PathBuf, Option<(SystemTime, u64)>>);

impl Stamps {
    /// As the files stand now.
    pub(super) fn take(paths: &[PathBuf]) -> Self {
        Self(paths.iter().map(|path| (path.clone(), stamp(path))).collect())
    }

    /// Of the files looked at, those that are still wanted, with those that were first looked at since.
    pub(super) fn then(mut self, since: &Self, wanted: impl Fn(&Path) -> bool) -> Self {
        self.0.retain(|path, _| since.0.contains_key(path) || wanted(path));
        for (path, stamp) in &since.0 {
            self.0.entry(path.clone()).or_insert(*stamp);
        }
        self
    }

    /// Looks at one file more; what was seen of it first stays.
    pub(super) fn look(&mut self, path: PathBuf) {
        let seen = stamp(&path);
        self.0.entry(path).or_insert(seen);
    }

    /// The files looked at.
    pub(super) fn paths(&self) -> impl Iterator<Item = &PathBuf> {
        self.0.keys()
    }

    /// Whether no file was looked at.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether a file is not there.
    pub(super) fn is_away(&self, path: &Path) -> bool {
        self.0.get(path).is_none_or(Option::is_none)
    }
}

fn stamp(path: &Path) -> Option<(SystemTime, u64)> {
    let meta = std::fs::metadata(path).ok()?;
    Some((meta.modified().ok()?, meta.len()))
}

/// Templates looked at below one folder, at most.
const MOST: usize = 500;

/// Every file below a folder.
pub(super) fn below(folder: &Path) -> Vec<PathBuf> {
    let (mut found, mut open) = (Vec::new(), vec![folder.to_owned()]);
    while let Some(at) = open.pop() {
        for entry in std::fs::read_dir(&at).into_iter().flatten().flatten() {
            let path = entry.path();
            match entry.file_type() {
                Ok(kind) if kind.is_dir() => open.push(path),
                Ok(_) if found.len() < MOST => found.push(path),
                _ => {}
            }
        }
    }
    found.sort();
    found
}
