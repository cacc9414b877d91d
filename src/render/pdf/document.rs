//! Pages of marks to a PDF file: operators, embedded subsets, bookmarks, page labels, metadata, fixed ids.

use std::collections::{BTreeMap, BTreeSet};

use lopdf::{Dictionary, Object, ObjectId, StringFormat};
use printpdf::{
    Color, DictItem, Greyscale, LayerIntent, LayerInternalId, LayerSubtype, Op, PdfDocument, PdfFontHandle, PdfPage,
    PdfSaveOptions, Pt, TextItem, TextMatrix,
};
use sha2::{Digest, Sha256};

use super::fonts::{Face, Fonts, MM_PER_PT};
use super::marks::{Layer, Mark, Paint, Step, Words};
use crate::packet::drawing::Point;

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
    file.compress();
    let mut bytes = Vec::new();
    file.save_to(&mut bytes).map_err(|error| error.to_string())?;
    Ok(bytes)
}

fn used_characters(pages: &[Page]) -> BTreeMap<Face, BTreeSet<char>> {
    let mut used: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    for mark in pages.iter().flat_map(|page| &page.marks) {
        if let Mark::Words(words) = mark {
            used.entry(words.face).or_default().extend(words.text.chars());
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

fn layer_id(layer: Layer) -> LayerInternalId {
    LayerInternalId(layer.names().0.to_owned())
}

fn page_of(fonts: &Fonts, page: &Page) -> PdfPage {
    let mut writer = Writer { fonts, ops: Vec::with_capacity(page.marks.len() * 8), grey: None, line: None };
    for mark in &page.marks {
        writer.mark(mark);
    }
    let (width, height) = page.size;
    PdfPage::new(printpdf::Mm(width as f32), printpdf::Mm(height as f32), writer.ops)
}

/// Turns marks into operators; remembers colours so that they are written only when they change.
struct Writer<'a> {
    fonts: &'a Fonts,
    ops: Vec<Op>,
    grey: Option<f64>,
    line: Option<(f64, f64, &'static [f64])>,
}

impl Writer<'_> {
    fn mark(&mut self, mark: &Mark) {
        match mark {
            Mark::Words(words) => self.words(words),
            Mark::Path(steps, paint) => self.path(steps, *paint),
            Mark::Clip(steps) => {
                self.operator("q", &[]);
                self.steps(steps);
                self.operator("W*", &[]);
                self.operator("n", &[]);
            }
            Mark::Unclip => {
                self.operator("Q", &[]);
                (self.grey, self.line) = (None, None);
            }
            Mark::Alt(words) => {
                let text = DictItem::String { data: utf16(words), literal: false };
                let entries = DictItem::Dict { map: BTreeMap::from([("Alt".to_string(), text)]) };
                self.raw("BDC", vec![DictItem::Name(b"Span".to_vec()), entries]);
            }
            Mark::AltEnd => self.operator("EMC", &[]),
            Mark::Layer(layer) => self.ops.push(Op::BeginLayer { layer_id: layer_id(*layer) }),
            Mark::LayerEnd => self.ops.push(Op::EndLayer),
        }
    }

    fn raw(&mut self, key: &str, value: Vec<DictItem>) {
        self.ops.push(Op::Unknown { key: key.into(), value });
    }

    fn operator(&mut self, key: &str, numbers: &[f64]) {
        let value = numbers.iter().map(|&number| DictItem::Real(number as f32)).collect();
        self.raw(key, value);
    }

    fn fill(&mut self, grey: f64) {
        if self.grey != Some(grey) {
            let col = Color::Greyscale(Greyscale { percent: grey as f32, icc_profile: None });
            self.ops.push(Op::SetFillColor { col });
            self.grey = Some(grey);
        }
    }

    fn stroke(&mut self, width: f64, grey: f64, dash: &'static [f64]) {
        let wanted = (width, grey, dash);
        if self.line == Some(wanted) {
            return;
        }
        self.line = Some(wanted);
        let col = Color::Greyscale(Greyscale { percent: grey as f32, icc_profile: None });
        self.ops.push(Op::SetOutlineColor { col });
        self.ops.push(Op::SetOutlineThickness { pt: Pt(points(width) as f32) });
        let pattern = dash.iter().map(|&part| DictItem::Real(points(part) as f32)).collect();
        self.raw("d", vec![DictItem::Array(pattern), DictItem::Int(0)]);
    }

    fn path(&mut self, steps: &[Step], paint: Paint) {
        if let Some(grey) = paint.fill {
            self.fill(grey);
        }
        if let Some((width, grey)) = paint.stroke {
            self.stroke(width, grey, paint.dash);
        }
        self.steps(steps);
        let key = match (paint.fill.is_some(), paint.stroke.is_some()) {
            (true, true) => "B*",
            (true, false) => "f*",
            (false, true) => "S",
            (false, false) => "n",
        };
        self.operator(key, &[]);
    }

    fn steps(&mut self, steps: &[Step]) {
        let xy = |p: Point| [points(p.x), points(p.y)];
        for step in steps {
            match *step {
                Step::Move(p) => self.operator("m", &xy(p)),
                Step::Line(p) => self.operator("l", &xy(p)),
                Step::Curve(a, b, p) => {
                    let ([ax, ay], [bx, by], [x, y]) = (xy(a), xy(b), xy(p));
                    self.operator("c", &[ax, ay, bx, by, x, y]);
                }
                Step::Close => self.operator("h", &[]),
            }
        }
    }

    fn words(&mut self, words: &Words) {
        self.fill(words.grey);
        self.ops.push(Op::StartTextSection);
        self.ops.push(Op::SetFont { font: PdfFontHandle::External(words.face.id()), size: Pt(words.size as f32) });
        let turn = words.angle.to_radians();
        let (c, s) = (libm::cos(turn), libm::sin(turn));
        // Lean 11 degrees: the faces have no italic of their own.
        let lean = if words.slant { 0.19 } else { 0.0 };
        let (x, y) = (points(words.at.x), points(words.at.y));
        let matrix = [c, s, lean * c - s, lean * s + c, x, y].map(|number| rounded(number) as f32);
        self.ops.push(Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix) });
        self.ops.push(Op::ShowText { items: self.kerned(words) });
        self.ops.push(Op::EndTextSection);
    }

    fn kerned(&self, words: &Words) -> Vec<TextItem> {
        let mut items = Vec::new();
        let mut run = String::new();
        let mut before = None;
        for character in words.text.chars() {
            let kern = self.fonts.kern(words.face, before, character);
            if kern != 0 {
                items.push(TextItem::Text(std::mem::take(&mut run)));
                items.push(TextItem::Offset(-kern as f32));
            }
            run.push(character);
            before = Some(character);
        }
        items.push(TextItem::Text(run));
        items
    }
}

/// Millimetres to points, to a thousandth of a point (0.35 µm): short numbers, exact drawings.
fn points(mm: f64) -> f64 {
    (mm / MM_PER_PT * 1000.0).round() / 1000.0
}

fn rounded(number: f64) -> f64 {
    (number * 1e5).round() / 1e5
}

fn utf16(text: &str) -> Vec<u8> {
    let mut bytes = vec![0xFE, 0xFF];
    bytes.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    bytes
}

fn text(words: &str) -> Object {
    Object::String(utf16(words), StringFormat::Hexadecimal)
}

fn dictionary(entries: Vec<(&str, Object)>) -> Dictionary {
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
    let id = Object::String(file_id(file, about), StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![id.clone(), id]);
    Ok(())
}

/// First half of a SHA-256 over the digest and every content stream.
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

struct Bookmark {
    id: ObjectId,
    title: String,
    page: ObjectId,
    top: f64,
    children: Vec<Bookmark>,
}

/// Two levels: sheets, and the headings inside them, closed until asked for.
fn outlines(file: &mut lopdf::Document, pages: &[Page]) -> Option<ObjectId> {
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
