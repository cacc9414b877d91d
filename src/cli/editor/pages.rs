//! The files that are open in the editor: their texts as typed, read anew when asked, and the answers about them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::editor::names::Place;
use crate::editor::{Page, position};
use crate::language::loading::{LoadError, Loaded, Loader};

use super::super::root::{self, Root};
use super::wire::{notice, path_of, uri_of};

/// An open file.
struct File {
    text: String,
    name: String,
    root: Root,
    page: Option<Page>,
    /// Whether `page` is older than the text.
    typed: bool,
    /// Whether what was worked out is older than the text, or than a file it uses.
    stale: bool,
}

/// All open files, by their address.
pub(super) struct Pages {
    library: Option<String>,
    files: BTreeMap<String, File>,
    /// Files whose messages have not been told.
    untold: BTreeSet<String>,
    closed: Vec<String>,
}

/// Reads files as they stand in the editor, else from the disk.
struct Typed<'a> {
    root: &'a mut Root,
    texts: &'a BTreeMap<PathBuf, String>,
}

impl Loader for Typed<'_> {
    fn load(&mut self, from: &str, path: &str) -> Result<Loaded, LoadError> {
        let mut found = self.root.load(from, path)?;
        if let Some(text) = self.root.path_of(&found.name).and_then(|p| self.texts.get(&p)) {
            found.text.clone_from(text);
        }
        Ok(found)
    }
}

impl Pages {
    pub(super) fn new(library: Option<String>) -> Self {
        Self { library, files: BTreeMap::new(), untold: BTreeSet::new(), closed: Vec::new() }
    }

    pub(super) fn open(&mut self, uri: &str, text: &str) {
        let path = path_of(uri);
        let (name, root) = root::around(path.as_deref(), self.library.as_deref());
        let file = File { text: text.to_owned(), name, root, page: None, typed: false, stale: true };
        self.files.insert(uri.to_owned(), file);
        self.saved();
    }

    /// One change: a range and its new text, or a whole new text.
    pub(super) fn edit(&mut self, uri: &str, change: &Value) {
        let Some(file) = self.files.get_mut(uri) else { return };
        let text = change["text"].as_str().unwrap_or_default();
        match change.get("range").filter(|r| r.is_object()) {
            None => file.text = text.to_owned(),
            Some(range) => {
                let (start, end) = (byte(&file.text, &range["start"]), byte(&file.text, &range["end"]));
                file.text.replace_range(start.min(end)..start.max(end), text);
            }
        }
        file.typed = true;
        self.touched(uri);
    }

    /// The text of one file changed: it, and the open files that use it, are to be worked out again.
    fn touched(&mut self, uri: &str) {
        let Some(name) = self.files.get(uri).map(|f| f.name.clone()) else { return };
        for (other, file) in &mut self.files {
            let uses = file.page.as_ref().is_none_or(|page| page.sources().iter().any(|s| s.name == name));
            if other == uri || uses {
                file.stale = true;
                self.untold.insert(other.clone());
            }
        }
    }

    /// A file changed: every open file may use it.
    pub(super) fn saved(&mut self) {
        self.files.values_mut().for_each(|f| f.stale = true);
        self.untold.extend(self.files.keys().cloned());
    }

    pub(super) fn close(&mut self, uri: &str) {
        if self.files.remove(uri).is_some() {
            self.untold.remove(uri);
            self.closed.push(uri.to_owned());
            self.saved();
        }
    }

    /// Messages about every file that changed since they were told last.
    pub(super) fn news(&mut self) -> Vec<Value> {
        let mut told: Vec<Value> = self.closed.drain(..).map(|uri| messages(&uri, Vec::new())).collect();
        for uri in std::mem::take(&mut self.untold) {
            if let Some(page) = self.page(&uri) {
                let diagnostics = page.diagnostics();
                told.push(messages(&uri, diagnostics));
            }
        }
        told
    }

    /// The page of a file with its names and blocks as typed; figures and messages may be those before the last edit.
    fn quick(&mut self, uri: &str) -> Option<&Page> {
        if self.files.get(uri)?.page.is_none() {
            return self.page(uri);
        }
        let file = self.files.get_mut(uri)?;
        let earlier = file.page.take()?;
        file.page = Some(if file.typed { earlier.edited(&file.text) } else { earlier });
        file.typed = false;
        file.page.as_ref()
    }

    /// The page of a file, as fresh as its text and the files it uses.
    fn page(&mut self, uri: &str) -> Option<&Page> {
        if self.files.get(uri)?.stale {
            let texts: BTreeMap<PathBuf, String> = self
                .files
                .iter()
                .filter_map(|(uri, file)| Some((std::fs::canonicalize(path_of(uri)?).ok()?, file.text.clone())))
                .collect();
            let file = self.files.get_mut(uri)?;
            let earlier = file.page.take();
            let mut loader = Typed { root: &mut file.root, texts: &texts };
            file.page = Some(Page::new(&file.name, &file.text, &mut loader, earlier));
            (file.stale, file.typed) = (false, false);
        }
        self.files.get(uri)?.page.as_ref()
    }

    /// The answer to a request about a file; nothing where we know no such request.
    pub(super) fn ask(&mut self, method: &str, params: &Value) -> Option<Result<Value, String>> {
        let known = [
            "textDocument/completion",
            "textDocument/hover",
            "textDocument/definition",
            "textDocument/references",
            "textDocument/prepareRename",
            "textDocument/rename",
            "textDocument/documentSymbol",
            "textDocument/formatting",
            "textDocument/codeAction",
        ];
        if !known.contains(&method) {
            return None;
        }
        let uri = params["textDocument"]["uri"].as_str().unwrap_or_default().to_owned();
        let home = self.files.get(&uri).map(|f| f.root.clone());
        // A quick fix stands on messages, and those must be of this text; all else need not wait for the physics.
        let page = if method == "textDocument/codeAction" { self.page(&uri) } else { self.quick(&uri) };
        let Some(page) = page else { return Some(Err("this file is not open".to_owned())) };
        let at = byte(&page.text, &params["position"]);
        Some(match method {
            "textDocument/completion" => Ok(json!({ "isIncomplete": false, "items": page.completion(at) })),
            "textDocument/hover" => Ok(page.hover(at).unwrap_or(Value::Null)),
            "textDocument/definition" => Ok(locations(page.definition(at), page, &uri, home.as_ref())),
            "textDocument/references" => {
                let declared = params["context"]["includeDeclaration"].as_bool().unwrap_or(true);
                Ok(locations(page.references(at, declared), page, &uri, home.as_ref()))
            }
            "textDocument/prepareRename" => page.renamable(at),
            "textDocument/rename" => {
                let name = params["newName"].as_str().unwrap_or_default();
                page.rename(at, name).map(|edits| json!({ "changes": { uri: edits } }))
            }
            "textDocument/documentSymbol" => Ok(json!(page.outline())),
            "textDocument/formatting" => Ok(page.formatted().map_or(Value::Null, Value::from)),
            _ => Ok(fixes(page, &uri, &params["range"])),
        })
    }
}

fn messages(uri: &str, diagnostics: Vec<Value>) -> Value {
    notice("textDocument/publishDiagnostics", json!({ "uri": uri, "diagnostics": diagnostics }))
}

fn byte(text: &str, position: &Value) -> usize {
    let number = |key: &str| position[key].as_u64().map_or(0, |n| usize::try_from(n).unwrap_or(usize::MAX));
    position::offset(text, number("line"), number("character"))
}

fn locations(places: Vec<Place>, page: &Page, uri: &str, root: Option<&Root>) -> Value {
    let address = |file: &str| {
        if file == page.name {
            return Some(uri.to_owned());
        }
        root.and_then(|r| r.path_of(file)).map(|path: PathBuf| uri_of(Path::new(&path)))
    };
    places.into_iter().filter_map(|p| Some(json!({ "uri": address(&p.file)?, "range": p.range }))).collect()
}

fn fixes(page: &Page, uri: &str, range: &Value) -> Value {
    let (start, end) = (byte(&page.text, &range["start"]), byte(&page.text, &range["end"]));
    page.fixes(start, end)
        .into_iter()
        .map(|fix| {
            json!({
                "title": fix.title, "kind": "quickfix", "isPreferred": true,
                "edit": { "changes": { uri: [fix.edit] } },
                "diagnostics": [{ "range": fix.range, "code": fix.code, "source": "lampwright", "message": fix.title }],
            })
        })
        .collect()
}
