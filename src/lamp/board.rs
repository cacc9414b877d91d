//! Block `board`: the perforated board of the driver.

use crate::diag::Span;
use crate::quantity::Metres;
use crate::schema::words::{Package, Zone};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The board.
#[derive(Debug, Clone)]
pub struct Board {
    /// Where the block opens.
    pub span: Span,
    /// `size`.
    pub size: Given<Vec<Metres>>,
    /// `edge`.
    pub edge: Given<Spread<Metres>>,
    /// `height`.
    pub height: Given<Spread<Metres>>,
    /// `free`.
    pub free: Given<u32>,
    /// `item`.
    pub items: Vec<Item>,
    /// `keep-out`.
    pub keep_outs: Vec<KeepOut>,
}

impl Board {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            size: block.lengths("size"),
            edge: block.quantity("edge"),
            height: block.quantity("height"),
            free: block.count("free"),
            items: block.named("item", Item::read),
            keep_outs: block.named("keep-out", KeepOut::read),
        }
    }
}

/// Components of one kind.
#[derive(Debug, Clone)]
pub struct Item {
    /// Its name.
    pub name: String,
    /// `package`.
    pub package: Given<Package>,
    /// `count`.
    pub count: Given<u32>,
    /// `each-channel`.
    pub each_channel: Given<bool>,
    /// `stage`.
    pub stage: Given<String>,
    /// `pins`.
    pub pins: Given<u32>,
    /// `body`.
    pub body: Given<Vec<Metres>>,
    /// `steps`.
    pub steps: Given<u32>,
    /// `zone`.
    pub zone: Given<Zone>,
    /// `column`.
    pub column: Given<u32>,
    /// `row`.
    pub row: Given<u32>,
    /// `turned`.
    pub turned: Given<bool>,
}

impl Item {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            package: block.word("package"),
            count: block.count("count"),
            each_channel: block.yes_no("each-channel"),
            stage: block.text("stage"),
            pins: block.count("pins"),
            body: block.lengths("body"),
            steps: block.count("steps"),
            zone: block.word("zone"),
            column: block.count("column"),
            row: block.count("row"),
            turned: block.yes_no("turned"),
        }
    }
}

/// Holes that stay free.
#[derive(Debug, Clone)]
pub struct KeepOut {
    /// Its name.
    pub name: String,
    /// `column`.
    pub column: Given<u32>,
    /// `row`.
    pub row: Given<u32>,
    /// `columns`.
    pub columns: Given<u32>,
    /// `rows`.
    pub rows: Given<u32>,
}

impl KeepOut {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            column: block.count("column"),
            row: block.count("row"),
            columns: block.count("columns"),
            rows: block.count("rows"),
        }
    }
}
