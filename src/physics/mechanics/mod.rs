//! Sheets and bodies: outlines with true arcs, kerf, seats and lips, sag, nesting and stability.
//! Closed forms where they exist; tables name their source and say what is from memory.

pub mod chord;
pub mod curve;
pub mod cutouts;
pub mod ellipse;
pub mod enclosing;
pub mod hollow;
pub mod kerf;
pub mod layout;
pub mod lettering;
pub mod materials;
pub mod nesting;
pub mod offset;
pub mod outline;
pub mod perforated;
pub mod plate;
pub mod print;
pub mod router;
pub mod sag;
pub mod seat;
pub mod shapes;
pub mod shell;
pub mod shelves;
pub mod stability;
pub mod unroll;
