//! Where something stands (`Span`), and what is wrong there (`Diag`): one message type from syntax to physics.

use std::sync::Arc;

use serde::Serialize;

/// A stretch of one source file, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
pub struct Span {
    /// Index into `Sources`.
    pub file: u32,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// From `start` up to, not including, `end` in source number `file`.
    pub fn new(file: u32, start: usize, end: usize) -> Self {
        Self { file, start: start as u32, end: end as u32 }
    }
    /// The smallest span that covers both; both must lie in one file.
    pub fn to(self, other: Self) -> Self {
        Self { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

/// Whether a character does not show as what it is: it moves a terminal's cursor, colours what follows, turns the order
/// of the signs around it, ends a line for an editor only, or has no width at all, so that two names look like one (Unicode
/// 15.1, general categories Cc, Zl and Zp, the bidirectional embeddings, overrides and isolates of UAX #9, zero width
/// space, word joiner and zero width no-break space). Line feed and tab show as what they are.
pub fn hidden(sign: char) -> bool {
    match sign {
        '\n' | '\t' => false,
        '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => true,
        '\u{200B}' | '\u{2060}' | '\u{FEFF}' => true,
        sign => sign.is_control(),
    }
}

/// A value with the place it was written at.
#[derive(Debug, Clone, PartialEq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

/// One file that was read: its name as shown (never a machine path) and its text.
#[derive(Debug, Clone)]
pub struct Source {
    /// Name as shown to the reader, relative to the project's root, `/` between folders.
    pub name: String,
    /// The whole text, as read.
    pub text: String,
}

/// Every file of one run; `Span::file` indexes it.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    files: Vec<Arc<Source>>,
}

impl Sources {
    /// Adds a file and gives its number.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> u32 {
        self.files.push(Arc::new(Source { name: name.into(), text: text.into() }));
        (self.files.len() - 1) as u32
    }
    /// The file with this number.
    pub fn get(&self, file: u32) -> Option<&Source> {
        self.files.get(file as usize).map(|source| &**source)
    }
    /// A file's name as papers print it. What a file may be called is not ours to say, but no face draws every script:
    /// letters beyond Latin, Greek and Cyrillic stand as `_` there, and the packet is made all the same.
    pub fn on_paper(&self, file: u32) -> String {
        let drawn = |sign: char| matches!(sign, ' '..='~' | '\u{C0}'..='\u{17F}' | 'Α'..='Ω' | 'α'..='ω' | 'А'..='я');
        let name = self.get(file).map_or("", |f| f.name.as_str());
        name.chars().map(|sign| if drawn(sign) { sign } else { '_' }).collect()
    }
    /// All files in the order they were read.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.files.iter().map(|source| &**source)
    }
    /// The text a span covers.
    pub fn text(&self, span: Span) -> &str {
        self.get(span.file).and_then(|f| f.text.get(span.start as usize..span.end as usize)).unwrap_or("")
    }
    /// Line and column, both from 1, the column in characters.
    pub fn place(&self, span: Span) -> (usize, usize) {
        let Some(source) = self.get(span.file) else { return (1, 1) };
        let before = source.text.get(..span.start as usize).unwrap_or(&source.text);
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
    }
    /// `name:line`, as printed on the working sheet.
    pub fn cite(&self, span: Span) -> String {
        let name = self.get(span.file).map_or("", |f| f.name.as_str());
        format!("{name}:{}", self.place(span).0)
    }
}

/// How grave a message is. The four signal words are those of ISO 3864-2; `Error` means the spec cannot be compiled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Signal {
    /// Worth knowing; nobody is hurt, nothing breaks.
    Notice,
    /// It will disappoint.
    Caution,
    /// Parts die or burn, or the lamp fails in use.
    Warning,
    /// Someone may be hurt.
    Danger,
    /// The spec cannot be compiled.
    Error,
}

impl Signal {
    /// The word as printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Notice => "NOTICE",
            Self::Caution => "CAUTION",
            Self::Warning => "WARNING",
            Self::Danger => "DANGER",
            Self::Error => "ERROR",
        }
    }
}

/// A labelled place in the source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What the underlined text is.
    pub text: String,
}

/// One message: what is wrong in the maker's words, where, the second place where two facts conflict, the way out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Diag {
    /// Rule or error name, `area/what-is-wrong`.
    pub code: String,
    /// Signal word.
    pub signal: Signal,
    /// What is wrong, with the numbers; stands alone; no full stop at its end.
    pub message: String,
    /// The place first, then the places that conflict with it.
    pub labels: Vec<Label>,
    /// One concrete fix.
    pub help: Option<String>,
}

impl Diag {
    /// A message of the given gravity with its main place.
    pub fn new(code: impl Into<String>, signal: Signal, span: Span, message: impl Into<String>) -> Self {
        Self {
            code: code.into(),
            signal,
            message: message.into(),
            labels: vec![Label { span, text: String::new() }],
            help: None,
        }
    }
    /// An error: the spec cannot be compiled.
    pub fn error(code: impl Into<String>, span: Span, message: impl Into<String>) -> Self {
        Self::new(code, Signal::Error, span, message)
    }
    /// Names what the main place is.
    pub fn label(mut self, text: impl Into<String>) -> Self {
        if let Some(first) = self.labels.first_mut() {
            first.text = text.into();
        }
        self
    }
    /// Adds a second place.
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.labels.push(Label { span, text: text.into() });
        self
    }
    /// Says the way out.
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }
    /// The main place.
    pub fn span(&self) -> Span {
        self.labels.first().map(|l| l.span).unwrap_or_default()
    }
}
