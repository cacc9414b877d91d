//! Compiles a lamp specification into a build packet for the bench.

pub mod diag;
pub mod figures;
pub mod lamp;
pub mod language;
pub mod ledger;
pub mod packet;
pub mod physics;
pub mod quantity;
pub mod render;
pub mod rules;
pub mod schema;
pub mod solve;
pub mod spread;
