//! Tables: column widths from what the cells need, rows that never split, a head that is set again on each page.
//! A table that is too wide is set smaller, then its long names may break; one that still does not fit is refused.

use std::rc::Rc;

use pulldown_cmark::Alignment;

use super::layout::{LINE_GREY, Setter, Slab};
use super::marks::{HAIR, Mark, Paint, Step};
use super::text::{Line, Setting, Token, extent, loosened, wrap};
use crate::packet::drawing::at;
use crate::packet::sheet::TextSize;
use crate::render::blocks::{Row, Table, plain};

/// Space above and below the text of a row, mm for each point of its size.
const ROW_SPACE: (f64, f64) = (0.088, 0.106);

/// How a table may be set: text size, tick and write-in boxes, distance of columns, where words may break.
#[derive(Clone, Copy)]
struct Manner {
    set: Setting,
    gap: f64,
    breaks: Breaks,
}

/// Where words of a cell may break.
#[derive(Clone, Copy, PartialEq)]
enum Breaks {
    /// Between words.
    Words,
    /// Inside long names, too.
    Names,
    /// And between a number and its unit.
    Units,
}

const fn manner(size: f64, breaks: Breaks) -> Manner {
    let write_in = if size < 9.0 { (20.0, 7.0) } else { (28.0, 9.0) };
    let gap = if size < 9.0 { 3.0 } else { 4.5 };
    Manner { set: Setting { size, strong: false, tick: 6.0, write_in }, gap, breaks }
}

/// Small type with boxes of full size, for as long as they have room.
const fn roomy(size: f64, breaks: Breaks) -> Manner {
    let Manner { set, gap, breaks } = manner(size, breaks);
    Manner { set: Setting { write_in: (28.0, 9.0), ..set }, gap, breaks }
}

/// From the wished manner to the last resort.
const fn manners(size: TextSize) -> [Manner; 6] {
    use Breaks::{Names, Units, Words};
    match size {
        TextSize::Body => [
            manner(10.5, Words),
            manner(9.5, Words),
            roomy(8.5, Words),
            manner(8.5, Words),
            manner(8.5, Names),
            manner(8.5, Units),
        ],
        TextSize::Dense => [
            roomy(8.5, Words),
            manner(8.5, Words),
            manner(8.0, Words),
            manner(8.5, Names),
            manner(8.0, Names),
            manner(8.0, Units),
        ],
        TextSize::Fine => [
            manner(7.0, Words),
            manner(7.0, Names),
            manner(6.5, Words),
            manner(6.5, Names),
            manner(7.0, Units),
            manner(6.5, Units),
        ],
        TextSize::Card => [
            manner(18.0, Words),
            manner(15.0, Words),
            manner(13.0, Words),
            manner(13.0, Names),
            manner(10.5, Names),
            manner(10.5, Units),
        ],
    }
}

/// Tokens of a table, head first, by row and column.
type Cells = Vec<Vec<Vec<Token>>>;

/// A table with its column widths chosen.
struct Fitted<'a> {
    table: &'a Table,
    manner: Manner,
    cells: Cells,
    /// Left edge and width of each column, mm.
    columns: Vec<(f64, f64)>,
    left: f64,
    right: f64,
}

impl Setter<'_> {
    /// Sets a table between `left` and `left + width`.
    pub(super) fn table(&mut self, table: &Table, left: f64, width: f64) -> Vec<Slab> {
        let Some(fitted) = self.fit(table, left, width) else { return Vec::new() };
        let mut head = self.row(&fitted, 0, &table.head, fitted.manner.set.heavier());
        if table.head.iter().all(|cell| plain(cell).is_empty()) {
            // A table without column names has a rule above it and no more.
            head.height = 0.0;
        }
        rule(&fitted, 0.0, 0.5, 0.0, &mut head);
        let low = -head.height;
        if low < 0.0 {
            rule(&fitted, low, 0.35, 0.0, &mut head);
        }
        head.keep = true;
        let again = Rc::new(Slab { keep: false, ..head.clone() });
        head.before = 3.0;
        let count = table.rows.len();
        let mut slabs = vec![head];
        for (index, row) in table.rows.iter().enumerate() {
            let mut slab = self.row(&fitted, index + 1, row, fitted.manner.set);
            let low = -slab.height;
            let (thick, grey) = if index + 1 == count { (0.5, 0.0) } else { (HAIR, LINE_GREY) };
            rule(&fitted, low, thick, grey, &mut slab);
            slab.head = Some(Rc::clone(&again));
            slabs.push(slab);
        }
        // A table of a few rows is never torn unless it fills half a page; a long one keeps two rows at its
        // beginning and three at its end: fewer on a page of their own look like a slip.
        let tall: f64 = slabs.iter().map(|slab| slab.height).sum();
        let whole = count <= 4 && tall <= self.area.1 / 2.0;
        let (from_start, from_end) = match count {
            _ if whole => (count, count),
            0..=4 => (0, 2),
            _ => (1, 2),
        };
        for (index, slab) in slabs.iter_mut().enumerate().skip(1) {
            slab.keep = index < count && (index <= from_start || index + from_end >= count);
            // A row without a name of its own goes on with the one above it.
            let next = table.rows.get(index).and_then(|row| row.first());
            slab.keep |= table.columns.len() > 1 && next.is_some_and(|cell| cell.is_empty());
        }
        slabs.push(Slab { height: 1.5, ..Slab::default() });
        slabs
    }

    /// Tries each manner until the longest words of all columns fit side by side.
    fn fit<'a>(&mut self, table: &'a Table, left: f64, width: f64) -> Option<Fitted<'a>> {
        let mut need = 0.0;
        for manner in manners(self.sheet.size) {
            let before = self.errors.len();
            let cells = self.cells(table, manner);
            let spans = spans(&cells, table.columns.len());
            let gaps = manner.gap * (spans.len().max(1) - 1) as f64;
            need = spans.iter().map(|span| span.0).sum::<f64>() + gaps;
            if need <= width {
                let columns = places(&widths(&spans, width - gaps), manner.gap, left, width);
                return Some(Fitted { table, manner, cells, columns, left, right: left + width });
            }
            self.errors.truncate(before);
        }
        let message = format!(
            "the table needs {need:.0} mm and has {width:.0} mm even in small type; \
             drop a column, shorten its longest word or set the sheet across"
        );
        self.refuse(&name(table), message);
        None
    }

    fn cells(&mut self, table: &Table, manner: Manner) -> Cells {
        let mut rows = vec![self.row_tokens(&table.head, manner, manner.set.heavier())];
        for row in &table.rows {
            rows.push(self.row_tokens(row, manner, manner.set));
        }
        rows
    }

    fn row_tokens(&mut self, row: &Row, manner: Manner, set: Setting) -> Vec<Vec<Token>> {
        row.iter()
            .map(|cell| {
                let tokens = self.tokens(cell, set);
                match manner.breaks {
                    Breaks::Words => tokens,
                    breaks => loosened(self.fonts, &tokens, set, breaks == Breaks::Units),
                }
            })
            .collect()
    }

    fn row(&mut self, fitted: &Fitted<'_>, index: usize, row: &Row, set: Setting) -> Slab {
        let mut wrapped: Vec<Vec<Line>> = Vec::new();
        for (tokens, (_, width)) in fitted.cells.get(index).into_iter().flatten().zip(&fitted.columns) {
            wrapped.push(wrap(tokens, *width + 1e-3, set).unwrap_or_else(|word| {
                self.refuse(&name(fitted.table), format!("`{word}` does not fit its cell of {width:.0} mm"));
                Vec::new()
            }));
        }
        let (above, below) = (ROW_SPACE.0 * set.size, ROW_SPACE.1 * set.size);
        let ascent = wrapped.iter().filter_map(|lines| lines.first()).map(|line| line.ascent).fold(0.0, f64::max);
        let tallest = wrapped.iter().map(|lines| tall(lines)).fold(set.leading(), f64::max);
        // Words stand on one base line; in a row with a box they stand in the middle, as the box does.
        let middle = wrapped.iter().flatten().any(|line| line.height() > set.leading() * 1.2);
        let mut slab = Slab { name: row.first().map(|cell| plain(cell)).unwrap_or_default(), ..Slab::default() };
        for (column, lines) in wrapped.iter().enumerate() {
            let first = lines.first().map_or(0.0, |line| line.ascent);
            let top = match index {
                0 => tallest - tall(lines) + first,
                _ if middle => (tallest - tall(lines)) / 2.0 + first,
                _ => ascent,
            };
            cell(fitted, column, lines, above + top, set, &mut slab.marks);
        }
        slab.height = tallest + above + below;
        slab
    }
}

fn tall(lines: &[Line]) -> f64 {
    lines.iter().map(Line::height).sum()
}

/// Draws a cell's lines with the first base line `base` below the row's top.
fn cell(fitted: &Fitted<'_>, column: usize, lines: &[Line], mut base: f64, set: Setting, marks: &mut Vec<Mark>) {
    let Some(&(x, width)) = fitted.columns.get(column) else { return };
    let align = fitted.table.columns.get(column).copied().unwrap_or(Alignment::None);
    for (index, line) in lines.iter().enumerate() {
        base += if index == 0 { 0.0 } else { line.ascent };
        let shift = match align {
            Alignment::Right => width - line.width,
            Alignment::Center => (width - line.width) / 2.0,
            Alignment::Left | Alignment::None => 0.0,
        };
        line.draw(at(x + shift, -base), set, 0.0, marks);
        base += line.descent;
    }
}

fn rule(fitted: &Fitted<'_>, y: f64, width: f64, grey: f64, slab: &mut Slab) {
    let steps = vec![Step::Move(at(fitted.left, y)), Step::Line(at(fitted.right, y))];
    slab.marks.push(Mark::Path(steps, Paint { stroke: Some((width, grey)), ..Paint::default() }));
}

/// Least and greatest useful width of each column, mm.
fn spans(cells: &Cells, columns: usize) -> Vec<(f64, f64)> {
    let mut spans = vec![(0.0_f64, 0.0_f64); columns];
    for row in cells {
        for (span, tokens) in spans.iter_mut().zip(row) {
            let (least, most) = extent(tokens);
            *span = (span.0.max(least), span.1.max(most));
        }
    }
    spans
}

/// Every column gets what it needs at least. Short ones get all they can use; long ones share the rest
/// by the square root of their length, so a very long text does not starve a long one.
fn widths(spans: &[(f64, f64)], room: f64) -> Vec<f64> {
    let at_level = |level: f64| -> Vec<f64> {
        spans.iter().map(|&(least, most)| (level * most.max(0.01).sqrt()).clamp(least, most.max(least))).collect()
    };
    let (mut low, mut high) = (0.0, 1000.0);
    for _ in 0..60 {
        let level = (low + high) / 2.0;
        if at_level(level).iter().sum::<f64>() <= room { low = level } else { high = level }
    }
    at_level(low)
}

/// Left edge and width of each column; a little of the room that is left widens the gaps.
fn places(widths: &[f64], gap: f64, left: f64, width: f64) -> Vec<(f64, f64)> {
    let gaps = widths.len().saturating_sub(1) as f64;
    let spare = (width - widths.iter().sum::<f64>() - gap * gaps).max(0.0);
    let gap = gap + (spare / gaps.max(1.0)).min(6.0);
    let mut x = left;
    widths
        .iter()
        .map(|&own| {
            let place = (x, own);
            x += own + gap;
            place
        })
        .collect()
}

/// A table is named by its head.
fn name(table: &Table) -> String {
    let words: Vec<String> = table.head.iter().map(|cell| plain(cell)).collect();
    format!("table `{}`", words.join(" | "))
}
