//! Text to `Document`: parse, tidy, resolve.

pub mod codes;
pub mod document;
pub mod flat;
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
pub use plausible::IMPLAUSIBLE;
