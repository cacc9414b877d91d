//! Drawings `board-component` and `board-solder`: the perforated board from both sides, components numbered.

use super::pen::Pen;
use super::text::{self, LABEL, Room};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, at};
use crate::solve::board::{BoardSolution, Unit};

/// Enlargements tried, and the width and height they may take, mm.
const SCALES: [f64; 4] = [2.0, 1.5, 1.25, 1.0];
const ROOM: (f64, f64) = (160.0, 190.0);
const PITCH: f64 = 2.54;
/// Half of a hole's mark and of a leg's, mm of paper.
const HOLE: f64 = 0.2;
const LEG: f64 = 0.7;

/// Both sides; none without a board.
pub(super) fn all(bench: &Bench<'_>) -> Vec<Drawing> {
    let (Some(given), Some(Ok(board))) = (&bench.lamp.board, &bench.solution.board) else { return Vec::new() };
    let Some([width, height, ..]) = given.size.value.as_deref() else { return Vec::new() };
    let (w, h) = (width.value() * 1e3, height.value() * 1e3);
    let fits = |scale: &f64| w * scale <= ROOM.0 && h * scale <= ROOM.1;
    let scale = SCALES.into_iter().find(fits).unwrap_or(1.0);
    let sides = [("board-component", "Component side", false), ("board-solder", "Solder side", true)];
    sides.into_iter().map(|(name, side, mirrored)| Side { board, w, h, scale, mirrored }.drawing(name, side)).collect()
}

struct Side<'a> {
    board: &'a BoardSolution,
    w: f64,
    h: f64,
    scale: f64,
    mirrored: bool,
}

impl Side<'_> {
    /// A hole's middle, or a place between holes, on paper; columns and rows from 0.
    fn hole(&self, column: f64, row: f64) -> Point {
        let left = (self.w - (self.board.columns.saturating_sub(1)) as f64 * PITCH) / 2.0;
        let below = (self.h - (self.board.rows.saturating_sub(1)) as f64 * PITCH) / 2.0;
        let x = left + column * PITCH;
        let x = if self.mirrored { self.w - x } else { x };
        at(x * self.scale, (below + row * PITCH) * self.scale)
    }

    /// The rectangle around a block of holes, half a step beyond its outer holes.
    fn block(&self, at_hole: (usize, usize), size: (usize, usize), inset: f64) -> Path {
        let a = self.hole(at_hole.0 as f64 - 0.5 + inset, at_hole.1 as f64 - 0.5 + inset);
        let b = self.hole((at_hole.0 + size.0) as f64 - 0.5 - inset, (at_hole.1 + size.1) as f64 - 0.5 - inset);
        Path::rectangle(at(a.x.min(b.x), a.y), (b.x - a.x).abs(), b.y - a.y)
    }

    fn drawing(&self, name: &str, side: &str) -> Drawing {
        let mut pen = Pen::default();
        pen.rectangle(Role::Outline, at(0.0, 0.0), self.w * self.scale, self.h * self.scale);
        self.holes(&mut pen);
        self.rulers(&mut pen);
        for (_, [column, row, columns, rows]) in &self.board.keep_outs {
            pen.path(Role::Hidden, self.block((*column, *row), (*columns, *rows), 0.1));
            let (a, b) = (
                self.hole(*column as f64 - 0.4, *row as f64 - 0.4),
                self.hole((column + columns) as f64 - 0.6, (row + rows) as f64 - 0.6),
            );
            pen.line(Role::Hidden, &[a, b]);
            pen.line(Role::Hidden, &[at(a.x, b.y), at(b.x, a.y)]);
        }
        self.units(&mut pen);
        let times = if self.scale == 1.0 { "full size".to_owned() } else { format!("{} times full size", self.scale) };
        let seen = if self.mirrored { "turned over left to right" } else { "as the components are seen" };
        let title =
            format!("{side}, {seen}, {times}; columns count from the {}", if self.mirrored { "right" } else { "left" });
        let description = format!(
            "{side} of the perforated board, {} columns by {} rows, {} components numbered as in the table, {seen}.",
            self.board.columns,
            self.board.rows,
            self.board.units.iter().filter(|unit| unit.at.is_some()).count()
        );
        pen.finish(name, title, description, Scale::Reduced)
    }

    fn holes(&self, pen: &mut Pen) {
        let all = (0..self.board.rows).flat_map(|row| (0..self.board.columns).map(move |column| (column, row)));
        let dot = |(column, row): (usize, usize)| {
            let p = self.hole(column as f64, row as f64);
            Path::rectangle(at(p.x - HOLE, p.y - HOLE), 2.0 * HOLE, 2.0 * HOLE)
        };
        pen.paths(Role::Ink, all.map(dot).collect());
    }

    /// Every fifth column below, every fifth row at the left.
    fn rulers(&self, pen: &mut Pen) {
        let fifth = |n: usize| n == 0 || (n + 1).is_multiple_of(5);
        for column in (0..self.board.columns).filter(|n| fifth(*n)) {
            let p = self.hole(column as f64, 0.0);
            pen.text(at(p.x, -LABEL - 1.4), Anchor::Middle, (column + 1).to_string());
        }
        for row in (0..self.board.rows).filter(|n| fifth(*n)) {
            let p = self.hole(0.0, row as f64);
            pen.text(at(-1.4, p.y - LABEL / 2.0), Anchor::End, (row + 1).to_string());
        }
    }

    fn units(&self, pen: &mut Pen) {
        for unit in &self.board.units {
            let Some(place) = unit.at else { continue };
            let size = (unit.footprint.columns, unit.footprint.rows);
            let role = if self.mirrored { Role::Hidden } else { Role::Outline };
            pen.path(role, self.block(place, size, 0.08));
            let legs =
                unit.footprint.legs.iter().map(|(column, row)| {
                    Path::circle(self.hole((place.0 + column) as f64, (place.1 + row) as f64), LEG)
                });
            pen.paths(Role::Ink, legs.collect());
        }
        // Numbers come last, so that they find room between all the legs.
        let legs: Vec<Room> = self.board.units.iter().flat_map(|unit| self.legs(unit)).collect();
        for unit in &self.board.units {
            self.number(pen, unit, &legs);
        }
    }

    /// Room that a unit's legs take.
    fn legs(&self, unit: &Unit) -> Vec<Room> {
        let Some(place) = unit.at else { return Vec::new() };
        let room = |(column, row): &(usize, usize)| {
            let p = self.hole((place.0 + column) as f64, (place.1 + row) as f64);
            Room { least: p, most: p }.grown(LEG)
        };
        unit.footprint.legs.iter().map(room).collect()
    }

    /// A unit's number in the middle of its field, or where no leg is: in the field, else close above or below it.
    fn number(&self, pen: &mut Pen, unit: &Unit, legs: &[Room]) {
        let Some(place) = unit.at else { return };
        let size = (unit.footprint.columns, unit.footprint.rows);
        let (a, b) = (
            self.hole(place.0 as f64, place.1 as f64),
            self.hole((place.0 + size.0 - 1) as f64, (place.1 + size.1 - 1) as f64),
        );
        let middle = at((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
        let number = unit.number.to_string();
        let wide = text::width(&number, LABEL, true);
        let room = |p: Point| Room {
            least: at(p.x - wide / 2.0 - 0.3, p.y - LABEL / 2.0 - 0.3),
            most: at(p.x + wide / 2.0 + 0.3, p.y + LABEL / 2.0 + 0.3),
        };
        let step = PITCH * self.scale / 2.0;
        let reach = |size: usize| size.saturating_sub(2) as i32;
        let mut inside: Vec<(i32, Point)> = (-reach(size.0)..=reach(size.0))
            .flat_map(|u| (-reach(size.1)..=reach(size.1)).map(move |v| (u, v)))
            .map(|(u, v)| (u * u + v * v, at(middle.x + f64::from(u) * step, middle.y + f64::from(v) * step)))
            .collect();
        inside.sort_by_key(|(far, _)| *far);
        let off = (size.1 as f64 / 2.0 + 0.22) * PITCH * self.scale;
        let outside = [at(middle.x, middle.y + off), at(middle.x, middle.y - off)];
        let taken = pen.taken();
        let open = |p: &Point| {
            let room = room(*p);
            !legs.iter().chain(&taken).any(|other| other.overlaps(&room)) && !pen.crossed(&room)
        };
        let found = inside.into_iter().map(|(_, p)| p).chain(outside).find(open).unwrap_or(middle);
        let field = room(found);
        let (w, h) = (field.most.x - field.least.x, field.most.y - field.least.y);
        pen.rectangle(Role::Blank, field.least, w, h);
        pen.words(at(found.x, found.y - LABEL / 2.0), LABEL, Anchor::Middle, 0.0, number, true);
    }
}
