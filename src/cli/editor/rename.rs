//! A name given another in every file of the project that means the same by it: open in the editor or not.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_json::{Map, Value, json};

use crate::editor::Page;
use crate::editor::family::Family;
use crate::editor::names::{can_be, name_of};
use crate::language::symbols::Symbol;

use super::super::root::{self, Root};
use super::pages::{Pages, Typed, byte, place_of};
use super::wire::uri_of;

/// Another file of the project that has the name somewhere.
struct Other {
    path: PathBuf,
    page: Page,
}

/// Edits that give the name at a place another.
pub(super) fn rename(pages: &mut Pages, uri: &str, params: &Value) -> Result<Value, String> {
    let name = params["newName"].as_str().unwrap_or_default();
    let texts = pages.texts();
    let root = pages.files.get(uri).map(|f| f.root.clone()).ok_or("this file is not open")?;
    let library = pages.library.clone();
    let open: BTreeMap<PathBuf, String> =
        pages.files.keys().filter_map(|open| Some((place_of(open)?, open.clone()))).collect();
    // The address of a file: the editor's own where it is open.
    let address = |path: &Path| open.get(path).cloned().unwrap_or_else(|| uri_of(path));
    let page = pages.quick(uri).ok_or("this file is not open")?;
    let at = byte(&page.text, &params["position"]);
    let (symbol, _) = page.renamable(at)?;
    let own = place_of(uri);
    let homes = page.homes(&symbol);
    let others = others(&root, own.as_deref(), name_of(&symbol), &homes, library.as_deref(), &texts)?;
    let mut changes = Map::new();
    match symbol {
        Symbol::Block(..) => {
            for (file, edits) in of_block(page, at, name, &others)? {
                let path = others.iter().find(|o| o.page.name == file).map(|o| o.path.clone());
                if file == page.name {
                    changes.insert(uri.to_owned(), edits.into());
                } else if let Some(path) = path {
                    changes.insert(address(&path), edits.into());
                } else {
                    return Err(format!(
                        "this name stands in {file} too, outside the project; change it there by hand"
                    ));
                }
            }
        }
        symbol => {
            changes.insert(uri.to_owned(), page.renamed(&symbol, name)?.into());
            for other in others.iter().filter(|o| homes.iter().any(|home| o.page.sees(home))) {
                let edits = other.page.renamed(&symbol, name)?;
                if !edits.is_empty() {
                    changes.insert(address(&other.path), edits.into());
                }
            }
        }
    }
    Ok(json!({ "changes": changes }))
}

/// Every other file of the project whose text has the name.
fn others(
    root: &Root,
    own: Option<&Path>,
    name: &str,
    homes: &[String],
    library: Option<&str>,
    texts: &BTreeMap<PathBuf, String>,
) -> Result<Vec<Other>, String> {
    let all = root.family().ok_or("this project has too many files to look through; rename it file by file")?;
    let mut found = Vec::new();
    for path in all.into_iter().filter(|p| Some(p.as_path()) != own) {
        let text = texts.get(&path).cloned().or_else(|| root::read_text(&path).ok());
        let Some(text) = text.filter(|t| t.contains(name)) else { continue };
        let (file, mut root) = root::around(Some(&path), library);
        let page = Page::told(&file, &text, &mut Typed { root: &mut root, texts }, None);
        // What is broken does not say what it uses; where it speaks of the file, it may well.
        let speaks = |home: &String| text.contains(home.rsplit('/').next().unwrap_or(home));
        if !page.readable() && homes.iter().any(speaks) {
            return Err(page.unreadable());
        }
        found.push(Other { path, page });
    }
    Ok(found)
}

/// Edits of a named block by file: of all blocks that are laid over each other, or of none.
fn of_block(page: &Page, at: usize, name: &str, others: &[Other]) -> Result<BTreeMap<String, Vec<Value>>, String> {
    can_be(name)?;
    if !page.readable() {
        return Err(page.unreadable());
    }
    let mut family = Family::default();
    family.add(page);
    others.iter().for_each(|other| family.add(&other.page));
    if let Some(file) = family.taken(&page.name, at, name) {
        return Err(format!("`{name}` is taken already in {file}"));
    }
    let mut found: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for (place, _) in family.places(&page.name, at) {
        found.entry(place.file).or_default().push(json!({ "range": place.range, "newText": name }));
    }
    Ok(found)
}
