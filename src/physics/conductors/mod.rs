//! Conductors and what keeps them apart from people: wire, cord, colour, fuse, inlet, insulation, distances.
//! Every table row names its source and says whether its figure is from memory.

pub mod awg;
pub mod colour;
pub mod cord;
pub mod current;
pub mod distance;
pub mod fuse;
pub mod hang;
pub mod inlet;
pub mod insulation;
pub mod marks;
pub mod touch;
pub mod wire;

use crate::quantity::{Metres, SquareMetres};

/// The three families of national practice that the tables know.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Region {
    /// 230 V, continental plugs, mostly reversible.
    Eu,
    /// 230 V, fused polarised plug.
    Uk,
    /// 120 V, polarised or earthed plug.
    Us,
}

/// A length written in millimetres, as the standards write it.
pub(crate) const fn mm(millimetres: f64) -> Metres {
    Metres::si(millimetres * 1e-3)
}

/// A cross-section written in square millimetres, as the standards write it.
pub(crate) const fn mm2(square_millimetres: f64) -> SquareMetres {
    SquareMetres::si(square_millimetres * 1e-6)
}

/// Whether two nominal areas mean the same size: within 0.1 %, more than rounding, less than any step of sizes.
pub(crate) fn same_area(one: SquareMetres, other: SquareMetres) -> bool {
    (one.value() - other.value()).abs() <= 1e-3 * other.value()
}
