//! Pages to a PDF file: embedded subsets, page labels, metadata, fixed ids; operators and bookmarks have files of their own.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Dictionary, Object, Stream, StringFormat};
use printpdf::{LayerIntent, LayerInternalId, LayerSubtype, PdfDocument, PdfSaveOptions};
use sha2::{Digest, Sha256};

use super::bookmarks::outlines;
use super::fonts::{Face, Fonts};
use super::marks::{Layer, Mark};
use super::operators::page_of;

/// One finished page.
#[derive(Debug, Default)]
pub(super) struct Page {
    /// Width and height, mm.
    pub(super) size: (f64, f64),
    /// From back to front.
    pub(super) marks: Vec<Mark>,
    /// Bookmarks that lead here: level (1 or 2), title, height above the page's foot in mm.
    pub(super) bookmarks: Vec<(u8, String, f64)>,
}

/// What the file says about itself.
pub(super) struct About {
    /// Title shown in the window.
    pub(super) title: String,
    /// `YYYY-MM-DD`; without one the file is dated 1970-01-01, for no clock may enter it.
    pub(super) date: Option<String>,
    /// Goes into the file's id.
    pub(super) digest: String,
}

/// Writes the pages.
pub(super) fn save(fonts: &Fonts, pages: &[Page], about: &About) -> Result<Vec<u8>, String> {
    let mut document = PdfDocument::new(&about.title);
    for (face, used) in used_characters(pages) {
        document.resources.fonts.map.insert(face.id(), fonts.subset(face, &used)?);
    }
    for layer in used_layers(pages) {
        let (name, creator) = (layer.names().1.to_owned(), "lampwright".to_owned());
        let listed = printpdf::Layer { name, creator, intent: LayerIntent::Design, usage: LayerSubtype::Artwork };
        document.resources.layers.map.insert(layer_id(layer), listed);
    }
    let set = pages.iter().map(|page| page_of(fonts, page)).collect();
    document.with_pages(set);
    let options = PdfSaveOptions { optimize: false, subset_fonts: false, secure: false, image_optimization: None };
    let mut warnings = Vec::new();
    let mut file = document.to_lopdf_document(&options, &mut warnings);
    if let Some(warning) = warnings.first() {
        return Err(warning.msg.clone());
    }
    finish(&mut file, pages, about).map_err(|error| error.to_string())?;
    compress(&mut file).map_err(|error| error.to_string())?;
    let id = Object::String(file_id(&file, about), StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![id.clone(), id]);
    let mut bytes = Vec::new();
    file.save_to(&mut bytes).map_err(|error| error.to_string())?;
    Ok(bytes)
}

fn used_characters(pages: &[Page]) -> BTreeMap<Face, BTreeSet<char>> {
    let mut used: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    for mark in pages.iter().flat_map(|page| &page.marks) {
        if let Mark::Words(words) = mark {
            let face = used.entry(words.face).or_default();
            for character in words.text.chars() {
                if !face.contains(&character) {
                    face.insert(character);
                }
            }
        }
    }
    used
}

fn used_layers(pages: &[Page]) -> BTreeSet<Layer> {
    let layer = |mark: &Mark| match mark {
        Mark::Layer(layer) => Some(*layer),
        _ => None,
    };
    pages.iter().flat_map(|page| &page.marks).filter_map(layer).collect()
}

pub(super) fn layer_id(layer: Layer) -> LayerInternalId {
    LayerInternalId(layer.names().0.to_owned())
}

pub(super) fn utf16(text: &str) -> Vec<u8> {
    let mut bytes = vec![0xFE, 0xFF];
    bytes.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    bytes
}

pub(super) fn text(words: &str) -> Object {
    Object::String(utf16(words), StringFormat::Hexadecimal)
}

pub(super) fn dictionary(entries: Vec<(&str, Object)>) -> Dictionary {
    Dictionary::from_iter(entries)
}
/// What the page writer does not know: metadata, viewer settings, bookmarks, page labels, file id.
fn finish(file: &mut lopdf::Document, pages: &[Page], about: &About) -> lopdf::Result<()> {
    file.version = "1.7".into();
    let outlines = outlines(file, pages);
    let labels = dictionary(vec![(
        "Nums",
        vec![Object::Integer(0), Object::Dictionary(dictionary(vec![("S", "D".into())]))].into(),
    )]);
    let viewer = dictionary(vec![("PrintScaling", "None".into()), ("DisplayDocTitle", true.into())]);
    let catalog = file.catalog_mut()?;
    catalog.set("Lang", Object::string_literal("en"));
    catalog.set("ViewerPreferences", viewer);
    catalog.set("PageLabels", labels);
    catalog.set("PageLayout", "SinglePage");
    if let Some(root) = outlines {
        catalog.set("Outlines", Object::Reference(root));
        catalog.set("PageMode", "UseOutlines");
    }
    let moment = format!("D:{}000000Z", about.date.as_deref().unwrap_or("1970-01-01").replace('-', ""));
    let info = file.add_object(dictionary(vec![
        ("Title", text(&about.title)),
        ("Creator", text("lampwright")),
        ("Producer", text("lampwright")),
        ("CreationDate", Object::string_literal(moment.clone())),
        ("ModDate", Object::string_literal(moment)),
    ]));
    if let Ok(old) = file.trailer.get(b"Info").and_then(Object::as_reference) {
        file.objects.remove(&old);
    }
    file.trailer.set("Info", Object::Reference(info));
    Ok(())
}

/// Deflates pages and faces at a middling level: the highest takes twice as long and saves a few percent.
fn compress(file: &mut lopdf::Document) -> std::io::Result<()> {
    let mut streams: Vec<&mut Stream> = Vec::new();
    for object in file.objects.values_mut() {
        match object {
            Object::Stream(stream) if stream.allows_compression && !stream.dict.has(b"Filter") => streams.push(stream),
            _ => {}
        }
    }
    let deflated = super::each(&streams, |stream| {
        let mut deflate = ZlibEncoder::new(Vec::new(), Compression::new(4));
        deflate.write_all(&stream.content)?;
        deflate.finish()
    });
    for (stream, content) in streams.iter_mut().zip(deflated) {
        stream.dict.set("Filter", "FlateDecode");
        stream.set_content(content?);
    }
    Ok(())
}

/// First half of a SHA-256 over the digest and every stream as it stands in the file.
fn file_id(file: &lopdf::Document, about: &About) -> Vec<u8> {
    let mut hash = Sha256::new();
    hash.update(about.digest.as_bytes());
    for object in file.objects.values() {
        if let Object::Stream(stream) = object {
            hash.update(&stream.content);
        }
    }
    hash.finalize().iter().take(16).copied().collect()
}
