//! The diffuser: its net outline, the path of the cutter, how it sits hot and cold, and what the edges leave.

use crate::lamp::Lamp;
use crate::lamp::diffuser::Diffuser;
use crate::lamp::given::Found;
use crate::ledger::Ledger;
use crate::quantity::{Kilograms, Metres, SquareMetres};

/// The sheet worked out; ledger entries under `cut.`.
#[derive(Debug, Clone)]
pub struct SheetSolution {
    /// Width over everything.
    pub width: Metres,
    /// Height over everything.
    pub height: Metres,
    /// Area of one piece, holes taken out.
    pub area: SquareMetres,
    /// Mass of one piece.
    pub mass: Kilograms,
    /// How it sits in its recess.
    pub seat: Option<Found<Seat>>,
}

/// Clearance between sheet and recess, over the whole width, in the worst case of all tolerances.
#[derive(Debug, Clone, Copy)]
pub struct Seat {
    /// Least clearance, over every state.
    pub least: Metres,
    /// Largest clearance, over every state.
    pub largest: Metres,
}

/// Works the sheet out.
pub fn solve(_lamp: &Lamp, diffuser: &Diffuser, _ledger: &mut Ledger) -> Found<SheetSolution> {
    Err(diffuser.diameter.missing())
}
