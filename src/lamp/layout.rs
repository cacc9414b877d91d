//! Block `layout`: where parts sit in the body.

use crate::diag::Span;
use crate::quantity::{Kilograms, Metres};
use crate::schema::words::{Face, Turn, Zone};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// What stands where.
#[derive(Debug, Clone)]
pub struct Layout {
    /// Where the block opens.
    pub span: Span,
    /// `wall-gap`.
    pub wall_gap: Given<Spread<Metres>>,
    /// `zone-gap`.
    pub zone_gap: Given<Spread<Metres>>,
    /// `foot`.
    pub foot: Given<Spread<Metres>>,
    /// `raised`.
    pub raised: Given<Spread<Metres>>,
    /// `place`.
    pub places: Vec<Place>,
}

impl Layout {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            wall_gap: block.quantity("wall-gap"),
            zone_gap: block.quantity("zone-gap"),
            foot: block.quantity("foot"),
            raised: block.quantity("raised"),
            places: block.named("place", Place::read),
        }
    }
    /// The place of this part.
    pub fn place(&self, name: &str) -> Option<&Place> {
        self.places.iter().find(|place| place.name == name)
    }
}

/// One part in the body.
#[derive(Debug, Clone)]
pub struct Place {
    /// Where the block opens.
    pub span: Span,
    /// The part's name.
    pub name: String,
    /// `at`.
    pub at: Given<Vec<Metres>>,
    /// `size`.
    pub size: Given<Vec<Metres>>,
    /// `round`.
    pub round: Given<bool>,
    /// `turn`.
    pub turn: Given<Turn>,
    /// `zone`.
    pub zone: Given<Zone>,
    /// `closed`.
    pub closed: Given<bool>,
    /// `fixed`.
    pub fixed: Given<Face>,
    /// `mass`.
    pub mass: Given<Spread<Kilograms>>,
    /// `service`.
    pub service: Given<Spread<Metres>>,
    /// `service-side`.
    pub service_side: Given<Face>,
    /// `antenna`.
    pub antenna: Given<Face>,
    /// `metal`.
    pub metal: Given<bool>,
}

impl Place {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            at: block.lengths("at"),
            size: block.lengths("size"),
            round: block.yes_no("round"),
            turn: block.word("turn"),
            zone: block.word("zone"),
            closed: block.yes_no("closed"),
            fixed: block.word("fixed"),
            mass: block.quantity("mass"),
            service: block.quantity("service"),
            service_side: block.word("service-side"),
            antenna: block.word("antenna"),
            metal: block.yes_no("metal"),
        }
    }
}
