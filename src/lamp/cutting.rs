//! Blocks inside `diffuser`: slots, keyholes, tabs, cut-outs and marks, the stock, and the router.

use crate::diag::Span;
use crate::quantity::{Metres, MetresPerSecond, Radians};
use crate::schema::words::{MarkKind, PathOrigin};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// A slot with round ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Slot {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `at`.
    pub at: Given<Vec<Metres>>,
    /// `length`.
    pub length: Given<Spread<Metres>>,
    /// `width`.
    pub width: Given<Spread<Metres>>,
    /// `towards`.
    pub towards: Given<Spread<Radians>>,
}

impl Slot {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            at: block.lengths("at"),
            length: block.quantity("length"),
            width: block.quantity("width"),
            towards: block.quantity("towards"),
        }
    }
}

/// A keyhole.
#[derive(Debug, Clone, PartialEq)]
pub struct Keyhole {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `at`.
    pub at: Given<Vec<Metres>>,
    /// `head`.
    pub head: Given<Spread<Metres>>,
    /// `neck`.
    pub neck: Given<Spread<Metres>>,
    /// `reach`.
    pub reach: Given<Spread<Metres>>,
    /// `towards`.
    pub towards: Given<Spread<Radians>>,
}

impl Keyhole {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            at: block.lengths("at"),
            head: block.quantity("head"),
            neck: block.quantity("neck"),
            reach: block.quantity("reach"),
            towards: block.quantity("towards"),
        }
    }
}

/// A tab or ear.
#[derive(Debug, Clone, PartialEq)]
pub struct Tab {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `towards`.
    pub towards: Given<Spread<Radians>>,
    /// `width`.
    pub width: Given<Spread<Metres>>,
    /// `reach`.
    pub reach: Given<Spread<Metres>>,
    /// `corner`.
    pub corner: Given<Spread<Metres>>,
    /// `root`.
    pub root: Given<Spread<Metres>>,
    /// `hole`.
    pub hole: Given<Spread<Metres>>,
}

impl Tab {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            towards: block.quantity("towards"),
            width: block.quantity("width"),
            reach: block.quantity("reach"),
            corner: block.quantity("corner"),
            root: block.quantity("root"),
            hole: block.quantity("hole"),
        }
    }
}

/// An opening of any shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutout {
    /// Its name.
    pub name: String,
    /// `points`.
    pub points: Given<Vec<Vec<Metres>>>,
}

impl Cutout {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self { name, points: block.points("points") }
    }
}

/// Something engraved.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `shows`.
    pub shows: Given<MarkKind>,
    /// `at`.
    pub at: Given<Vec<Metres>>,
    /// `height`.
    pub height: Given<Spread<Metres>>,
    /// `towards`.
    pub towards: Given<Spread<Radians>>,
}

impl Mark {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            shows: block.word("shows"),
            at: block.lengths("at"),
            height: block.quantity("height"),
            towards: block.quantity("towards"),
        }
    }
}

/// The sheets to cut from.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Where the block opens.
    pub span: Span,
    /// `size`.
    pub size: Given<Vec<Metres>>,
    /// `sheets`.
    pub sheets: Given<u32>,
    /// `gap`.
    pub gap: Given<Spread<Metres>>,
    /// `margin`.
    pub margin: Given<Spread<Metres>>,
    /// `turn`.
    pub turn: Given<bool>,
}

impl Stock {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            size: block.lengths("size"),
            sheets: block.count("sheets"),
            gap: block.quantity("gap"),
            margin: block.quantity("margin"),
            turn: block.yes_no("turn"),
        }
    }
}

/// The router that cuts the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Router {
    /// Where the block opens.
    pub span: Span,
    /// `cutter`.
    pub cutter: Given<Spread<Metres>>,
    /// `flute`.
    pub flute: Given<Spread<Metres>>,
    /// `pass`.
    pub pass: Given<Spread<Metres>>,
    /// `plunge`.
    pub plunge: Given<Spread<MetresPerSecond>>,
    /// `spindle`.
    pub spindle: Given<u32>,
    /// `through`.
    pub through: Given<Spread<Metres>>,
    /// `clear`.
    pub clear: Given<Spread<Metres>>,
    /// `lead`.
    pub lead: Given<Spread<Metres>>,
    /// `tabs`.
    pub tabs: Given<u32>,
    /// `tab-width`.
    pub tab_width: Given<Spread<Metres>>,
    /// `tab-height`.
    pub tab_height: Given<Spread<Metres>>,
    /// `engrave`.
    pub engrave: Given<Spread<Metres>>,
    /// `origin`.
    pub origin: Given<PathOrigin>,
}

impl Router {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            cutter: block.quantity("cutter"),
            flute: block.quantity("flute"),
            pass: block.quantity("pass"),
            plunge: block.quantity("plunge"),
            spindle: block.count("spindle"),
            through: block.quantity("through"),
            clear: block.quantity("clear"),
            lead: block.quantity("lead"),
            tabs: block.count("tabs"),
            tab_width: block.quantity("tab-width"),
            tab_height: block.quantity("tab-height"),
            engrave: block.quantity("engrave"),
            origin: block.word("origin"),
        }
    }
}
