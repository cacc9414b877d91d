//! Rules about making: cutting the sheet and fitting it, the body and its holes, the parts in it, the board.

mod board;
mod body;
mod clash;
mod cutting;
mod edges;
mod fit;
mod place;
mod recess;

use crate::lamp::diffuser::Diffuser;
use crate::solve::sheet::{Net, SheetSolution};

use super::rule::{Case, Rule, Skip};

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[
    &cutting::CUT_HAZARD,
    &fit::DIFFUSER_JAMS,
    &fit::DIFFUSER_DROPS,
    &fit::WOOD_MOVES,
    &recess::RECESS_OFF_BODY,
    &recess::OPENING_TOO_WIDE,
    &fit::SAG,
    &edges::EDGE_DISTANCE,
    &edges::WEB_THIN,
    &edges::INSIDE_RADIUS,
    &edges::SLOT_NARROWER,
    &edges::OFFSET_CROSSES,
    &cutting::ROUTER_CANNOT,
    &cutting::MARK_OFF_SHEET,
    &cutting::SHEET_TOO_SMALL,
    &clash::DOES_NOT_FIT,
    &clash::ZONE_GAP,
    &place::CORD_HOLE_OFF_WALL,
    &place::CORD_ROOM,
    &place::NO_WAY_IN,
    &place::NO_SERVICE,
    &place::ANTENNA_CAGED,
    &place::TIPS_OVER,
    &place::MASS_SHORT,
    &body::HOLE_OFF_SIDE,
    &body::HOLES_MEET,
    &body::PRINT_WALL,
    &body::PRINT_OVERHANG,
    &board::BOARD_MAINS,
    &board::BOARD_FULL,
    &board::BOARD_CLASH,
];

/// The sheet, as given and as solved; not applicable where the lamp has none.
fn sheet<'a>(case: &Case<'a>) -> Result<(&'a Diffuser, &'a SheetSolution), Skip> {
    let diffuser = case.lamp.diffuser.as_ref().ok_or(Skip::NotApplicable)?;
    let solved = case.solution.sheet.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
    Ok((diffuser, solved))
}

/// The piece; not applicable where its edges are unsound, which another rule reports.
fn net<'a>(case: &Case<'a>) -> Result<(&'a Diffuser, &'a Net), Skip> {
    let (diffuser, solved) = sheet(case)?;
    let net = solved.net.as_ref().ok().filter(|net| net.faults.is_empty());
    net.map(|net| (diffuser, net)).ok_or(Skip::NotApplicable)
}
