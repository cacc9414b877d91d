//! Block `wiring`: defaults for conductors, and single runs that replace what was worked out.

use crate::diag::Span;
use crate::quantity::{Amperes, Metres, SquareMetres, Temperature};
use crate::schema::words::{Colour, Lane};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The conductors.
#[derive(Debug, Clone)]
pub struct Wiring {
    /// Where the block opens.
    pub span: Span,
    /// `area`.
    pub area: Given<Spread<SquareMetres>>,
    /// `mains-area`.
    pub mains_area: Given<Spread<SquareMetres>>,
    /// `length`.
    pub length: Given<Spread<Metres>>,
    /// `mains-length`.
    pub mains_length: Given<Spread<Metres>>,
    /// `temperature`.
    pub temperature: Given<Spread<Temperature>>,
    /// `terminal-takes`.
    pub terminal_takes: Given<u32>,
    /// `run`.
    pub runs: Vec<Run>,
}

impl Wiring {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            area: block.quantity("area"),
            mains_area: block.quantity("mains-area"),
            length: block.quantity("length"),
            mains_length: block.quantity("mains-length"),
            temperature: block.quantity("temperature"),
            terminal_takes: block.count("terminal-takes"),
            runs: block.named("run", Run::read),
        }
    }
}

/// One conductor by its name on the wiring sheet.
#[derive(Debug, Clone)]
pub struct Run {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `length`.
    pub length: Given<Spread<Metres>>,
    /// `area`.
    pub area: Given<Spread<SquareMetres>>,
    /// `colour`.
    pub colour: Given<Colour>,
    /// `from`.
    pub from: Given<String>,
    /// `to`.
    pub to: Given<String>,
    /// `carries`.
    pub carries: Given<String>,
    /// `lane`.
    pub lane: Given<Lane>,
    /// `current`.
    pub current: Given<Spread<Amperes>>,
}

impl Run {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            length: block.quantity("length"),
            area: block.quantity("area"),
            colour: block.word("colour"),
            from: block.text("from"),
            to: block.text("to"),
            carries: block.text("carries"),
            lane: block.word("lane"),
            current: block.quantity("current"),
        }
    }
}
