//! Drawing `connector-faces`: the terminals of each part in a row, as seen from the side where the wires go in.

use super::pen::Pen;
use super::text::{LABEL, width};
use super::wiring::tag;
use crate::packet::bench::Bench;
use crate::packet::drawing::{Anchor, Drawing, Path, Role, Scale, at};
use crate::solve::wires::{Terminal, terminals};

/// Width that the rows may take on either paper laid across, mm.
const ACROSS: f64 = 230.0;
/// Least width of a terminal, mm.
const CELL: f64 = 9.0;
/// Half the opening of a terminal, mm.
const HOLE: f64 = 1.6;
/// Height of a part's name, mm.
const NAME: f64 = 2.6;
/// Between two lines of text, mm.
const LINE: f64 = 3.2;
/// Space between parts, mm.
const GAP: f64 = 8.0;

/// A row of terminals of one part.
struct Face {
    name: String,
    /// Number of the first, for a part that needs several rows.
    first: usize,
    cells: Vec<Cell>,
}

struct Cell {
    name: String,
    wires: Vec<String>,
    width: f64,
}

impl Face {
    fn width(&self) -> f64 {
        let cells: f64 = self.cells.iter().map(|c| c.width).sum();
        cells.max(width(&self.name, NAME, true))
    }
    fn lines(&self) -> usize {
        self.cells.iter().map(|c| c.wires.len()).max().unwrap_or(1).max(1)
    }
    fn height(&self) -> f64 {
        LABEL + 2.0 * HOLE + LINE * (self.lines() as f64 + 1.0) + 5.0
    }
}

/// The faces of every part that a wire comes to, be it by one terminal; none without wires.
pub(super) fn faces(bench: &Bench<'_>) -> Option<Drawing> {
    let all = all(bench);
    if all.is_empty() {
        return None;
    }
    let mut pen = Pen::default();
    let (mut x, mut y, mut row) = (0.0, 0.0, 0.0_f64);
    for face in &all {
        if x > 0.0 && x + face.width() > ACROSS {
            (x, y, row) = (0.0, y - row - GAP, 0.0);
        }
        draw(&mut pen, face, x, y);
        x += face.width() + GAP;
        row = row.max(face.height() + NAME + 1.5);
    }
    let parts: Vec<&str> = all.iter().filter(|f| f.first == 1).map(|f| f.name.as_str()).collect();
    let title = "Terminals seen from the side where the wires go in; 1 is at the left, its opening is square";
    let description = format!("Terminals of {}, each with the wires it takes.", parts.join(", "));
    Some(pen.finish("connector-faces", title.into(), description, Scale::Reduced))
}

fn all(bench: &Bench<'_>) -> Vec<Face> {
    let terminals = terminals(bench.lamp, &bench.solution.wires);
    let mut parts: Vec<(String, Vec<Cell>)> = Vec::new();
    for terminal in &terminals {
        let (part, name) = terminal.name.split_once('.').unwrap_or((terminal.name.as_str(), ""));
        let cell = cell(bench, terminal, name);
        match parts.iter_mut().find(|(known, _)| known == part) {
            Some((_, cells)) => cells.push(cell),
            None => parts.push((part.to_owned(), vec![cell])),
        }
    }
    parts.into_iter().flat_map(|(name, cells)| rows(&name, cells)).collect()
}

fn cell(bench: &Bench<'_>, terminal: &Terminal, name: &str) -> Cell {
    let wire = |number: &String| bench.solution.wires.iter().find(|w| w.number == *number);
    let core = terminal.core.iter().map(|code| format!("{} {code}", bench.term("cord")));
    let mut wires: Vec<String> = core.chain(terminal.wires.iter().filter_map(wire).map(tag)).collect();
    if wires.is_empty() {
        wires.push("empty".to_owned());
    }
    let widest = wires.iter().chain([&name.to_owned()]).map(|t| width(t, LABEL, false)).fold(0.0, f64::max);
    Cell { name: name.to_owned(), wires, width: (widest + 2.0).max(CELL) }
}

/// Breaks a part's terminals into rows that the paper takes.
fn rows(name: &str, cells: Vec<Cell>) -> Vec<Face> {
    let mut faces: Vec<Face> = Vec::new();
    for (count, cell) in cells.into_iter().enumerate() {
        match faces.last_mut() {
            Some(face) if face.width() + cell.width <= ACROSS => face.cells.push(cell),
            _ => faces.push(Face { name: name.to_owned(), first: count + 1, cells: vec![cell] }),
        }
    }
    faces
}

fn draw(pen: &mut Pen, face: &Face, x: f64, y: f64) {
    let name = if face.first == 1 { face.name.clone() } else { format!("{}, continued", face.name) };
    pen.words(at(x, y - NAME), NAME, Anchor::Start, 0.0, name, true);
    let top = y - NAME - 1.5;
    let low = top - face.height();
    let mut left = x;
    for (k, cell) in face.cells.iter().enumerate() {
        let middle = left + cell.width / 2.0;
        pen.rectangle(Role::Outline, at(left, low), cell.width, face.height());
        pen.text(at(middle, top - LABEL - 1.2), Anchor::Middle, cell.name.as_str());
        let centre = at(middle, top - LABEL - 2.6 - HOLE);
        let number = face.first + k;
        if number == 1 {
            pen.rectangle(Role::Outline, at(centre.x - HOLE, centre.y - HOLE), 2.0 * HOLE, 2.0 * HOLE);
        } else {
            pen.path(Role::Outline, Path::circle(centre, HOLE));
        }
        let mut base = centre.y - HOLE - LINE + 0.2;
        pen.words(at(middle, base), LABEL, Anchor::Middle, 0.0, number.to_string(), true);
        for wire in &cell.wires {
            base -= LINE;
            pen.text(at(middle, base), Anchor::Middle, wire.as_str());
        }
        left += cell.width;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_with_many_terminals_takes_several_rows_and_keeps_its_count() {
        let cells: Vec<Cell> =
            (0..40).map(|k| Cell { name: format!("p{k}"), wires: vec!["empty".into()], width: 11.0 }).collect();
        let faces = rows("controller", cells);
        assert_eq!(faces.iter().map(|f| f.cells.len()).sum::<usize>(), 40);
        assert!(faces.len() == 2 && faces.iter().all(|f| f.width() <= ACROSS));
        assert_eq!(faces.iter().map(|f| f.first).collect::<Vec<_>>(), [1, 21]);
    }
}
