//! Bookmarks of the pages to the outline of a PDF file.

use lopdf::{Object, ObjectId};

use super::document::{Page, dictionary, text};
use super::operators::points;

struct Bookmark {
    id: ObjectId,
    title: String,
    page: ObjectId,
    top: f64,
    children: Vec<Bookmark>,
}

/// Two levels: sheets, and the headings inside them, closed until asked for.
pub(super) fn outlines(file: &mut lopdf::Document, pages: &[Page]) -> Option<ObjectId> {
    let ids: Vec<ObjectId> = file.get_pages().into_values().collect();
    let mut tree: Vec<Bookmark> = Vec::new();
    for (page, &id) in pages.iter().zip(&ids) {
        for (level, title, top) in &page.bookmarks {
            let mark =
                Bookmark { id: file.new_object_id(), title: title.clone(), page: id, top: *top, children: Vec::new() };
            match tree.last_mut() {
                Some(parent) if *level > 1 => parent.children.push(mark),
                _ => tree.push(mark),
            }
        }
    }
    if tree.is_empty() {
        return None;
    }
    let root = file.new_object_id();
    let mut entries = ends(&tree);
    entries.push(("Type", "Outlines".into()));
    entries.push(("Count", (tree.len() as i64).into()));
    file.set_object(root, dictionary(entries));
    write_bookmarks(file, root, &tree);
    Some(root)
}

fn ends(row: &[Bookmark]) -> Vec<(&'static str, Object)> {
    let first = row.first().map(|mark| ("First", Object::Reference(mark.id)));
    let last = row.last().map(|mark| ("Last", Object::Reference(mark.id)));
    first.into_iter().chain(last).collect()
}

fn write_bookmarks(file: &mut lopdf::Document, parent: ObjectId, row: &[Bookmark]) {
    for (index, mark) in row.iter().enumerate() {
        let target: Vec<Object> = vec![
            Object::Reference(mark.page),
            "XYZ".into(),
            Object::Null,
            Object::Real(points(mark.top) as f32),
            Object::Null,
        ];
        let mut entries = ends(&mark.children);
        entries.push(("Title", text(&mark.title)));
        entries.push(("Parent", Object::Reference(parent)));
        entries.push(("Dest", target.into()));
        if !mark.children.is_empty() {
            entries.push(("Count", (-(mark.children.len() as i64)).into()));
        }
        if let Some(before) = index.checked_sub(1).and_then(|i| row.get(i)) {
            entries.push(("Prev", Object::Reference(before.id)));
        }
        if let Some(after) = row.get(index + 1) {
            entries.push(("Next", Object::Reference(after.id)));
        }
        file.set_object(mark.id, dictionary(entries));
        write_bookmarks(file, mark.id, &mark.children);
    }
}
