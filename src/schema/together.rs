//! What a value must be because of what stands beside it: how many lengths a size or a point has and in what order,
//! and the figures an outline cannot do without. Rows of a table, as the schema's own; `resolve` holds specs to them.

use super::Shape;

/// A word beside the property that a row hangs on: the property, and the words it may be.
pub type When = Option<(&'static str, &'static [&'static str])>;

/// How many lengths a size or a point wants.
#[derive(Debug, Clone, Copy)]
pub struct Lengths {
    /// Kinds of block that lead to it: `enclosure.hole`.
    pub block: &'static str,
    /// The property.
    pub property: &'static str,
    /// The word it hangs on.
    pub when: When,
    /// The fewest.
    pub least: usize,
    /// The most.
    pub most: usize,
    /// What they are, in order.
    pub order: &'static str,
}

const fn row(
    block: &'static str,
    property: &'static str,
    when: When,
    (least, most): (usize, usize),
    order: &'static str,
) -> Lengths {
    Lengths { block, property, when, least, most, order }
}

const CLOSED: &str = "length x width x height, or of a round one diameter x length";

/// Sizes and points that want more than their shape says; a row with a word stands before one without.
pub static LENGTHS: &[Lengths] = &[
    row("enclosure", "size", Some(("shape", &["cylinder"])), (2, 2), "diameter x length"),
    row("enclosure", "size", Some(("shape", &["box"])), (3, 3), "width x height x depth"),
    row("enclosure", "size", Some(("shape", &["sphere", "dome"])), (1, 1), "diameter"),
    row("enclosure", "size", Some(("shape", &["cone"])), (3, 3), "diameter above x diameter below x height"),
    row("supply", "size", None, (2, 3), CLOSED),
    row("controller", "size", None, (2, 3), CLOSED),
    row("sink", "size", None, (3, 3), "across the fins x along them x height with the base"),
    row("layout.place", "size", Some(("round", &["yes"])), (2, 2), "diameter x length"),
    row("layout.place", "size", None, (2, 3), "width x height x depth, or of a bare board width x height"),
    row("layout.place", "at", None, (3, 3), "x to the right, y up, z out through the diffuser"),
    row("diffuser.stock", "size", None, (2, 2), "width x height"),
    row("board", "size", None, (2, 2), "width x height"),
    row("board.item", "body", None, (1, 2), "diameter, or width x height"),
    row("mains.cord", "outer", None, (1, 2), "diameter, or of a flat cord its two sides"),
];

/// Any other point lies in a plane.
static FLAT: Lengths = row("", "", None, (2, 2), "x to the right, y up");

/// The row of this property; `word` tells the words beside it.
pub fn lengths(
    block: &str,
    property: &str,
    shape: Shape,
    word: &dyn Fn(&str) -> Option<String>,
) -> Option<&'static Lengths> {
    let own = LENGTHS.iter().filter(|row| row.block == block && row.property == property);
    let found = { own }.find(|row| holds(row.when, word));
    found.or((shape == Shape::Point).then_some(&FLAT))
}

/// Whether what the row hangs on is so.
pub fn holds(when: When, word: &dyn Fn(&str) -> Option<String>) -> bool {
    when.is_none_or(|(property, words)| word(property).is_some_and(|w| words.contains(&w.as_str())))
}

/// Properties that a block cannot do without while another has one of these words.
#[derive(Debug, Clone, Copy)]
pub struct Needs {
    /// Kinds of block that lead to it.
    pub block: &'static str,
    /// The word it hangs on.
    pub when: (&'static str, &'static [&'static str]),
    /// The properties.
    pub properties: &'static [&'static str],
}

/// Without these there is no piece to cut, and everything that follows from it would be left unchecked.
pub static NEEDS: &[Needs] = &[
    Needs { block: "diffuser", when: ("outline", &["disc"]), properties: &["diameter"] },
    Needs { block: "diffuser", when: ("outline", &["ring"]), properties: &["diameter", "inner"] },
    Needs { block: "diffuser", when: ("outline", &["rounded-rectangle", "ellipse"]), properties: &["width", "height"] },
    Needs { block: "diffuser", when: ("outline", &["polygon"]), properties: &["sides", "diameter"] },
    Needs { block: "diffuser", when: ("outline", &["path"]), properties: &["points"] },
];
