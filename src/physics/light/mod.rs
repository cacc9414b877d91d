//! Light: spectra and colour of dice, mixing, what heat takes of them, beams and the box behind a sheet, its evenness,
//! faces and what they light, flicker, and a screening for blue light.

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
