//! The three faces: widths, kerning, which characters they have, and the subset that goes into the file.
//! Faces are vendored in `templates/fonts`; all have 1000 units to the em, so PDF widths are exact.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use printpdf::{FontMetrics, FontType, ParsedFont, PdfFont, PdfFontMetricsStub};
use subsetter::GlyphRemapper;
use ttf_parser::gpos::{PairAdjustment, PositioningSubtable};
use ttf_parser::{GlyphId, Tag};

pub(super) use crate::packet::drawings::text::CAP_HEIGHT;

const REGULAR: &[u8] = include_bytes!("../../../templates/fonts/sans-regular.ttf");
const SEMIBOLD: &[u8] = include_bytes!("../../../templates/fonts/sans-semibold.ttf");
const MONO: &[u8] = include_bytes!("../../../templates/fonts/mono-regular.ttf");

/// Millimetres in a point.
pub(super) const MM_PER_PT: f64 = 25.4 / 72.0;

/// A face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Face {
    /// Running text.
    Regular,
    /// Headings and strong words.
    SemiBold,
    /// Names and code.
    Mono,
}

impl Face {
    /// The name of the face in the PDF's resources.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Regular => "Fsans",
            Self::SemiBold => "Fsemi",
            Self::Mono => "Fmono",
        }
    }

    /// The name inside the PDF: a subset tag of six letters and our own plain word.
    const fn subset_name(self) -> &'static str {
        match self {
            Self::Regular => "LAMPAA+SansRegular",
            Self::SemiBold => "LAMPAB+SansSemiBold",
            Self::Mono => "LAMPAC+MonoRegular",
        }
    }
}

/// Characters below this are looked up when a face is read: Latin, Greek and Cyrillic.
const KNOWN: u32 = 0x500;
/// Characters whose kerning is remembered.
const ASCII: u32 = 0x80;

/// Kerning below a hundredth of an em is not seen, and each piece of it costs an operand in the file.
const LEAST_KERN: i16 = 10;

struct Loaded {
    data: &'static [u8],
    face: ttf_parser::Face<'static>,
    /// Indices of the lookups behind the `kern` feature.
    kern_lookups: Vec<u16>,
    /// Glyph and advance of each character below `KNOWN`, looked up once when the face is read.
    glyphs: Vec<Option<(GlyphId, u16)>>,
    /// Kerning found so far of two characters below `ASCII`, at `before * ASCII + after`.
    kerns: Vec<OnceLock<i16>>,
}

/// The glyph of each character in the part of a face that goes into a document, by code point; 0 where the document
/// has no use for the character.
pub(super) struct Codes(Vec<u16>);

impl Codes {
    /// The character's glyph.
    pub(super) fn of(&self, character: char) -> u16 {
        self.0.get(character as usize).copied().unwrap_or(0)
    }
}

/// The faces, read once for a document.
pub(super) struct Fonts {
    regular: Loaded,
    semibold: Loaded,
    mono: Loaded,
}

impl Fonts {
    /// Reads the vendored faces; fails with the parser's words when a file is damaged.
    pub(super) fn load() -> Result<Self, String> {
        Ok(Self { regular: Loaded::read(REGULAR)?, semibold: Loaded::read(SEMIBOLD)?, mono: Loaded::read(MONO)? })
    }

    const fn loaded(&self, face: Face) -> &Loaded {
        match face {
            Face::Regular => &self.regular,
            Face::SemiBold => &self.semibold,
            Face::Mono => &self.mono,
        }
    }

    /// Whether the face has the character.
    pub(super) fn has(&self, face: Face, character: char) -> bool {
        self.loaded(face).glyph(character).is_some()
    }

    /// Width of a text in em, kerning included.
    pub(super) fn width(&self, face: Face, text: &str) -> f64 {
        let mut units = 0;
        let mut before = None;
        for character in text.chars() {
            units += self.kern(face, before, character);
            units += self.loaded(face).glyph(character).map_or(0, |(_, advance)| i32::from(advance));
            before = Some(character);
        }
        f64::from(units) / 1000.0
    }

    /// Kerning between two characters in thousandths of an em. Digits are never kerned, so columns stay tabular,
    /// nor are spaces, so a line is as wide as its words and gaps.
    pub(super) fn kern(&self, face: Face, before: Option<char>, character: char) -> i32 {
        let plain = |c: char| c.is_ascii_digit() || c == ' ';
        match before {
            Some(before) if face != Face::Mono && !plain(before) && !plain(character) => {
                i32::from(self.loaded(face).kern(before, character))
            }
            _ => 0,
        }
    }

    /// The part of a face that the given characters need, ready to be put into a document, with their glyphs in it.
    pub(super) fn subset(&self, face: Face, used: &BTreeSet<char>) -> Result<(PdfFont, Codes), String> {
        let loaded = self.loaded(face);
        let mut remapper = GlyphRemapper::new();
        let mut codepoint_to_glyph = BTreeMap::new();
        let mut glyph_widths = BTreeMap::from([(0, 500)]);
        let mut codes = vec![0; used.last().map_or(0, |&highest| highest as usize + 1)];
        for &character in used {
            if let Some((glyph, advance)) = loaded.glyph(character) {
                let new = remapper.remap(glyph.0);
                codepoint_to_glyph.insert(u32::from(character), new);
                glyph_widths.insert(new, advance);
                if let Some(code) = codes.get_mut(character as usize) {
                    *code = new;
                }
            }
        }
        let original_bytes = subsetter::subset(loaded.data, 0, &remapper).map_err(|error| error.to_string())?;
        let bounds = loaded.face.global_bounding_box();
        let font = PdfFont::new(ParsedFont {
            original_bytes,
            font_index: 0,
            font_name: Some(face.subset_name().into()),
            codepoint_to_glyph,
            glyph_widths,
            units_per_em: 1000,
            font_metrics: FontMetrics { ascent: loaded.face.ascender(), descent: loaded.face.descender() },
            font_type: FontType::TrueType,
            pdf_font_metrics: PdfFontMetricsStub {
                units_per_em: 1000,
                x_min: bounds.x_min,
                y_min: bounds.y_min,
                x_max: bounds.x_max,
                y_max: bounds.y_max,
                caret_slope_rise: 1,
                caret_slope_run: 0,
                us_weight_class: if face == Face::SemiBold { 600 } else { 400 },
            },
        });
        Ok((font, Codes(codes)))
    }
}

impl Loaded {
    fn read(data: &'static [u8]) -> Result<Self, String> {
        let face = ttf_parser::Face::parse(data, 0).map_err(|error| error.to_string())?;
        let kern_lookups = kern_lookups(&face);
        let glyphs = (0..KNOWN).map(|code| char::from_u32(code).and_then(|c| glyph(&face, c))).collect();
        let kerns = (0..ASCII * ASCII).map(|_| OnceLock::new()).collect();
        Ok(Self { data, face, kern_lookups, glyphs, kerns })
    }

    fn glyph(&self, character: char) -> Option<(GlyphId, u16)> {
        match self.glyphs.get(character as usize) {
            Some(known) => *known,
            None => glyph(&self.face, character),
        }
    }

    fn kern(&self, before: char, after: char) -> i16 {
        let find = || match (self.glyph(before), self.glyph(after)) {
            (Some((a, _)), Some((b, _))) => self.find_kern(a, b),
            _ => 0,
        };
        let (first, second) = (before as u32, after as u32);
        if first >= ASCII || second >= ASCII {
            return find();
        }
        self.kerns.get((first * ASCII + second) as usize).map_or_else(find, |slot| *slot.get_or_init(find))
    }

    fn find_kern(&self, a: GlyphId, b: GlyphId) -> i16 {
        let Some(table) = self.face.tables().gpos else { return 0 };
        for lookup in self.kern_lookups.iter().filter_map(|&index| table.lookups.get(index)) {
            for subtable in lookup.subtables.into_iter::<PositioningSubtable<'_>>() {
                if let PositioningSubtable::Pair(pair) = subtable
                    && let Some(value) = pair_value(&pair, a, b)
                {
                    return if value.abs() < LEAST_KERN { 0 } else { value };
                }
            }
        }
        0
    }
}

fn glyph(face: &ttf_parser::Face<'_>, character: char) -> Option<(GlyphId, u16)> {
    let glyph = face.glyph_index(character)?;
    Some((glyph, face.glyph_hor_advance(glyph)?))
}

/// `None` means that the subtable does not speak about the pair and the next one is asked.
fn pair_value(pair: &PairAdjustment<'_>, a: GlyphId, b: GlyphId) -> Option<i16> {
    match pair {
        PairAdjustment::Format1 { coverage, sets } => {
            sets.get(coverage.get(a)?)?.get(b).map(|(first, _)| first.x_advance)
        }
        PairAdjustment::Format2 { coverage, classes, matrix } => {
            coverage.get(a)?;
            matrix.get((classes.0.get(a), classes.1.get(b))).map(|(first, _)| first.x_advance)
        }
    }
}

fn kern_lookups(face: &ttf_parser::Face<'_>) -> Vec<u16> {
    let Some(table) = face.tables().gpos else { return Vec::new() };
    let wanted = Tag::from_bytes(b"kern");
    let mut found = BTreeSet::new();
    for feature in table.features.into_iter().filter(|feature| feature.tag == wanted) {
        found.extend(feature.lookup_indices);
    }
    found.into_iter().collect()
}

/// Characters that have twins: one of each pair is drawn, so a search in the PDF finds it.
/// Hyphen and spaces that forbid a break become plain ones; line breaking has looked at them before.
pub(super) fn normal(character: char) -> char {
    match character {
        '\u{2126}' => 'Ω',
        '\u{03BC}' => '\u{00B5}',
        '\u{212A}' => 'K',
        '\u{2300}' => 'Ø',
        '\u{2011}' => '-',
        '\u{00A0}' | '\u{2009}' | '\u{202F}' | '\t' => ' ',
        other => other,
    }
}
