//! Schema of what stands where inside the body.

use crate::schema::Dimension as D;
use crate::schema::build::{property, quantity, word, yes_no};
use crate::schema::words::{Face, Turn, Zone};
use crate::schema::{Arity, Block, Shape};

pub(super) const LAYOUT: Block = Block {
    kind: "layout",
    arity: Arity::Optional,
    part: false,
    doc: "where parts sit in the body: x to the right and y up as seen from the front, z out through the diffuser; the \
          origin is the middle of the front opening, so the inside of the body lies at negative z",
    properties: &[
        quantity("wall-gap", D::Length, "room wanted between a part and a wall it is not fixed to")
            .is("2 mm")
            .usual(0.0, 0.03),
        quantity("zone-gap", D::Length, "room wanted between live parts and extra-low voltage parts")
            .is("6 mm")
            .usual(1e-3, 0.05),
        quantity("foot", D::Length, "diameter or least width of the foot, where it is not the body itself")
            .usual(0.02, 1.0),
        quantity("raised", D::Length, "height of the body above the foot of a stand").is("0 mm").usual(0.0, 2.5),
    ],
    blocks: &[Block {
        kind: "place",
        arity: Arity::Named,
        part: false,
        doc: "one part: `supply`, `controller`, `sink` and `driver` (by its board) bring their own size; `entry` is the middle of the \
              cord's hole; any other name is free. A part without `at` is placed by the program",
        properties: &[
            property("at", Shape::Point, "its middle: (0 mm, -20 mm, -90 mm)").usual(-3.0, 3.0),
            property("size", Shape::Size, "of a box: three sizes; round: diameter x length").usual(1e-3, 1.0),
            yes_no("round", "a cylinder").is("no"),
            word("turn", Turn::CHOICES, "how it lies; a cylinder counts as diameter x diameter x length"),
            word("zone", Zone::CHOICES, "what it carries; by its name when not written"),
            yes_no("closed", "insulated all round on its own, as a bought closed supply is"),
            word("fixed", Face::CHOICES, "wall it is fixed to, where no gap is wanted"),
            quantity("mass", D::Mass, "its mass, for the centre of mass").usual(5e-4, 10.0),
            quantity("service", D::Length, "room for a screwdriver or a hand on its service side").usual(1e-3, 0.3),
            word("service-side", Face::CHOICES, "where that room must be").is("front"),
            word("antenna", Face::CHOICES, "side its antenna looks to"),
            yes_no("metal", "metal enough to shade an antenna; a sink is").is("no"),
        ],
        blocks: &[],
    }],
};
