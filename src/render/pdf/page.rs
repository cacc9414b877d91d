//! Slabs to pages, and what stands on every page: header, footer, the DRAFT band.
//! The binder's 20 mm stay empty; a sheet set across is bound at its upper side, so that side is kept empty too.

use super::document::Page;
use super::fonts::{CAP_HEIGHT, Face, Fonts, MM_PER_PT, normal};
use super::layout::{LINE_GREY, Slab, missing_character};
use super::marks::{HAIR, Mark, Paint, Step, Words};
use crate::packet::drawing::at;
use crate::packet::sheet::{Identity, Paper, Sheet};
use crate::render::RenderError;

/// Width of the binder margin, mm.
pub(super) const BINDER: f64 = 20.0;

/// Where things stand on a page, mm from its lower left corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Width and height of the page.
    pub(super) size: (f64, f64),
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    header: f64,
}

impl Frame {
    /// The frame of a sheet's pages.
    pub(super) fn of(paper: Paper, landscape: bool) -> Self {
        let (short, long) = paper.size();
        let size = if landscape { (long, short) } else { (short, long) };
        let header = size.1 - if landscape { BINDER + 4.0 } else { 12.0 };
        Self { size, left: BINDER + 3.0, right: size.0 - 13.0, top: header - 8.5, bottom: 20.5, header }
    }

    /// Width and height of the text area.
    pub(super) fn area(self) -> (f64, f64) {
        (self.right - self.left, self.top - self.bottom)
    }

    /// Width and height of one of so many columns of it.
    pub(super) fn column(self, columns: usize) -> (f64, f64) {
        let (width, height) = self.area();
        let count = columns.max(1) as f64;
        ((width - GUTTER * (count - 1.0)) / count, height)
    }
}

/// Room between columns, mm.
const GUTTER: f64 = 7.0;

/// Stacks slabs down the columns of pages. A slab that is higher than a page is refused.
pub(super) fn paginate(frame: Frame, sheet: &Sheet, slabs: Vec<Slab>) -> Result<Vec<Page>, RenderError> {
    let height = frame.area().1;
    let columns = sheet.size.columns();
    let pages = vec![Page { size: frame.size, ..Page::default() }];
    let mut stack = Stack { frame, columns, column: 0, pages, used: 0.0 };
    let mut rest = slabs.into_iter().peekable();
    while let Some(first) = rest.next() {
        let mut chain = vec![first];
        while chain.last().is_some_and(|slab| slab.keep) {
            match rest.next_if(|slab| !slab.fresh) {
                Some(slab) => chain.push(slab),
                None => break,
            }
        }
        let total: f64 = chain.iter().map(|slab| slab.before + slab.height).sum();
        let fresh = chain.first().is_some_and(|slab| slab.fresh);
        // What must stay together begins a page if it does not fit; what is higher than a page begins one too.
        if stack.used > 0.0 && (fresh || stack.used + total > height + 1e-6) && !Stack::is_mere_space(&chain) {
            stack.turn();
        }
        for slab in chain {
            stack.put(slab).map_err(|(subject, need)| RenderError {
                sheet: sheet.name.clone(),
                subject,
                message: format!("it is {need:.0} mm high and a page has {height:.0} mm; split it"),
            })?;
        }
    }
    Ok(stack.pages)
}

struct Stack {
    frame: Frame,
    columns: usize,
    column: usize,
    pages: Vec<Page>,
    used: f64,
}

impl Stack {
    /// Goes on at the top of the next column, or of the next page.
    fn turn(&mut self) {
        self.column = (self.column + 1) % self.columns.max(1);
        if self.column == 0 {
            self.pages.push(Page { size: self.frame.size, ..Page::default() });
        }
        self.used = 0.0;
    }

    /// Space alone neither begins a page nor stands at the head of one.
    fn is_mere_space(chain: &[Slab]) -> bool {
        chain.iter().all(|slab| slab.marks.is_empty() && slab.head.is_none() && !slab.fresh)
    }

    fn put(&mut self, slab: Slab) -> Result<(), (String, f64)> {
        let height = self.frame.area().1;
        let spare = self.used == 0.0 || self.used + slab.before + slab.height > height + 1e-6;
        if spare && Self::is_mere_space(std::slice::from_ref(&slab)) {
            return Ok(());
        }
        if self.used > 0.0 && self.used + slab.before + slab.height > height + 1e-6 {
            self.turn();
        }
        let head = slab.head.clone().filter(|_| self.used == 0.0);
        let need = slab.height + head.as_ref().map_or(0.0, |head| head.height);
        if need > height + 1e-6 {
            return Err((slab.name, need));
        }
        if let Some(head) = head {
            self.place(head.as_ref().clone());
        }
        self.place(slab);
        Ok(())
    }

    fn place(&mut self, slab: Slab) {
        self.used += if self.used > 0.0 { slab.before } else { 0.0 };
        let top = self.frame.top - self.used;
        let left = self.frame.left + (self.frame.column(self.columns).0 + GUTTER) * self.column as f64;
        if let Some(page) = self.pages.last_mut() {
            page.marks.extend(slab.marks.into_iter().map(|mark| mark.shifted(left, top)));
            page.bookmarks.extend(slab.bookmark.map(|(level, title)| (level, title, top + 4.0)));
        }
        self.used += slab.height;
    }
}

/// Header, footer and DRAFT band of one page.
pub(super) struct Furniture<'a> {
    /// Faces.
    pub(super) fonts: &'a Fonts,
    /// What stands there.
    pub(super) identity: &'a Identity,
    /// The sheet the page belongs to.
    pub(super) sheet: &'a Sheet,
    /// The page's frame.
    pub(super) frame: Frame,
}

/// Grey of the word DRAFT behind the text: a copier still takes it, and black letters on it still read (our margin).
const DRAFT_GREY: f64 = 0.68;
/// Size of header and footer, pt.
const SMALL: f64 = 8.0;

impl Furniture<'_> {
    /// Adds them around what the page holds; the band goes behind it.
    pub(super) fn dress(&self, page: &mut Page, number: usize, count: usize) -> Result<(), RenderError> {
        let mut marks = Vec::new();
        if self.identity.draft {
            self.band(&mut marks);
        }
        self.header(&mut marks)?;
        marks.append(&mut page.marks);
        page.marks = marks;
        self.footer(&mut page.marks, number, count)
    }

    fn header(&self, marks: &mut Vec<Mark>) -> Result<(), RenderError> {
        let Frame { left, right, header, .. } = self.frame;
        let lamp = match &self.identity.variant {
            Some(variant) => format!("{} · {variant}", self.identity.lamp),
            None => self.identity.lamp.clone(),
        };
        let blank = 24.0;
        let unit = self.width(Face::Regular, "unit no.") + blank + 1.5;
        self.row(marks, header, right - unit - 6.0, &[(Face::SemiBold, &lamp), (Face::Regular, &self.sheet.title)])?;
        self.words(marks, right - unit, header, Face::Regular, "unit no.")?;
        marks.push(Mark::line(at(right - blank, header - 0.8), at(right, header - 0.8), HAIR));
        marks.push(Mark::line(at(left, header - 2.6), at(right, header - 2.6), HAIR));
        Ok(())
    }

    fn footer(&self, marks: &mut Vec<Mark>, number: usize, count: usize) -> Result<(), RenderError> {
        let Frame { left, right, .. } = self.frame;
        let (upper, lower) = (11.6, 7.8);
        marks.push(Mark::line(at(left, upper + 4.2), at(right, upper + 4.2), HAIR));
        let mut revision = match &self.identity.revision {
            Some(revision) => format!("revision {revision}"),
            None => "no revision".into(),
        };
        if let Some(date) = &self.identity.date {
            revision.push_str(&format!(", {date}"));
        }
        let digest = format!("digest {}", self.identity.digest);
        let page = format!("page {number} of {count}");
        let aid = "aid, not approval";
        let (page_width, aid_width) = (self.width(Face::SemiBold, &page), self.width(Face::Regular, aid));
        self.row(marks, upper, right - page_width - 4.0, &[(Face::Regular, &revision), (Face::Regular, &digest)])?;
        self.words(marks, right - page_width, upper, Face::SemiBold, &page)?;
        self.row(marks, lower, right - aid_width - 4.0, &[(Face::Regular, &self.identity.findings)])?;
        self.words(marks, right - aid_width, lower, Face::Regular, aid)
    }

    fn width(&self, face: Face, text: &str) -> f64 {
        self.fonts.width(face, text) * SMALL * MM_PER_PT
    }

    /// Texts side by side from the left; what does not end before `limit` is refused.
    fn row(&self, marks: &mut Vec<Mark>, y: f64, limit: f64, texts: &[(Face, &str)]) -> Result<(), RenderError> {
        let mut x = self.frame.left;
        for (face, text) in texts {
            self.words(marks, x, y, *face, text)?;
            x += self.width(*face, text);
            if x > limit {
                return Err(self.refusal(text, "it does not fit the line it has in header or footer; shorten it"));
            }
            x += 5.0;
        }
        Ok(())
    }

    fn words(&self, marks: &mut Vec<Mark>, x: f64, y: f64, face: Face, text: &str) -> Result<(), RenderError> {
        let text: String = text.chars().map(normal).collect();
        if let Some(lost) = text.chars().find(|&c| !self.fonts.has(face, c)) {
            return Err(self.refusal(&text, &missing_character(lost)));
        }
        let words = Words { at: at(x, y), text, face, size: SMALL, grey: 0.0, slant: false, angle: 0.0 };
        marks.push(Mark::Words(words));
        Ok(())
    }

    fn refusal(&self, text: &str, message: &str) -> RenderError {
        RenderError { sheet: self.sheet.name.clone(), subject: text.to_string(), message: message.to_string() }
    }

    /// A pale band from the lower left to the upper right with the word on it, behind everything.
    fn band(&self, marks: &mut Vec<Mark>) {
        let Frame { left, right, top, bottom, .. } = self.frame;
        let (dx, dy) = (right - left, top - bottom);
        let turn = libm::atan2(dy, dx);
        let (c, s) = (libm::cos(turn), libm::sin(turn));
        let (middle, half) = (at((left + right) / 2.0, (top + bottom) / 2.0), 19.0);
        // The band ends where its corners meet the frame of the text area.
        let reach = ((dx / 2.0 - half * s) / c).min((dy / 2.0 - half * c) / s);
        let corner = |u: f64, v: f64| at(middle.x + u * c - v * s, middle.y + u * s + v * c);
        let outline = [corner(-reach, -half), corner(reach, -half), corner(reach, half), corner(-reach, half)];
        marks.push(Mark::polygon(&outline, Paint::fill(0.93)));
        let text = "DRAFT".to_string();
        let size = 92.0;
        let width = self.fonts.width(Face::SemiBold, &text) * size * MM_PER_PT;
        let start = corner(-width / 2.0, -size * MM_PER_PT * CAP_HEIGHT / 2.0);
        let angle = turn.to_degrees();
        marks.push(Mark::Words(Words {
            at: start,
            text,
            face: Face::SemiBold,
            size,
            grey: DRAFT_GREY,
            slant: false,
            angle,
        }));
        for side in [-half, half] {
            let steps = vec![Step::Move(corner(-reach, side)), Step::Line(corner(reach, side))];
            marks.push(Mark::Path(steps, Paint { stroke: Some((HAIR, LINE_GREY + 0.2)), ..Paint::default() }));
        }
    }
}
