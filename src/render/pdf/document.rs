//! Pages to a PDF file: embedded subsets, page labels, metadata, fixed ids; operators and bookmarks have files of their own.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Dictionary, Object, Stream, StringFormat};
use printpdf::{
    FontId, LayerIntent, LayerInternalId, LayerSubtype, Op, PdfDocument, PdfFontHandle, PdfPage, PdfSaveOptions, Pt,
    TextItem,
};
use sha2::{Digest, Sha256};

use super::bookmarks::outlines;
use super::fonts::{Codes, Face, Fonts};
use super::marks::{Layer, Mark};
use super::operators::content;
use crate::threads;

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
    let used = used_characters(pages);
    let mut codes = BTreeMap::new();
    for (&face, characters) in &used {
        let (font, glyphs) = fonts.subset(face, characters)?;
        document.resources.fonts.map.insert(FontId(face.name().into()), font);
        codes.insert(face, glyphs);
    }
    for layer in used_layers(pages) {
        let (name, creator) = (layer.names().1.to_owned(), "lampwright".to_owned());
        let listed = printpdf::Layer { name, creator, intent: LayerIntent::Design, usage: LayerSubtype::Artwork };
        document.resources.layers.map.insert(layer_id(layer), listed);
    }
    document.with_pages(
        pages.iter().enumerate().map(|(n, page)| frame(page, if n == 0 { &used } else { NOTHING })).collect(),
    );
    let options = PdfSaveOptions { optimize: false, subset_fonts: false, secure: false, image_optimization: None };
    let mut warnings = Vec::new();
    let mut file = document.to_lopdf_document(&options, &mut warnings);
    if let Some(warning) = warnings.first() {
        return Err(warning.msg.clone());
    }
    fill(&mut file, fonts, &codes, pages).map_err(|error| error.to_string())?;
    finish(&mut file, pages, about).map_err(|error| error.to_string())?;
    compress(&mut file).map_err(|error| error.to_string())?;
    let id = Object::String(file_id(&file, about), StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![id.clone(), id]);
    let mut bytes = Vec::new();
    file.save_to(&mut bytes).map_err(|error| error.to_string())?;
    Ok(bytes)
}

/// Characters by the face that shows them.
type Used = BTreeMap<Face, BTreeSet<char>>;

const NOTHING: &Used = &Used::new();

/// The page as the PDF library is told of it: its size, and no more on it than makes the library list the page's layers
/// and embed the faces with these characters. What stands on the page is written by `fill`.
fn frame(page: &Page, used: &Used) -> PdfPage {
    let layers = page.marks.iter().filter_map(|mark| match mark {
        Mark::Layer(layer) => Some(Op::BeginLayer { layer_id: layer_id(*layer) }),
        _ => None,
    });
    let faces = used.iter().flat_map(|(face, characters)| {
        let font = PdfFontHandle::External(FontId(face.name().into()));
        let items = vec![TextItem::Text(characters.iter().collect())];
        [Op::StartTextSection, Op::SetFont { font, size: Pt(1.0) }, Op::ShowText { items }, Op::EndTextSection]
    });
    let (width, height) = page.size;
    PdfPage::new(printpdf::Mm(width as f32), printpdf::Mm(height as f32), layers.chain(faces).collect())
}

/// Writes what stands on each page.
fn fill(file: &mut lopdf::Document, fonts: &Fonts, codes: &BTreeMap<Face, Codes>, pages: &[Page]) -> lopdf::Result<()> {
    let written = threads::each(pages, |page| content(fonts, codes, page));
    for (id, content) in file.get_pages().into_values().zip(written) {
        let stream = file.get_dictionary(id)?.get(b"Contents")?.as_reference()?;
        file.get_object_mut(stream)?.as_stream_mut()?.set_content(content);
    }
    Ok(())
}

fn used_characters(pages: &[Page]) -> Used {
    let mut used = Used::new();
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
    let deflated = threads::each(&streams, |stream| {
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
