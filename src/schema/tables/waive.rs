//! Schema of a waiver: `waive RULE { reason "..."; by "..."; until DATE }`.

use crate::schema::build::property;
use crate::schema::{Arity, Block, Shape};

/// What stands in a `waive` block; its name is the rule's.
pub static WAIVE: Block = Block {
    kind: "waive",
    arity: Arity::Named,
    part: false,
    doc: "lets one finding of a rule through, in print; rules that guard against injury cannot be waived",
    properties: &[
        property("reason", Shape::Text, "why it may stand").required(),
        property("by", Shape::Text, "who takes it on").required(),
        property("until", Shape::Date, "the day from which it no longer holds"),
        property("subject", Shape::Reference(""), "what it is about, where the rule finds several (`red`)"),
    ],
    blocks: &[],
};
