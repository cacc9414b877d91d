//! Runs of text to tokens, tokens to lines no wider than asked, lines to marks.
//! No-break spaces hold number and unit together; a box stays with the unit after it.

use super::fonts::{CAP_HEIGHT, Face, Fonts, MM_PER_PT, normal};
use super::marks::{HAIR, Mark, Paint, Step, Words};
use crate::packet::drawing::{Point, at};
use crate::render::blocks::Inline;

/// Width of a box for a sentence, mm: it fits a panel of either paper.
const SENTENCE: f64 = 150.0;

/// How text and boxes are set in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Setting {
    /// Size in points.
    pub(super) size: f64,
    /// Whether plain words are set in the heavier face.
    pub(super) strong: bool,
    /// Side of a tick box, mm.
    pub(super) tick: f64,
    /// Write-in box, mm.
    pub(super) write_in: (f64, f64),
}

impl Setting {
    /// Distance of base lines, mm.
    pub(super) fn leading(self) -> f64 {
        self.size * MM_PER_PT * 1.36
    }
    /// The same with the heavier face.
    pub(super) const fn heavier(self) -> Self {
        Self { strong: true, ..self }
    }
}

#[derive(Debug, Clone, PartialEq)]
enum Thing {
    Words { text: String, face: Face, slant: bool },
    Tick(bool),
    WriteIn,
    LineEnd,
}

/// A piece that never breaks.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Token {
    thing: Thing,
    width: f64,
    /// Space before it when it does not begin a line, mm.
    gap: f64,
    /// Whether a line may end before it.
    free: bool,
    /// Whether the space before it only forbids a break for good looks.
    glued: bool,
}

/// One line: tokens with the place of each from the line's left end.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Line {
    tokens: Vec<(f64, Token)>,
    /// Width, mm.
    pub(super) width: f64,
    /// Above the base line, mm.
    pub(super) ascent: f64,
    /// Below the base line, mm.
    pub(super) descent: f64,
}

impl Line {
    /// Height of the line, mm.
    pub(super) fn height(&self) -> f64 {
        self.ascent + self.descent
    }
}

/// Cuts a run into tokens. `missing` is told each character that no face has.
pub(super) fn tokens(fonts: &Fonts, run: &[Inline], set: Setting, missing: &mut dyn FnMut(char)) -> Vec<Token> {
    let mut maker = Maker { fonts, set, found: Vec::new(), space: Space::None, missing };
    for piece in run {
        maker.piece(piece);
    }
    maker.found
}

#[derive(Clone, Copy, PartialEq)]
enum Space {
    None,
    Free,
    Glued,
}

struct Maker<'a> {
    fonts: &'a Fonts,
    set: Setting,
    found: Vec<Token>,
    space: Space,
    missing: &'a mut dyn FnMut(char),
}

impl Maker<'_> {
    fn piece(&mut self, piece: &Inline) {
        match piece {
            Inline::Text(text, look) => {
                let face = match (look.code, look.strong || self.set.strong) {
                    (true, _) => Face::Mono,
                    (false, true) => Face::SemiBold,
                    (false, false) => Face::Regular,
                };
                self.text(text, face, look.slant);
            }
            Inline::Image(_, alt) => self.text(alt, Face::Regular, true),
            Inline::Tick(done) => {
                self.push(Thing::Tick(*done), self.set.tick);
                self.space = Space::Glued;
            }
            Inline::WriteLine => self.push(Thing::WriteIn, SENTENCE),
            Inline::WriteIn(unit) => {
                self.push(Thing::WriteIn, self.set.write_in.0);
                if !unit.is_empty() {
                    self.space = Space::Glued;
                    self.text(unit, if self.set.strong { Face::SemiBold } else { Face::Regular }, false);
                }
            }
            Inline::Break => {
                self.found.push(Token { thing: Thing::LineEnd, width: 0.0, gap: 0.0, free: true, glued: false });
                self.space = Space::None;
            }
        }
    }

    fn text(&mut self, text: &str, face: Face, slant: bool) {
        let mut word = String::new();
        for character in text.chars() {
            match character {
                ' ' | '\n' => {
                    self.word(&mut word, face, slant);
                    self.space = Space::Free;
                }
                '\u{A0}' | '\u{202F}' | '\u{2009}' => {
                    self.word(&mut word, face, slant);
                    self.space = Space::Glued;
                }
                other => word.push(normal(other)),
            }
        }
        self.word(&mut word, face, slant);
    }

    /// Ends a word; characters that its face lacks are taken from the regular face.
    fn word(&mut self, word: &mut String, face: Face, slant: bool) {
        let word = std::mem::take(word);
        let mut run = String::new();
        let mut run_face = face;
        for character in word.chars() {
            let here = if self.fonts.has(face, character) { face } else { Face::Regular };
            if !self.fonts.has(here, character) {
                (self.missing)(character);
                continue;
            }
            if here != run_face {
                self.push_words(std::mem::take(&mut run), run_face, slant);
                run_face = here;
            }
            run.push(character);
        }
        self.push_words(run, run_face, slant);
    }

    fn push_words(&mut self, text: String, face: Face, slant: bool) {
        if text.is_empty() {
            return;
        }
        let width = self.fonts.width(face, &text) * self.set.size * MM_PER_PT;
        self.push(Thing::Words { text, face, slant }, width);
    }

    fn push(&mut self, thing: Thing, width: f64) {
        let first = self.found.is_empty() || self.found.last().is_some_and(|t| t.thing == Thing::LineEnd);
        let boxed = |thing: &Thing| matches!(thing, Thing::Tick(_) | Thing::WriteIn);
        let near_box = boxed(&thing) || self.found.last().is_some_and(|t| boxed(&t.thing));
        let space = self.fonts.width(Face::Regular, " ") * self.set.size * MM_PER_PT;
        let gap = match self.space {
            _ if first => 0.0,
            Space::None if near_box => 1.0,
            Space::None => 0.0,
            _ if near_box => space.max(1.2),
            _ => space,
        };
        let free = !first && (self.space == Space::Free || (self.space == Space::None && boxed(&thing)));
        self.found.push(Token { thing, width, gap, free, glued: self.space == Space::Glued });
        self.space = Space::None;
    }
}

/// Allows breaks that good setting avoids: inside long names after a sign, and as the last resort between number and
/// unit.
pub(super) fn loosened(fonts: &Fonts, tokens: &[Token], set: Setting, units: bool) -> Vec<Token> {
    let mut found = Vec::new();
    for token in tokens {
        let after_box = matches!(found.last(), Some(Token { thing: Thing::WriteIn, .. }));
        let token = Token { free: token.free || (units && token.glued && !after_box), ..token.clone() };
        match &token.thing {
            Thing::Words { text, face, slant } if text.chars().count() > 6 => {
                for (index, part) in name_parts(text).into_iter().enumerate() {
                    let width = fonts.width(*face, &part) * set.size * MM_PER_PT;
                    let thing = Thing::Words { text: part, face: *face, slant: *slant };
                    let (gap, free) = if index == 0 { (token.gap, token.free) } else { (0.0, true) };
                    found.push(Token { thing, width, gap, free, glued: false });
                }
            }
            _ => found.push(token),
        }
    }
    found
}

fn name_parts(text: &str) -> Vec<String> {
    let mut parts = vec![String::new()];
    let mut fresh = 0;
    for character in text.chars() {
        if let Some(part) = parts.last_mut() {
            part.push(character);
            fresh += 1;
        }
        if "-/_.·:→+&".contains(character) && fresh >= 3 {
            parts.push(String::new());
            fresh = 0;
        }
    }
    parts.retain(|part| !part.is_empty());
    // A sign or two alone on a line is no part of a name: `controller.+`.
    if parts.len() > 1 && parts.last().is_some_and(|last| last.chars().count() <= 2) {
        let last = parts.pop().unwrap_or_default();
        parts.last_mut().into_iter().for_each(|part| part.push_str(&last));
    }
    parts
}

/// Width of the longest unbreakable stretch and of the longest line when nothing wraps, mm.
pub(super) fn extent(tokens: &[Token]) -> (f64, f64) {
    let (mut least, mut most, mut word, mut line) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
    for token in tokens {
        if token.thing == Thing::LineEnd {
            (word, line) = (0.0, 0.0);
            continue;
        }
        word = if token.free { token.width } else { word + token.gap + token.width };
        line += token.gap + token.width;
        least = least.max(word);
        most = most.max(line);
    }
    (least, most)
}

/// Lines no wider than `width`; `Err` names the stretch that is wider than that.
pub(super) fn wrap(tokens: &[Token], width: f64, set: Setting) -> Result<Vec<Line>, String> {
    let mut lines: Vec<Vec<Token>> = vec![Vec::new()];
    let mut used = 0.0;
    for (stretch, ends_line) in stretches(tokens) {
        let own: f64 = stretch.iter().enumerate().map(|(i, t)| t.width + if i == 0 { 0.0 } else { t.gap }).sum();
        if own > width + 1e-6 {
            return Err(stretch.iter().map(Token::words).collect::<Vec<_>>().join(" ").trim().to_string());
        }
        let gap = stretch.first().map_or(0.0, |token| token.gap);
        let begins = lines.last().is_none_or(Vec::is_empty);
        if !begins && used + gap + own > width + 1e-6 {
            lines.push(Vec::new());
            used = own;
        } else {
            used += own + if begins { 0.0 } else { gap };
        }
        if let Some(line) = lines.last_mut() {
            line.extend(stretch.iter().cloned());
        }
        if ends_line {
            lines.push(Vec::new());
            used = 0.0;
        }
    }
    Ok(lines.into_iter().map(|tokens| Line::new(tokens, set)).collect())
}

/// Unbreakable stretches, each with whether a forced line end follows it.
fn stretches(tokens: &[Token]) -> Vec<(&[Token], bool)> {
    let mut found = Vec::new();
    let mut begin = 0;
    for (index, token) in tokens.iter().enumerate() {
        let ends_line = token.thing == Thing::LineEnd;
        if ends_line || (token.free && index > begin) {
            found.push((tokens.get(begin..index).unwrap_or_default(), ends_line));
            begin = if ends_line { index + 1 } else { index };
        }
    }
    let rest = tokens.get(begin..).unwrap_or_default();
    if !rest.is_empty() {
        found.push((rest, false));
    }
    found
}

impl Token {
    fn words(&self) -> &str {
        match &self.thing {
            Thing::Words { text, .. } => text,
            Thing::Tick(_) => "☐",
            Thing::WriteIn => "▭",
            Thing::LineEnd => "",
        }
    }
}

impl Line {
    fn new(tokens: Vec<Token>, set: Setting) -> Self {
        let em = set.size * MM_PER_PT;
        let mut line = Self { ascent: em * 1.0, descent: em * 0.36, ..Self::default() };
        let mut x = 0.0;
        for (index, token) in tokens.into_iter().enumerate() {
            x += if index == 0 { 0.0 } else { token.gap };
            let tall = match token.thing {
                Thing::Tick(_) => set.tick,
                Thing::WriteIn => set.write_in.1,
                _ => 0.0,
            };
            // A box stands with its middle at half the height of a capital, and 1 mm clear of its neighbours.
            let middle = em * CAP_HEIGHT / 2.0;
            line.ascent = line.ascent.max(middle + tall / 2.0 + 1.0);
            line.descent = line.descent.max(tall / 2.0 - middle + if tall > 0.0 { 1.0 } else { 0.0 });
            let width = token.width;
            line.tokens.push((x, token));
            x += width;
        }
        line.width = x;
        line
    }

    /// The line's marks with the left end of its base line at `origin`.
    pub(super) fn draw(&self, origin: Point, set: Setting, grey: f64, marks: &mut Vec<Mark>) {
        let mut open: Option<Words> = None;
        for (x, token) in &self.tokens {
            let place = at(origin.x + x, origin.y);
            match &token.thing {
                Thing::Words { text, face, slant } => match &mut open {
                    Some(words) if words.face == *face && words.slant == *slant && *face != Face::Mono => {
                        words.text.push_str(if token.gap > 0.0 { " " } else { "" });
                        words.text.push_str(text);
                    }
                    _ => {
                        marks.extend(open.take().map(Mark::Words));
                        let text = text.clone();
                        let (face, slant, size) = (*face, *slant, set.size);
                        open = Some(Words { at: place, text, face, size, grey, slant, angle: 0.0 });
                    }
                },
                thing => {
                    marks.extend(open.take().map(Mark::Words));
                    draw_box(thing, place, token.width, set, marks);
                }
            }
        }
        marks.extend(open.take().map(Mark::Words));
    }
}

fn draw_box(thing: &Thing, place: Point, width: f64, set: Setting, marks: &mut Vec<Mark>) {
    let height = if *thing == Thing::WriteIn { set.write_in.1 } else { set.tick };
    let bottom = place.y + set.size * MM_PER_PT * CAP_HEIGHT / 2.0 - height / 2.0;
    let paint = Paint { fill: Some(1.0), ..Paint::line(if *thing == Thing::WriteIn { HAIR } else { 0.35 }) };
    marks.push(Mark::rectangle(at(place.x, bottom), width, height, paint));
    if *thing == Thing::Tick(true) {
        let point = |u: f64, v: f64| at(place.x + u * width, bottom + v * height);
        let steps = vec![Step::Move(point(0.2, 0.5)), Step::Line(point(0.42, 0.25)), Step::Line(point(0.82, 0.8))];
        marks.push(Mark::Path(steps, Paint::line(0.6)));
    }
}
