//! The packet as data: sheets of Markdown, drawings, tables for machines. No page, no pixel; renderers read only this.
//!
//! The Markdown is CommonMark with tables, and four conventions that read well raw and that each renderer knows:
//! `☐` is a box to tick, `▭ unit` a box to write in with its unit after it, `▭▭` one as wide as a sentence, a block quote that opens with a signal
//! word in bold (`> **DANGER** ...`) is a framed panel, `![alt](NAME.svg)` sets the drawing of that name.
//! A thematic break (`---`) is a pause line; the HTML comment `<!-- page -->` starts a new page.

use std::collections::BTreeMap;

use serde::Serialize;

use super::drawing::Drawing;

/// Paper the packet is set for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// 210 x 297 mm.
    A4,
    /// 215.9 x 279.4 mm.
    Letter,
}

impl Paper {
    /// Every paper, for the schema.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Width and height in millimetres.
    pub const fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// How large a sheet's text is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TextSize {
    /// Body 10.5 pt.
    Body,
    /// Dense tables of many columns: 8.5 pt.
    Dense,
    /// Looked up, not worked from: 7 pt in three columns.
    Fine,
    /// Read at arm's length while both hands work: 18 pt.
    Card,
}

impl TextSize {
    /// Every size, for the schema.
    pub const ALL: [Self; 4] = [Self::Body, Self::Dense, Self::Fine, Self::Card];

    /// Columns of a page on paper.
    pub const fn columns(self) -> usize {
        match self {
            Self::Fine => 3,
            Self::Body | Self::Dense | Self::Card => 1,
        }
    }
}

/// One sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    /// Name, also of its file: `dead-tests`.
    pub name: String,
    /// Title as printed: `Dead tests`.
    pub title: String,
    /// Text size.
    pub size: TextSize,
    /// Whether the sheet is set across the page's long side.
    pub landscape: bool,
    /// The contents; the title is not repeated in it.
    pub markdown: String,
}

/// A table for machines, written as CSV.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DataTable {
    /// File name without its ending.
    pub name: String,
    /// Column names.
    pub columns: Vec<String>,
    /// Rows, each as long as `columns`.
    pub rows: Vec<Vec<String>>,
}

/// A file of data for another program, written as JSON.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DataFile {
    /// File name without its ending.
    pub name: String,
    /// Contents.
    pub value: serde_json::Value,
}

/// What stands in every header and footer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Identity {
    /// The lamp's name.
    pub lamp: String,
    /// Variant, if one was chosen.
    pub variant: Option<String>,
    /// Revision as the spec states it; `None` makes the packet a draft.
    pub revision: Option<String>,
    /// Date of the revision as `YYYY-MM-DD`, if stated.
    pub date: Option<String>,
    /// First twelve hex digits of the digest over the resolved spec and the program's version.
    pub digest: String,
    /// Findings in one line: `1 DANGER, 2 CAUTION, 3 not checked`.
    pub findings: String,
    /// DRAFT band across every page: a DANGER stands, or there is no revision.
    pub draft: bool,
}

/// Everything to be printed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Packet {
    /// Header and footer.
    pub identity: Identity,
    /// Paper.
    pub paper: Paper,
    /// Sheets in the order of the work.
    pub sheets: Vec<Sheet>,
    /// Drawings by name; a sheet names those it shows.
    pub drawings: BTreeMap<String, Drawing>,
    /// Tables for machines.
    pub tables: Vec<DataTable>,
    /// Data for other programs: settings of the firmware.
    pub data_files: Vec<DataFile>,
    /// Drawings for a machine (cut layer only), by file name without its ending.
    pub machine_drawings: BTreeMap<String, Drawing>,
    /// Programs for a machine, by file name.
    pub programs: BTreeMap<String, String>,
    /// Figures and verdicts as data: the body of `packet.json`.
    pub data: serde_json::Value,
}
