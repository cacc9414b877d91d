//! One input to another near it: bytes, lines, numbers, and words of the language put where others stood.

use lampwright::schema::tables::ROOT;
use lampwright::schema::{Block, Shape};

/// The generator of Steele, Lea and Flood (2014): small, and the same on every machine.
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    /// A number below `end`; 0 where there is none.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        if end == 0 { 0 } else { (self.next() % end as u64) as usize }
    }
}

/// Longest input that is made.
const LONGEST: usize = 24 << 10;

const NUMBERS: [&str; 24] = [
    "0", "-1", "1", "2", "1e-30", "1e30", "1e29", "1e-29", "0.5", "1e9", "1e-9", "999999", "1e999", "1/0", "0/1",
    "1/3", "3 .. 1", "1 .. 3", "1 ± 200 %", "unknown", "4294967296", "18446744073709551616", "1e15", "1e-15",
];

const SIGNS: [&str; 40] = [
    "{", "}", "(", ")", "[", "]", "\"", "#", ";", "\n", ",", " .. ", " ± ", " + ", " - ", " * ", " / ", "²", "°C",
    "µ", "Ω", "%", " at ", " is ", "language 1\n", "use \"parts/drawer.lamp\"\n", "let a = ", "part ", "variant v { ",
    "waive ", "sqrt(", "min(", "max(", "\\u{1b}", "\u{1b}[31m", "\u{202e}", "<script>", "{{ fig(", "{% for x in ", "%}",
];

/// Changes inputs.
pub(crate) struct Mutator {
    pub(crate) random: Random,
    words: Vec<&'static str>,
}

impl Mutator {
    pub(crate) fn new(seed: u64) -> Self {
        let mut words = Vec::new();
        words_of(&ROOT, &mut words);
        words.sort_unstable();
        words.dedup();
        Self { random: Random(seed), words }
    }

    /// `input` with one to six changes; `other` is what pieces are taken from.
    pub(crate) fn change(&mut self, input: &[u8], other: &[u8]) -> Vec<u8> {
        let mut out = input.to_vec();
        for _ in 0..=self.random.below(6) {
            match self.random.below(12) {
                0 => self.byte(&mut out),
                1 => self.drop_range(&mut out),
                2 => self.splice(&mut out, other),
                3 | 4 => self.number(&mut out),
                5 | 6 => self.word(&mut out),
                7 => self.insert_sign(&mut out),
                8 => self.line(&mut out, other),
                9 => self.swap_lines(&mut out),
                10 => self.drop_line(&mut out),
                _ => self.repeat(&mut out),
            }
        }
        out.truncate(LONGEST);
        out
    }

    fn byte(&mut self, out: &mut Vec<u8>) {
        let at = self.random.below(out.len() + 1);
        let byte = self.random.next() as u8;
        match out.get_mut(at) {
            Some(old) if byte & 1 == 0 => *old = byte,
            Some(old) => *old ^= 1 << (byte >> 5),
            None => out.push(byte),
        }
    }

    fn range(&mut self, len: usize, most: usize) -> (usize, usize) {
        let from = self.random.below(len + 1);
        let long = self.random.below(most);
        (from, (from + long).min(len))
    }

    fn drop_range(&mut self, out: &mut Vec<u8>) {
        let (from, to) = self.range(out.len(), 40);
        out.drain(from..to);
    }

    fn splice(&mut self, out: &mut Vec<u8>, other: &[u8]) {
        let (from, to) = self.range(other.len(), 400);
        let at = self.random.below(out.len() + 1);
        out.splice(at..at, other[from..to].iter().copied());
    }

    fn repeat(&mut self, out: &mut Vec<u8>) {
        let (from, to) = self.range(out.len(), 200);
        let piece = out[from..to].to_vec();
        for _ in 0..=self.random.below(3) {
            out.splice(to..to, piece.iter().copied());
        }
    }

    /// Another number where one stands.
    fn number(&mut self, out: &mut Vec<u8>) {
        let Some((from, to)) = self.run(out, |b| b.is_ascii_digit() || b == b'.') else { return };
        let new = if self.random.below(3) > 0 {
            let old = std::str::from_utf8(&out[from..to]).ok().and_then(|t| t.parse::<f64>().ok()).unwrap_or(1.0);
            let factors = [0.0, 0.1, 0.5, 0.9, 1.1, 2.0, 3.0, 10.0, 1000.0, 1e6, 1e-6];
            format!("{}", old * factors[self.random.below(factors.len())])
        } else {
            NUMBERS[self.random.below(NUMBERS.len())].to_owned()
        };
        out.splice(from..to, new.bytes());
    }

    /// Another word of the language where one stands.
    fn word(&mut self, out: &mut Vec<u8>) {
        let Some((from, to)) = self.run(out, |b| b.is_ascii_alphabetic() || b == b'-') else { return };
        let new = self.words[self.random.below(self.words.len())];
        out.splice(from..to, new.bytes());
    }

    fn insert_sign(&mut self, out: &mut Vec<u8>) {
        let at = self.random.below(out.len() + 1);
        out.splice(at..at, SIGNS[self.random.below(SIGNS.len())].bytes());
    }

    /// A run of bytes of one kind, found from somewhere on.
    fn run(&mut self, text: &[u8], kind: impl Fn(u8) -> bool) -> Option<(usize, usize)> {
        let start = self.random.below(text.len());
        let from = start + text.get(start..)?.iter().position(|b| kind(*b))?;
        let to = from + text[from..].iter().position(|b| !kind(*b)).unwrap_or(text.len() - from);
        Some((from, to))
    }

    fn line_at(&mut self, text: &[u8]) -> (usize, usize) {
        let at = self.random.below(text.len());
        let from = text[..at].iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
        let to = text[at..].iter().position(|b| *b == b'\n').map_or(text.len(), |i| at + i + 1);
        (from, to)
    }

    fn line(&mut self, out: &mut Vec<u8>, other: &[u8]) {
        let (from, to) = self.line_at(other);
        let (at, _) = self.line_at(out);
        out.splice(at..at, other[from..to].iter().copied());
    }

    fn swap_lines(&mut self, out: &mut Vec<u8>) {
        let (from, to) = self.line_at(out);
        let line: Vec<u8> = out.drain(from..to).collect();
        let (at, _) = self.line_at(out);
        out.splice(at..at, line);
    }

    fn drop_line(&mut self, out: &mut Vec<u8>) {
        let (from, to) = self.line_at(out);
        out.drain(from..to);
    }
}

fn words_of(block: &'static Block, words: &mut Vec<&'static str>) {
    words.push(block.kind);
    for property in block.properties {
        words.push(property.name);
        if let Shape::Word(choices) | Shape::Words(choices) = property.shape {
            words.extend(choices.iter().map(|c| c.word));
        }
    }
    block.blocks.iter().for_each(|inner| words_of(inner, words));
}
