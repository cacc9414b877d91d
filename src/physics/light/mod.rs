//! Light by hand: flux of a die at its current and temperature, the chain to the room, arrays behind a sheet, faces.
//! Colour is not here; these are sums of flux and geometry.

pub mod array;
pub mod face;
pub mod flux;
