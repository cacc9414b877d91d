//! The pieces on their sheets of stock: how they lie, how many a sheet gives, and what is left over.

use crate::diag::Span;
use crate::lamp::cutting::Stock as GivenStock;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::layout::{Layout, disc_layout, honeycomb, rectangle_layout};
use crate::physics::mechanics::nesting::{Stock, by_area, discs};
use crate::physics::mechanics::offset::offset;
use crate::physics::mechanics::outline::Outline;
use crate::quantity::{Metres, SquareMetres};
use crate::schema::words::OutlineKind;

use super::Net;

const LAYOUT: Formula =
    Formula { text: "most of square rows, staggered rows, both mixed; of rectangles also shelves", source: "geometry" };
const SQUARE: Formula = Formula { text: "(w/p)·(h/p), each rounded down, p = d + gap", source: "geometry" };
const STAGGERED: Formula =
    Formula { text: "rows 1 + (h − p)/(p·√3/2), rounded down, the better of both ways", source: "geometry" };
const OLER: Formula = Formula {
    text: "N ≤ 2·A/√3 + P/2 + 1, rounded down, for the rectangle of centres in pitches",
    source: "Oler 1961",
};
const BY_AREA: Formula = Formula {
    text: "(w − 2m + g)(h − 2m + g) by the area of the outline grown by g/2, rounded down",
    source: "geometry: grown outlines do not overlap",
};
const YIELD: Formula = Formula { text: "pieces a sheet × sheets", source: "counting" };
const LEFT: Formula = Formula { text: "yield − pieces wanted", source: "counting" };
const WANTED: Formula = Formula { text: "pieces wanted/pieces a sheet, rounded up", source: "counting" };
const SHARE: Formula = Formula { text: "pieces a sheet × area of one/area of the sheet", source: "geometry" };

/// The batch on its stock.
#[derive(Debug, Clone)]
pub struct Nest {
    /// Where the spec says what the sheets are.
    pub span: Span,
    /// The sheet with the gap and margin that the layout keeps.
    pub stock: Stock,
    /// Whether the pieces are laid out as discs.
    pub round: bool,
    /// Places of one sheet.
    pub layout: Layout,
    /// Sheets there are.
    pub sheets: u32,
    /// Pieces wanted.
    pub pieces: u32,
    /// Pieces that the sheets there are give.
    pub yields: u32,
    /// Sheets the batch needs; none where a sheet gives no piece.
    pub wanted: Option<u32>,
}

/// Lays the pieces out. Between two of them there is never less than the cut is wide.
pub(super) fn solve(d: &Diffuser, given: &GivenStock, net: &Net, pieces: u32, ledger: &mut Ledger) -> Found<Nest> {
    let (width, height) = match given.size.known()?.as_slice() {
        [width, height] => (*width, *height),
        _ => return Err(given.size.missing()),
    };
    let kerf = d.cut.kerf.nominal()?;
    let (gap, margin) = (given.gap.nominal()?.max(kerf), given.margin.nominal()?.max(kerf / 2.0));
    let stock = Stock { width, height, gap, margin };
    let turn = given.turn.get()?;
    let boxed = rectangle_layout(stock, net.width, net.height, turn);
    // A disc that turns freely is laid out as one; the box around a polygon, or a honeycomb, may do better.
    let disc = net.diameter.filter(|_| d.tabs.is_empty()).map(|diameter| (disc_layout(stock, diameter), diameter));
    let (layout, round) = match disc {
        Some((disc, _)) if disc.places.len() >= boxed.places.len() => (disc, net.diameter),
        _ => (boxed, None),
    };
    let comb = (d.outline.value == Some(OutlineKind::Polygon) && d.sides.value == Some(6) && d.tabs.is_empty())
        .then(|| honeycomb(stock, net.width, net.height));
    let (layout, round) = match comb.filter(|comb| comb.places.len() > layout.places.len()) {
        Some(comb) => (comb, None),
        None => (layout, round),
    };
    let sheets = given.sheets.get()?;
    let each = u32::try_from(layout.places.len()).unwrap_or(u32::MAX);
    let wanted = (each > 0).then(|| pieces.div_ceil(each.max(1)));
    let nest = Nest {
        span: given.span,
        stock,
        round: round.is_some(),
        layout,
        sheets,
        pieces,
        yields: each.saturating_mul(sheets),
        wanted,
    };
    enter(d, given, net, round, &nest, ledger);
    Ok(nest)
}

fn enter(d: &Diffuser, given: &GivenStock, net: &Net, round: Option<Metres>, nest: &Nest, ledger: &mut Ledger) {
    let size = if round.is_some() { "cut.diameter" } else { "cut.width" };
    let inputs = [
        ("sheet", given.size.path.as_str()),
        ("piece", size),
        ("gap", given.gap.path.as_str()),
        ("margin", given.margin.path.as_str()),
    ];
    let mut count = |path: &str, title: &str, n: usize, formula: Formula, inputs: &[(&'static str, &str)]| {
        ledger.computed_text(path, title, n.to_string(), formula, inputs);
    };
    let each = nest.layout.places.len();
    count("cut.stock.each", "pieces that one sheet gives", each, LAYOUT, &inputs);
    if let Some(diameter) = round {
        let counts = discs(nest.stock, diameter);
        let staggered = counts.staggered_along.max(counts.staggered_across);
        count("cut.stock.square", "pieces a sheet in square rows", counts.grid, SQUARE, &inputs);
        count("cut.stock.staggered", "pieces a sheet in staggered rows", staggered, STAGGERED, &inputs);
    }
    // Oler's inequality holds for whole discs; other outlines may lie nearer than the circles around them.
    let title = "pieces a sheet that no layout exceeds";
    let whole = matches!(d.outline.value, Some(OutlineKind::Disc | OutlineKind::Ring)) && d.notches.is_empty();
    match net.diameter.filter(|_| whole && d.tabs.is_empty()) {
        Some(diameter) => count("cut.stock.bound", title, discs(nest.stock, diameter).bound, OLER, &inputs),
        None => {
            let outline = &net.plate.outer;
            let grown =
                offset(outline, nest.stock.gap / 2.0).iter().map(Outline::area).fold(outline.area(), |a, b| a.max(b));
            count("cut.stock.bound", title, by_area(nest.stock, grown), BY_AREA, &inputs);
        }
    }
    let sheets = given.sheets.path.as_str();
    let yields = [("pieces a sheet", "cut.stock.each"), ("sheets", sheets)];
    count("cut.stock.yield", "pieces that the sheets give", nest.yields as usize, YIELD, &yields);
    let left = [("yield", "cut.stock.yield"), ("pieces wanted", "cut.pieces")];
    let over = nest.yields.saturating_sub(nest.pieces) as usize;
    count("cut.stock.left", "pieces more than wanted", over, LEFT, &left);
    if let Some(wanted) = nest.wanted {
        let inputs = [("pieces wanted", "cut.pieces"), ("pieces a sheet", "cut.stock.each")];
        count("cut.stock.wanted", "sheets that the batch needs", wanted as usize, WANTED, &inputs);
    }
    let sheet: SquareMetres = nest.stock.width * nest.stock.height;
    let share = net.area * each as f64 / sheet;
    let inputs = [("pieces a sheet", "cut.stock.each"), ("area of one", "cut.area"), ("sheet", inputs[0].1)];
    ledger.computed_share("cut.stock.share", "share of the sheet that becomes pieces", share, SHARE, &inputs);
}
