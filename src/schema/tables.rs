//! The blocks and properties of the language.

use super::Block;

/// The root: what may stand at the top of a spec.
pub static ROOT: Block =
    Block { kind: "", arity: super::Arity::One, part: false, doc: "", properties: &[], blocks: &[] };
