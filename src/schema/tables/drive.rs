//! Schema of controller, driver and emitter: what makes, steers and turns current into light.

use crate::schema::Dimension as D;
use crate::schema::build::{count, property, quantity, word, yes_no};
use crate::schema::words::{Boot, Common, OpenInput, PinUse, Pull, Reference, ShutoffKind, Strap, Topology};
use crate::schema::{Arity, Block, Shape};

pub(super) const CONTROLLER: Block = Block {
    kind: "controller",
    arity: Arity::Optional,
    part: true,
    doc: "the bought controller board",
    properties: &[
        quantity("logic", D::Voltage, "level of a high output, with its tolerance").required().usual(1.5, 5.5),
        quantity("logic-drift", D::PerTemperature, "change of that level for each kelvin, either way")
            .is("0.01 %/K")
            .usual(0.0, 2e-3),
        quantity("power", D::Power, "mean power it takes from the supply, converter included")
            .is("1 W")
            .usual(0.01, 10.0),
        quantity("clock", D::Frequency, "clock of its pulse-width timer").required().usual(1e5, 1e9),
        quantity("pin-limit", D::Current, "most current of one pin").is("20 mA").usual(1e-3, 0.1),
        quantity("pin-leak", D::Current, "leakage of a floating pin").is("1 µA").usual(1e-9, 1e-4),
        quantity("pin-resistance", D::Resistance, "output resistance of a pin").is("40 Ω").usual(1.0, 500.0),
        quantity("pull-up", D::Resistance, "resistance of its own pull-ups").is("45 kΩ").usual(1e3, 1e6),
        quantity("strap-high", D::Number, "share of the logic level that reads as high").is("75 %").within(0.0, 1.0),
        quantity("strap-low", D::Number, "share of the logic level that reads as low").is("25 %").within(0.0, 1.0),
        quantity("start", D::Time, "time from power to running firmware").is("250 ms").usual(1e-3, 20.0),
        property("size", Shape::Size, "outside").usual(5e-3, 0.3),
    ],
    blocks: &[Block {
        kind: "pin",
        arity: Arity::Named,
        part: false,
        doc: "a pin that the lamp uses, as the controller's sheet describes it",
        properties: &[
            word("boot", Boot::CHOICES, "what it does while the controller starts").is("floating"),
            word("strap", Strap::CHOICES, "level it must read at that time").is("none"),
            word("use", PinUse::CHOICES, "what it can do").is("both"),
            yes_no("console", "messages come out of it at reset").is("no"),
            word("pull", Pull::CHOICES, "the controller's own pull at reset").is("none"),
        ],
        blocks: &[],
    }],
};

pub(super) const DRIVER: Block = Block {
    kind: "driver",
    arity: Arity::One,
    part: false,
    doc: "the current drive; what is not written here is chosen from the stock",
    properties: &[
        word("topology", Topology::CHOICES, "how the current is made").required(),
        word("reference", Reference::CHOICES, "what tells a channel its level").required(),
        quantity("pwm", D::Frequency, "frequency of the pulse-width modulation").usual(50.0, 1e6),
        count("bits", "resolution of the pulse-width modulation").is("12").within(1.0, 20.0),
        quantity("cap", D::Power, "most LED power the firmware allows at once").usual(0.1, 300.0),
        quantity("gain", D::Number, "gain of the sense amplifier").within(1.0, 1e3),
        quantity("sense-voltage", D::Voltage, "sense voltage aimed for at full current").is("0.25 V").usual(0.02, 2.0),
        quantity("off-time", D::Time, "switch open to switch closed: recovery, or a fixed time").usual(2e-8, 5e-5),
        quantity("ripple", D::Number, "inductor ripple aimed for, peak to peak over mean").is("30 %").within(0.01, 2.0),
        quantity("switching", D::Frequency, "switching frequency aimed for").is("200 kHz").usual(2e4, 3e6),
        quantity("bulk", D::Capacitance, "capacitors across the supply's output, all together").usual(1e-7, 0.1),
        quantity("air", D::Temperature, "air its parts work in; coldest room to 70 °C when not written")
            .usual(233.15, 423.15),
        quantity("spare", D::Voltage, "voltage the driver needs beyond its drops").is("0.3 V").usual(0.0, 5.0),
    ],
    blocks: &[AMPLIFIER, COMPARATOR, INDUCTOR, DIODE, TRANSISTOR, MODULE, FILTER, CHANNEL, SHUTOFF],
};

const AMPLIFIER: Block = Block {
    kind: "amplifier",
    arity: Arity::Optional,
    part: true,
    doc: "the amplifier of the sense signal, or of the linear sink",
    properties: &[
        quantity("bandwidth", D::Frequency, "gain-bandwidth product").usual(1e5, 1e9),
        quantity("slew", D::SlewRate, "slew rate").usual(1e4, 1e9),
        quantity("offset", D::Voltage, "largest input offset").usual(1e-6, 0.02),
        quantity("offset-drift", D::VoltagePerTemperature, "its change for each kelvin, either way")
            .is("10 µV/K")
            .usual(0.0, 1e-3),
        quantity("open-gain", D::Number, "least gain without feedback; 83 dB when not written, least of common parts")
            .is("15000")
            .within(10.0, 1e9)
            .usual(1e3, 1e8),
        quantity("output-low", D::Voltage, "lowest output").usual(0.0, 2.0),
        quantity("output-high", D::Voltage, "highest output").usual(1.0, 48.0),
        yes_no("ground-input", "its inputs work down to 0 V"),
    ],
    blocks: &[],
};

const COMPARATOR: Block = Block {
    kind: "comparator",
    arity: Arity::Optional,
    part: true,
    doc: "the comparator of the hysteretic sink",
    properties: &[
        quantity("delay", D::Time, "trip to switch open, gate driver included").usual(5e-9, 5e-6),
        quantity("offset", D::Voltage, "largest input offset").usual(1e-5, 0.05),
        quantity("offset-drift", D::VoltagePerTemperature, "its change for each kelvin, either way")
            .is("10 µV/K")
            .usual(0.0, 1e-3),
        quantity("input-high", D::Voltage, "highest voltage its inputs work at").usual(0.5, 48.0),
    ],
    blocks: &[],
};

const INDUCTOR: Block = Block {
    kind: "inductor",
    arity: Arity::Optional,
    part: true,
    doc: "the inductor of each channel",
    properties: &[
        quantity("inductance", D::Inductance, "inductance with its tolerance").usual(1e-6, 1e-1),
        quantity("drift", D::PerTemperature, "its change for each kelvin, either way; left out when not written")
            .usual(0.0, 5e-3),
        quantity("resistance", D::Resistance, "winding resistance").usual(1e-3, 50.0),
        quantity("saturation", D::Current, "saturation current").usual(0.01, 50.0),
    ],
    blocks: &[],
};

const DIODE: Block = Block {
    kind: "diode",
    arity: Arity::Optional,
    part: true,
    doc: "the freewheel diode of each channel",
    properties: &[
        quantity("drop", D::Voltage, "forward drop at the working current").usual(0.15, 1.5),
        quantity("current", D::Current, "rated mean current").usual(0.05, 50.0),
        quantity("voltage", D::Voltage, "rated reverse voltage").usual(10.0, 600.0),
    ],
    blocks: &[],
};

const TRANSISTOR: Block = Block {
    kind: "transistor",
    arity: Arity::Optional,
    part: true,
    doc: "the switch or linear transistor of each channel",
    properties: &[
        quantity("on-resistance", D::Resistance, "on-resistance, cold").usual(1e-4, 20.0),
        quantity("voltage", D::Voltage, "rated voltage").usual(8.0, 600.0),
        quantity("gate-full", D::Voltage, "gate voltage its on-resistance is stated at").usual(0.9, 12.0),
        quantity("gate-drive", D::Voltage, "gate voltage it gets; the logic level when not written").usual(1.5, 20.0),
        quantity("threshold", D::Voltage, "lowest gate threshold").usual(0.2, 6.0),
        quantity("gate-charge", D::Charge, "switching part of the gate charge").usual(1e-11, 1e-6),
        quantity("gate-resistance", D::Resistance, "resistance in the gate's path").is("10 Ω").usual(0.5, 1e3),
        quantity("thermal", D::ThermalResistance, "junction to the air inside").usual(1.0, 500.0),
        quantity("hottest", D::Temperature, "highest junction temperature").is("125 °C").usual(353.15, 473.15),
    ],
    blocks: &[],
};

const MODULE: Block = Block {
    kind: "module",
    arity: Arity::Optional,
    part: true,
    doc: "the bought constant-current module, one a channel",
    properties: &[
        quantity("input", D::Voltage, "input voltages it works at: 6 V .. 36 V").usual(3.0, 80.0),
        quantity("dropout", D::Voltage, "what it needs above the string").usual(0.05, 6.0),
        quantity("output-low", D::Voltage, "lowest string voltage it regulates").usual(0.0, 50.0),
        quantity("sense-voltage", D::Voltage, "voltage over its set resistor").usual(0.02, 2.0),
        quantity("tolerance", D::Number, "of its current, set resistor aside").is("5 %").usual(1e-3, 0.3),
        quantity(
            "drift",
            D::PerTemperature,
            "change of its current for each kelvin, either way; none when not written",
        )
        .usual(0.0, 2e-3),
        quantity("most", D::Current, "most current it gives").usual(0.01, 20.0),
        quantity("efficiency", D::Number, "output power over input power")
            .is("88 %")
            .within(0.01, 1.0)
            .usual(0.5, 0.99),
        quantity("dim-most", D::Frequency, "highest dimming frequency").usual(50.0, 1e6),
        quantity("on-least", D::Time, "shortest on-time it follows").usual(1e-8, 1e-2),
        quantity("dim-high", D::Voltage, "dimming input level that is surely on").usual(0.3, 5.0),
        quantity("dim-low", D::Voltage, "dimming input level that is surely off").usual(0.05, 3.0),
        word("open", OpenInput::CHOICES, "what its open dimming input does"),
        quantity("open-current", D::Current, "current its open dimming input gives").usual(1e-8, 1e-3),
    ],
    blocks: &[],
};

const FILTER: Block = Block {
    kind: "filter",
    arity: Arity::Optional,
    part: false,
    doc: "the low-pass filter of the reference, one a channel",
    properties: &[
        quantity("resistor", D::Resistance, "its resistor").usual(100.0, 1e6),
        quantity("capacitor", D::Capacitance, "its capacitor").usual(1e-10, 1e-4),
        count("stages", "sections in a row; a second is added where one settles too slowly").within(1.0, 2.0),
    ],
    blocks: &[],
};

const CHANNEL: Block = Block {
    kind: "channel",
    arity: Arity::Named,
    part: false,
    doc: "one separately dimmed string with its driver",
    properties: &[
        property("feeds", Shape::Reference("die"), "the die it feeds").required(),
        property("pin", Shape::Reference("pin"), "the controller's pin that steers it"),
        quantity("current", D::Current, "current wanted at full").required().within(1e-6, 100.0).usual(1e-3, 3.0),
        quantity("phase", D::Number, "where in the period of the modulation its pulse starts")
            .is("0 %")
            .within(0.0, 1.0),
        count("strings", "strings in parallel on this channel").is("1"),
        yes_no(
            "balanced",
            "each parallel string has its own ballast resistor; worked out for `ballast-resistor` alone",
        )
        .is("no"),
        quantity("sense", D::Resistance, "sense or set resistor").usual(5e-3, 100.0),
        quantity("sense-rating", D::Power, "its power rating; the stock's when not written").usual(0.05, 10.0),
        quantity("ballast", D::Resistance, "ballast resistor").within(0.0, 1e6).usual(0.0, 1e4),
        quantity("ballast-rating", D::Power, "its power rating; the stock's when not written").usual(0.05, 50.0),
        quantity("pull", D::Resistance, "resistor that holds the control line while the controller starts")
            .usual(100.0, 1e6),
        word("pull-to", Pull::CHOICES, "where that resistor goes").is("down"),
    ],
    blocks: &[],
};

const SHUTOFF: Block = Block {
    kind: "shutoff",
    arity: Arity::Optional,
    part: false,
    doc: "what takes all current away when the lamp is off",
    properties: &[
        word("kind", ShutoffKind::CHOICES, "how").required(),
        property("pin", Shape::Reference("pin"), "the controller's pin that steers it"),
    ],
    blocks: &[],
};

pub(super) const EMITTER: Block = Block {
    kind: "emitter",
    arity: Arity::One,
    part: true,
    doc: "the light source: its dice, and how it sits",
    properties: &[
        quantity("distance", D::Length, "dice to diffuser").usual(2e-3, 1.0),
        quantity("pitch", D::Length, "spacing of the dice of one channel").usual(1e-3, 1.0),
        quantity("board", D::Area, "area of its board on the wall, where there is no sink").usual(1e-5, 0.5),
        word("common", Common::CHOICES, "terminal the dice share").is("none"),
        quantity("reflectance", D::Number, "share of light that its board throws back")
            .is("80 %")
            .within(0.0, 0.99)
            .usual(0.03, 0.98),
    ],
    blocks: &[Block {
        kind: "die",
        arity: Arity::Named,
        part: true,
        doc: "a die, or a string of equal dice in series",
        properties: &[
            property("colour", Shape::Text, "its light in a few words: deep red, 2700 K white"),
            count("count", "dice in series").is("1"),
            property(
                "forward",
                Shape::QuantityAt(D::Voltage, D::Current),
                "forward voltage of one die: 2.0 V .. 2.2 V .. 2.5 V at 350 mA",
            )
            .required()
            .within(0.0, 1e3)
            .usual(1.4, 80.0),
            quantity("slope", D::Resistance, "dynamic resistance of one die").is("0.8 Ω").usual(0.01, 200.0),
            quantity("drift", D::VoltagePerTemperature, "change of forward voltage with temperature")
                .signed()
                .is("-2.5 mV/K")
                .usual(-0.01, 0.0),
            quantity("most", D::Current, "its absolute maximum current").usual(1e-3, 10.0),
            property(
                "flux",
                Shape::QuantityAt(D::LuminousFlux, D::Current),
                "light of one die, at the junction temperature of `stated-at`",
            )
            .within(0.0, 1e6)
            .usual(0.1, 1e4),
            quantity("droop", D::Number, "exponent of light over current, near the stated one")
                .is("0.9")
                .within(0.1, 1.2)
                .usual(0.6, 1.0),
            quantity("peak", D::Length, "peak wavelength of a single colour, cold: 632 nm").usual(380e-9, 780e-9),
            quantity("width", D::Length, "width of that peak at half its height: 18 nm")
                .within(1e-8, 1e-7)
                .usual(1e-8, 6e-8),
            quantity("white", D::TemperatureDifference, "colour temperature of a white: 2700 K")
                .within(1000.0, 20e3)
                .usual(1800.0, 10e3),
            quantity("duv", D::Number, "that white's distance from the locus; of the usual bins when not written")
                .signed()
                .usual(-0.02, 0.02),
            quantity("x", D::Number, "measured chromaticity, in place of peak or white").within(0.0, 0.8),
            quantity("y", D::Number, "measured chromaticity, in place of peak or white").within(0.01, 0.9),
            quantity("beam", D::Angle, "full angle at half intensity").is("120°").within(0.05, 3.1).usual(0.1, 2.6),
            quantity("lit", D::Length, "side or diameter of its lit face").is("1 mm").usual(1e-4, 0.05),
            property("first", Shape::Point, "place of its first die, from the middle of the sheet"),
            property("step", Shape::Point, "from each die to the next"),
            count("row", "dice in a row, before the next row begins"),
            property("row-step", Shape::Point, "from each row to the next"),
            quantity("efficiency", D::Number, "radiant power over electrical power, at the temperature of `stated-at`")
                .is("30 %")
                .within(0.0, 0.9)
                .usual(0.05, 0.7),
            quantity("stated-at", D::Temperature, "junction temperature its data sheet states flux and efficiency at")
                .is("25 °C")
                .usual(293.15, 393.15),
            quantity(
                "fade",
                D::PerTemperature,
                "share of its light lost for each kelvin of the junction; by its colour when not written",
            )
            .usual(0.0, 0.02),
            quantity("thermal", D::ThermalResistance, "junction to board, of real heat").usual(0.1, 300.0),
            quantity("hottest", D::Temperature, "highest junction temperature").is("105 °C").usual(333.15, 448.15),
        ],
        blocks: &[],
    }],
};
