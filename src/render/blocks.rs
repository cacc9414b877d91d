//! The blocks of a sheet: headings, runs of text, lists, tables, panels, drawings, boxes to tick and to fill.
//! HTML and PDF both set these blocks, so the two always show the same things in the same order.

use pulldown_cmark::Alignment;

/// A run of words with one look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Look {
    /// Heavier face.
    pub(crate) strong: bool,
    /// Slanted.
    pub(crate) slant: bool,
    /// Fixed-width face.
    pub(crate) code: bool,
}

/// A piece of a line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Inline {
    /// Words.
    Text(String, Look),
    /// A box to tick; `true` when it is ticked already.
    Tick(bool),
    /// A box to write in, with the unit that follows it (may be empty).
    WriteIn(String),
    /// A box as wide as a sentence.
    WriteLine,
    /// A forced line end.
    Break,
    /// A drawing by name, with the words that stand for it.
    Image(String, String),
}

/// Signal words as ISO 3864-2 defines them, and any other word in capitals that opens a panel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Signal {
    /// The word as printed.
    pub(crate) word: String,
}

impl Signal {
    /// Whether the alert triangle stands beside the word: injury is possible.
    pub(crate) fn is_alert(&self) -> bool {
        matches!(self.word.as_str(), "DANGER" | "WARNING" | "CAUTION")
    }
}

/// A row of cells.
pub(crate) type Row = Vec<Vec<Inline>>;

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Table {
    /// One per column.
    pub(crate) columns: Vec<Alignment>,
    /// Head cells.
    pub(crate) head: Row,
    /// Body rows.
    pub(crate) rows: Vec<Row>,
}

/// A list.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct List {
    /// First number of a numbered list.
    pub(crate) start: Option<u64>,
    /// The items.
    pub(crate) items: Vec<Vec<Block>>,
}

/// One block of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Block {
    /// A heading of level 1 to 6.
    Heading(u8, Vec<Inline>),
    /// A paragraph.
    Paragraph(Vec<Inline>),
    /// A list; an item that begins with a tick box has it as its bullet.
    List(List),
    /// A table.
    Table(Table),
    /// A framed panel; without a signal word it is a plain remark.
    Panel(Option<Signal>, Vec<Block>),
    /// A drawing by name, with the words that stand for it.
    Drawing(String, String),
    /// Text kept as typed.
    Code(String),
    /// A pause line.
    Pause,
    /// A new page begins.
    NewPage,
}

/// The box that an item of a list begins with, and whether it is ticked.
pub(crate) fn leading_tick(item: &[Block]) -> Option<bool> {
    let Some(Block::Paragraph(run)) = item.first() else { return None };
    match run.first() {
        Some(Inline::Tick(done)) => Some(*done),
        _ => None,
    }
}

/// The words of a run without their looks, for names in errors and for bookmarks.
pub(crate) fn plain(inlines: &[Inline]) -> String {
    let mut words = String::new();
    for piece in inlines {
        match piece {
            Inline::Text(text, _) => words.push_str(text),
            Inline::WriteIn(unit) if unit.is_empty() => words.push('▭'),
            Inline::WriteIn(unit) => {
                words.push_str("▭ ");
                words.push_str(unit);
            }
            Inline::WriteLine => words.push_str("▭▭"),
            Inline::Tick(_) => words.push('☐'),
            Inline::Break => words.push(' '),
            Inline::Image(_, alt) => words.push_str(alt),
        }
    }
    words.replace('\u{A0}', " ").trim().to_string()
}
