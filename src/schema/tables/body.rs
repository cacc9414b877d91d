//! Schema of the things that hold, cool, close and join: sink, enclosure, diffuser, wiring.

use crate::schema::Dimension as D;
use crate::schema::build::{count, property, quantity, word, yes_no};
use crate::schema::words::{
    Body, BodyMaterial, Colour, Cutter, Face, FinsStand, Flame, Front, Lane, Lid, OutlineKind, SheetMaterial, Side,
    Zone,
};
use crate::schema::{Arity, Block, Shape};

use super::cut::{CUTOUT, KEYHOLE, MARK, ROUTER, SLOT, STOCK, TAB};

pub(super) const SINK: Block = Block {
    kind: "sink",
    arity: Arity::Optional,
    part: true,
    doc: "the heatsink behind the emitter",
    properties: &[
        quantity("thermal", D::ThermalResistance, "sink to the air around it; its fins take the place of this figure")
            .usual(0.1, 200.0),
        word("place", Side::CHOICES, "whose air it stands in").is("inside"),
        property("size", Shape::Size, "outside: across the fins x along them x height with the base").usual(1e-3, 3.0),
    ],
    blocks: &[
        FINS,
        Block {
            kind: "hole",
            arity: Arity::Named,
            part: false,
            doc: "a round hole through the sink",
            properties: &[
                property(
                    "at",
                    Shape::Point,
                    "its middle from the middle of the sink, across the fins and along them: (12 mm, -4 mm)",
                )
                .required(),
                quantity("diameter", D::Length, "its diameter").required().usual(5e-4, 0.5),
            ],
            blocks: &[],
        },
        Block {
            kind: "interface",
            arity: Arity::Optional,
            part: true,
            doc: "the layer between emitter and sink",
            properties: &[
                quantity("thickness", D::Length, "its thickness").usual(1e-5, 3e-3),
                quantity("conductivity", D::ThermalConductivity, "its conductivity").usual(0.1, 20.0),
                quantity("area", D::Area, "area that carries the heat").usual(1e-6, 0.1),
            ],
            blocks: &[],
        },
    ],
};

const FINS: Block = Block {
    kind: "fins",
    arity: Arity::Optional,
    part: false,
    doc: "straight fins of the sink: with its size, its cooling is worked out from them",
    properties: &[
        count("count", "how many").required().within(2.0, 200.0),
        quantity("thickness", D::Length, "of a fin").required().usual(2e-4, 5e-3),
        quantity("base", D::Length, "thickness of the base").required().usual(5e-4, 0.02),
        word("stand", FinsStand::CHOICES, "how they stand in use").is("vertical"),
        quantity("conductivity", D::ThermalConductivity, "of the metal").is("200 W/(m·K)").usual(10.0, 400.0),
        quantity("emissivity", D::Number, "of its surface: bare metal 5 to 10 %, anodised or painted 80 to 95 %")
            .is("85 %")
            .within(0.01, 1.0),
    ],
    blocks: &[],
};

pub(super) const ENCLOSURE: Block = Block {
    kind: "enclosure",
    arity: Arity::One,
    part: true,
    doc: "the body",
    properties: &[
        word("shape", Body::CHOICES, "its shape").required(),
        property("size", Shape::Size, "outside, as its shape says: diameter x length, or width x height x depth")
            .required()
            .usual(0.01, 3.0),
        word("material", BodyMaterial::CHOICES, "what it is made of").required(),
        quantity("wall", D::Length, "wall thickness").required().usual(2e-4, 0.05),
        quantity("opening", D::Length, "clear opening in front, its smallest width").usual(5e-3, 3.0),
        quantity("reflectance", D::Number, "share of light that its inside throws back")
            .is("60 %")
            .within(0.0, 0.99)
            .usual(0.03, 0.98),
        word("front", Front::CHOICES, "where its front looks in use; by the mount when not written"),
        quantity("emissivity", D::Number, "of its outer and inner surface; by material when not written")
            .within(0.01, 1.0),
        yes_no("printed", "printed layer by layer").is("no"),
        yes_no("holds-live", "live parts are fixed to it without an enclosure of their own"),
        yes_no("only-insulation", "its wall is the only insulation between live parts and a hand"),
        word("flame", Flame::CHOICES, "stated behaviour in fire"),
        word("lid", Lid::CHOICES, "how it opens").is("tool"),
        word("opens", Face::CHOICES, "side that comes off to put parts in").is("front"),
        yes_no("terminals-covered", "live terminals stay covered with the body open").is("no"),
        quantity("heat-transfer", D::HeatTransfer, "heat given off by its outside; worked out when not written")
            .usual(2.0, 25.0),
    ],
    blocks: &[
        DRILLED,
        PRINT,
        Block {
            kind: "vent",
            arity: Arity::Named,
            part: false,
            doc: "a group of openings in the body",
            properties: &[
                quantity("width", D::Length, "diameter of the holes or width of the slots")
                    .required()
                    .usual(5e-4, 0.05),
                quantity("length", D::Length, "of slots; round holes when not written").usual(1e-3, 1.0),
                count("count", "how many").is("1"),
                quantity(
                    "level",
                    D::Length,
                    "height of their middle above the foot of the body; air is drawn between levels",
                )
                .usual(0.0, 3.0),
                word("over", Zone::CHOICES, "what lies behind").required(),
                quantity("reach", D::Length, "straight way from the opening to the nearest live part").usual(1e-3, 0.5),
                yes_no("baffle", "a baffle stops a straight probe").is("no"),
            ],
            blocks: &[],
        },
    ],
};

pub(super) const DIFFUSER: Block = Block {
    kind: "diffuser",
    arity: Arity::Optional,
    part: true,
    doc: "the sheet that closes the lamp and spreads its light",
    properties: &[
        word("outline", OutlineKind::CHOICES, "its shape").required(),
        quantity("diameter", D::Length, "of a disc, ring or polygon (across corners)").usual(0.01, 3.0),
        quantity("inner", D::Length, "diameter of a ring's opening").usual(1e-3, 3.0),
        quantity("width", D::Length, "of a rectangle or ellipse").usual(0.01, 3.0),
        quantity("height", D::Length, "of a rectangle or ellipse").usual(0.01, 3.0),
        quantity("corner", D::Length, "corner radius of a rectangle").is("0 mm").usual(0.0, 0.5),
        count("sides", "of a polygon").within(3.0, 360.0),
        property("points", Shape::Points, "corners of a path; a third length is the radius of the arc that reaches it"),
        quantity("thickness", D::Length, "of the sheet").required().usual(3e-4, 0.03),
        word("material", SheetMaterial::CHOICES, "of the sheet").required(),
        quantity("transmission", D::Number, "share of the light that passes").within(0.0, 1.0).usual(0.1, 0.95),
        quantity(
            "box",
            D::Number,
            "share of the light that reaches the sheet; from the box and the dice when not written",
        )
        .within(0.0, 1.0),
        quantity("tolerance", D::Length, "of the cut, each way").is("0.15 mm").usual(1e-5, 2e-3),
    ],
    blocks: &[CUT, SEAT, HOLE, HOLES, SLOT, KEYHOLE, CUTOUT, NOTCH, TAB, MARK, STOCK],
};

const DRILLED: Block = Block {
    kind: "hole",
    arity: Arity::Named,
    part: false,
    doc: "a hole to drill in the body, or to leave open in print: on a flat side by `face` and `at`, on a round wall by \
          `towards` and `level`; the cord's hole comes from the layout",
    properties: &[
        quantity("diameter", D::Length, "its diameter").required().usual(5e-4, 0.2),
        word("face", Face::CHOICES, "flat side it lies in").is("back"),
        property("at", Shape::Point, "its middle from the middle of that side, as seen from outside: (20 mm, 0 mm)")
            .usual(-2.0, 2.0),
        quantity("towards", D::Angle, "direction on a round wall, seen from the front, anti-clockwise from the right")
            .signed(),
        quantity("level", D::Length, "height on a round wall, from the back edge of the body").usual(0.0, 3.0),
        yes_no("filled", "what sits in it closes it: a button, a gland, a screw; asked for where mains is inside"),
        word("over", Zone::CHOICES, "what lies behind a hole that stays open"),
        quantity("reach", D::Length, "straight way from an open hole to the nearest live part").usual(1e-3, 0.5),
    ],
    blocks: &[],
};

const PRINT: Block = Block {
    kind: "print",
    arity: Arity::Optional,
    part: false,
    doc: "how the body is printed, for the card at the printer",
    properties: &[
        quantity("layer", D::Length, "height of a layer").is("0.2 mm").usual(5e-5, 6e-4),
        quantity("line", D::Length, "width of a line").is("0.45 mm").usual(2e-4, 1.2e-3),
        quantity("infill", D::Number, "share of the inside of thick walls that is filled").is("100 %").within(0.0, 1.0),
        word("bed", Face::CHOICES, "side that lies on the bed").is("back"),
        count("screws", "screws that go into the print").usual(1.0, 40.0),
        quantity("screw", D::Length, "diameter of their thread").is("3 mm").usual(1.5e-3, 8e-3),
        yes_no("inserts", "they go into heat-set inserts, not straight into the plastic").is("no"),
    ],
    blocks: &[],
};

const CUT: Block = Block {
    kind: "cut",
    arity: Arity::One,
    part: false,
    doc: "how the sheet is cut",
    properties: &[
        word("method", Cutter::CHOICES, "what cuts it").is("saw"),
        quantity("kerf", D::Length, "width of the cut: beam, cutter or blade").is("1 mm").usual(5e-5, 0.01),
        count("spares", "spare pieces for each one fitted").within(0.0, 100.0).is("0"),
        quantity("feed", D::Speed, "how fast the cutter travels along the edge").usual(1e-4, 1.0),
    ],
    blocks: &[ROUTER],
};

const SEAT: Block = Block {
    kind: "seat",
    arity: Arity::Optional,
    part: false,
    doc: "the recess the sheet lies in",
    properties: &[
        quantity("width", D::Length, "inside width or diameter of the recess").required().usual(0.01, 3.0),
        quantity("height", D::Length, "inside height of the recess, where it is not round").usual(0.01, 3.0),
        quantity("tolerance", D::Length, "of the recess, each way").is("0.2 mm").usual(1e-5, 3e-3),
        quantity("gap", D::Length, "least clearance that must remain, over the whole width")
            .is("0.1 mm")
            .usual(0.0, 5e-3),
        quantity("lip", D::Length, "width of the lip that keeps the sheet in").usual(2e-4, 0.05),
        quantity("sheet-rise", D::TemperatureDifference, "how much warmer than the room the sheet gets")
            .is("30 K")
            .usual(0.0, 80.0),
        quantity("body-rise", D::TemperatureDifference, "how much warmer than the room the recess gets")
            .is("15 K")
            .usual(0.0, 80.0),
        quantity(
            "moisture",
            D::Number,
            "how much the moisture of a wooden body may change after the fitting, each way",
        )
        .is("3 %")
        .within(0.0, 0.3)
        .usual(0.0, 0.1),
        quantity("fitted-at", D::Temperature, "temperature of both when measured and fitted")
            .is("20 °C")
            .usual(273.15, 313.15),
    ],
    blocks: &[],
};

const HOLE: Block = Block {
    kind: "hole",
    arity: Arity::Named,
    part: false,
    doc: "a round hole in the sheet",
    properties: &[
        property("at", Shape::Point, "its centre from the centre of the sheet: (12 mm, -4 mm)").required(),
        quantity("diameter", D::Length, "its diameter").required().usual(5e-4, 0.5),
    ],
    blocks: &[],
};

const HOLES: Block = Block {
    kind: "holes",
    arity: Arity::Named,
    part: false,
    doc: "equal holes on a circle round the centre",
    properties: &[
        count("count", "how many").required().within(2.0, 360.0),
        quantity("circle", D::Length, "diameter of the circle their centres lie on").required().usual(5e-3, 3.0),
        quantity("diameter", D::Length, "diameter of each").required().usual(5e-4, 0.1),
        quantity("start", D::Angle, "angle of the first, anti-clockwise from the right").signed().is("0°"),
    ],
    blocks: &[],
};

const NOTCH: Block = Block {
    kind: "notch",
    arity: Arity::Named,
    part: false,
    doc: "a notch in the edge of the sheet",
    properties: &[
        quantity("towards", D::Angle, "direction from the centre, anti-clockwise from the right").signed().required(),
        quantity("width", D::Length, "its width").required().usual(5e-4, 0.3),
        quantity("depth", D::Length, "its depth from the edge").required().usual(5e-4, 0.3),
        quantity("corner", D::Length, "radius of its inside corners").is("1 mm").usual(0.0, 0.02),
    ],
    blocks: &[],
};

pub(super) const WIRING: Block = Block {
    kind: "wiring",
    arity: Arity::One,
    part: false,
    doc: "the conductors; what is not written is worked out from the rest",
    properties: &[
        quantity("area", D::Area, "area of extra-low voltage wires").is("0.5 mm²").usual(0.05e-6, 4e-6),
        quantity("mains-area", D::Area, "area of inner mains wires").is("0.75 mm²").usual(0.4e-6, 2.6e-6),
        quantity("length", D::Length, "length of a wire whose run is not written").is("250 mm").usual(0.02, 20.0),
        quantity("mains-length", D::Length, "length of an inner mains wire whose run is not written")
            .is("120 mm")
            .usual(0.02, 2.0),
        quantity("temperature", D::Temperature, "rating of the wires' insulation").is("105 °C").usual(323.15, 523.15),
        count("terminal-takes", "most conductors under one terminal by its own paper; two share a twin ferrule")
            .is("2")
            .usual(1.0, 4.0),
    ],
    blocks: &[RUN],
};

const RUN: Block = Block {
    kind: "run",
    arity: Arity::Named,
    part: false,
    doc: "one conductor by its name on the wiring sheet: what is written here replaces what was worked out; with both \
          its ends written, an extra conductor",
    properties: &[
        quantity("length", D::Length, "its cut length").usual(0.01, 50.0),
        quantity("area", D::Area, "its area").usual(0.05e-6, 6e-6),
        word("colour", Colour::CHOICES, "its colour"),
        property("from", Shape::Text, "of an extra conductor: where it starts, \"part.terminal\""),
        property("to", Shape::Text, "of an extra conductor: where it ends, \"part.terminal\""),
        property("carries", Shape::Text, "of an extra conductor: what it carries, in a few words"),
        word("lane", Lane::CHOICES, "of an extra conductor: what it belongs to").is("signal"),
        quantity("current", D::Current, "of an extra conductor: the most it carries").usual(1e-6, 20.0),
    ],
    blocks: &[],
};
