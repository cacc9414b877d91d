//! Block `emitter`: the dice and how they sit.

use crate::diag::Span;
use crate::quantity::{
    Amperes, KelvinPerWatt, Lumens, Metres, Ohms, PerKelvin, SquareMetres, Temperature, Volts, VoltsPerKelvin,
};
use crate::schema::words::Common;
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The light source.
#[derive(Debug, Clone)]
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
            dice: block.named("die").into_iter().map(|(name, b)| Die::read(name, &b)).collect(),
        }
    }
}

/// A die, or a string of equal dice in series.
#[derive(Debug, Clone)]
pub struct Die {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// The part it starts from.
    pub part: Option<String>,
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
    /// `efficiency`.
    pub efficiency: Given<f64>,
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
            part: block.part(),
            colour: block.text("colour"),
            count: block.count("count"),
            forward: block.quantity_at("forward"),
            slope: block.quantity("slope"),
            drift: block.quantity("drift"),
            most: block.quantity("most"),
            flux: block.quantity_at("flux"),
            efficiency: block.ratio("efficiency"),
            fade: block.quantity("fade"),
            thermal: block.quantity("thermal"),
            hottest: block.quantity("hottest"),
        }
    }
}
