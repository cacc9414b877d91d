//! Blocks `lamp`, `aim`, `stock` and `workshop`: what it is, what it must reach, what is at hand.

use crate::diag::Span;
use crate::language::document::Date;
use crate::quantity::{Kelvin, Kilograms, Lumens, PerKelvin, Seconds, Temperature, Watts};
use crate::schema::words::{Instrument, Mount, PaperSize, Place, PowerReturn, Region, Series};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// What this lamp is and where it will live.
#[derive(Debug, Clone, PartialEq)]
pub struct Identity {
    /// `revision`.
    pub revision: Given<String>,
    /// `date`.
    pub date: Given<Date>,
    /// `region`.
    pub region: Given<Region>,
    /// `place`.
    pub place: Given<Place>,
    /// `mount`.
    pub mount: Given<Mount>,
    /// `room`.
    pub room: Given<Spread<Temperature>>,
    /// `quantity`.
    pub quantity: Given<u32>,
    /// `children`.
    pub children: Given<bool>,
    /// `mass`.
    pub mass: Given<Spread<Kilograms>>,
    /// `maker`.
    pub maker: Given<String>,
    /// `model`.
    pub model: Given<String>,
}

impl Identity {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            revision: block.text("revision"),
            date: block.date("date"),
            region: block.word("region"),
            place: block.word("place"),
            mount: block.word("mount"),
            room: block.quantity("room"),
            quantity: block.count("quantity"),
            children: block.yes_no("children"),
            mass: block.quantity("mass"),
            maker: block.text("maker"),
            model: block.text("model"),
        }
    }
}

/// What the lamp must reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Aim {
    /// `flux`.
    pub flux: Given<Spread<Lumens>>,
    /// `lowest`.
    pub lowest: Given<f64>,
    /// `settle`.
    pub settle: Given<Spread<Seconds>>,
    /// `power-return`.
    pub power_return: Given<PowerReturn>,
    /// `life`.
    pub life: Given<Spread<Seconds>>,
    /// `touch`.
    pub touch: Given<Spread<Temperature>>,
    /// `evenness`.
    pub evenness: Given<f64>,
    /// `exposure`.
    pub exposure: Given<Spread<Seconds>>,
    /// `white`.
    pub whites: Vec<White>,
    /// `colour`.
    pub colours: Vec<Colour>,
}

impl Aim {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            flux: block.quantity("flux"),
            lowest: block.ratio("lowest"),
            settle: block.quantity("settle"),
            power_return: block.word("power-return"),
            life: block.quantity("life"),
            touch: block.quantity("touch"),
            evenness: block.ratio("evenness"),
            exposure: block.quantity("exposure"),
            whites: block.named("white", White::read),
            colours: block.named("colour", Colour::read),
        }
    }
}

/// A white to mix.
#[derive(Debug, Clone, PartialEq)]
pub struct White {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `temperature`.
    pub temperature: Given<Spread<Kelvin>>,
    /// `duv`.
    pub duv: Given<f64>,
    /// `flux`.
    pub flux: Given<Spread<Lumens>>,
}

impl White {
    fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            temperature: block.quantity("temperature"),
            duv: block.ratio("duv"),
            flux: block.quantity("flux"),
        }
    }
}

/// A colour to mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Colour {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `x`.
    pub x: Given<f64>,
    /// `y`.
    pub y: Given<f64>,
    /// `u`.
    pub u: Given<f64>,
    /// `v`.
    pub v: Given<f64>,
    /// `flux`.
    pub flux: Given<Spread<Lumens>>,
}

impl Colour {
    fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            x: block.ratio("x"),
            y: block.ratio("y"),
            u: block.ratio("u"),
            v: block.ratio("v"),
            flux: block.quantity("flux"),
        }
    }
}

/// What the drawers hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// `resistors`.
    pub resistors: Given<Series>,
    /// `resistor-tolerance`.
    pub resistor_tolerance: Given<f64>,
    /// `resistor-drift`.
    pub resistor_drift: Given<Spread<PerKelvin>>,
    /// `resistor-rating`.
    pub resistor_rating: Given<Spread<Watts>>,
    /// `capacitors`.
    pub capacitors: Given<Series>,
    /// `capacitor-tolerance`.
    pub capacitor_tolerance: Given<f64>,
    /// `loss`.
    pub loss: Given<f64>,
    /// `pack`.
    pub pack: Given<u32>,
}

impl Stock {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            resistors: block.word("resistors"),
            resistor_tolerance: block.ratio("resistor-tolerance"),
            resistor_drift: block.quantity("resistor-drift"),
            resistor_rating: block.quantity("resistor-rating"),
            capacitors: block.word("capacitors"),
            capacitor_tolerance: block.ratio("capacitor-tolerance"),
            loss: block.ratio("loss"),
            pack: block.count("pack"),
        }
    }
}

/// The bench this lamp is built on.
#[derive(Debug, Clone, PartialEq)]
pub struct Workshop {
    /// `paper`.
    pub paper: Given<PaperSize>,
    /// `instruments`.
    pub instruments: Given<Vec<Instrument>>,
    /// `soak`.
    pub soak: Given<Spread<Seconds>>,
}

impl Workshop {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self { paper: block.word("paper"), instruments: block.words("instruments"), soak: block.quantity("soak") }
    }
}
