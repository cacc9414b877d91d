//! All integration tests in one binary: one link instead of eight.

#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "tests read files, and a test that cannot has failed"
)]

mod cli;
mod house;
mod language;
mod laws;
mod packets;
mod published;
mod rules;
mod support;
