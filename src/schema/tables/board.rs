//! Schema of the perforated board that the driver is built on.

use crate::schema::Dimension as D;
use crate::schema::build::{count, property, quantity, word, yes_no};
use crate::schema::words::{Package, Zone};
use crate::schema::{Arity, Block, Shape};

pub(super) const BOARD: Block = Block {
    kind: "board",
    arity: Arity::Optional,
    part: false,
    doc: "the perforated board of 2.54 mm that the driver is built on; in the layout it is the part `driver`",
    properties: &[
        property("size", Shape::Size, "width x height: 50 x 70 mm").required().usual(0.01, 0.4),
        quantity("edge", D::Length, "from the edge of the board to its first holes").is("1.27 mm").usual(0.0, 0.01),
        quantity("height", D::Length, "of all that stands on it, board and solder included")
            .is("18 mm")
            .usual(2e-3, 0.1),
        count("free", "free holes between two components").within(0.0, 5.0).is("1"),
    ],
    blocks: &[ITEM, KEEP_OUT],
};

const ITEM: Block = Block {
    kind: "item",
    arity: Arity::Named,
    part: false,
    doc: "components of one kind on the board; a screw terminal or header named `power-in`, `control` or `strings` takes the driver's wires",
    properties: &[
        word("package", Package::CHOICES, "how it sits").required(),
        count("count", "how many").is("1").usual(1.0, 60.0),
        yes_no("each-channel", "so many for each channel").is("no"),
        property("stage", Shape::Text, "what it belongs to; stages are kept together"),
        count("pins", "of a dual in line package, header or terminal").usual(1.0, 64.0),
        property("body", Shape::Size, "courtyard seen from above: diameter, or width x height").usual(1e-3, 0.1),
        count("steps", "distance of its legs in holes, where the package does not say").usual(1.0, 30.0),
        word("zone", Zone::CHOICES, "what it carries").is("low-voltage"),
        count("column", "column of its lower left hole, from the left; placed by the program when not written")
            .usual(1.0, 160.0),
        count("row", "row of its lower left hole, from below").usual(1.0, 160.0),
        yes_no("turned", "a quarter turn, at a place that is written").is("no"),
    ],
    blocks: &[],
};

const KEEP_OUT: Block = Block {
    kind: "keep-out",
    arity: Arity::Named,
    part: false,
    doc: "holes that must stay free: under a screw, a spacer, an antenna",
    properties: &[
        count("column", "its leftmost column").required().usual(1.0, 160.0),
        count("row", "its lowest row").required().usual(1.0, 160.0),
        count("columns", "how many columns").is("1").usual(1.0, 160.0),
        count("rows", "how many rows").is("1").usual(1.0, 160.0),
    ],
    blocks: &[],
};
