//! Tables of the CIE and ICNIRP on the grid that every spectrum of this program is sampled on.

pub(crate) mod blue_light;
pub(crate) mod observer;
