//! What a spec says once `use`, parts, lets, expressions and one variant are worked out:
//! a tree of blocks whose every property is a typed, dimension-checked value with its place and origin.

use crate::diag::{Span, Spanned};
use crate::schema;

/// One resolved spec.
#[derive(Debug, Clone)]
pub struct Document {
    /// The variant that was laid over, if any.
    pub variant: Option<String>,
    /// All variants the spec declares, in order.
    pub variants: Vec<Spanned<String>>,
    /// The blocks of the lamp; the root itself has no kind.
    pub root: Node,
    /// Waivers as written.
    pub waivers: Vec<Waiver>,
    /// Every part that was brought in, and whether the lamp uses it.
    pub parts: Vec<Part>,
    /// The named values, with what they came to.
    pub lets: Vec<Named>,
}

/// A block.
#[derive(Debug, Clone)]
pub struct Node {
    /// Its row in the schema.
    pub schema: &'static schema::Block,
    /// Its name, where a lamp may have several.
    pub name: Option<Spanned<String>>,
    /// Where it opens: kind and name. For a block that only defaults made, the parent's.
    pub span: Span,
    /// False where nobody wrote the block and it stands for its defaults only.
    pub written: bool,
    /// The part it starts from.
    pub part: Option<Spanned<String>>,
    /// Its properties, in the schema's order.
    pub entries: Vec<Entry>,
    /// Its blocks: in the schema's order of kinds, those of one kind in the order written.
    pub nodes: Vec<Node>,
}

/// A property with its value.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its row in the schema.
    pub property: &'static schema::Property,
    /// The full path: `driver.red.current`, `mains.cord.core-area`.
    pub path: String,
    /// The value.
    pub value: Value,
    /// Where it was written: name and value; for a default, the block's span.
    pub span: Span,
    /// Who said so.
    pub origin: Origin,
    /// As written, for the working sheet: `enclosure.opening + 2 * rim`.
    pub text: String,
}

/// Who said so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// The spec itself.
    Written,
    /// The spec, overriding the figure of the part the block starts from.
    Overrides {
        /// The part's name.
        part: String,
        /// The part's own figure as written there.
        instead_of: String,
    },
    /// The part the block starts from.
    Part {
        /// The part's name.
        part: String,
        /// Where the part's figures come from, in its own words.
        from: Option<String>,
    },
    /// The variant laid over.
    Variant(String),
    /// Nobody: the schema's default.
    Default,
}

/// A typed value, in SI units.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// The author says that the figure is not known.
    Unknown,
    /// A quantity or pure number.
    Quantity(Spread),
    /// A quantity with the condition it holds at.
    QuantityAt(Spread, f64),
    /// A whole number.
    Count(i64),
    /// One of the property's words.
    Word(&'static str),
    /// `yes` or `no`.
    YesNo(bool),
    /// Text.
    Text(String),
    /// A date.
    Date(Date),
    /// One to three lengths.
    Size(Vec<f64>),
    /// Two or three coordinates.
    Point(Vec<f64>),
    /// Points of a closed run, each with two coordinates and, where an arc reaches it, its radius.
    Points(Vec<Vec<f64>>),
    /// The name of another block.
    Reference(String),
    /// A list of words or of names.
    List(Vec<String>),
}

/// A figure with what it may vary between; `low <= nominal <= high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// The lowest.
    pub low: f64,
    /// The typical or stated value; the middle of an interval that states none.
    pub nominal: f64,
    /// The highest.
    pub high: f64,
    /// False where an interval was written without a typical value.
    pub typical: bool,
}

impl Spread {
    /// A figure without a stated spread.
    pub const fn exact(value: f64) -> Self {
        Self { low: value, nominal: value, high: value, typical: true }
    }
}

/// A calendar date (ISO 8601).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// Year, four digits.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// One finding let through, in print.
#[derive(Debug, Clone)]
pub struct Waiver {
    /// The rule's name.
    pub rule: Spanned<String>,
    /// Which subject only (`red`), if stated.
    pub subject: Option<Spanned<String>>,
    /// Why.
    pub reason: String,
    /// Who takes it on.
    pub by: String,
    /// Until when.
    pub until: Option<Spanned<Date>>,
}

/// A part that was brought in.
#[derive(Debug, Clone)]
pub struct Part {
    /// Kind of block it starts.
    pub kind: &'static str,
    /// Its name.
    pub name: Spanned<String>,
    /// Where its figures come from, in its own words.
    pub from: Option<String>,
    /// Whether a block starts from it.
    pub used: bool,
}

/// A `let`.
#[derive(Debug, Clone)]
pub struct Named {
    /// Its name.
    pub name: Spanned<String>,
    /// As written.
    pub text: String,
    /// What it came to, in SI units.
    pub value: Spread,
    /// Its dimension.
    pub dimension: schema::Dimension,
}

impl Document {
    /// Every property of the lamp with its full path, in the schema's order.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.root.all_entries()
    }
}

impl Node {
    /// The block of this kind; the first where there are several.
    pub fn node(&self, kind: &str) -> Option<&Node> {
        self.nodes.iter().find(|n| n.schema.kind == kind)
    }
    /// The blocks of this kind, in the order written.
    pub fn nodes<'n>(&'n self, kind: &'n str) -> impl Iterator<Item = &'n Node> {
        self.nodes.iter().filter(move |n| n.schema.kind == kind)
    }
    /// The block of this kind and name.
    pub fn named(&self, kind: &str, name: &str) -> Option<&Node> {
        self.nodes.iter().find(|n| n.schema.kind == kind && n.name.as_ref().is_some_and(|x| x.value == name))
    }
    /// The property of this name.
    pub fn entry(&self, name: &str) -> Option<&Entry> {
        self.entries.iter().find(|e| e.property.name == name)
    }
    /// Every property of this block and of those inside it, in the schema's order.
    fn all_entries(&self) -> Box<dyn Iterator<Item = &Entry> + '_> {
        Box::new(self.entries.iter().chain(self.nodes.iter().flat_map(Node::all_entries)))
    }
}
