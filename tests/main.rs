//! All integration tests in one binary: one link instead of eight.

mod cli;
mod house;
mod language;
mod packets;
mod published;
mod rules;
mod support;
