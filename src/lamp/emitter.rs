//! Block `emitter`: the dice and how they sit.

use crate::diag::Span;
use crate::quantity::{
    Amperes, Kelvin, KelvinPerWatt, Lumens, Metres, Ohms, PerKelvin, Radians, SquareMetres, Temperature, Volts,
    VoltsPerKelvin,
};
use crate::schema::words::Common;
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The light source.
#[derive(Debug, Clone, PartialEq)]
pub struct Emitter {
    /// Where the block opens.
    pub span: Span,
    /// The part it starts from.
    pub part: Option<String>,
    /// `distance`.
    pub distance: Given<Spread<Metres>>,
    /// `pitch`.
    pub pitch: Given<Spread<Metres>>,
    /// `board`.
    pub board: Given<Spread<SquareMetres>>,
    /// `common`.
    pub common: Given<Common>,
    /// `reflectance`.
    pub reflectance: Given<f64>,
    /// `die`.
    pub dice: Vec<Die>,
}

impl Emitter {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            part: block.part(),
            distance: block.quantity("distance"),
            pitch: block.quantity("pitch"),
            board: block.quantity("board"),
            common: block.word("common"),
            reflectance: block.ratio("reflectance"),
            dice: block.named("die", Die::read),
        }
    }
}

/// A die, or a string of equal dice in series.
#[derive(Debug, Clone, PartialEq)]
pub struct Die {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `colour`.
    pub colour: Given<String>,
    /// `count`.
    pub count: Given<u32>,
    /// `forward`.
    pub forward: Given<(Spread<Volts>, Amperes)>,
    /// `slope`.
    pub slope: Given<Spread<Ohms>>,
    /// `drift`.
    pub drift: Given<Spread<VoltsPerKelvin>>,
    /// `most`.
    pub most: Given<Spread<Amperes>>,
    /// `flux`.
    pub flux: Given<(Spread<Lumens>, Amperes)>,
    /// `droop`.
    pub droop: Given<f64>,
    /// `peak`.
    pub peak: Given<Spread<Metres>>,
    /// `width`.
    pub width: Given<Spread<Metres>>,
    /// `white`.
    pub white: Given<Spread<Kelvin>>,
    /// `duv`.
    pub duv: Given<f64>,
    /// `x`.
    pub x: Given<f64>,
    /// `y`.
    pub y: Given<f64>,
    /// `beam`.
    pub beam: Given<Spread<Radians>>,
    /// `lit`.
    pub lit: Given<Spread<Metres>>,
    /// `first`.
    pub first: Given<Vec<Metres>>,
    /// `step`.
    pub step: Given<Vec<Metres>>,
    /// `row`.
    pub row: Given<u32>,
    /// `row-step`.
    pub row_step: Given<Vec<Metres>>,
    /// `efficiency`.
    pub efficiency: Given<f64>,
    /// `stated-at`.
    pub stated_at: Given<Spread<Temperature>>,
    /// `fade`.
    pub fade: Given<Spread<PerKelvin>>,
    /// `thermal`.
    pub thermal: Given<Spread<KelvinPerWatt>>,
    /// `hottest`.
    pub hottest: Given<Spread<Temperature>>,
}

impl Die {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            colour: block.text("colour"),
            count: block.count("count"),
            forward: block.quantity_at("forward"),
            slope: block.quantity("slope"),
            drift: block.quantity("drift"),
            most: block.quantity("most"),
            flux: block.quantity_at("flux"),
            droop: block.ratio("droop"),
            peak: block.quantity("peak"),
            width: block.quantity("width"),
            white: block.quantity("white"),
            duv: block.ratio("duv"),
            x: block.ratio("x"),
            y: block.ratio("y"),
            beam: block.quantity("beam"),
            lit: block.quantity("lit"),
            first: block.lengths("first"),
            step: block.lengths("step"),
            row: block.count("row"),
            row_step: block.lengths("row-step"),
            efficiency: block.ratio("efficiency"),
            stated_at: block.quantity("stated-at"),
            fade: block.quantity("fade"),
            thermal: block.quantity("thermal"),
            hottest: block.quantity("hottest"),
        }
    }
}
