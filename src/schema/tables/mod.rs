//! The root of the schema: what may stand at the top of a spec, and the blocks that say what the lamp is and must do.

mod board;
mod body;
mod built;
mod cut;
mod drive;
mod layout;
mod mains;
mod waive;

use super::Dimension as D;
use super::build::{count, property, quantity, word, yes_no};
use super::words::{Instrument, Mount, PaperSize, Place, PowerReturn, Region, Series};
use super::{Arity, Block, Shape};

pub use built::BUILT;
pub use waive::WAIVE;

/// The root: the blocks of a lamp, in the order a spec is best read.
pub static ROOT: Block = Block {
    kind: "",
    arity: Arity::One,
    part: false,
    doc: "a lamp",
    properties: &[],
    blocks: &[
        LAMP,
        AIM,
        mains::MAINS,
        mains::SUPPLY,
        drive::CONTROLLER,
        drive::DRIVER,
        drive::EMITTER,
        body::SINK,
        body::ENCLOSURE,
        layout::LAYOUT,
        board::BOARD,
        body::DIFFUSER,
        body::WIRING,
        STOCK,
        WORKSHOP,
    ],
};

const LAMP: Block = Block {
    kind: "lamp",
    arity: Arity::One,
    part: false,
    doc: "what this lamp is and where it will live; the block's name is the lamp's name in quotes",
    properties: &[
        property("revision", Shape::Text, "revision printed on every page; without it the packet is a draft"),
        property("date", Shape::Date, "date of the revision"),
        word("region", Region::CHOICES, "whose mains, colours, terms and paper").required(),
        word("place", Place::CHOICES, "surroundings").required(),
        word("mount", Mount::CHOICES, "how it is held").required(),
        quantity("room", D::Temperature, "coldest to warmest room it must work in")
            .is("10 °C .. 30 °C")
            .usual(253.15, 328.15),
        count("quantity", "how many are built").is("1"),
        yes_no("children", "within reach of children, or for them").is("no"),
        quantity("mass", D::Mass, "mass of the finished lamp").usual(0.02, 30.0),
        property("maker", Shape::Text, "who answers for it: first line of the rating label"),
        property("model", Shape::Text, "model name on the rating label"),
    ],
    blocks: &[],
};

const AIM: Block = Block {
    kind: "aim",
    arity: Arity::One,
    part: false,
    doc: "what the lamp must reach",
    properties: &[
        quantity("flux", D::LuminousFlux, "light that leaves the diffuser, all channels on").usual(1.0, 20e3),
        quantity("lowest", D::Number, "lowest dimmed level wanted, as a share of full").is("1 %").within(0.0, 1.0),
        quantity("settle", D::Time, "longest time a new level may take to settle").is("0.2 s").usual(1e-4, 5.0),
        word("power-return", PowerReturn::CHOICES, "what the light does when power returns").is("last"),
        quantity("life", D::Time, "how long it must last").usual(3.6e5, 1e9),
        quantity("touch", D::Temperature, "warmest touchable surface accepted").usual(303.15, 373.15),
        quantity("evenness", D::Number, "darkest over brightest part of the lit sheet, all on")
            .within(0.0, 1.0)
            .usual(0.1, 0.95),
        quantity("exposure", D::Time, "shutter time of a camera that must see no bands; of a range its shortest time counts, which shows the deepest bands").usual(1e-4, 0.1),
    ],
    blocks: &[WHITE, COLOUR],
};

const WHITE: Block = Block {
    kind: "white",
    arity: Arity::Named,
    part: false,
    doc: "a white the lamp must mix",
    properties: &[
        quantity("temperature", D::TemperatureDifference, "its colour temperature: 2700 K")
            .required()
            .within(1000.0, 20e3)
            .usual(1800.0, 10e3),
        quantity("duv", D::Number, "its distance from the locus").signed().is("0").usual(-0.02, 0.02),
        quantity("flux", D::LuminousFlux, "light wanted of it, out of the lamp; the most when not written")
            .usual(0.1, 20e3),
    ],
    blocks: &[],
};

const COLOUR: Block = Block {
    kind: "colour",
    arity: Arity::Named,
    part: false,
    doc: "a colour the lamp must mix, by x and y or by u and v",
    properties: &[
        quantity("x", D::Number, "CIE 1931 x").within(0.0, 0.8),
        quantity("y", D::Number, "CIE 1931 y").within(0.01, 0.9),
        quantity("u", D::Number, "CIE 1976 u', in place of x").within(0.0, 0.7),
        quantity("v", D::Number, "CIE 1976 v', in place of y").within(0.01, 0.6),
        quantity("flux", D::LuminousFlux, "light wanted of it, out of the lamp; the most when not written")
            .usual(0.1, 20e3),
    ],
    blocks: &[],
};

const STOCK: Block = Block {
    kind: "stock",
    arity: Arity::One,
    part: false,
    doc: "what the drawers hold: values that the program chooses come from here",
    properties: &[
        word("resistors", Series::CHOICES, "preferred number series of the resistors").is("e24"),
        quantity("resistor-tolerance", D::Number, "their tolerance").is("1 %").usual(1e-4, 0.2),
        quantity("resistor-drift", D::PerTemperature, "change of their value for each kelvin, either way")
            .is("0.01 %/K")
            .usual(0.0, 2e-3),
        quantity("resistor-rating", D::Power, "power rating of the small ones").is("0.25 W").usual(0.05, 5.0),
        word("capacitors", Series::CHOICES, "preferred number series of the capacitors").is("e6"),
        quantity("capacitor-tolerance", D::Number, "their tolerance").is("10 %").usual(1e-3, 0.8),
        quantity("loss", D::Number, "share of small parts and wire that gets lost or spoiled, on a batch's pick list")
            .within(0.0, 1.0)
            .usual(0.0, 0.3),
        count("pack", "small parts come in packs of so many, on a batch's pick list"),
    ],
    blocks: &[],
};

const WORKSHOP: Block = Block {
    kind: "workshop",
    arity: Arity::One,
    part: false,
    doc: "the bench this lamp is built on",
    properties: &[
        word("paper", PaperSize::CHOICES, "paper in the printer; by region when not written"),
        property(
            "instruments",
            Shape::Words(Instrument::CHOICES),
            "what is at hand; tests that need more are listed as work to have done",
        )
        .is("[meter, bench-supply]"),
        quantity("soak", D::Time, "how long the first soak will be watched; worked out when not written")
            .usual(600.0, 1e6),
    ],
    blocks: &[],
};

#[cfg(test)]
mod tests {
    use super::*;

    /// A part is found by its kind alone.
    #[test]
    fn a_kind_of_part_stands_in_one_place() {
        fn kinds(block: &'static Block, found: &mut Vec<&'static str>) {
            for inner in block.blocks {
                found.extend(inner.part.then_some(inner.kind));
                kinds(inner, found);
            }
        }
        let mut found = Vec::new();
        kinds(&ROOT, &mut found);
        found.sort_unstable();
        let twice: Vec<_> = found.windows(2).filter(|pair| pair[0] == pair[1]).collect();
        assert!(twice.is_empty(), "{twice:?}");
    }
}
