//! `use`: brings the trees of other files together, in order, each once; says so where a file cannot be had.
//! Files are read by the caller; here is only which, and in which order.

use std::sync::Arc;

use super::parse::Parsed;
use super::suggest;
use super::syntax::{ExprForm, Form, ItemForm, Statement, Tree};
use crate::diag::{Diag, Sources, Span};

/// A file as the loader found it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loaded {
    /// Its name relative to the project's root, `/` between folders; one name a file, however it was asked for.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Why a file cannot be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LoadError {
    /// No file of this name; `near` holds the names of files beside it, if they are known.
    Missing {
        /// Names as `use` would write them.
        near: Vec<String>,
    },
    /// The name is that of a folder.
    Directory,
    /// It lies outside the project's root and the library.
    Outside,
    /// It is not UTF-8 text.
    NotText,
    /// The system's own words.
    Other(String),
}

/// Reads the files that `use` names.
pub trait Loader {
    /// The file that `path` means in a `use` of the file named `from`.
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError>;
}

/// No other files: every `use` is an error.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoFiles;

impl Loader for NoFiles {
    fn load(&mut self, _: &str, _: &str) -> Result<Loaded, LoadError> {
        Err(LoadError::Missing { near: Vec::new() })
    }
}

/// Files that were read before: a spec compiled again needs no disk.
pub struct Held<'a> {
    files: &'a Sources,
}

impl<'a> Held<'a> {
    /// Answers from these files.
    pub fn new(files: &'a Sources) -> Self {
        Self { files }
    }
}

impl Loader for Held<'_> {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        let called = |name: String| self.files.iter().find(|f| f.name == name);
        // A file of a library is known by its name below the library; where it is a link, by that of the file it leads to.
        let (in_library, tail) = (beside("", path), format!("/{path}"));
        let found = called(beside(from, path)).or_else(|| called(in_library));
        let found = found.or_else(|| self.files.iter().find(|f| f.name.ends_with(&tail)));
        let found = found.ok_or(LoadError::Missing { near: Vec::new() })?;
        Ok(Loaded { name: found.name.clone(), text: found.text.clone() })
    }
}

/// The name that `path` has when a file named `from` uses it: relative to that file's folder, `..` worked out.
pub fn beside(from: &str, path: &str) -> String {
    let folder = from.rsplit_once('/').map_or("", |(folder, _)| folder);
    let mut steps: Vec<&str> = Vec::new();
    for step in folder.split('/').chain(path.split('/')) {
        match step {
            "" | "." => {}
            ".." if steps.last().is_some_and(|s| *s != "..") => drop(steps.pop()),
            step => steps.push(step),
        }
    }
    steps.join("/")
}

/// Name and text of a spec that does nothing but use one file of parts: that file is judged as the lamp would see it.
pub const WRAPPER: (&str, &str) = ("(parts)", "language 1\nuse \"parts\"\n");

/// Gives one text as the file that [`WRAPPER`] uses, and asks another loader for all the rest.
pub struct Wrapped<'a> {
    name: &'a str,
    text: &'a str,
    rest: &'a mut dyn Loader,
}

impl<'a> Wrapped<'a> {
    /// Around the file of this name and text.
    pub fn new(name: &'a str, text: &'a str, rest: &'a mut dyn Loader) -> Self {
        Self { name, text, rest }
    }
}

impl Loader for Wrapped<'_> {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        if from == WRAPPER.0 {
            return Ok(Loaded { name: self.name.to_owned(), text: self.text.to_owned() });
        }
        self.rest.load(from, path)
    }
}

/// Whether a file holds nothing but what can be shared.
pub fn is_parts_only(tree: &Tree) -> bool {
    let mut shared = false;
    for item in &tree.items {
        let ItemForm::Statement(s) = &item.form else { continue };
        match s.word.value.as_str() {
            "part" | "let" => shared = true,
            "language" | "use" => {}
            _ => return false,
        }
    }
    shared
}

/// How deep files may use files (our limit).
const DEEPEST_USE: usize = 16;

/// The trees of all used files, those first that others use.
#[derive(Default)]
pub struct Used {
    pub(super) trees: Vec<Arc<Tree>>,
    /// Whether every file was had and read without syntax errors; if not, an unknown part is no news.
    pub(super) complete: bool,
    /// How many messages reading them gave.
    pub(super) said: usize,
}

impl Used {
    /// Follows the `use` statements of `tree`; a tree that is not sound is not looked into. `parsed` has the files that
    /// were read before.
    pub fn of(
        tree: &Tree,
        loader: &mut dyn Loader,
        sources: &mut Sources,
        diags: &mut Vec<Diag>,
        parsed: &mut Parsed,
    ) -> Self {
        if !tree.sound {
            return Self::default();
        }
        let earlier = diags.len();
        let name = sources.get(tree.file).map(|s| s.name.clone()).unwrap_or_default();
        let (done, open, used) = (vec![], vec![(name, Span::default())], Self::default());
        let mut walk = Walk { loader, sources, diags, parsed, done, open, used };
        walk.used.complete = true;
        walk.follow(tree);
        let mut used = walk.used;
        used.said = diags.len() - earlier;
        used
    }
}

struct Walk<'a> {
    loader: &'a mut dyn Loader,
    sources: &'a mut Sources,
    diags: &'a mut Vec<Diag>,
    parsed: &'a mut Parsed,
    done: Vec<String>,
    /// The files being read, each with the `use` that led to it.
    open: Vec<(String, Span)>,
    used: Used,
}

impl Walk<'_> {
    fn follow(&mut self, tree: &Tree) {
        for item in &tree.items {
            match &item.form {
                ItemForm::Statement(statement) if statement.word.value == "use" => self.one(statement),
                _ => {}
            }
        }
    }

    fn one(&mut self, statement: &Statement) {
        let path = match &statement.form {
            Form::Property(value) => match value.single().map(|e| &e.form) {
                Some(ExprForm::Text(path)) => path.clone(),
                _ => String::new(),
            },
            _ => String::new(),
        };
        let from = self.open.last().map(|(name, _)| name.clone()).unwrap_or_default();
        if path.is_empty() {
            let diag = Diag::error("use/path", statement.span, "`use` wants a file's name in quotes");
            return self.fail(diag.label("which file?").help("write `use \"parts/drawer.lamp\"`"));
        }
        match self.loader.load(&from, &path) {
            Ok(loaded) => self.enter(loaded, statement.span),
            Err(error) => self.fail(refused(&path, error, statement.span)),
        }
    }

    fn fail(&mut self, diag: Diag) {
        self.used.complete = false;
        self.diags.push(diag);
    }

    fn enter(&mut self, loaded: Loaded, span: Span) {
        if let Some(at) = self.open.iter().position(|(name, _)| *name == loaded.name) {
            return self.fail(self.circle(at, &loaded.name, span));
        }
        if self.done.contains(&loaded.name) {
            return;
        }
        if self.open.len() > DEEPEST_USE {
            let diag = Diag::error("use/too-deep", span, format!("files use files more than {DEEPEST_USE} deep"))
                .label(format!("level {}", self.open.len()))
                .help("use the file from the spec itself; parts come in from any depth");
            return self.fail(diag);
        }
        let file = self.sources.add(loaded.name.clone(), loaded.text.clone());
        let before = self.diags.len();
        let tree = self.parsed.parse(file, &loaded.text, self.diags);
        self.used.complete &= self.diags.len() == before;
        self.open.push((loaded.name.clone(), span));
        self.follow(&tree);
        self.open.pop();
        self.done.push(loaded.name);
        self.used.trees.push(tree);
    }

    fn circle(&self, at: usize, name: &str, span: Span) -> Diag {
        let links = self.open.get(at..).unwrap_or_default();
        let mut way: Vec<&str> = links.iter().map(|(n, _)| n.as_str()).collect();
        way.push(name);
        let mut diag = Diag::error("use/loop", span, format!("files use each other in a circle: {}", way.join(" -> ")))
            .label(format!("uses `{name}` again"));
        for (name, span) in links.iter().skip(1) {
            diag = diag.also(*span, format!("uses `{name}`"));
        }
        diag.help("move what both files need to a third file that uses neither")
    }
}

fn refused(path: &str, error: LoadError, span: Span) -> Diag {
    let (code, message, help) = match error {
        LoadError::Missing { near } => (
            "use/missing",
            format!("there is no file `{path}`"),
            match suggest::nearest_file(path, near.iter().map(String::as_str)) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "the name is relative to the file that says `use`; check folder and spelling".to_owned(),
            },
        ),
        LoadError::Directory => ("use/folder", format!("`{path}` is a folder"), "name one file in it".to_owned()),
        LoadError::Outside => (
            "use/outside",
            format!("`{path}` lies outside the project"),
            "copy the file into the project, or name its folder with `--library`".to_owned(),
        ),
        LoadError::NotText => (
            "use/not-text",
            format!("`{path}` is not UTF-8 text"),
            "save it as UTF-8, or name the right file".to_owned(),
        ),
        LoadError::Other(words) => (
            "use/unreadable",
            format!("`{path}` cannot be read: {words}"),
            "check the file and who may read it".to_owned(),
        ),
    };
    Diag::error(code, span, message).label("used here").help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_held_file_is_the_one_that_was_meant() {
        let mut files = Sources::default();
        for name in ["lamps/quay.lamp", "other/drawer.lamp", "drawer.lamp", "lamps/parts/star.lamp"] {
            files.add(name, "");
        }
        for (path, name) in [
            ("parts/star.lamp", Some("lamps/parts/star.lamp")),
            // Of a library: known by its name below the library, whatever else is called so.
            ("drawer.lamp", Some("drawer.lamp")),
            ("./drawer.lamp", Some("drawer.lamp")),
            ("gone.lamp", None),
        ] {
            let found = Held::new(&files).load("lamps/quay.lamp", path).ok().map(|loaded| loaded.name);
            assert_eq!(found.as_deref(), name, "{path}");
        }
    }
}
