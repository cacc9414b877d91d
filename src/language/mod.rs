//! Text to `Document`: parse, tidy, resolve.

pub mod codes;
pub mod document;
pub mod loading;
pub mod parse;
pub mod resolve;
pub mod symbols;
pub mod syntax;
pub mod tidy;
pub mod units;

mod amount;
mod braces;
mod build;
mod cells;
mod complete;
mod draft;
mod expression;
pub mod flat;
mod hidden;
mod names;
mod ordering;
mod parts;
mod plausible;
mod quantities;
mod spread;
pub(crate) mod suggest;
mod together;
pub(crate) mod top;
mod value;
mod waivers;
mod words;
mod wreck;

pub use names::is_name;
pub use waivers::WAIVE;
