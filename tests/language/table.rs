//! A small schema for the tests: each shape, each arity, defaults of every sort, bounds and usual ranges.

use lampwright::schema::{Arity, Block, Choice, Default, Dimension, Property, Shape};

const fn choice(word: &'static str) -> Choice {
    Choice { word, doc: "a word" }
}

const fn row(name: &'static str, shape: Shape, default: Default) -> Property {
    Property { name, shape, default, usual: None, bounds: None, doc: "a property" }
}

const fn quantity(name: &'static str, dimension: Dimension, default: Default) -> Property {
    row(name, Shape::Quantity(dimension), default)
}

const fn block(
    kind: &'static str,
    arity: Arity,
    part: bool,
    properties: &'static [Property],
    blocks: &'static [Block],
) -> Block {
    Block { kind, arity, part, doc: "a block", properties, blocks }
}

const REGIONS: &[Choice] = &[choice("eu"), choice("uk"), choice("us")];
const RATINGS: &[Choice] = &[choice("I"), choice("II"), choice("III")];
const BUILDS: &[Choice] = &[choice("flat-twin"), choice("round"), choice("2-core")];
const MEANS: &[Choice] = &[choice("shadow"), choice("mould"), choice("screw")];

const REQUIRED: Default = Default::Required;
const ABSENT: Default = Default::Absent;

/// The whole test lamp.
pub(crate) static ROOT: Block = block(
    "",
    Arity::One,
    false,
    &[],
    &[
        block(
            "lamp",
            Arity::One,
            false,
            &[
                row("title", Shape::Text, ABSENT),
                row("revision", Shape::Text, Default::Is("\"A\"")),
                row("region", Shape::Word(REGIONS), Default::Is("eu")),
                quantity("room", Dimension::Temperature, Default::Is("5 °C .. 30 °C")),
                Property { bounds: Some((1.0, 1e4)), ..row("quantity", Shape::Count, Default::Is("1")) },
                row("made", Shape::Date, ABSENT),
            ],
            &[],
        ),
        block(
            "mains",
            Arity::One,
            false,
            &[
                Property {
                    usual: Some((90.0, 260.0)),
                    bounds: Some((0.0, 1000.0)),
                    ..quantity("voltage", Dimension::Voltage, Default::Is("230 V"))
                },
                row("class", Shape::Word(RATINGS), Default::Is("II")),
            ],
            &[
                block(
                    "cord",
                    Arity::One,
                    false,
                    &[
                        row("build", Shape::Word(BUILDS), Default::Is("flat-twin")),
                        quantity("core-area", Dimension::Area, ABSENT),
                        row("outer", Shape::Size, ABSENT),
                        Property {
                            bounds: Some((0.0, 100.0)),
                            ..quantity("length", Dimension::Length, Default::Is("1.5 m"))
                        },
                        row("grip", Shape::YesNo, Default::Is("yes")),
                    ],
                    &[],
                ),
                block("fuse", Arity::Optional, false, &[quantity("rating", Dimension::Current, REQUIRED)], &[]),
            ],
        ),
        block(
            "emitter",
            Arity::One,
            true,
            &[
                quantity("distance", Dimension::Length, REQUIRED),
                quantity("gap", Dimension::Length, Default::Is("distance / 2")),
                quantity("pad", Dimension::ThermalResistance, ABSENT),
            ],
            &[block(
                "die",
                Arity::Named,
                false,
                &[
                    row("forward", Shape::QuantityAt(Dimension::Voltage, Dimension::Current), REQUIRED),
                    row("flux", Shape::QuantityAt(Dimension::LuminousFlux, Dimension::Current), ABSENT),
                ],
                &[],
            )],
        ),
        block(
            "driver",
            Arity::Optional,
            true,
            &[row("finds", Shape::Words(MEANS), ABSENT)],
            &[block(
                "channel",
                Arity::Named,
                false,
                &[
                    row("feeds", Shape::Reference("die"), ABSENT),
                    row("also", Shape::References("die"), ABSENT),
                    Property { usual: Some((1e-3, 3.0)), ..quantity("current", Dimension::Current, REQUIRED) },
                    quantity("sense", Dimension::Resistance, ABSENT),
                    quantity("filter", Dimension::Capacitance, ABSENT),
                    quantity("choke", Dimension::Inductance, ABSENT),
                    quantity("limit", Dimension::Temperature, ABSENT),
                    quantity("rise", Dimension::TemperatureDifference, ABSENT),
                    quantity("share", Dimension::Number, ABSENT),
                    quantity("loss", Dimension::Power, ABSENT),
                    quantity("label", Dimension::ApparentPower, ABSENT),
                ],
                &[],
            )],
        ),
        block(
            "diffuser",
            Arity::Optional,
            false,
            &[
                quantity("diameter", Dimension::Length, ABSENT),
                quantity("area", Dimension::Area, ABSENT),
                quantity("thickness", Dimension::Length, ABSENT),
            ],
            &[block("hole", Arity::Named, false, &[row("at", Shape::Point, ABSENT)], &[])],
        ),
        block("enclosure", Arity::Optional, false, &[quantity("opening", Dimension::Length, ABSENT)], &[]),
    ],
);
