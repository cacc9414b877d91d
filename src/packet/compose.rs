//! `Bench` to `Packet`: which sheets, in what order, each rendered through its template and held to its required rows.

use std::collections::{BTreeMap, BTreeSet};

use super::bench::{Bench, SheetKind};
use super::drawing::Drawing;
use super::drawings;
use super::drawings::bars::{self, BarFault};
use super::settings;
use super::sheet::{Packet, Paper, Sheet};
use super::sheets;
use super::tables;
use super::templates::{Overrides, TemplateError, Templates};
use super::tool_path;
use crate::schema::words::{PaperSize, Region};

/// What kept a packet from being composed.
#[derive(Debug, Clone, PartialEq)]
pub enum ComposeError {
    /// A template is wrong.
    Template(TemplateError),
    /// A template dropped a row that a rule or the law of the bench requires.
    Dropped {
        /// The sheet.
        sheet: String,
        /// The row's text.
        row: String,
    },
    /// The bar of a drawing in true size is not what it says.
    Bar(BarFault),
    /// `--sheets` names a sheet there is not.
    NoSuchSheet(String),
}

/// Composes the packet; `only` keeps the sheets of these names, in the packet's order.
///
/// # Errors
/// A template that is wrong, or that drops a required row; a bar that is not as long as it says; a name in `only` that is no
/// sheet.
pub fn compose(bench: &Bench<'_>, overrides: &Overrides, only: Option<&[String]>) -> Result<Packet, ComposeError> {
    if let Some(name) = only.and_then(|names| names.iter().find(|n| sheets::find(n).is_none())) {
        return Err(ComposeError::NoSuchSheet(name.clone()));
    }
    let templates = templates(bench, overrides)?;
    let wanted = wanted(bench, only);
    let sheets =
        wanted.map(|kind| filled(kind, bench, &templates, &(kind.data)(bench))).collect::<Result<Vec<_>, _>>()?;
    let drawings = used(bench, &sheets);
    bars::check(&drawings).map_err(ComposeError::Bar)?;
    Ok(Packet {
        sheets,
        drawings,
        tables: tables::all(bench),
        data_files: settings::settings(bench).into_iter().collect(),
        machine_drawings: drawings::machine(bench),
        programs: tool_path::programs(bench),
        data: tables::data(bench),
        ..bare_packet(bench)
    })
}

/// Sheets of these names, or all, with their drawings and nothing else, for a comparison: what is not printed need not be
/// held to its required rows, and half of the work is saved.
///
/// # Errors
/// A template that is wrong.
pub fn pages(bench: &Bench<'_>, overrides: &Overrides, only: Option<&[String]>) -> Result<Packet, ComposeError> {
    let templates = templates(bench, overrides)?;
    let wanted = wanted(bench, only);
    let sheets = wanted.map(|kind| set(kind, bench, &templates, &(kind.data)(bench))).collect::<Result<Vec<_>, _>>()?;
    Ok(Packet { drawings: used(bench, &sheets), sheets, ..bare_packet(bench) })
}

/// The shipped templates with overrides over them, with this lamp's figures and words.
fn templates(bench: &Bench<'_>, overrides: &Overrides) -> Result<Templates, ComposeError> {
    Templates::new(&sheets::templates(), overrides, &bench.solution.ledger, bench.words())
        .map_err(ComposeError::Template)
}

/// Kinds of sheet that this lamp has, of these names or all, in the packet's order.
fn wanted(bench: &Bench<'_>, only: Option<&[String]>) -> impl Iterator<Item = &'static SheetKind> {
    let named = move |kind: &SheetKind| only.is_none_or(|names| names.iter().any(|n| n == kind.name));
    sheets::ALL.iter().copied().filter(move |kind| named(kind) && (kind.applies)(bench))
}

/// A packet with its header and footer and nothing in it.
fn bare_packet(bench: &Bench<'_>) -> Packet {
    Packet {
        identity: bench.identity.clone(),
        paper: paper(bench),
        sheets: Vec::new(),
        drawings: BTreeMap::new(),
        tables: Vec::new(),
        data_files: Vec::new(),
        machine_drawings: BTreeMap::new(),
        programs: BTreeMap::new(),
        data: serde_json::Value::Null,
    }
}

/// What a batch's serials are: a text, and a number in so many digits.
#[derive(Debug, Clone, Copy)]
pub struct Serial<'a> {
    /// What each begins with.
    pub text: &'a str,
    /// Digits of the number.
    pub digits: usize,
}

/// The unit record once for each lamp of a batch, with its number, its code and its serial on it.
///
/// # Errors
/// A template that is wrong, or that drops a required row.
pub fn travellers(
    bench: &Bench<'_>,
    overrides: &Overrides,
    first: u32,
    units: u32,
    serial: Option<Serial<'_>>,
) -> Result<Packet, ComposeError> {
    let templates = templates(bench, overrides)?;
    let kind = sheets::UNIT;
    let record = (kind.data)(bench);
    let mut made = Vec::new();
    for unit in first..first.saturating_add(units) {
        let mut data = record.clone();
        if let Some(fields) = data.as_object_mut() {
            fields.insert("unit".into(), unit.into());
            fields.insert(
                "serial".into(),
                serial.map(|s| format!("{}{unit:0digits$}", s.text, digits = s.digits)).into(),
            );
        }
        let mut sheet = filled(kind, bench, &templates, &data)?;
        sheet.name = format!("unit-{unit}");
        sheet.title = format!("Traveller, unit {unit}");
        made.push(sheet);
    }
    Ok(Packet { sheets: made, data: serde_json::json!({ "first": first, "units": units }), ..bare_packet(bench) })
}

/// A sheet, held to its required rows.
fn filled(
    kind: &SheetKind,
    bench: &Bench<'_>,
    templates: &Templates,
    data: &serde_json::Value,
) -> Result<Sheet, ComposeError> {
    let sheet = set(kind, bench, templates, data)?;
    let plain = bare(&sheet.markdown);
    if let Some(row) = (kind.required)(bench).into_iter().find(|row| !plain.contains(&bare(row))) {
        return Err(ComposeError::Dropped { sheet: kind.name.into(), row });
    }
    Ok(sheet)
}

/// A sheet as its template has it, below what was waived.
fn set(
    kind: &SheetKind,
    bench: &Bench<'_>,
    templates: &Templates,
    data: &serde_json::Value,
) -> Result<Sheet, ComposeError> {
    let markdown = templates.render(kind.template_name, data).map_err(ComposeError::Template)?;
    let markdown = super::waived::panel(bench, kind.name) + &markdown;
    Ok(Sheet {
        name: kind.name.into(),
        title: kind.title.into(),
        size: kind.size,
        landscape: kind.landscape,
        markdown: squeeze(&markdown),
    })
}

/// Letters and digits only, so that a template may wrap and emphasise as it likes.
fn bare(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// No more than one blank line in a row, one newline at the end.
pub(crate) fn squeeze(markdown: &str) -> String {
    let mut out = String::with_capacity(markdown.len());
    let mut blank = true;
    for line in markdown.lines().map(str::trim_end) {
        if !(line.is_empty() && blank) {
            out.push_str(line);
            out.push('\n');
        }
        blank = line.is_empty();
    }
    let end = out.trim_end().len();
    out.truncate(end);
    out.push('\n');
    out
}

/// As the workshop says, else as its region prints.
pub(crate) fn paper(bench: &Bench<'_>) -> Paper {
    let by_region = match bench.lamp.identity.region.value {
        Some(Region::Us) => Paper::Letter,
        _ => Paper::A4,
    };
    match bench.lamp.workshop.paper.value {
        Some(PaperSize::A4) => Paper::A4,
        Some(PaperSize::Letter) => Paper::Letter,
        None => by_region,
    }
}

/// The drawings that these sheets show.
fn used(bench: &Bench<'_>, sheets: &[Sheet]) -> BTreeMap<String, Drawing> {
    let shown: BTreeSet<&str> = sheets.iter().flat_map(|sheet| named(&sheet.markdown)).collect();
    let mut drawings = drawings::all(bench, &|start| shown.iter().any(|name| name.starts_with(start)));
    drawings.retain(|name, _| shown.contains(name.as_str()));
    drawings
}

/// Names of the drawings that a text sets: what stands between `(` and `.svg)`.
fn named(markdown: &str) -> impl Iterator<Item = &str> {
    let ends = markdown.match_indices(".svg)").filter_map(|(end, _)| markdown.get(..end));
    ends.filter_map(|text| text.rsplit_once('(')).map(|(_, name)| name)
}
