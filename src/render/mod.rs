//! `Packet` to bytes: PDF, HTML, Markdown, SVG, CSV, JSON.

mod blocks;
mod pdf;

pub use pdf::pdf;

/// A file of the packet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// Path below the packet's folder, with `/`.
    pub path: String,
    /// Contents.
    pub bytes: Vec<u8>,
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
