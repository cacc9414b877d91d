//! The files that are open in the editor: their texts as typed, read anew when asked, and the answers about them.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::Duration;

use serde_json::{Value, json};

use crate::editor::names::Place;
use crate::editor::{Page, position};
use crate::language::loading::{LoadError, Loaded, Loader};

use super::super::root::{self, Root};
use super::rename;
use super::wire::{notice, path_of, uri_of};

/// An open file.
pub(super) struct File {
    text: String,
    name: String,
    pub(super) root: Root,
    page: Option<Page>,
    /// Whether `page` is older than the text.
    typed: bool,
    /// Whether what was worked out is older than the text, or than a file it uses.
    stale: bool,
    /// The editor's number of the text.
    version: Value,
}

/// What is told next of a file: each stage when nothing has been typed meanwhile.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Stage {
    /// Errors of the language.
    Language,
    /// What the rules say.
    Rules,
    /// What is wrong in its variants only.
    Variants,
}

/// Nothing typed for this long, and the lamp is worked out. Edits of one burst come closer together; what is typed by
/// hand comes further apart than working out takes, and anything that comes meanwhile is taken first.
const QUIET: Duration = Duration::from_millis(5);

/// All open files, by their address.
pub(super) struct Pages {
    pub(super) library: Option<String>,
    pub(super) files: BTreeMap<String, File>,
    /// Files of which something is to be told, each with what comes next.
    untold: BTreeMap<String, Stage>,
    closed: Vec<String>,
}

/// Reads files as they stand in the editor, else from the disk.
pub(super) struct Typed<'a> {
    pub(super) root: &'a mut Root,
    pub(super) texts: &'a BTreeMap<PathBuf, String>,
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
        Self { library, files: BTreeMap::new(), untold: BTreeMap::new(), closed: Vec::new() }
    }

    pub(super) fn open(&mut self, uri: &str, text: &str, version: &Value) {
        let path = path_of(uri);
        let (name, root) = root::around(path.as_deref(), self.library.as_deref());
        let (text, version) = (text.to_owned(), version.clone());
        let file = File { text, name, root, page: None, typed: false, stale: true, version };
        self.files.insert(uri.to_owned(), file);
        self.saved();
    }

    /// The number of the text after the changes that follow.
    pub(super) fn version(&mut self, uri: &str, version: &Value) {
        if let Some(file) = self.files.get_mut(uri) {
            file.version = version.clone();
        }
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
                self.untold.insert(other.clone(), Stage::Language);
            }
        }
    }

    /// A file changed: every open file may use it.
    pub(super) fn saved(&mut self) {
        for file in self.files.values_mut() {
            file.stale = true;
            // It may be another on the disk, too.
            file.root.forget();
        }
        self.untold.extend(self.files.keys().map(|uri| (uri.clone(), Stage::Language)));
    }

    pub(super) fn close(&mut self, uri: &str) {
        if self.files.remove(uri).is_some() {
            self.untold.remove(uri);
            self.closed.push(uri.to_owned());
            self.saved();
        }
    }

    /// How long to wait for typing before the next thing is told; nothing where all is told.
    pub(super) fn due(&self) -> Option<Duration> {
        if !self.closed.is_empty() {
            return Some(Duration::ZERO);
        }
        let next = self.untold.values().min()?;
        Some(if *next == Stage::Language { Duration::ZERO } else { QUIET })
    }

    /// Works out the next thing that is due, and gives the messages that come of it.
    pub(super) fn step(&mut self) -> Vec<Value> {
        let mut told: Vec<Value> = self.closed.drain(..).map(|uri| messages(&uri, &Value::Null, Vec::new())).collect();
        let Some((uri, stage)) = self.untold.iter().min_by_key(|(_, s)| **s).map(|(u, s)| (u.clone(), *s)) else {
            return told;
        };
        self.untold.remove(&uri);
        if stage == Stage::Language {
            self.read(&uri);
        }
        let Some(file) = self.files.get_mut(&uri) else { return told };
        let Some(page) = file.page.take() else { return told };
        let (page, news) = match stage {
            // What has no error of the language is told with what the rules say; until then the last word stands.
            Stage::Language => {
                let news = !page.waits_for_rules();
                (page, news)
            }
            Stage::Rules => (page.judged(), true),
            Stage::Variants => page.with_variant(),
        };
        if page.waits_for_rules() {
            self.untold.insert(uri.clone(), Stage::Rules);
        } else if page.waits_for_variants() {
            self.untold.insert(uri.clone(), Stage::Variants);
        }
        if news {
            told.push(messages(&uri, &file.version, page.diagnostics()));
        }
        file.page = Some(page);
        told
    }

    /// The page of a file with its names and blocks as typed; figures and messages may be those before the last edit. Of
    /// a file that was just opened there are none yet, and they are waited for.
    pub(super) fn quick(&mut self, uri: &str) -> Option<&Page> {
        if self.files.get(uri)?.page.as_ref().is_none_or(Page::has_none_yet) {
            return self.page(uri);
        }
        let file = self.files.get_mut(uri)?;
        let earlier = file.page.take()?;
        file.page = Some(if file.typed { earlier.edited(&file.text) } else { earlier });
        file.typed = false;
        file.page.as_ref()
    }

    /// The page of a file, as fresh as its text and the files it uses, with what the rules say.
    fn page(&mut self, uri: &str) -> Option<&Page> {
        self.read(uri);
        let file = self.files.get_mut(uri)?;
        file.page = file.page.take().map(Page::judged);
        file.page.as_ref()
    }

    /// Reads a file anew where its text or a file it uses changed: its names, and what the language finds wrong.
    fn read(&mut self, uri: &str) {
        let texts = self.texts();
        let Some(file) = self.files.get_mut(uri).filter(|f| f.stale) else { return };
        let earlier = file.page.take();
        let mut loader = Typed { root: &mut file.root, texts: &texts };
        file.page = Some(Page::told(&file.name, &file.text, &mut loader, earlier));
        (file.stale, file.typed) = (false, false);
    }

    /// Texts as they stand in the editor.
    pub(super) fn texts(&self) -> BTreeMap<PathBuf, String> {
        self.files.iter().filter_map(|(uri, file)| Some((place_of(uri)?, file.text.clone()))).collect()
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
        if method == "textDocument/rename" {
            return Some(rename::rename(self, &uri, params));
        }
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
            "textDocument/prepareRename" => page.renamable(at).map(|(_, range)| range),
            "textDocument/documentSymbol" => Ok(json!(page.outline())),
            "textDocument/formatting" => Ok(page.formatted().map_or(Value::Null, Value::from)),
            _ => Ok(fixes(page, &uri, &params["range"])),
        })
    }
}

/// Where the file of an address lies on the disk, links followed.
pub(super) fn place_of(uri: &str) -> Option<PathBuf> {
    std::fs::canonicalize(path_of(uri)?).ok()
}

/// Messages about a file, with the number of the text they are about.
fn messages(uri: &str, version: &Value, diagnostics: Vec<Value>) -> Value {
    let mut found = json!({ "uri": uri, "diagnostics": diagnostics });
    if version.is_number() {
        found["version"] = version.clone();
    }
    notice("textDocument/publishDiagnostics", found)
}

pub(super) fn byte(text: &str, position: &Value) -> usize {
    let number = |key: &str| position[key].as_u64().map_or(0, |n| usize::try_from(n).unwrap_or(usize::MAX));
    position::offset(text, number("line"), number("character"))
}

fn locations(places: Vec<Place>, page: &Page, uri: &str, root: Option<&Root>) -> Value {
    let address = |file: &str| {
        if file == page.name {
            return Some(uri.to_owned());
        }
        root.and_then(|r| r.path_of(file)).map(|path| uri_of(&path))
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
                "diagnostics": [fix.diagnostic],
            })
        })
        .collect()
}
