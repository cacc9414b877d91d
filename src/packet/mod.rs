//! `Lamp`, `Solution` and `Report` to `Packet`: the papers as data.

pub mod drawing;
pub mod sheet;
