//! The perforated board: holes each stage takes, holes left free, a place on the grid for every component, what does not
//! fit and what to move off.

mod grid;
mod take;

use crate::diag::Span;
use crate::lamp::Lamp;
use crate::lamp::board::Board;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::perforated::{Footprint, STANDARD, holes_along};
use crate::quantity::{Metres, Quantity, Ratio};

pub use take::package;

use grid::Grid;

/// Most holes that are laid out: what is larger is a slip of the unit, which its own rule names, and a plan of all its
/// holes would fill the memory.
const MOST_HOLES: usize = 250_000;

/// Share of the holes that components may take: the rest is needed for wires on the solder side (our margin).
pub const FILL: f64 = 0.6;

const HOLES: Formula =
    Formula { text: "((W − 2e)/2.54 mm + 1)·((H − 2e)/2.54 mm + 1), each rounded down", source: "geometry" };
const FIELD: Formula = Formula {
    text: "legs and courtyard in steps of 2.54 mm, columns x rows",
    source: "package, or the body as written",
};
const TAKEN: Formula = Formula { text: "columns x rows under every body and between its legs", source: "geometry" };
const KEPT: Formula = Formula { text: "holes of all keep-outs", source: "counting" };
const FREE: Formula = Formula { text: "holes − kept out − taken", source: "counting" };
const LACKING: Formula = Formula { text: "taken − (holes − kept out)", source: "counting" };
const SHARE: Formula = Formula { text: "taken/(holes − kept out)", source: "our margin: at most 60 %" };

/// The board worked out; ledger entries under `board.`.
#[derive(Debug, Clone)]
pub struct BoardSolution {
    /// Columns of holes.
    pub columns: usize,
    /// Rows of holes.
    pub rows: usize,
    /// Every component, in the order of the spec.
    pub units: Vec<Unit>,
    /// Blocks of holes kept free: column, row, columns, rows from 0, with their names.
    pub keep_outs: Vec<(String, [usize; 4])>,
    /// Share of the usable holes that components take.
    pub fill: Ratio,
    /// Names of the components to move off the board so that the rest fits; empty where all fit.
    pub move_off: Vec<String>,
    /// The smallest board of the shop that takes all; none where no such board does, or all fit here.
    pub larger: Option<String>,
    /// Components at written places that meet something, or leave the board: name, what they meet, place in the spec.
    pub clashes: Vec<(String, String, Span)>,
}

/// One component.
#[derive(Debug, Clone)]
pub struct Unit {
    /// Number in the drawing, from 1.
    pub number: usize,
    /// Its name: the item's, with a number where there are several.
    pub name: String,
    /// The item in the spec.
    pub item: usize,
    /// Stage it belongs to.
    pub stage: String,
    /// Holes it takes, as it lies.
    pub footprint: Footprint,
    /// Column and row of its lower left hole, from 0; none where it has no place.
    pub at: Option<(usize, usize)>,
    /// A quarter turn was needed.
    pub turned: bool,
    /// The spec says where it sits.
    pub written: bool,
}

/// Works the board out.
pub fn solve(lamp: &Lamp, board: &Board, ledger: &mut Ledger) -> Found<BoardSolution> {
    let (width, height) = match board.size.known()?.as_slice() {
        [w, h, ..] => (*w, *h),
        _ => return Err(board.size.missing()),
    };
    let edge = board.edge.nominal()?;
    let (columns, rows) = (holes_along(width, edge), holes_along(height, edge));
    if columns.saturating_mul(rows) > MOST_HOLES {
        return Err(board.size.missing());
    }
    let free = board.free.get()? as usize;
    let units = take::units(lamp, board)?;
    let keep_outs = take::keep_outs(board)?;
    let blocks: Vec<[usize; 4]> = keep_outs.iter().map(|(_, block)| *block).collect();
    let grid = Grid::new(columns, rows, free, &blocks);
    let (units, clashes) = grid.place(board, units);
    let full = units.iter().any(|unit| grid::homeless(board, unit));
    let larger = if full { larger(board, &units, edge, free, &blocks, (width, height)) } else { None };
    let move_off = if full { grid.move_off(board, &units) } else { Vec::new() };
    let fill = enter(board, &units, (columns, rows), &blocks, ledger);
    Ok(BoardSolution { columns, rows, units, keep_outs, fill, move_off, larger, clashes })
}

/// The first board of the shop, larger than this one, on which everything finds its place.
fn larger(
    board: &Board,
    units: &[Unit],
    edge: Metres,
    free: usize,
    blocks: &[[usize; 4]],
    (width, height): (Metres, Metres),
) -> Option<String> {
    let found = STANDARD.into_iter().find(|(w, h)| {
        let (w, h) = (Metres::si(w * 1e-3), Metres::si(h * 1e-3));
        let (columns, rows) = (holes_along(w, edge), holes_along(h, edge));
        let fits = || Grid::new(columns, rows, free, blocks).place(board, units.to_vec()).0;
        w.value() * h.value() > width.value() * height.value() && !fits().iter().any(|unit| grid::homeless(board, unit))
    });
    found.map(|(w, h)| format!("{} x {}", Metres::si(w * 1e-3).show(), Metres::si(h * 1e-3).show()))
}

fn enter(
    board: &Board,
    units: &[Unit],
    (columns, rows): (usize, usize),
    blocks: &[[usize; 4]],
    ledger: &mut Ledger,
) -> Ratio {
    let holes = columns * rows;
    let size = [("W x H", board.size.path.as_str()), ("e", board.edge.path.as_str())];
    ledger.computed_text("board.holes", "holes of the board", format!("{columns} x {rows} = {holes}"), HOLES, &size);
    let kept: usize = blocks.iter().map(|[_, _, c, r]| c * r).sum();
    let taken: usize = units.iter().map(|unit| unit.footprint.holes()).sum();
    let number = |n: usize| (n as f64, 0);
    ledger.computed_number("board.kept", "holes kept out", number(kept), KEPT, &[]);
    for (k, item) in board.items.iter().enumerate() {
        let own: Vec<&Unit> = units.iter().filter(|unit| unit.item == k).collect();
        let Some(one) = own.first() else { continue };
        let field = format!("{} x {}", one.footprint.columns, one.footprint.rows);
        let (package, path) = (item.package.path.as_str(), |what: &str| format!("board.{}.{what}", item.name));
        let title = format!("{}: holes under one", item.name);
        ledger.computed_text(path("field"), &title, field, FIELD, &[("package", package)]);
        let holes: usize = own.iter().map(|unit| unit.footprint.holes()).sum();
        let title = format!("{}: holes taken by all", item.name);
        ledger.computed_number(path("taken"), &title, number(holes), TAKEN, &[("field", &path("field"))]);
    }
    let mut stages: Vec<&str> = Vec::new();
    for unit in units {
        if !stages.contains(&unit.stage.as_str()) {
            stages.push(&unit.stage);
        }
    }
    let mut paths = Vec::new();
    for (k, stage) in stages.iter().enumerate() {
        let own: usize = units.iter().filter(|u| u.stage == *stage).map(|u| u.footprint.holes()).sum();
        let path = format!("board.stage-{}", k + 1);
        ledger.computed_number(path.clone(), &format!("holes taken by {stage}"), number(own), TAKEN, &[]);
        paths.push(path);
    }
    let sums: Vec<(&'static str, &str)> = paths.iter().map(|path| ("stage", path.as_str())).collect();
    ledger.computed_number("board.taken", "holes taken by components", number(taken), TAKEN, &sums);
    let from = [("holes", "board.holes"), ("kept out", "board.kept"), ("taken", "board.taken")];
    let left = holes as f64 - kept as f64 - taken as f64;
    ledger.computed_number("board.free-holes", "holes left free", (left.max(0.0), 0), FREE, &from);
    if left < 0.0 {
        ledger.computed_number(
            "board.lacking",
            "holes that components ask for and are not there",
            (-left, 0),
            LACKING,
            &from,
        );
    }
    let usable = holes.saturating_sub(kept).max(1) as f64;
    Ratio::si(ledger.computed_share("board.fill", "share of the holes taken", taken as f64 / usable, SHARE, &from))
}
