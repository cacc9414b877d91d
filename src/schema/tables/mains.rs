//! Schema of the mains side: entry, protection, and the bought supply that makes extra-low voltage from it.

use crate::schema::Dimension as D;
use crate::schema::build::{count, property, quantity, word, yes_no};
use crate::schema::words::{
    Anchorage, Breaking, Chemistry, Class, CordBuild, FuseSpeed, InletKind, Insulation, Plug, Polarity, Pole, Side,
    SwitchPlace, Terminals, WireEnds,
};
use crate::schema::{Arity, Block, Shape};

pub(super) const MAINS: Block = Block {
    kind: "mains",
    arity: Arity::Optional,
    part: false,
    doc: "the mains inside the lamp; left out where a separate supply keeps mains outside",
    properties: &[
        quantity("voltage", D::Voltage, "rated voltage").required().usual(100.0, 250.0),
        quantity("tolerance", D::Number, "how far the mains may stray from it").is("10 %").usual(0.0, 0.2),
        quantity("frequency", D::Frequency, "rated frequency").required().usual(50.0, 60.0),
        word("class", Class::CHOICES, "protection against electric shock").required(),
        quantity(
            "creepage",
            D::Length,
            "least distance along surfaces between mains and anything touchable or extra-low",
        )
        .usual(5e-4, 0.05),
        quantity("clearance", D::Length, "least distance through air between the same").usual(5e-4, 0.05),
        yes_no("shared-board", "mains and extra-low voltage on one perforated board"),
        word("ends", WireEnds::CHOICES, "what stranded ends wear").is("ferrule"),
        word("terminals", Terminals::CHOICES, "terminals of the mains side").is("screw"),
        quantity("earth-slack", D::Length, "how much longer the inner earth conductor is than line and neutral")
            .usual(0.0, 0.2),
        quantity("residual-current", D::Current, "residual-current protection of the circuit it is plugged into")
            .usual(5e-3, 0.5),
        quantity("prospective", D::Current, "short-circuit current the socket can deliver").is("1 kA").usual(50.0, 2e4),
    ],
    blocks: &[CORD, ENTRY, FUSE, SWITCH, INLET, METAL],
};

const CORD: Block = Block {
    kind: "cord",
    arity: Arity::Optional,
    part: true,
    doc: "the mains cord",
    properties: &[
        word("build", CordBuild::CHOICES, "what cord it is").required(),
        count("cores", "number of cores").required().usual(2.0, 3.0),
        quantity("core-area", D::Area, "area of each core").required().usual(0.4e-6, 2.6e-6),
        property("outer", Shape::Size, "measured outside: diameter, or the two sides of a flat cord")
            .usual(2e-3, 0.015),
        quantity("length", D::Length, "length outside the lamp").required().usual(0.2, 10.0),
        word("plug", Plug::CHOICES, "plug on its end"),
        quantity("plug-fuse", D::Current, "fuse in the plug").usual(1.0, 13.0),
        quantity("bend", D::Length, "tightest inner bend radius after the entry").usual(2e-3, 0.2),
        quantity("depth", D::Length, "straight room behind the entry before the first bend").usual(2e-3, 0.3),
    ],
    blocks: &[],
};

const ENTRY: Block = Block {
    kind: "entry",
    arity: Arity::Optional,
    part: true,
    doc: "where the cord comes in",
    properties: &[
        quantity("hole", D::Length, "diameter of the hole the cord passes, bushing fitted")
            .required()
            .usual(3e-3, 0.03),
        yes_no("bushing", "the hole is bushed").is("no"),
        quantity("edge-radius", D::Length, "radius of the bare hole's edge").usual(0.0, 5e-3),
        word("anchorage", Anchorage::CHOICES, "what holds the cord").required(),
        property("clamp-range", Shape::Quantity(D::Length), "cord sizes the clamp grips: 4 mm .. 8 mm")
            .within(0.0, 1.0)
            .usual(1e-3, 0.03),
    ],
    blocks: &[],
};

const FUSE: Block = Block {
    kind: "fuse",
    arity: Arity::Optional,
    part: true,
    doc: "the fuse inside the lamp",
    properties: &[
        quantity("rating", D::Current, "rated current").required().usual(0.03, 10.0),
        word("speed", FuseSpeed::CHOICES, "how quickly it acts").required(),
        word("breaking", Breaking::CHOICES, "short-circuit current it can break").required(),
        word("pole", Pole::CHOICES, "conductor it opens").is("line"),
        quantity("melting", D::JouleIntegral, "melting I²t from its data sheet").usual(1e-3, 1e3),
    ],
    blocks: &[],
};

const SWITCH: Block = Block {
    kind: "switch",
    arity: Arity::Optional,
    part: true,
    doc: "a switch in the mains",
    properties: &[
        count("poles", "poles it opens").required().usual(1.0, 2.0),
        word("pole", Pole::CHOICES, "conductor a single pole opens").is("line"),
        word("place", SwitchPlace::CHOICES, "where it sits").is("body"),
        quantity("rating", D::Current, "rated current").usual(0.5, 20.0),
    ],
    blocks: &[],
};

const INLET: Block = Block {
    kind: "inlet",
    arity: Arity::Optional,
    part: true,
    doc: "an appliance inlet in place of a fixed cord",
    properties: &[word("kind", InletKind::CHOICES, "its standard sheet").required()],
    blocks: &[],
};

const METAL: Block = Block {
    kind: "metal",
    arity: Arity::Named,
    part: false,
    doc: "a metal part of the lamp: each has its own row on the safety and dead-test sheets",
    properties: &[
        yes_no("touchable", "can be touched with the lamp closed").required(),
        yes_no("bonded", "joined to protective earth").is("no"),
        word("insulation", Insulation::CHOICES, "insulation between it and live parts").is("none"),
    ],
    blocks: &[],
};

pub(super) const SUPPLY: Block = Block {
    kind: "supply",
    arity: Arity::One,
    part: true,
    doc: "the bought, closed supply that gives extra-low voltage, or the battery in its place",
    properties: &[
        word("place", Side::CHOICES, "where it sits").is("inside"),
        quantity("output", D::Voltage, "output voltage with its tolerance").required().usual(3.0, 60.0),
        quantity("power", D::Power, "rated output power").required().usual(1.0, 300.0),
        quantity("open-circuit", D::Voltage, "highest output without load").usual(3.0, 120.0),
        word("isolation", Insulation::CHOICES, "insulation between its mains side and its output"),
        quantity("derate", D::Number, "share of the rating used where it gives no derating curve")
            .is("90 %")
            .within(0.0, 1.0),
        quantity("full-until", D::Temperature, "air temperature up to which it gives its whole rating")
            .usual(293.15, 363.15),
        quantity("derate-slope", D::PerTemperature, "share of the rating lost for each kelvin above that")
            .usual(1e-3, 0.1),
        quantity("efficiency", D::Number, "output power over input power")
            .is("80 %")
            .within(0.01, 1.0)
            .usual(0.5, 0.97),
        quantity("power-factor", D::Number, "power factor at full load").is("0.5").within(0.05, 1.0),
        quantity("inrush", D::JouleIntegral, "I²t of its inrush").usual(1e-4, 100.0),
        quantity("ripple", D::Voltage, "peak-to-peak output ripple").usual(1e-3, 5.0),
        quantity("minimum-load", D::Power, "least load it regulates at").usual(0.0, 50.0),
        quantity("start-capacitance", D::Capacitance, "most capacitance it starts into").usual(1e-5, 0.1),
        quantity("discharge", D::Time, "wait after unplugging before it is touched").is("60 s").usual(1.0, 1800.0),
        quantity("case-limit", D::Temperature, "hottest its case may get, its t_c").usual(313.15, 383.15),
        property("life", Shape::QuantityAt(D::Time, D::Temperature), "life of its capacitors: 5000 h at 105 °C"),
        property("size", Shape::Size, "outside, without its leads").usual(5e-3, 0.6),
    ],
    blocks: &[BATTERY],
};

const BATTERY: Block = Block {
    kind: "battery",
    arity: Arity::Optional,
    part: false,
    doc: "a battery that feeds the lamp; the supply's output is then its voltage from empty to full",
    properties: &[
        word("chemistry", Chemistry::CHOICES, "what it stores charge in").required(),
        count("cells", "cells in a row").required().within(1.0, 40.0),
        quantity("capacity", D::Charge, "rated charge: 7 Ah").usual(360.0, 1e6),
        quantity("fault", D::Current, "short-circuit current it can give").usual(5.0, 1e4),
        quantity("surge", D::Voltage, "highest voltage on its wires, charging and load shed included")
            .usual(3.0, 120.0),
        quantity("withstand", D::Voltage, "highest voltage that driver and controller stand at their input")
            .usual(3.0, 120.0),
        quantity("cutoff", D::Voltage, "voltage at which the lamp is taken off it").usual(0.8, 60.0),
        word("polarity", Polarity::CHOICES, "what keeps plus from minus when it is joined"),
    ],
    blocks: &[Block {
        kind: "fuse",
        arity: Arity::Optional,
        // A part of the kind `fuse` is one of the mains; it has other figures.
        part: false,
        doc: "the fuse in its plus wire",
        properties: &[
            quantity("rating", D::Current, "rated current").required().usual(0.1, 60.0),
            quantity("voltage", D::Voltage, "direct voltage it is made for").usual(5.0, 500.0),
            quantity("breaking", D::Current, "direct current it can break, by its sheet").usual(10.0, 2e5),
            quantity("distance", D::Length, "wire from the battery's plus to it").usual(5e-3, 2.0),
        ],
        blocks: &[],
    }],
};
