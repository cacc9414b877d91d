//! Text to `Document`: parse, tidy, resolve.

pub mod document;
pub mod parse;
pub mod syntax;

mod braces;
mod wreck;
