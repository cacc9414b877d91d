//! Components on the holes: written places first, then stage by stage, the largest first, each at the first free place
//! from the lower left.

use crate::diag::Span;
use crate::lamp::board::Board;
use crate::physics::mechanics::perforated::Footprint;
use crate::schema::words::{Package, Zone};

use super::Unit;

/// A board with its kept-out holes.
pub(super) struct Grid<'a> {
    columns: usize,
    rows: usize,
    free: usize,
    blocks: &'a [[usize; 4]],
}

/// Who holds each hole.
#[derive(Clone)]
struct Holes {
    columns: usize,
    owner: Vec<Owner>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Owner {
    None,
    KeptOut,
    Unit(usize),
}

type Clash = (String, String, Span);

impl<'a> Grid<'a> {
    pub(super) fn new(columns: usize, rows: usize, free: usize, blocks: &'a [[usize; 4]]) -> Self {
        Self { columns, rows, free, blocks }
    }

    fn empty(&self) -> Holes {
        let mut holes = Holes { columns: self.columns, owner: vec![Owner::None; self.columns * self.rows] };
        for [column, row, columns, rows] in self.blocks {
            holes.fill(self, (*column, *row), (*columns, *rows), Owner::KeptOut);
        }
        holes
    }

    /// Places for all; the order that leaves the fewest without a place is taken, by stage where both are equal.
    pub(super) fn place(&self, board: &Board, units: Vec<Unit>) -> (Vec<Unit>, Vec<Clash>) {
        let stages: Vec<&str> = units.iter().fold(Vec::new(), |mut seen, unit| {
            if !seen.contains(&unit.stage.as_str()) {
                seen.push(&unit.stage);
            }
            seen
        });
        let rank = |unit: &Unit| stages.iter().position(|stage| *stage == unit.stage).unwrap_or(0);
        let mut by_stage: Vec<usize> = (0..units.len()).collect();
        let size = |k: &usize| units.get(*k).map_or(0, |u| u.footprint.holes());
        let stage = |k: &usize| units.get(*k).map_or(0, rank);
        by_stage.sort_by(|a, b| stage(a).cmp(&stage(b)).then(size(b).cmp(&size(a))).then(a.cmp(b)));
        let mut by_size = by_stage.clone();
        by_size.sort_by_key(|k| std::cmp::Reverse(size(k)));
        let first = self.in_order(board, units.clone(), &by_stage);
        let left = |found: &(Vec<Unit>, Vec<Clash>)| found.0.iter().filter(|unit| homeless(board, unit)).count();
        if left(&first) == 0 {
            return first;
        }
        let second = self.in_order(board, units, &by_size);
        if left(&second) < left(&first) { second } else { first }
    }

    fn in_order(&self, board: &Board, mut units: Vec<Unit>, order: &[usize]) -> (Vec<Unit>, Vec<Clash>) {
        let mut holes = self.empty();
        let mut clashes = Vec::new();
        units.iter_mut().for_each(|unit| unit.at = None);
        let names: Vec<(usize, String)> = units.iter().map(|unit| (unit.number, unit.name.clone())).collect();
        for unit in units.iter_mut().filter(|unit| unit.written) {
            self.written((board, &names), unit, &mut holes, &mut clashes);
        }
        for k in order {
            let Some(unit) = units.get_mut(*k).filter(|unit| !unit.written) else { continue };
            // Mains has no place on such a board; its rule speaks of it.
            if banned(board, unit) {
                continue;
            }
            let lying = unit.footprint.clone();
            let found = self.first(&holes, &lying).map(|at| (at, lying.clone(), false)).or_else(|| {
                let turned = lying.turned();
                self.first(&holes, &turned).map(|at| (at, turned, true))
            });
            if let Some((at, footprint, turned)) = found {
                holes.fill(self, at, (footprint.columns, footprint.rows), Owner::Unit(unit.number));
                (unit.at, unit.footprint, unit.turned) = (Some(at), footprint, turned);
            }
        }
        (units, clashes)
    }

    /// A component whose place is written stays there, whatever it meets.
    fn written(
        &self,
        (board, names): (&Board, &[(usize, String)]),
        unit: &mut Unit,
        holes: &mut Holes,
        clashes: &mut Vec<Clash>,
    ) {
        let Some(item) = board.items.get(unit.item) else { return };
        let (Ok(column), Ok(row)) = (item.column.get(), item.row.get()) else { return };
        if item.turned.value == Some(true) && !unit.turned {
            unit.footprint = unit.footprint.turned();
            unit.turned = true;
        }
        let at = (column as usize - 1, row as usize - 1);
        let size = (unit.footprint.columns, unit.footprint.rows);
        let met = if at.0 + size.0 > self.columns || at.1 + size.1 > self.rows {
            Some("the edge of the board".to_owned())
        } else {
            holes.meets(at, size).map(|owner| match owner {
                Owner::Unit(number) => {
                    let name = names.iter().find(|(of, _)| *of == number);
                    name.map_or_else(|| format!("number {number}"), |(_, name)| format!("{name}, number {number}"))
                }
                _ => "holes kept out".to_owned(),
            })
        };
        if let Some(met) = met {
            clashes.push((unit.name.clone(), met, item.column.span));
        }
        holes.fill(self, at, size, Owner::Unit(unit.number));
        unit.at = Some(at);
    }

    /// The first place from below, then from the left, with the free holes around it.
    fn first(&self, holes: &Holes, footprint: &Footprint) -> Option<(usize, usize)> {
        let (w, h) = (footprint.columns, footprint.rows);
        if w > self.columns || h > self.rows {
            return None;
        }
        let places = (0..=self.rows - h).flat_map(|row| (0..=self.columns - w).map(move |column| (column, row)));
        let mut open = places.filter(|(column, row)| {
            let around = (column.saturating_sub(self.free), row.saturating_sub(self.free));
            let most = ((column + w + self.free).min(self.columns), (row + h + self.free).min(self.rows));
            // Next to a kept-out hole a component may stand; next to another component it may not.
            holes.meets((*column, *row), (w, h)).is_none()
                && !holes.any(around, (most.0 - around.0, most.1 - around.1), |o| matches!(o, Owner::Unit(_)))
        });
        open.next()
    }

    /// The fewest large components that have to go so that the rest fits.
    pub(super) fn move_off(&self, board: &Board, units: &[Unit]) -> Vec<String> {
        let mut rest: Vec<Unit> = units.iter().map(|unit| Unit { at: None, ..unit.clone() }).collect();
        let mut gone = Vec::new();
        while !rest.is_empty() {
            // What asks for more holes than there are need not be tried.
            let open = rest.iter().filter(|unit| !unit.written && !banned(board, unit));
            let asked: usize = open.map(|unit| unit.footprint.holes()).sum();
            let fits = || !self.place(board, rest.clone()).0.iter().any(|unit| homeless(board, unit));
            if asked <= self.columns * self.rows && fits() {
                break;
            }
            let open = rest.iter().enumerate().filter(|(_, unit)| !unit.written && !banned(board, unit));
            let first =
                open.max_by_key(|(k, unit)| (leaves(board, unit), unit.footprint.holes(), std::cmp::Reverse(*k)));
            let Some((k, _)) = first else { break };
            gone.push(rest.remove(k).name);
        }
        gone
    }
}

/// A component that carries mains, which has no place here.
fn banned(board: &Board, unit: &Unit) -> bool {
    board.items.get(unit.item).is_some_and(|item| item.zone.value == Some(Zone::Mains))
}

/// What may hang beside the board on wires: terminals, coils, large capacitors, bought boards, power transistors.
fn leaves(board: &Board, unit: &Unit) -> bool {
    let package = board.items.get(unit.item).and_then(|item| item.package.value);
    matches!(
        package,
        Some(
            Package::ScrewTerminal
                | Package::Radial
                | Package::Film
                | Package::Module
                | Package::To220
                | Package::Header
        )
    )
}

/// A component that may be here and found no place.
pub(super) fn homeless(board: &Board, unit: &Unit) -> bool {
    unit.at.is_none() && !banned(board, unit)
}

impl Holes {
    fn fill(&mut self, grid: &Grid<'_>, at: (usize, usize), size: (usize, usize), owner: Owner) {
        for row in at.1..(at.1 + size.1).min(grid.rows) {
            for column in at.0..(at.0 + size.0).min(grid.columns) {
                if let Some(hole) = self.owner.get_mut(row * self.columns + column) {
                    *hole = owner;
                }
            }
        }
    }

    fn any(&self, at: (usize, usize), size: (usize, usize), is: impl Fn(Owner) -> bool) -> bool {
        self.find(at, size, is).is_some()
    }

    fn meets(&self, at: (usize, usize), size: (usize, usize)) -> Option<Owner> {
        self.find(at, size, |owner| owner != Owner::None)
    }

    fn find(&self, at: (usize, usize), size: (usize, usize), is: impl Fn(Owner) -> bool) -> Option<Owner> {
        let row = |row: usize| {
            let from = row * self.columns + at.0;
            self.owner.get(from..(from + size.0).min(self.owner.len())).unwrap_or_default()
        };
        (at.1..at.1 + size.1).flat_map(row).copied().find(|owner| is(*owner))
    }
}
