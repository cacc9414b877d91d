//! Light: spectra and colour of dice, mixing, flux of a die at its current and temperature, the chain to the room,
//! evenness behind a sheet, faces and what they light, flicker, and a screening for blue light.

pub mod beam;
pub mod blue_light;
pub mod cavity;
pub mod chromaticity;
mod data;
pub mod emission;
pub mod evenness;
pub mod face;
pub mod flicker;
pub mod gamut;
pub mod mixing;
pub mod spectrum;
pub mod temperature;
