//! The as-built file of one lamp: what was fitted in place of what the spec says, and what was measured on it.
//! The same language as a spec; its block `fitted` holds blocks of a lamp and is laid over the spec like a variant.

use crate::schema::Dimension as D;
use crate::schema::build::{count, property, quantity};
use crate::schema::{Arity, Block, Shape};

/// The root of an as-built file.
pub static BUILT: Block = Block {
    kind: "",
    arity: Arity::One,
    part: false,
    doc: "one lamp as it was built",
    properties: &[],
    blocks: &[UNIT, LOTS, MEASURED, STAGES],
};

const UNIT: Block = Block {
    kind: "unit",
    arity: Arity::One,
    part: false,
    doc: "which lamp this is",
    properties: &[
        count("number", "its number, as on its papers and its label").required(),
        property("serial", Shape::Text, "its serial, where it has one beside the number"),
        property("spec", Shape::Text, "the spec it was built to, counted from this file").required(),
        property("variant", Shape::Text, "the variant it was built to"),
        property("papers", Shape::Text, "the code in the footer of the papers it was built with"),
        property("by", Shape::Text, "who built it"),
        property("date", Shape::Date, "when it was finished"),
        property("meter", Shape::Text, "what it was measured with"),
        quantity(
            "room",
            D::Temperature,
            "air of the room when the temperatures were read; what they rise above it is held against their limits",
        )
        .usual(253.15, 328.15),
    ],
    blocks: &[],
};

const LOTS: Block = Block {
    kind: "lots",
    arity: Arity::One,
    part: false,
    doc: "marks by which the parts that went in can be found again",
    properties: &[
        property("supply", Shape::Text, "of the supply"),
        property("controller", Shape::Text, "of the controller"),
        property("emitter", Shape::Text, "of the emitter: lot and bin"),
        property("board", Shape::Text, "of the driver board"),
        property("cord", Shape::Text, "of the cord"),
        property("fuse", Shape::Text, "of the fuse"),
    ],
    blocks: &[],
};

const MEASURED: Block = Block {
    kind: "measured",
    arity: Arity::One,
    part: false,
    doc: "what was read on it, with what the meter may be off: 318 mA ± 1 %; what is not written is open",
    properties: &[
        quantity("earth", D::Resistance, "earth pin to the worst of the touchable metal parts; held against its limit"),
        quantity("supply", D::Voltage, "supply's output under load; takes the place of `supply.output`"),
        quantity("idle", D::Current, "current from the supply at rest; held against its figure"),
        quantity("mains", D::Power, "power from the mains, all at full; held against its figure"),
        quantity("wall", D::Temperature, "warmest spot of the wall, after the soak; held against its limit")
            .usual(273.15, 400.0),
        quantity("sink", D::Temperature, "the sink, after the soak; held against its limit").usual(273.15, 450.0),
    ],
    blocks: &[CHANNEL],
};

const CHANNEL: Block = Block {
    kind: "channel",
    arity: Arity::Named,
    part: false,
    doc: "one channel, alone at full",
    properties: &[
        quantity("current", D::Current, "current of its string; takes the place of the channel's `current`"),
        quantity(
            "voltage",
            D::Voltage,
            "voltage across its string; with the current it takes the place of `forward` of its die",
        ),
    ],
    blocks: &[],
};

const STAGES: Block = Block {
    kind: "stages",
    arity: Arity::One,
    part: false,
    doc: "who saw it pass, and when; what is not written is open",
    properties: &[
        property("followed", Shape::Text, "wires followed by a second person"),
        property("dead-tests", Shape::Text, "every row of the dead tests"),
        property("first-power", Shape::Text, "every block of the first power"),
        property("soak", Shape::Text, "the soak, readings steady"),
        property("again", Shape::Text, "dead tests again after the soak"),
        property("label", Shape::Text, "label on, lid card in, leaflet handed over"),
    ],
    blocks: &[],
};
