//! Marks of a page to operators: colours, faces and rectangles are written in as few of them as will do.

use std::collections::BTreeMap;

use printpdf::{Color, DictItem, Greyscale, Op, PdfFontHandle, PdfPage, Pt, TextItem, TextMatrix};

use super::document::{Page, layer_id, utf16};
use super::fonts::{Face, Fonts, MM_PER_PT};
use super::marks::{Mark, Paint, Step, Words};
use crate::packet::drawing::Point;

/// The page as the PDF library wants it.
pub(super) fn page_of(fonts: &Fonts, page: &Page) -> PdfPage {
    let ops = Vec::with_capacity(page.marks.len() * 8);
    let mut writer = Writer { fonts, ops, grey: None, line: None, text: None };
    for mark in &page.marks {
        writer.mark(mark);
    }
    writer.end_text();
    let (width, height) = page.size;
    PdfPage::new(printpdf::Mm(width as f32), printpdf::Mm(height as f32), writer.ops)
}

/// Turns marks into operators; remembers colours, and the face inside a text section, so that they are written only
/// when they change.
struct Writer<'a> {
    fonts: &'a Fonts,
    ops: Vec<Op>,
    grey: Option<f64>,
    line: Option<(f64, f64, &'static [f64])>,
    /// Face and size of the text section that is open.
    text: Option<(Face, f64)>,
}

impl Writer<'_> {
    fn mark(&mut self, mark: &Mark) {
        if !matches!(mark, Mark::Words(_)) {
            self.end_text();
        }
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
        let mut rest = steps;
        while let [step, after @ ..] = rest {
            if let Some((corner, width, height, after)) = upright(rest) {
                let [x, y] = xy(corner);
                self.operator("re", &[x, y, points(width), points(height)]);
                rest = after;
                continue;
            }
            rest = after;
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
        if self.text.is_none() {
            self.ops.push(Op::StartTextSection);
        }
        if self.text != Some((words.face, words.size)) {
            self.ops.push(Op::SetFont { font: PdfFontHandle::External(words.face.id()), size: Pt(words.size as f32) });
            self.text = Some((words.face, words.size));
        }
        let turn = words.angle.to_radians();
        let (c, s) = (libm::cos(turn), libm::sin(turn));
        // Lean 11 degrees: the faces have no italic of their own.
        let lean = if words.slant { 0.19 } else { 0.0 };
        let (x, y) = (points(words.at.x), points(words.at.y));
        let matrix = [c, s, lean * c - s, lean * s + c, x, y].map(|number| rounded(number) as f32);
        self.ops.push(Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix) });
        self.ops.push(Op::ShowText { items: self.kerned(words) });
    }

    fn end_text(&mut self) {
        if self.text.take().is_some() {
            self.ops.push(Op::EndTextSection);
        }
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

/// An upright rectangle at the begin of these steps: corner, width, height, and what comes after it. One operator
/// in place of five, for a halftone has thousands.
fn upright(steps: &[Step]) -> Option<(Point, f64, f64, &[Step])> {
    let [Step::Move(a), Step::Line(b), Step::Line(c), Step::Line(d), Step::Close, after @ ..] = steps else {
        return None;
    };
    let square = a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x;
    square.then_some((*a, b.x - a.x, d.y - a.y, after))
}

/// Millimetres to points, to a thousandth of a point (0.35 µm): short numbers, exact drawings.
pub(super) fn points(mm: f64) -> f64 {
    (mm / MM_PER_PT * 1000.0).round() / 1000.0
}

fn rounded(number: f64) -> f64 {
    (number * 1e5).round() / 1e5
}
