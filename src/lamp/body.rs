//! Blocks `sink` and `enclosure`: what cools and what closes.

use crate::diag::Span;
use crate::quantity::{KelvinPerWatt, Metres, Radians, SquareMetres, WattsPerMetreKelvin, WattsPerSquareMetreKelvin};
use crate::schema::words::{Body, BodyMaterial, Face, FinsStand, Flame, Front, Lid, Side, Zone};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The heatsink behind the emitter.
#[derive(Debug, Clone, PartialEq)]
pub struct Sink {
    /// Where the block opens.
    pub span: Span,
    /// `thermal`.
    pub thermal: Given<Spread<KelvinPerWatt>>,
    /// `place`.
    pub place: Given<Side>,
    /// `size`.
    pub size: Given<Vec<Metres>>,
    /// `fins`.
    pub fins: Option<Fins>,
    /// `interface`.
    pub interface: Option<Interface>,
    /// `hole`.
    pub holes: Vec<super::diffuser::Hole>,
}

impl Sink {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            thermal: block.quantity("thermal"),
            place: block.word("place"),
            size: block.lengths("size"),
            fins: block.optional("fins", Fins::read),
            interface: block.optional("interface", Interface::read),
            holes: block.named("hole", super::diffuser::Hole::read),
        }
    }
}

/// The straight fins of a sink.
#[derive(Debug, Clone, PartialEq)]
pub struct Fins {
    /// Where the block opens.
    pub span: Span,
    /// `count`.
    pub count: Given<u32>,
    /// `thickness`.
    pub thickness: Given<Spread<Metres>>,
    /// `base`.
    pub base: Given<Spread<Metres>>,
    /// `stand`.
    pub stand: Given<FinsStand>,
    /// `conductivity`.
    pub conductivity: Given<Spread<WattsPerMetreKelvin>>,
    /// `emissivity`.
    pub emissivity: Given<f64>,
}

impl Fins {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            count: block.count("count"),
            thickness: block.quantity("thickness"),
            base: block.quantity("base"),
            stand: block.word("stand"),
            conductivity: block.quantity("conductivity"),
            emissivity: block.ratio("emissivity"),
        }
    }
}

/// The layer between emitter and sink.
#[derive(Debug, Clone, PartialEq)]
pub struct Interface {
    /// Where the block opens.
    pub span: Span,
    /// `thickness`.
    pub thickness: Given<Spread<Metres>>,
    /// `conductivity`.
    pub conductivity: Given<Spread<WattsPerMetreKelvin>>,
    /// `area`.
    pub area: Given<Spread<SquareMetres>>,
}

impl Interface {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            thickness: block.quantity("thickness"),
            conductivity: block.quantity("conductivity"),
            area: block.quantity("area"),
        }
    }
}

/// The body.
#[derive(Debug, Clone, PartialEq)]
pub struct Enclosure {
    /// Where the block opens.
    pub span: Span,
    /// `shape`.
    pub shape: Given<Body>,
    /// `size`.
    pub size: Given<Vec<Metres>>,
    /// `material`.
    pub material: Given<BodyMaterial>,
    /// `wall`.
    pub wall: Given<Spread<Metres>>,
    /// `opening`.
    pub opening: Given<Spread<Metres>>,
    /// `reflectance`.
    pub reflectance: Given<f64>,
    /// `front`.
    pub front: Given<Front>,
    /// `emissivity`.
    pub emissivity: Given<f64>,
    /// `printed`.
    pub printed: Given<bool>,
    /// `holds-live`.
    pub holds_live: Given<bool>,
    /// `only-insulation`.
    pub only_insulation: Given<bool>,
    /// `flame`.
    pub flame: Given<Flame>,
    /// `lid`.
    pub lid: Given<Lid>,
    /// `opens`.
    pub opens: Given<Face>,
    /// `terminals-covered`.
    pub terminals_covered: Given<bool>,
    /// `heat-transfer`.
    pub heat_transfer: Given<Spread<WattsPerSquareMetreKelvin>>,
    /// `vent`.
    pub vents: Vec<Vent>,
    /// `hole`.
    pub holes: Vec<Drilled>,
    /// `print`.
    pub print: Option<Print>,
}

impl Enclosure {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            shape: block.word("shape"),
            size: block.lengths("size"),
            material: block.word("material"),
            wall: block.quantity("wall"),
            opening: block.quantity("opening"),
            reflectance: block.ratio("reflectance"),
            front: block.word("front"),
            emissivity: block.ratio("emissivity"),
            printed: block.yes_no("printed"),
            holds_live: block.yes_no("holds-live"),
            only_insulation: block.yes_no("only-insulation"),
            flame: block.word("flame"),
            lid: block.word("lid"),
            opens: block.word("opens"),
            terminals_covered: block.yes_no("terminals-covered"),
            heat_transfer: block.quantity("heat-transfer"),
            vents: block.named("vent", Vent::read),
            holes: block.named("hole", Drilled::read),
            print: block.optional("print", Print::read),
        }
    }
}

/// A group of openings in the body.
#[derive(Debug, Clone, PartialEq)]
pub struct Vent {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `width`.
    pub width: Given<Spread<Metres>>,
    /// `length`.
    pub length: Given<Spread<Metres>>,
    /// `count`.
    pub count: Given<u32>,
    /// `level`.
    pub level: Given<Spread<Metres>>,
    /// `over`.
    pub over: Given<Zone>,
    /// `reach`.
    pub reach: Given<Spread<Metres>>,
    /// `baffle`.
    pub baffle: Given<bool>,
}

impl Vent {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            width: block.quantity("width"),
            length: block.quantity("length"),
            count: block.count("count"),
            level: block.quantity("level"),
            over: block.word("over"),
            reach: block.quantity("reach"),
            baffle: block.yes_no("baffle"),
        }
    }
}

/// A hole in the body.
#[derive(Debug, Clone, PartialEq)]
pub struct Drilled {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `diameter`.
    pub diameter: Given<Spread<Metres>>,
    /// `face`.
    pub face: Given<Face>,
    /// `at`.
    pub at: Given<Vec<Metres>>,
    /// `towards`.
    pub towards: Given<Spread<Radians>>,
    /// `level`.
    pub level: Given<Spread<Metres>>,
    /// `filled`.
    pub filled: Given<bool>,
    /// `over`.
    pub over: Given<Zone>,
    /// `reach`.
    pub reach: Given<Spread<Metres>>,
}

impl Drilled {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            diameter: block.quantity("diameter"),
            face: block.word("face"),
            at: block.lengths("at"),
            towards: block.quantity("towards"),
            level: block.quantity("level"),
            filled: block.yes_no("filled"),
            over: block.word("over"),
            reach: block.quantity("reach"),
        }
    }
}

/// How the body is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct Print {
    /// `layer`.
    pub layer: Given<Spread<Metres>>,
    /// `line`.
    pub line: Given<Spread<Metres>>,
    /// `infill`.
    pub infill: Given<f64>,
    /// `bed`.
    pub bed: Given<Face>,
    /// `screws`.
    pub screws: Given<u32>,
    /// `screw`.
    pub screw: Given<Spread<Metres>>,
    /// `inserts`.
    pub inserts: Given<bool>,
}

impl Print {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            layer: block.quantity("layer"),
            line: block.quantity("line"),
            infill: block.ratio("infill"),
            bed: block.word("bed"),
            screws: block.count("screws"),
            screw: block.quantity("screw"),
            inserts: block.yes_no("inserts"),
        }
    }
}
