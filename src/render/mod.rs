//! `Packet` to bytes: PDF, HTML, Markdown, SVG, CSV, JSON.

mod blocks;
mod csv;
mod decimal;
mod glue;
mod html;
mod json;
pub mod live;
mod markdown;
mod pdf;
mod reader;
mod roles;
mod run;
pub mod svg;

pub use csv::csv;
pub use html::html;
pub use json::{json, schema};
pub use markdown::markdown;
pub use pdf::pdf;

use crate::packet::sheet::Packet;
use crate::threads;
use blocks::Block;

/// Every file of the packet: `packet.pdf`, `packet.html`, `sheets/NAME.md`, `drawings/NAME.svg`, the machine's
/// `NAME.svg` and programs, `NAME.csv`, `settings.json` and `packet.json`, in this order.
///
/// The PDF takes as long as all the rest, so it is set beside it on a second core.
///
/// # Errors
/// Whatever cannot be printed; no file is given then.
pub fn files(packet: &Packet) -> Result<Vec<File>, Vec<RenderError>> {
    let blocks = threads::each(&packet.sheets, |sheet| reader::read(&sheet.markdown));
    let (paper, rest) = std::thread::scope(|scope| {
        let paper = scope.spawn(|| pdf::of(packet, &blocks));
        let rest = all_but_paper(packet, &blocks);
        (paper.join(), rest)
    });
    let paper = paper.unwrap_or_else(|panic| std::panic::resume_unwind(panic));
    match (paper, rest) {
        (Ok(bytes), Ok(rest)) => Ok(std::iter::once(File { path: "packet.pdf".into(), bytes }).chain(rest).collect()),
        (paper, rest) => Err([paper.err(), rest.err()].into_iter().flatten().flatten().collect()),
    }
}

fn all_but_paper(packet: &Packet, blocks: &[Vec<Block>]) -> Result<Vec<File>, Vec<RenderError>> {
    let mut errors = Vec::new();
    let mut found = Vec::new();
    let drawings = svg::all(packet);
    let draft = packet.identity.draft;
    match html::with(packet, blocks, &drawings) {
        Ok(text) => found.push(File::text("packet.html".into(), text)),
        Err(more) => errors.extend(more),
    }
    for sheet in &packet.sheets {
        found.push(File::text(format!("sheets/{}.md", sheet.name), markdown(packet, sheet)));
    }
    for (name, inline) in &drawings {
        found.push(File::text(format!("drawings/{name}.svg"), svg::file(inline, draft)));
    }
    for (name, drawing) in &packet.machine_drawings {
        found.push(File::text(format!("{name}.svg"), svg::machine(drawing, draft)));
    }
    for (name, program) in &packet.programs {
        found.push(File::text(name.clone(), program.clone()));
    }
    for table in &packet.tables {
        found.push(File::text(format!("{}.csv", table.name), csv(table, draft)));
    }
    for file in &packet.data_files {
        match json::pretty(&file.value) {
            Ok(text) => found.push(File::text(format!("{}.json", file.name), text)),
            Err(error) => errors.push(error),
        }
    }
    match json(packet) {
        Ok(text) => found.push(File::text("packet.json".into(), text)),
        Err(error) => errors.push(error),
    }
    if errors.is_empty() { Ok(found) } else { Err(errors) }
}

/// A file of the packet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// Path below the packet's folder, with `/`.
    pub path: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

impl File {
    fn text(path: String, text: String) -> Self {
        Self { path, bytes: text.into_bytes() }
    }
}

/// Something that cannot be printed as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RenderError {
    /// The sheet's name; empty when no sheet is concerned.
    pub sheet: String,
    /// The cell, word or drawing.
    pub subject: String,
    /// What is wrong, with the numbers and a remedy.
    pub message: String,
}

impl RenderError {
    /// An error that concerns no single sheet.
    fn whole(subject: &str, message: impl Into<String>) -> Self {
        Self { sheet: String::new(), subject: subject.into(), message: message.into() }
    }
}

impl std::fmt::Display for RenderError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.sheet.is_empty() {
            write!(f, "{}: {}", self.subject, self.message)
        } else {
            write!(f, "sheet `{}`, {}: {}", self.sheet, self.subject, self.message)
        }
    }
}

impl std::error::Error for RenderError {}
