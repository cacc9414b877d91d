//! Blocks of a sheet to slabs: pieces as wide as the text area that are stacked down the pages and never cut.
//! A slab's marks hang below its upper left corner; y is up, so everything inside has a negative y.

use std::rc::Rc;

use super::fonts::{Face, Fonts, MM_PER_PT, normal};
use super::keep::{between, hold, introduced, join, leads_in, signed, signing};
use super::marks::{HAIR, Mark, Paint, Step, Words};
use super::text::{Line, Setting, loosened, tokens, wrap};
use crate::packet::drawing::at;
use crate::packet::sheet::{Packet, Sheet, TextSize};
use crate::render::RenderError;
use crate::render::blocks::{Block, Inline, List, leading_tick, plain};

/// The grey of secondary lines.
pub(super) const LINE_GREY: f64 = 0.6;

/// A piece of a sheet that stays whole.
#[derive(Debug, Clone, Default)]
pub(super) struct Slab {
    /// Height, mm.
    pub(super) height: f64,
    /// Space above, dropped at the top of a page, mm.
    pub(super) before: f64,
    /// Base line of the first line below the top, mm.
    pub(super) baseline: f64,
    /// What it shows.
    pub(super) marks: Vec<Mark>,
    /// The next slab must stand on the same page.
    pub(super) keep: bool,
    /// It begins a page.
    pub(super) fresh: bool,
    /// Set again above this slab when it comes first on a page.
    pub(super) head: Option<Rc<Slab>>,
    /// Bookmark to this place.
    pub(super) bookmark: Option<(u8, String)>,
    /// First words, for errors.
    pub(super) name: String,
}

impl Slab {
    /// Makes the space above a part of the slab, so that a frame beside it has no gap.
    pub(super) fn closed_up(mut self) -> Self {
        let space = std::mem::take(&mut self.before);
        self.lowered(space)
    }

    /// Moves the contents down inside the slab.
    pub(super) fn lowered(mut self, by: f64) -> Self {
        self.marks = self.marks.into_iter().map(|mark| mark.shifted(0.0, -by)).collect();
        self.height += by;
        self.baseline += by;
        self
    }
}

/// Sets the blocks of one sheet.
pub(super) struct Setter<'a> {
    /// Faces.
    pub(super) fonts: &'a Fonts,
    /// The whole packet, for its drawings.
    pub(super) packet: &'a Packet,
    /// The sheet.
    pub(super) sheet: &'a Sheet,
    /// Width and height of the text area, mm.
    pub(super) area: (f64, f64),
    /// How many lists enclose what is being set.
    pub(super) lists: usize,
    /// What could not be set.
    pub(super) errors: Vec<RenderError>,
}

/// The setting of running text for a sheet's size.
pub(super) const fn setting(size: TextSize) -> Setting {
    let (size, tick, write_in) = match size {
        TextSize::Body => (10.5, 6.0, (28.0, 9.0)),
        TextSize::Dense => (9.5, 6.0, (28.0, 9.0)),
        TextSize::Fine => (7.0, 5.0, (20.0, 7.0)),
        TextSize::Card => (18.0, 8.0, (36.0, 12.0)),
    };
    Setting { size, strong: false, tick, write_in }
}

impl Setter<'_> {
    /// The slabs of the sheet, its title first.
    pub(super) fn sheet(&mut self, blocks: &[Block]) -> Vec<Slab> {
        let title = self.title();
        let mut slabs = vec![title];
        let (width, _) = self.area;
        slabs.extend(self.blocks(blocks, 0.0, width, setting(self.sheet.size)));
        slabs
    }

    fn title(&mut self) -> Slab {
        let set = Setting { size: 21.0, ..setting(TextSize::Body) }.heavier();
        let run = [Inline::Text(self.sheet.title.clone(), Default::default())];
        let (width, _) = self.area;
        let lines = self.lines(&run, width, set, "title");
        let mut slab = stack(&lines, 0.0, set);
        slab.height += 1.5;
        slab.keep = true;
        slab.bookmark = Some((1, self.sheet.title.clone()));
        slab
    }

    /// Records what could not be set.
    pub(super) fn refuse(&mut self, subject: &str, message: impl Into<String>) {
        let (sheet, subject) = (self.sheet.name.clone(), subject.to_string());
        self.errors.push(RenderError { sheet, subject, message: message.into() });
    }

    /// Tokens of a run; characters that no face has are refused.
    pub(super) fn tokens(&mut self, run: &[Inline], set: Setting) -> Vec<super::text::Token> {
        let mut lost = Vec::new();
        let tokens = tokens(self.fonts, run, set, &mut |character| lost.push(character));
        for character in lost {
            self.refuse(&plain(run), missing_character(character));
        }
        tokens
    }

    /// Lines of a run; a word that is too wide even after loosening is refused.
    pub(super) fn lines(&mut self, run: &[Inline], width: f64, set: Setting, place: &str) -> Vec<Line> {
        let tight = self.tokens(run, set);
        let lines = wrap(&tight, width, set)
            .or_else(|_| wrap(&loosened(self.fonts, &tight, set, false), width, set))
            .or_else(|_| wrap(&loosened(self.fonts, &tight, set, true), width, set));
        lines.unwrap_or_else(|word| {
            self.refuse(place, format!("`{word}` is wider than the {width:.0} mm it has; give it a place to break"));
            Vec::new()
        })
    }

    /// Sets blocks one below the other between `left` and `left + width`.
    pub(super) fn blocks(&mut self, blocks: &[Block], left: f64, width: f64, set: Setting) -> Vec<Slab> {
        let mut slabs: Vec<Slab> = Vec::new();
        let mut fresh = false;
        for (index, block) in blocks.iter().enumerate() {
            if *block == Block::NewPage {
                fresh = true;
                continue;
            }
            let mut set_here = self.block(block, left, width, set);
            if let Some(first) = set_here.first_mut() {
                first.fresh |= std::mem::take(&mut fresh);
            }
            let next = blocks.get(index + 1);
            match (block, set_here.as_mut_slice()) {
                (Block::Paragraph(_), [only]) => only.keep = leads_in(blocks, index) || between(blocks, index),
                (Block::Panel(Some(_), _), all)
                    if leads_in(blocks, index) || matches!(next, Some(Block::Panel(..))) =>
                {
                    all.iter_mut().for_each(|slab| slab.keep = true);
                }
                (Block::Drawing(..), drawn) if introduced(blocks, index) => join(&mut slabs, drawn, self.area.1),
                _ => {}
            }
            // A pause line and what is signed stand on the page of what they close.
            let asks = matches!(block, Block::Paragraph(_)) && next.is_some_and(signed);
            let ends = signing(blocks.get(index..).unwrap_or_default());
            if *block == Block::Pause || signed(block) || asks || ends {
                hold(&mut slabs);
            }
            slabs.extend(set_here);
        }
        slabs
    }

    fn block(&mut self, block: &Block, left: f64, width: f64, set: Setting) -> Vec<Slab> {
        match block {
            Block::Heading(level, run) => vec![self.heading(*level, run, left, width, set)],
            Block::Paragraph(run) => self.paragraph(run, left, width, set),
            Block::List(list) => self.list(list, left, width, set),
            Block::Table(table) => self.table(table, left, width),
            Block::Panel(Some(signal), inner) => self.panel(signal, inner, left, width, set),
            Block::Panel(None, inner) => self.remark(inner, left, width, set),
            Block::Drawing(name, alt) => self.drawing(name, alt, left, width),
            Block::Code(code) => self.code(code, left, width, set),
            Block::Pause => vec![self.pause(left, width, set)],
            Block::NewPage => Vec::new(),
        }
    }

    fn heading(&mut self, level: u8, run: &[Inline], left: f64, width: f64, set: Setting) -> Slab {
        let (growth, before, after) = match level {
            0..=2 => (1.32, 7.0, 1.2),
            3 => (1.12, 5.0, 0.6),
            _ => (1.0, 3.6, 0.2),
        };
        let set = Setting { size: set.size * growth, ..set }.heavier();
        let lines = self.lines(run, width, set, &plain(run));
        let mut slab = stack(&lines, left, set);
        slab.height += after;
        slab.before = before;
        slab.keep = true;
        slab.bookmark = (level <= 2).then(|| (2, plain(run)));
        slab.name = plain(run);
        slab
    }

    /// Two lines at either end of a paragraph stay together.
    fn paragraph(&mut self, run: &[Inline], left: f64, width: f64, set: Setting) -> Vec<Slab> {
        let name = plain(run);
        let lines = self.lines(run, width, set, &name);
        let count = lines.len();
        let mut slabs = Vec::new();
        let mut from = 0;
        while from < count {
            let until = match from {
                _ if count <= 3 => count,
                0 => 2,
                _ if from >= count - 2 => count,
                _ => from + 1,
            };
            let mut slab = stack(lines.get(from..until).unwrap_or_default(), left, set);
            slab.before = if from == 0 { 2.4 } else { 0.0 };
            slab.name.clone_from(&name);
            slabs.push(slab);
            from = until;
        }
        slabs
    }

    fn list(&mut self, list: &List, left: f64, width: f64, set: Setting) -> Vec<Slab> {
        let ticks = list.items.iter().any(|item| leading_tick(item).is_some());
        let indent = match (ticks, list.start) {
            (true, _) => set.tick + 2.6,
            (_, Some(_)) => set.size * MM_PER_PT * 1.9,
            _ => set.size * MM_PER_PT * 1.2,
        };
        let mut slabs = Vec::new();
        for (index, item) in list.items.iter().enumerate() {
            let bullet = self.bullet(list, index, set);
            let mut inner = item.clone();
            if leading_tick(item).is_some() {
                drop_leading_tick(&mut inner);
            }
            self.lists += 1;
            let mut piece = self.blocks(&inner, left + indent, width - indent, set);
            self.lists -= 1;
            if piece.is_empty() {
                let baseline = set.size * MM_PER_PT;
                piece.push(Slab { height: set.leading(), baseline, ..Slab::default() });
            }
            hang(&bullet, left, set, &mut piece);
            let before = if index == 0 && self.lists == 0 { 2.0 } else { 0.9 };
            keep_together(&mut piece, before, self.area.1);
            slabs.extend(piece);
        }
        slabs
    }

    fn bullet(&mut self, list: &List, index: usize, set: Setting) -> Line {
        let item = list.items.get(index);
        let run = match (item.and_then(|item| leading_tick(item)), list.start) {
            (Some(done), _) => Inline::Tick(done),
            (None, Some(first)) => Inline::Text(format!("{}.", first + index as u64), Default::default()),
            (None, None) => Inline::Text("•".into(), Default::default()),
        };
        self.lines(&[run], 30.0, set, "list").into_iter().next().unwrap_or_default()
    }

    /// Text kept as typed, one slab a line, spaces and all.
    fn code(&mut self, code: &str, left: f64, width: f64, set: Setting) -> Vec<Slab> {
        let size = set.size * 0.88;
        let mut slabs = Vec::new();
        for (index, line) in code.lines().enumerate() {
            let (text, wide) = self.code_line(line, size);
            if wide > width {
                self.refuse(line, format!("the line is {wide:.0} mm wide and has {width:.0} mm; break it"));
            }
            let (height, base) = (set.leading(), size * MM_PER_PT);
            let at = at(left, -base);
            let words = Words { at, text, face: Face::Mono, size, grey: 0.0, slant: false, angle: 0.0 };
            let before = if index == 0 { 2.4 } else { 0.0 };
            let marks = if line.trim().is_empty() { Vec::new() } else { vec![Mark::Words(words)] };
            slabs.push(Slab { height, before, baseline: base, marks, name: line.to_string(), ..Slab::default() });
        }
        slabs
    }

    /// A line in the fixed-width face without the characters it lacks, and its width in mm.
    fn code_line(&mut self, line: &str, size: f64) -> (String, f64) {
        let line = line.replace('\t', "    ");
        let mut text = String::new();
        for character in line.chars().map(normal) {
            if self.fonts.has(Face::Mono, character) {
                text.push(character);
            } else {
                self.refuse(&line, missing_character(character));
            }
        }
        let width = self.fonts.width(Face::Mono, &text) * size * MM_PER_PT;
        (text, width)
    }

    /// A line across with the word in its middle: stop here until everyone is ready.
    fn pause(&mut self, left: f64, width: f64, set: Setting) -> Slab {
        let set = Setting { size: set.size * 0.9, ..set }.heavier();
        let lines = self.lines(&[Inline::Text("pause".into(), Default::default())], width, set, "pause");
        let (height, base) = (set.leading(), set.size * MM_PER_PT);
        let word = lines.first().map_or(0.0, |line| line.width);
        let middle = -base + set.size * MM_PER_PT * 0.24;
        let (from, until) = (left + (width - word) / 2.0, left + (width + word) / 2.0);
        let mut marks = vec![
            Mark::line(at(left, middle), at(from - 3.0, middle), 0.5),
            Mark::line(at(until + 3.0, middle), at(left + width, middle), 0.5),
        ];
        for line in &lines {
            line.draw(at(from, -base), set, 0.0, &mut marks);
        }
        Slab { height, before: 5.0, marks, name: "pause".into(), ..Slab::default() }
    }
}

/// What to say about a character that no face has.
pub(super) fn missing_character(character: char) -> String {
    format!("no face has the character `{character}` (U+{:04X}); use another sign or a word", u32::from(character))
}

/// Lines below one another as one slab.
pub(super) fn stack(lines: &[Line], left: f64, set: Setting) -> Slab {
    let mut slab = Slab::default();
    for line in lines {
        line.draw(at(left, -slab.height - line.ascent), set, 0.0, &mut slab.marks);
        slab.height += line.height();
    }
    slab.baseline = lines.first().map_or(0.0, |line| line.ascent);
    slab
}

fn drop_leading_tick(item: &mut Vec<Block>) {
    let Some(Block::Paragraph(run)) = item.first_mut() else { return };
    run.remove(0);
    if let Some(Inline::Text(text, _)) = run.first_mut() {
        *text = text.trim_start().to_string();
    }
    if plain(run).is_empty() {
        item.remove(0);
    }
}

/// Sets the bullet on the base line of the item's first line; a tall bullet pushes the text down.
fn hang(bullet: &Line, left: f64, set: Setting, item: &mut [Slab]) {
    let Some(first) = item.first_mut() else { return };
    let lack = bullet.ascent - first.baseline;
    if lack > 0.0 {
        *first = std::mem::take(first).lowered(lack);
    }
    first.height = first.height.max(first.baseline + bullet.descent);
    bullet.draw(at(left, -first.baseline), set, 0.0, &mut first.marks);
}

/// Ties slabs to one page as long as they fill no more than half of it.
pub(super) fn keep_together(slabs: &mut [Slab], before: f64, page: f64) {
    let total: f64 = slabs.iter().map(|slab| slab.before + slab.height).sum();
    let count = slabs.len();
    for (index, slab) in slabs.iter_mut().enumerate() {
        if index == 0 {
            slab.before = before;
        }
        if index + 1 < count && total <= page / 2.0 {
            slab.keep = true;
        }
    }
}

/// A cross of two hairlines.
pub(super) fn cross(x: f64, y: f64, arm: f64) -> Mark {
    let steps = vec![
        Step::Move(at(x - arm, y)),
        Step::Line(at(x + arm, y)),
        Step::Move(at(x, y - arm)),
        Step::Line(at(x, y + arm)),
    ];
    Mark::Path(steps, Paint::line(HAIR))
}
