//! `Lamp`, `Solution` and `Report` to `Packet`: the papers as data.

pub mod bench;
pub mod compose;
pub mod drawing;
pub mod drawings;
pub mod plain;
pub mod readings;
pub mod settings;
pub mod sheet;
pub mod sheets;
pub mod tables;
pub mod templates;
pub mod terms;
mod tool_path;
mod waived;
