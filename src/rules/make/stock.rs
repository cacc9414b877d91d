//! Whether the stock gives all pieces of the batch.

use crate::diag::Signal;
use crate::quantity::Quantity;
use crate::rules::rule::{Finding, Judgement, Rule, Skip, once, unless};
use crate::solve::sheet::Nest;

use super::sheet;

pub(super) static SHEET_TOO_SMALL: Rule = Rule {
    name: "make/sheet-too-small",
    signal: Signal::Caution,
    waivable: true,
    title: "the stock does not give all pieces",
    source: "geometry of the layouts that the cut sheet shows; a cleverer one may win what its bound allows",
    why: "the last lamp of the batch waits for another sheet, which seldom has the same shade and lot",
    fix: "get more sheets, larger ones, or make fewer spares",
    check: |case| {
        once(|| {
            let (_, solved) = sheet(case)?;
            // Where the edges make no piece, another rule says so.
            solved.net.as_ref().ok().filter(|net| net.faults.is_empty()).ok_or(Skip::NotApplicable)?;
            judge(solved.nest.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?)
        })
    },
};

fn judge(nest: &Nest) -> Judgement {
    let each = nest.layout.places.len();
    unless(nest.yields < nest.pieces, || {
        let (w, h) = (nest.stock.width.show(), nest.stock.height.show());
        match nest.wanted {
            None => Finding::new(format!("a sheet of {w} by {h} does not give one piece"), nest.span, "this stock")
                .fix("take a larger sheet, or allow it to be turned"),
            Some(wanted) => Finding::new(
                format!("stock for {} pieces, {each} a sheet, and {} are wanted", nest.yields, nest.pieces),
                nest.span,
                "this stock",
            )
            .fix(format!("write `sheets {wanted}`, or cut {} pieces fewer", nest.pieces - nest.yields)),
        }
    })
}
