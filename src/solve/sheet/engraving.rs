//! The marks as work for a pointed cutter: their strokes one after the other, how deep they go and how long they are.
//! The cutter is another than that of the edges, so that the strokes make a program of their own.

use crate::lamp::cutting::Router;
use crate::lamp::given::Found;
use crate::ledger::{Formula, Ledger};
use crate::physics::mechanics::curve::Point;
use crate::quantity::Metres;

use super::Engraved;

const STROKES: Formula = Formula { text: "all strokes of all marks", source: "geometry" };
const DIPS: Formula = Formula { text: "strokes × (clear + engrave)", source: "geometry" };

/// What a pointed cutter engraves.
#[derive(Debug, Clone)]
pub struct Engraving {
    /// Depth below the upper face.
    pub depth: Metres,
    /// Each mark by its name, with its strokes.
    pub marks: Vec<(String, Vec<Vec<Point>>)>,
}

impl Engraving {
    /// Way of the point in the sheet.
    pub fn along(&self) -> Metres {
        let runs = self.marks.iter().flat_map(|(_, runs)| runs);
        runs.flat_map(|run| run.iter().zip(run.iter().skip(1))).map(|(a, b)| a.distance(*b)).sum()
    }

    /// How often the point goes down.
    pub fn strokes(&self) -> usize {
        self.marks.iter().map(|(_, runs)| runs.len()).sum()
    }

    /// Way of the point straight down to its strokes, from this height above the sheet.
    pub(super) fn dips(&self, clear: Metres) -> Metres {
        (clear + self.depth) * self.strokes() as f64
    }
}

/// The engraving; none without marks. A mark whose figures are missing has no strokes, and the cover names it.
pub(super) fn solve(
    router: &Router,
    clear: Metres,
    marks: &[Found<Engraved>],
    ledger: &mut Ledger,
) -> Found<Option<Engraving>> {
    let known = marks.iter().filter_map(|mark| mark.as_ref().ok());
    let marks: Vec<_> = known.map(|mark| (mark.name.clone(), mark.runs.clone())).collect();
    if marks.is_empty() {
        return Ok(None);
    }
    let engraving = Engraving { depth: router.engrave.nominal()?, marks };
    ledger.computed("cut.router.strokes", "way of the point along all strokes", engraving.along(), STROKES, &[]);
    let inputs = [("clear", router.clear.path.as_str()), ("engrave", router.engrave.path.as_str())];
    ledger.computed(
        "cut.router.dips",
        "way of the point straight down to its strokes",
        engraving.dips(clear),
        DIPS,
        &inputs,
    );
    Ok(Some(engraving))
}
