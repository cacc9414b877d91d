//! Reads a PDF back: texts with their places, straight lines, and how far to the left anything is painted.
//! It follows the operators that the program writes (no transformation of the page), clips included.

use std::collections::BTreeMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object};

const MM: f64 = 25.4 / 72.0;

/// A text with the place of its base line's left end, mm.
#[derive(Debug, Clone)]
pub(crate) struct TextAt {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) font: String,
    pub(crate) text: String,
}

/// What a page shows.
#[derive(Debug, Default)]
pub(crate) struct ReadPage {
    pub(crate) size: (f64, f64),
    pub(crate) texts: Vec<TextAt>,
    /// Straight stroked lines as x, y, x, y in mm, not cut at clips.
    pub(crate) lines: Vec<[f64; 4]>,
    /// Smallest x and y of anything painted, mm, strokes with half their width and clips honoured.
    pub(crate) least: (f64, f64),
    /// Thinnest stroke, mm.
    pub(crate) thinnest: f64,
}

impl ReadPage {
    /// Whether a text that contains these words stands on the page.
    pub(crate) fn has(&self, words: &str) -> bool {
        self.texts.iter().any(|text| text.text.contains(words))
    }
    /// How many texts are exactly these words.
    pub(crate) fn count(&self, words: &str) -> usize {
        self.texts.iter().filter(|text| text.text == words).count()
    }
}

/// All pages.
pub(crate) fn read(bytes: &[u8]) -> Vec<ReadPage> {
    let file = Document::load_mem(bytes).unwrap();
    file.get_pages().into_values().map(|id| page(&file, id)).collect()
}

fn page(file: &Document, id: lopdf::ObjectId) -> ReadPage {
    let dictionary = file.get_dictionary(id).unwrap();
    let media = dictionary.get(b"MediaBox").unwrap().as_array().unwrap();
    let maps: BTreeMap<Vec<u8>, BTreeMap<u16, char>> =
        file.get_page_fonts(id).unwrap().into_iter().map(|(name, font)| (name, unicode(file, font))).collect();
    let mut reader = Reader { maps, ..Reader::default() };
    reader.page.size = (number(&media[2]) * MM, number(&media[3]) * MM);
    reader.page.least = (f64::MAX, f64::MAX);
    reader.page.thinnest = f64::MAX;
    for operation in Content::decode(&file.get_page_content(id)).unwrap().operations {
        reader.operation(&operation.operator, &operation.operands);
    }
    assert!(reader.outer.is_empty(), "every q has its Q");
    reader.page
}

/// Glyph code to character from the font's `ToUnicode`.
fn unicode(file: &Document, font: &Dictionary) -> BTreeMap<u16, char> {
    let id = font.get(b"ToUnicode").unwrap().as_reference().unwrap();
    let stream = file.get_object(id).unwrap().as_stream().unwrap();
    let text = String::from_utf8(stream.get_plain_content().unwrap()).unwrap();
    let mut map = BTreeMap::new();
    for line in text.lines() {
        let parts: Vec<&str> = line.split(['<', '>', ' ']).filter(|part| !part.is_empty()).collect();
        if let [code, character] = parts[..]
            && let (Ok(code), Ok(character)) = (u16::from_str_radix(code, 16), u32::from_str_radix(character, 16))
        {
            map.insert(code, char::from_u32(character).unwrap());
        }
    }
    map
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().unwrap())
}

#[derive(Default)]
struct Reader {
    maps: BTreeMap<Vec<u8>, BTreeMap<u16, char>>,
    page: ReadPage,
    clip: Option<(f64, f64)>,
    outer: Vec<Option<(f64, f64)>>,
    clipping: bool,
    path: Vec<(f64, f64)>,
    segments: Vec<[f64; 4]>,
    width: f64,
    font: Vec<u8>,
    place: (f64, f64),
}

impl Reader {
    fn operation(&mut self, operator: &str, operands: &[Object]) {
        let n = |index: usize| number(&operands[index]) * MM;
        match operator {
            "q" => self.outer.push(self.clip),
            "Q" => self.clip = self.outer.pop().unwrap(),
            "m" => self.path.push((n(0), n(1))),
            "l" => {
                let &(x, y) = self.path.last().unwrap();
                self.segments.push([x, y, n(0), n(1)]);
                self.path.push((n(0), n(1)));
            }
            "re" => {
                let (x, y, right, up) = (n(0), n(1), n(0) + n(2), n(1) + n(3));
                let corners = [(x, y), (right, y), (right, up), (x, up), (x, y)];
                let sides = corners.windows(2).map(|side| [side[0].0, side[0].1, side[1].0, side[1].1]);
                self.segments.extend(sides);
                self.path.extend(corners);
            }
            "c" => self.path.push((n(4), n(5))),
            "W*" => self.clipping = true,
            "w" => self.width = n(0),
            "S" | "f*" | "B*" | "n" => self.paint(operator),
            "Tf" => self.font = operands[0].as_name().unwrap().to_vec(),
            "Tm" => self.place = (n(4), n(5)),
            "Tj" | "TJ" => self.show(&operands[0]),
            "h" | "g" | "G" | "d" | "BT" | "ET" | "BDC" | "EMC" => {}
            other => panic!("the reader does not know the operator {other}"),
        }
    }

    fn paint(&mut self, operator: &str) {
        let low = |pick: fn(&(f64, f64)) -> f64| self.path.iter().map(pick).fold(f64::MAX, f64::min);
        let (x, y) = (low(|p| p.0), low(|p| p.1));
        if std::mem::take(&mut self.clipping) {
            let (cx, cy) = self.clip.unwrap_or((f64::MIN, f64::MIN));
            self.clip = Some((x.max(cx), y.max(cy)));
        }
        if operator != "n" {
            let stroked = operator != "f*";
            let half = if stroked { self.width / 2.0 } else { 0.0 };
            self.see(x - half, y - half);
            if stroked {
                self.page.thinnest = self.page.thinnest.min(self.width);
                self.page.lines.append(&mut self.segments);
            }
        }
        self.path.clear();
        self.segments.clear();
    }

    fn see(&mut self, x: f64, y: f64) {
        let (cx, cy) = self.clip.unwrap_or((f64::MIN, f64::MIN));
        let (lx, ly) = self.page.least;
        self.page.least = (lx.min(x.max(cx)), ly.min(y.max(cy)));
    }

    fn show(&mut self, shown: &Object) {
        let parts = match shown {
            Object::Array(parts) => parts.clone(),
            part => vec![part.clone()],
        };
        let map = &self.maps[&self.font];
        let mut text = String::new();
        for part in parts {
            if let Object::String(bytes, _) = part {
                text.extend(bytes.chunks(2).map(|pair| map[&u16::from_be_bytes([pair[0], pair[1]])]));
            }
        }
        let (x, y) = self.place;
        self.see(x, y);
        let font = String::from_utf8(self.font.clone()).unwrap();
        self.page.texts.push(TextAt { x, y, font, text });
    }
}
