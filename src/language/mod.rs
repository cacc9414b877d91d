//! Text to `Document`: parse, tidy, resolve.

pub mod document;
