//! `Lamp` and `Solution` to `Report`: every rule a constant with its source, fix and check, judged in one pass.

pub mod rule;

pub use rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, Verdict};
