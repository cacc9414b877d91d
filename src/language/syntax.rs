//! What a file says before any name is looked up: statements, values as written, comments and blank lines.
//! The formatter works on this alone; `resolve` turns it into a `Document`.

use crate::diag::{Span, Spanned};

/// One file.
#[derive(Debug, Clone, Default)]
pub struct Tree {
    /// Its number in `Sources`.
    pub file: u32,
    /// Statements and comments in order.
    pub items: Vec<Item>,
    /// False where braces do not pair up or the file was not read at all, so that nothing sure can be said of what
    /// stands in which block.
    pub sound: bool,
}

/// A statement or a comment, with what stands between it and the one before.
#[derive(Debug, Clone)]
pub struct Item {
    /// Whether an empty line stands before it.
    pub blank_before: bool,
    /// Whether it begins a line.
    pub begins_line: bool,
    /// What it is.
    pub form: ItemForm,
}

/// What may stand at the top of a file or in a block.
#[derive(Debug, Clone)]
pub enum ItemForm {
    /// `# ...`, with its sign and without white space behind it.
    Comment(Spanned<String>),
    /// Something that says something.
    Statement(Box<Statement>),
    /// Something that is none; its error is reported. The word it begins with, so that its absence is not reported too.
    Wreck(Option<String>),
}

/// `NAME value`, `let NAME = value` or `KIND NAME { ... }`.
#[derive(Debug, Clone)]
pub struct Statement {
    /// The word it begins with.
    pub word: Spanned<String>,
    /// From the word to the value's end or the closing brace.
    pub span: Span,
    /// What follows the word.
    pub form: Form,
}

/// What follows a statement's first word.
#[derive(Debug, Clone)]
pub enum Form {
    /// A value.
    Property(Value),
    /// `NAME = value`.
    Equation(Spanned<String>, Value),
    /// `NAME ... { ... }`.
    Block(Vec<Head>, Body),
}

/// One word or text between a block's kind and its brace.
#[derive(Debug, Clone)]
pub struct Head {
    /// The word, or the text without its quotes.
    pub text: Spanned<String>,
    /// Whether it was quoted.
    pub quoted: bool,
}

/// What stands between braces.
#[derive(Debug, Clone)]
pub struct Body {
    /// Statements and comments in order.
    pub items: Vec<Item>,
    /// The opening brace.
    pub open: Span,
    /// The closing brace; nothing where the file ends first.
    pub close: Option<Span>,
    /// Whether both braces stand on one line.
    pub one_line: bool,
}

impl Body {
    /// The body that `KIND is PART` leaves out; `at` is where it would stand.
    pub fn absent(at: Span) -> Self {
        Self { items: Vec::new(), open: at, close: Some(at), one_line: true }
    }

    /// Whether its braces were written.
    pub fn is_written(&self) -> bool {
        self.open.start < self.open.end
    }
}

/// A property's value as written.
#[derive(Debug, Clone)]
pub struct Value {
    /// All of it.
    pub span: Span,
    /// Its shape.
    pub form: ValueForm,
    /// Comments between its parentheses and brackets, in order.
    pub remarks: Vec<Remark>,
}

/// A comment inside a value.
#[derive(Debug, Clone)]
pub struct Remark {
    /// `# ...`, with its sign and without white space behind it.
    pub text: Spanned<String>,
    /// Whether it stands on a line of its own.
    pub begins_line: bool,
}

/// The shapes of a value.
#[derive(Debug, Clone)]
pub enum ValueForm {
    /// `a x b x c`.
    Size(Vec<Expr>),
    /// `a`, `a .. b`, `a .. typical .. b`, each with `± t` and `at c`.
    Amount {
        /// The figures of the interval; one where there is none.
        points: Vec<Expr>,
        /// What stands behind `±`.
        tolerance: Option<Expr>,
        /// What stands behind `at`.
        condition: Option<Expr>,
    },
}

impl Value {
    /// The only expression, where the value is no more than that.
    pub fn single(&self) -> Option<&Expr> {
        match &self.form {
            ValueForm::Amount { points, tolerance: None, condition: None } => match points.as_slice() {
                [only] => Some(only),
                _ => None,
            },
            _ => None,
        }
    }
    /// Every expression in it.
    pub fn exprs(&self) -> impl Iterator<Item = &Expr> {
        let (points, tolerance, condition) = match &self.form {
            ValueForm::Size(sides) => (sides, None, None),
            ValueForm::Amount { points, tolerance, condition } => (points, tolerance.as_ref(), condition.as_ref()),
        };
        points.iter().chain(tolerance).chain(condition)
    }
    /// Every path that is named in it, in the order written.
    pub fn paths(&self) -> Vec<(&str, Span)> {
        let mut found = Vec::new();
        self.exprs().for_each(|e| e.paths(&mut found));
        found
    }
    /// Gives every part the same place: a default of the schema stands nowhere in the text.
    pub(super) fn move_to(&mut self, span: Span) {
        self.span = span;
        self.remarks.iter_mut().for_each(|r| r.text.span = span);
        match &mut self.form {
            ValueForm::Size(sides) => sides.iter_mut().for_each(|e| e.move_to(span)),
            ValueForm::Amount { points, tolerance, condition } => {
                points.iter_mut().chain(tolerance).chain(condition).for_each(|e| e.move_to(span));
            }
        }
    }
}

/// An expression as written.
#[derive(Debug, Clone)]
pub struct Expr {
    /// All of it.
    pub span: Span,
    /// What it is.
    pub form: ExprForm,
}

/// What an expression may be.
#[derive(Debug, Clone)]
pub enum ExprForm {
    /// A number with or without a unit.
    Quantity(Quantity),
    /// Text, its escapes worked out.
    Text(String),
    /// `2026-11-25`.
    Date(String),
    /// A word, a name, or names joined by dots.
    Path(String),
    /// `min(a, b)`.
    Call(String, Vec<Expr>),
    /// Parentheses: one expression, or a point's coordinates.
    Group(Vec<Expr>),
    /// `[a, b]`.
    List(Vec<Expr>),
    /// `-a`.
    Minus(Box<Expr>),
    /// `a + b * c`, in the order written; `*` and `/` bind closer.
    Chain(Box<Expr>, Vec<(Operator, Expr)>),
}

/// A number with or without a unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// The number as written.
    pub number: String,
    /// The unit as written.
    pub unit: Option<Spanned<String>>,
    /// Whether white space stands between them; `5K1` has none.
    pub spaced: bool,
}

/// What joins two operands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operator {
    /// `+`
    Plus,
    /// `-`
    Minus,
    /// `*`
    Times,
    /// `/`
    Over,
}

impl Operator {
    /// As written.
    pub const fn sign(self) -> char {
        match self {
            Self::Plus => '+',
            Self::Minus => '-',
            Self::Times => '*',
            Self::Over => '/',
        }
    }
}

impl Expr {
    fn paths<'e>(&'e self, into: &mut Vec<(&'e str, Span)>) {
        match &self.form {
            ExprForm::Path(path) => into.push((path, self.span)),
            ExprForm::Call(_, inner) | ExprForm::Group(inner) | ExprForm::List(inner) => {
                inner.iter().for_each(|e| e.paths(into));
            }
            ExprForm::Minus(inner) => inner.paths(into),
            ExprForm::Chain(first, rest) => {
                first.paths(into);
                rest.iter().for_each(|(_, e)| e.paths(into));
            }
            ExprForm::Quantity(_) | ExprForm::Text(_) | ExprForm::Date(_) => {}
        }
    }
    fn move_to(&mut self, span: Span) {
        self.span = span;
        match &mut self.form {
            ExprForm::Quantity(quantity) => {
                if let Some(unit) = &mut quantity.unit {
                    unit.span = span;
                }
            }
            ExprForm::Call(_, inner) | ExprForm::Group(inner) | ExprForm::List(inner) => {
                inner.iter_mut().for_each(|e| e.move_to(span));
            }
            ExprForm::Minus(inner) => inner.move_to(span),
            ExprForm::Chain(first, rest) => {
                first.move_to(span);
                rest.iter_mut().for_each(|(_, e)| e.move_to(span));
            }
            ExprForm::Text(_) | ExprForm::Date(_) | ExprForm::Path(_) => {}
        }
    }
}
