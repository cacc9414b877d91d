//! Schema of what is cut into the sheet beyond round holes, of what is engraved, of the stock and of the router.

use crate::schema::Dimension as D;
use crate::schema::build::{count, property, quantity, word, yes_no};
use crate::schema::words::{MarkKind, PathOrigin};
use crate::schema::{Arity, Block, Property, Shape};

const fn centre(doc: &'static str) -> Property {
    property("at", Shape::Point, doc).required()
}

pub(super) const SLOT: Block = Block {
    kind: "slot",
    arity: Arity::Named,
    part: false,
    doc: "a slot with round ends in the sheet",
    properties: &[
        centre("its middle from the centre of the sheet"),
        quantity("length", D::Length, "over both round ends").required().usual(2e-3, 1.0),
        quantity("width", D::Length, "its width").required().usual(5e-4, 0.1),
        quantity("towards", D::Angle, "direction it runs in, anti-clockwise from the right").signed().is("0°"),
    ],
    blocks: &[],
};

pub(super) const KEYHOLE: Block = Block {
    kind: "keyhole",
    arity: Arity::Named,
    part: false,
    doc: "a hole that a screw's head passes, with a neck that its shaft slides into",
    properties: &[
        centre("middle of its wide end from the centre of the sheet"),
        quantity("head", D::Length, "diameter of the wide end").required().usual(3e-3, 0.05),
        quantity("neck", D::Length, "width of the neck").required().usual(1e-3, 0.03),
        quantity("reach", D::Length, "from the middle of the wide end to where the shaft rests")
            .required()
            .usual(3e-3, 0.1),
        quantity("towards", D::Angle, "direction of the neck, anti-clockwise from the right").signed().is("90°"),
    ],
    blocks: &[],
};

pub(super) const TAB: Block = Block {
    kind: "tab",
    arity: Arity::Named,
    part: false,
    doc: "a tab or ear that stands out from the edge of the sheet",
    properties: &[
        quantity("towards", D::Angle, "direction from the centre, anti-clockwise from the right").signed().required(),
        quantity("width", D::Length, "its width").required().usual(2e-3, 0.3),
        quantity("reach", D::Length, "how far it stands out from the edge").required().usual(1e-3, 0.2),
        quantity("corner", D::Length, "radius of its outer corners; half of its width makes an ear")
            .is("1 mm")
            .usual(0.0, 0.1),
        quantity(
            "root",
            D::Length,
            "radius where it meets the edge; tighter inside corners of the edge become as round",
        )
        .is("2 mm")
        .usual(0.0, 0.05),
        quantity("hole", D::Length, "diameter of a hole in the middle of its end").usual(1e-3, 0.02),
    ],
    blocks: &[],
};

pub(super) const CUTOUT: Block = Block {
    kind: "cutout",
    arity: Arity::Named,
    part: false,
    doc: "an opening of any closed run of lines and arcs",
    properties: &[property(
        "points",
        Shape::Points,
        "its corners from the centre of the sheet; a third length is an arc's radius",
    )
    .required()],
    blocks: &[],
};

pub(super) const MARK: Block = Block {
    kind: "mark",
    arity: Arity::Named,
    part: false,
    doc: "something engraved on the sheet, on a layer of its own",
    properties: &[
        word("shows", MarkKind::CHOICES, "what it says").required(),
        centre("its middle from the centre of the sheet"),
        quantity("height", D::Length, "height of its letters or of its cross").is("4 mm").usual(1e-3, 0.05),
        quantity("towards", D::Angle, "direction its line runs in").signed().is("0°"),
    ],
    blocks: &[],
};

pub(super) const STOCK: Block = Block {
    kind: "stock",
    arity: Arity::Optional,
    part: false,
    doc: "the sheets that the pieces are cut from",
    properties: &[
        property("size", Shape::Size, "width and height of one sheet: 600 x 400 mm").required(),
        count("sheets", "how many there are").is("1"),
        quantity("gap", D::Length, "least sheet left between two pieces, kerf included").is("4 mm").usual(0.0, 0.05),
        quantity("margin", D::Length, "strip along the edge of the sheet that is not used").is("5 mm").usual(0.0, 0.1),
        yes_no("turn", "pieces may be turned a quarter; not where the sheet has a grain").is("yes"),
    ],
    blocks: &[],
};

pub(super) const ROUTER: Block = Block {
    kind: "router",
    arity: Arity::Optional,
    part: true,
    doc: "how a router cuts the sheet: brings a tool path of ISO 6983 words beside the drawings",
    properties: &[
        quantity("cutter", D::Length, "diameter of the cutter").required().usual(5e-4, 0.02),
        quantity("flute", D::Length, "length of its cutting edge").required().usual(1e-3, 0.1),
        quantity("pass", D::Length, "most depth in one pass").required().usual(1e-4, 0.02),
        quantity("plunge", D::Speed, "feed straight down").required().usual(1e-4, 0.1),
        count("spindle", "turns a minute").required().usual(1e3, 60e3),
        quantity("through", D::Length, "how far it cuts into the board below").is("0.3 mm").usual(0.0, 3e-3),
        quantity("clear", D::Length, "height above the sheet at which it travels").is("5 mm").usual(1e-3, 0.1),
        quantity("lead", D::Length, "radius of the arc that leads in, in the waste").is("2 mm").usual(0.0, 0.02),
        count("tabs", "bridges that hold the piece to its sheet").within(0.0, 64.0).is("4"),
        quantity("tab-width", D::Length, "width of a bridge").is("5 mm").usual(1e-3, 0.03),
        quantity("tab-height", D::Length, "height of a bridge above the board").is("1 mm").usual(1e-4, 0.01),
        quantity("engrave", D::Length, "depth of the marks: a pointed cutter makes them, by a program of their own")
            .is("0.2 mm")
            .usual(2e-5, 2e-3),
        word("origin", PathOrigin::CHOICES, "where zero lies").is("corner"),
    ],
    blocks: &[],
};
