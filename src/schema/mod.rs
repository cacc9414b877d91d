//! Every block and property of the language, declared once: checking, defaults, plausibility, `tidy`'s order,
//! the language reference and the rules' words all come from this table.

pub mod build;
pub mod dimension;
pub mod highlight;
pub mod places;
pub mod reference;
pub mod tables;
pub mod together;
pub mod words;

/// Statements at the top of a file that are no block of a lamp.
pub const TOP_WORDS: &[&str] = &["language", "use", "let", "part", "variant", "waive"];

/// What a property's value may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// A quantity of one dimension; may be an interval, carry a tolerance or a typical value, or be `unknown`.
    Quantity(Dimension),
    /// A quantity with the condition it holds at: `95 lm at 350 mA`.
    QuantityAt(Dimension, Dimension),
    /// A whole number.
    Count,
    /// One of these words.
    Word(&'static [Choice]),
    /// `yes` or `no`.
    YesNo,
    /// Quoted text.
    Text,
    /// A calendar date.
    Date,
    /// One to three lengths joined by `x`.
    Size,
    /// A point: two or three lengths in parentheses.
    Point,
    /// A closed run of points; a third length is the radius of the arc that reaches the point.
    Points,
    /// The name of a block of this kind in the lamp (`feeds red`).
    Reference(&'static str),
    /// A list of words.
    Words(&'static [Choice]),
    /// A list of references to blocks of this kind.
    References(&'static str),
}

impl Shape {
    /// The dimension of the figures it holds, conditions aside; nothing where a value is no figure.
    pub const fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Quantity(dimension) | Self::QuantityAt(dimension, _) => Some(dimension),
            Self::Count => Some(Dimension::Number),
            Self::Size | Self::Point | Self::Points => Some(Dimension::Length),
            Self::Word(_) | Self::YesNo | Self::Text | Self::Date => None,
            Self::Reference(_) | Self::Words(_) | Self::References(_) => None,
        }
    }
}

/// One word a property accepts, with its meaning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The word.
    pub word: &'static str,
    /// What it means, one line.
    pub doc: &'static str,
}

/// Dimensions the language knows, with the SI unit that stores them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// A pure number; `%` is 0.01.
    Number,
    /// A.
    Current,
    /// V.
    Voltage,
    /// Ω.
    Resistance,
    /// F.
    Capacitance,
    /// H.
    Inductance,
    /// W.
    Power,
    /// VA; kept apart from W so that a label never mixes them.
    ApparentPower,
    /// J.
    Energy,
    /// C; written `Ah` or `As`.
    Charge,
    /// A²·s.
    JouleIntegral,
    /// V/K.
    VoltagePerTemperature,
    /// V/s.
    SlewRate,
    /// m/s.
    Speed,
    /// Hz.
    Frequency,
    /// s.
    Time,
    /// m.
    Length,
    /// m²; `AWG` is one.
    Area,
    /// kg.
    Mass,
    /// kg/m³.
    Density,
    /// N.
    Force,
    /// N·m.
    Torque,
    /// Pa.
    Pressure,
    /// rad.
    Angle,
    /// K above absolute zero; written `°C`.
    Temperature,
    /// K, a difference.
    TemperatureDifference,
    /// 1/K.
    PerTemperature,
    /// K/W.
    ThermalResistance,
    /// W/K.
    ThermalConductance,
    /// W/(m·K).
    ThermalConductivity,
    /// W/(m²·K).
    HeatTransfer,
    /// lm.
    LuminousFlux,
    /// cd.
    LuminousIntensity,
    /// lx.
    Illuminance,
    /// lm/W.
    Efficacy,
}

/// What stands when the author says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Default {
    /// Nothing: the property is absent, and rules that need it are not checked.
    Absent,
    /// It must be written.
    Required,
    /// This value, in the language itself; listed on the assumption sheet.
    Is(&'static str),
}

/// One property.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Property {
    /// Name as written.
    pub name: &'static str,
    /// What its value may be.
    pub shape: Shape,
    /// What stands when nothing is written.
    pub default: Default,
    /// Usual range in SI units; outside it `spec/implausible` asks.
    pub usual: Option<(f64, f64)>,
    /// Hard bounds in SI units, inclusive; outside them the spec cannot be compiled (a negative length).
    pub bounds: Option<(f64, f64)>,
    /// One line of documentation, for the reference and for hover.
    pub doc: &'static str,
}

/// How often a block may stand in its parent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arity {
    /// Exactly once.
    One,
    /// At most once.
    Optional,
    /// Any number, each with a name of its own.
    Named,
}

/// One kind of block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// The word that opens it.
    pub kind: &'static str,
    /// How often.
    pub arity: Arity,
    /// Whether a `part` may be of this kind.
    pub part: bool,
    /// One line of documentation.
    pub doc: &'static str,
    /// Properties in canonical order.
    pub properties: &'static [Property],
    /// Blocks inside, in canonical order.
    pub blocks: &'static [Block],
}

/// The path of what stands below another: `driver.red` and `current` to `driver.red.current`; the root has no name.
pub fn joined(path: &str, step: &str) -> String {
    if path.is_empty() { step.to_owned() } else { [path, ".", step].concat() }
}

impl Block {
    /// The property of this name.
    pub fn property(&self, name: &str) -> Option<&'static Property> {
        self.properties.iter().find(|p| p.name == name)
    }
    /// The block of this kind.
    pub fn block(&self, kind: &str) -> Option<&'static Block> {
        self.blocks.iter().find(|b| b.kind == kind)
    }
}
