//! Marks of a page to the operators of its content stream: colours, faces and rectangles are written in as few of them
//! as will do. Written as bytes at once: a document library's list of operators costs ten times as much.

use std::collections::BTreeMap;

use super::document::{Page, utf16};
use super::fonts::{Codes, Face, Fonts, MM_PER_PT};
use super::marks::{Mark, Paint, Step, Words};
use crate::packet::drawing::Point;
use crate::render::decimal::decimal;

/// The page's content stream (ISO 32000-1, 7.8.2).
pub(super) fn content(fonts: &Fonts, codes: &BTreeMap<Face, Codes>, page: &Page) -> Vec<u8> {
    let mut writer = Writer { fonts, codes, out: Vec::new(), grey: None, line: None, text: None };
    for mark in &page.marks {
        writer.mark(mark);
    }
    writer.end_text();
    // Every operator ends its line but the last.
    writer.out.pop();
    writer.out
}

/// Turns marks into operators; remembers colours, and the face inside a text section, so that they are written only
/// when they change.
struct Writer<'a> {
    fonts: &'a Fonts,
    codes: &'a BTreeMap<Face, Codes>,
    out: Vec<u8>,
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
                self.put("/Span <</Alt<");
                utf16(words).into_iter().for_each(|byte| self.hex(byte));
                self.put(">>> BDC\n");
            }
            Mark::AltEnd | Mark::LayerEnd => self.operator("EMC", &[]),
            Mark::Layer(layer) => {
                self.put("/OC /");
                self.put(layer.names().0);
                self.put(" BDC\n");
            }
        }
    }

    fn put(&mut self, text: &str) {
        self.out.extend_from_slice(text.as_bytes());
    }

    fn hex(&mut self, byte: u8) {
        const DIGITS: &[u8; 16] = b"0123456789ABCDEF";
        let digit = |n: u8| DIGITS.get(usize::from(n)).copied().unwrap_or(b'0');
        self.out.extend([digit(byte >> 4), digit(byte & 15)]);
    }

    fn operator(&mut self, key: &str, numbers: &[f64]) {
        for &number in numbers {
            write_number(&mut self.out, number);
            self.out.push(b' ');
        }
        self.put(key);
        self.out.push(b'\n');
    }

    fn fill(&mut self, grey: f64) {
        if self.grey != Some(grey) {
            self.operator("g", &[grey]);
            self.grey = Some(grey);
        }
    }

    fn stroke(&mut self, width: f64, grey: f64, dash: &'static [f64]) {
        let wanted = (width, grey, dash);
        if self.line == Some(wanted) {
            return;
        }
        self.line = Some(wanted);
        self.operator("G", &[grey]);
        self.operator("w", &[points(width)]);
        self.out.push(b'[');
        for (index, &part) in dash.iter().enumerate() {
            if index > 0 {
                self.out.push(b' ');
            }
            write_number(&mut self.out, points(part));
        }
        self.put("] 0 d\n");
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
            self.operator("BT", &[]);
        }
        if self.text != Some((words.face, words.size)) {
            self.out.push(b'/');
            self.put(words.face.name());
            self.out.push(b' ');
            self.operator("Tf", &[words.size]);
            self.text = Some((words.face, words.size));
        }
        let turn = words.angle.to_radians();
        let (c, s) = (libm::cos(turn), libm::sin(turn));
        // Lean 11 degrees: the faces have no italic of their own.
        let lean = if words.slant { 0.19 } else { 0.0 };
        let (x, y) = (points(words.at.x), points(words.at.y));
        self.operator("Tm", &[c, s, lean * c - s, lean * s + c, x, y].map(rounded));
        self.show(words);
    }

    fn end_text(&mut self) {
        if self.text.take().is_some() {
            self.operator("ET", &[]);
        }
    }

    /// The words as glyphs of the subset, two bytes each; in an array where kerning stands between them.
    fn show(&mut self, words: &Words) {
        let codes = self.codes.get(&words.face);
        let begin = self.out.len();
        let mut kerned = false;
        let mut before = None;
        self.out.push(b'<');
        for character in words.text.chars() {
            let kern = self.fonts.kern(words.face, before, character);
            if kern != 0 {
                kerned = true;
                self.put("> ");
                write_number(&mut self.out, f64::from(-kern));
                self.out.push(b'<');
            }
            let [high, low] = codes.map_or(0, |c| c.of(character)).to_be_bytes();
            self.hex(high);
            self.hex(low);
            before = Some(character);
        }
        if kerned {
            self.out.insert(begin, b'[');
        }
        self.put(if kerned { ">] TJ\n" } else { "> Tj\n" });
    }
}

/// A number as an operand: the shortest decimal that says which `f32` it is, for a reader takes no finer ones.
fn write_number(out: &mut Vec<u8>, number: f64) {
    // Whole thousandths below 8192 and hundred-thousandths below 64 lie further apart than two neighbouring `f32`s, so
    // the decimal at hand is the shortest that names its own; sought digit by digit it takes five times as long.
    for (limit, scale, places) in [(8192.0, 1e3, 3), (64.0, 1e5, 5)] {
        let whole = (number * scale).round();
        if number.abs() < limit && whole / scale == number && !(number == 0.0 && number.is_sign_negative()) {
            return out.extend_from_slice(decimal(whole as i64, places).bytes());
        }
    }
    out.extend_from_slice((number as f32).to_string().as_bytes());
}

/// An upright rectangle at the beginning of these steps: corner, width, height, and what comes after it. One operator
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

#[cfg(test)]
mod tests {
    use super::write_number;

    fn written(number: f64) -> String {
        let mut out = Vec::new();
        write_number(&mut out, number);
        String::from_utf8(out).expect("digits")
    }

    #[test]
    fn numbers_are_the_shortest_that_name_their_f32() {
        let thousandths = (-9_000_000..9_000_000).step_by(97).map(|n| f64::from(n) / 1e3);
        let fine = (-7_000_000..7_000_000).step_by(89).map(|n| f64::from(n) / 1e5);
        let odd = [0.0, -0.0, 1.0, -1.0, 0.1, 1.0 / 3.0, 1e9, -20.0, 595.276, 841.89, 0.19, 8191.999, 63.99999];
        for number in thousandths.chain(fine).chain(odd) {
            assert_eq!(written(number), (number as f32).to_string(), "{number:e}");
        }
    }
}
