//! Reading the spec and the files it uses, never outside the project's root.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::{Component, Path, PathBuf};
use std::{fs, io};

use crate::language::loading::{LoadError, Loaded, Loader};
use crate::language::suggest::nearest_file;

use super::SpecArgs;
use super::files::{reason, shown, trouble};
use super::output::Trouble;

/// A spec larger than this is not read at all; the language's own limit says so more kindly below it.
const LARGEST: u64 = 8 << 20;

/// Files and folders of a project that are looked through for a name (our limit).
const MOST_ENTRIES: usize = 100_000;

/// A spec's text, its name in messages, and what reads the files that it uses.
pub(super) struct Spec {
    pub(super) name: String,
    pub(super) text: String,
    pub(super) loader: Root,
}

/// Reads files below one folder.
#[derive(Clone)]
pub(super) struct Root {
    /// The project's root: names are shown relative to it, and nothing above it is read.
    root: PathBuf,
    /// The folder that `--library` names.
    library: Option<PathBuf>,
    /// What was read, by place on the disk: one run sees one text of a file, however often it asks.
    kept: BTreeMap<PathBuf, String>,
}

impl Root {
    fn new(root: PathBuf, library: Option<PathBuf>) -> Self {
        Self { root, library, kept: BTreeMap::new() }
    }
}

/// The folder that `--library` names.
fn library_of(named: Option<&str>) -> Result<Option<PathBuf>, Trouble> {
    let library = named.map(|name| folder(Path::new(name))).transpose();
    library.map_err(|trouble| trouble.help("`--library` names a folder that `use` may reach"))
}

/// Reads the files of that folder and no others.
pub(super) fn library(named: Option<&str>) -> Result<Option<Root>, Trouble> {
    Ok(library_of(named)?.map(|folder| Root::new(folder, None)))
}

/// A spec as it is named on the command line.
pub(super) fn read(args: &SpecArgs) -> Result<Spec, Trouble> {
    let library = library_of(args.library.as_deref())?;
    if args.spec == "-" {
        let bytes = bounded(io::stdin().lock());
        let bytes = bytes.map_err(|e| Trouble::new(format!("cannot read standard input: {}", reason(&e))))?;
        let text = text(bytes, "standard input")?;
        let root = project_root(&folder(Path::new("."))?);
        return Ok(Spec { name: "stdin".into(), text, loader: Root::new(root, library) });
    }
    let path = Path::new(&args.spec);
    let text = read_text(path)?;
    let whole = fs::canonicalize(path).map_err(|e| trouble("cannot read", path, &e))?;
    let root = project_root(whole.parent().unwrap_or(Path::new("/")));
    let name = relative(&whole, &root).unwrap_or_else(|| args.spec.clone());
    Ok(Spec { name, text, loader: Root::new(root, library) })
}

/// Name and loader of a file that an editor holds; one without a path stands in this folder.
pub(super) fn around(path: Option<&Path>, library: Option<&str>) -> (String, Root) {
    let library = library.and_then(|l| folder(Path::new(l)).ok());
    let here = || folder(Path::new(".")).unwrap_or_else(|_| PathBuf::from("/"));
    let Some(path) = path else {
        return ("untitled".to_owned(), Root::new(project_root(&here()), library));
    };
    // A file that was never saved has a folder all the same.
    let whole = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let root = project_root(whole.parent().unwrap_or(Path::new("/")));
    let name = relative(&whole, &root).unwrap_or_else(|| "untitled".to_owned());
    (name, Root::new(root, library))
}

/// A text file as a whole, with an error that says what is wrong with it.
pub(super) fn read_text(path: &Path) -> Result<String, Trouble> {
    let meta = fs::metadata(path).map_err(|e| {
        let missing = trouble("cannot read", path, &e);
        match near(path) {
            Some(near) => missing.help(format!("did you mean `{near}`?")),
            None => missing.help("check folder and spelling"),
        }
    })?;
    if meta.is_dir() {
        return Err(Trouble::new(format!("cannot read {}: it is a folder", shown(path))).help("name the spec in it"));
    }
    let bytes = at_rest(path).map_err(|e| {
        let said = trouble("cannot read", path, &e);
        match e.kind() {
            TOO_LARGE => said.help("a spec is plain text of a few pages; name the right file"),
            _ => said,
        }
    })?;
    text(bytes, &shown(path))
}

/// What an error of ours about a file's size is, among those of the system.
const TOO_LARGE: io::ErrorKind = io::ErrorKind::InvalidData;

/// All that a reader gives, unless it is too large or never ends.
fn bounded(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(LARGEST + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST {
        return Err(io::Error::new(TOO_LARGE, "it is larger than 8 MiB"));
    }
    Ok(bytes)
}

/// A file's bytes as they stood at one moment: one that changes while it is read is read again.
fn at_rest(path: &Path) -> io::Result<Vec<u8>> {
    let state = || fs::metadata(path).map(|m| (m.len(), m.modified().ok(), m.is_file()));
    for _ in 0..5 {
        let before = state()?;
        let bytes = bounded(fs::File::open(path)?)?;
        let (_, _, is_file) = before;
        if !is_file || (state()? == before && bytes.len() as u64 == before.0) {
            return Ok(bytes);
        }
    }
    Err(io::Error::other("it changes while it is read; try again when it is written"))
}

fn text(bytes: Vec<u8>, name: &str) -> Result<String, Trouble> {
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        Trouble::new(format!("{name} is not UTF-8 text: byte {at} begins no character"))
            .help("save it as UTF-8; a spec is plain text")
    })
}

/// A file beside the missing one whose name is like it.
fn near(path: &Path) -> Option<String> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let wanted = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let names = names(folder);
    // A link that leads nowhere has the very name.
    let others = names.iter().map(String::as_str).filter(|name| *name != wanted);
    nearest_file(&wanted, others).map(|n| shown(&path.with_file_name(n)))
}

fn names(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.flatten().take(500).map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

fn folder(path: &Path) -> Result<PathBuf, Trouble> {
    let whole = fs::canonicalize(path).map_err(|e| trouble("cannot look into", path, &e))?;
    if whole.is_dir() { Ok(whole) } else { Err(Trouble::new(format!("{} is not a folder", shown(path)))) }
}

/// The folder that holds `.git`, else the spec's own.
fn project_root(folder: &Path) -> PathBuf {
    let above = folder.ancestors().find(|a| a.join(".git").exists());
    above.unwrap_or(folder).to_owned()
}

/// `path` below `root`, with `/` between folders.
fn relative(path: &Path, root: &Path) -> Option<String> {
    let below = path.strip_prefix(root).ok()?;
    let parts: Vec<String> = below.iter().map(|p| p.to_string_lossy().into_owned()).collect();
    Some(parts.join("/"))
}

impl Loader for Root {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        // A file of the library counts from where it lies there.
        let beside = self.place_of(from).parent().map_or_else(|| self.root.clone(), Path::to_owned);
        let asked = Path::new(path);
        if asked.is_absolute() || asked.components().any(|c| matches!(c, Component::Prefix(_))) {
            return Err(LoadError::Outside);
        }
        let first = self.one(&beside.join(asked));
        match (first, self.library.clone()) {
            (Err(LoadError::Missing { .. } | LoadError::Outside), Some(library)) => self.one(&library.join(asked)),
            (first, _) => first,
        }
    }
}

impl Root {
    /// Every file of the language under the root, as-built files included, links and hidden folders left out; nothing
    /// where there are too many to look through.
    pub(super) fn family(&self) -> Option<Vec<PathBuf>> {
        let (mut found, mut open, mut seen) = (Vec::new(), vec![self.root.clone()], 0usize);
        while let Some(folder) = open.pop() {
            for entry in fs::read_dir(&folder).into_iter().flatten().flatten() {
                seen += 1;
                if seen > MOST_ENTRIES {
                    return None;
                }
                let (path, Ok(kind)) = (entry.path(), entry.file_type()) else { continue };
                let hidden = entry.file_name().to_string_lossy().starts_with('.');
                let ours = path.extension().is_some_and(|e| e == "lamp" || e == "built");
                if kind.is_dir() && !hidden {
                    open.push(path);
                } else if kind.is_file() && ours {
                    found.push(path);
                }
            }
        }
        found.sort();
        Some(found)
    }

    /// Reads every file anew when it is asked for next.
    pub(super) fn forget(&mut self) {
        self.kept.clear();
    }

    /// Where the file of this name lies.
    pub(super) fn path_of(&self, name: &str) -> Option<PathBuf> {
        let homes = [Some(&self.root), self.library.as_ref()];
        homes.into_iter().flatten().map(|home| home.join(name)).find(|path| path.exists())
    }

    /// Where a file of this name would lie, there or not.
    pub(super) fn place_of(&self, name: &str) -> PathBuf {
        self.path_of(name).unwrap_or_else(|| self.root.join(name))
    }

    fn one(&mut self, path: &Path) -> Result<Loaded, LoadError> {
        let whole = match fs::canonicalize(path) {
            Ok(whole) => whole,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                return Err(if self.climbs(path) {
                    LoadError::Outside
                } else {
                    LoadError::Missing { near: nearby(path) }
                });
            }
            Err(error) => return Err(LoadError::Other(reason(&error))),
        };
        // Links are followed before the check, so that none leads out of the root.
        let home = [Some(&self.root), self.library.as_ref()].into_iter().flatten().find(|r| whole.starts_with(r));
        let Some(home) = home else { return Err(LoadError::Outside) };
        let name = relative(&whole, home).unwrap_or_default();
        if let Some(text) = self.kept.get(&whole) {
            return Ok(Loaded { name, text: text.clone() });
        }
        if whole.is_dir() {
            return Err(LoadError::Directory);
        }
        let bytes = at_rest(&whole).map_err(|e| LoadError::Other(reason(&e)))?;
        let text = String::from_utf8(bytes).map_err(|_| LoadError::NotText)?;
        self.kept.insert(whole, text.clone());
        Ok(Loaded { name, text })
    }

    /// Whether a path that does not exist would lie outside the root.
    fn climbs(&self, path: &Path) -> bool {
        let mut depth = PathBuf::new();
        for part in path.components() {
            match part {
                Component::ParentDir => drop(depth.pop()),
                Component::CurDir => {}
                other => depth.push(other),
            }
        }
        !depth.starts_with(&self.root)
    }
}

/// Names beside a missing file, as `use` would write them from the same folder.
fn nearby(path: &Path) -> Vec<String> {
    path.parent().map(names).unwrap_or_default().into_iter().filter(|n| n.ends_with(".lamp")).collect()
}
