//! Standard output and standard error: a closed pipe is no error, colour only on a terminal.

use std::io::{IsTerminal, Write};

use super::files;
use super::laid::lines;
use crate::diag::hidden;

/// Something outside the spec went wrong: a file, a folder, an argument.
pub(super) struct Trouble {
    /// What, in one line.
    pub(super) message: String,
    /// The way out.
    pub(super) help: Option<String>,
}

impl Trouble {
    pub(super) fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), help: None }
    }
    pub(super) fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }
    /// The way out where no nearer one is known.
    pub(super) fn or_help(self, text: &str) -> Self {
        if self.help.is_some() { self } else { self.help(text) }
    }
}

/// Writes to standard output; a reader that went away ends quietly.
pub(super) fn say(text: &str) {
    put(&mut std::io::stdout().lock(), printable(text).as_bytes());
}

/// Writes bytes to standard output.
pub(super) fn say_bytes(bytes: &[u8]) {
    put(&mut std::io::stdout().lock(), bytes);
}

/// Writes to standard error.
pub(super) fn narrate(text: &str) {
    put(&mut std::io::stderr().lock(), printable(text).as_bytes());
}

/// Writes to standard error what may have colours of ours in it. What it quotes was made printable before it was
/// coloured; nothing but colours gets past here all the same.
pub(super) fn narrate_messages(text: &str) {
    let shown = |(at, sign): (usize, char)| match sign {
        '\u{1b}' if is_colour(text.get(at..).unwrap_or_default()) => sign,
        sign => plain(sign),
    };
    let text: String = text.char_indices().map(shown).collect();
    put(&mut std::io::stderr().lock(), text.as_bytes());
}

/// Whether a command to the terminal sets colours and weight and does nothing else (ECMA-48, SGR).
fn is_colour(command: &str) -> bool {
    let rest = command.strip_prefix("\u{1b}[").unwrap_or_default();
    rest.trim_start_matches(|sign: char| sign.is_ascii_digit() || sign == ';').starts_with('m')
}

/// Writes words of ours over the line that the cursor of a terminal stands in; nothing wipes it.
pub(super) fn rewrite_line(words: &str) {
    let wipe = if words.is_empty() { "\u{1b}[K" } else { "" };
    put(&mut std::io::stderr().lock(), format!("\r{wipe}{words}").as_bytes());
}

/// Nothing from a spec, a file's name or an argument reaches a terminal as a command.
pub(super) fn printable(text: &str) -> String {
    text.chars().map(plain).collect()
}

fn plain(sign: char) -> char {
    if hidden(sign) { '\u{fffd}' } else { sign }
}

fn put(out: &mut impl Write, bytes: &[u8]) {
    let written = out.write_all(bytes).and_then(|()| out.flush());
    if let Err(error) = written
        && error.kind() != std::io::ErrorKind::BrokenPipe
    {
        let reason = files::reason(&error);
        // Where standard error is full too there is nobody left to tell.
        let _ = writeln!(std::io::stderr(), "lampwright: the output cannot be written: {reason}");
        std::process::exit(3);
    }
}

/// Says what went wrong outside the spec.
pub(super) fn complain(trouble: &Trouble) {
    narrate(&complaint(trouble));
}

/// What went wrong outside the spec, in words.
pub(super) fn complaint(trouble: &Trouble) -> String {
    let mut text = format!("lampwright: {}\n", printable(&trouble.message));
    if let Some(help) = &trouble.help {
        text.push_str(&format!("  help: {}\n", printable(help)));
    }
    if std::io::stderr().is_terminal() { lines(&text, columns()) } else { text }
}

/// Whether somebody watches the messages: a terminal that can wipe a line.
pub(super) fn on_terminal() -> bool {
    std::io::stderr().is_terminal() && !dumb()
}

/// Whether messages may be coloured: a terminal, and nobody asked for none.
pub(super) fn coloured() -> bool {
    std::io::stderr().is_terminal() && unset("NO_COLOR") && !dumb()
}

#[expect(clippy::disallowed_methods, reason = "the environment is looked at in cli/ only")]
fn unset(name: &str) -> bool {
    std::env::var(name).map_or(true, |value| value.is_empty())
}

#[expect(clippy::disallowed_methods, reason = "the environment is looked at in cli/ only")]
fn dumb() -> bool {
    std::env::var("TERM").is_ok_and(|term| term == "dumb")
}

/// Columns of the terminal; 80 where there is none.
pub(super) fn columns() -> usize {
    #[expect(clippy::disallowed_methods, reason = "the environment is looked at in cli/ only")]
    let stated = std::env::var("COLUMNS").ok().and_then(|c| c.parse::<usize>().ok());
    stated.unwrap_or(80).clamp(40, 160)
}

#[cfg(test)]
mod tests {
    use super::is_colour;

    #[test]
    fn only_colours_are_let_through() {
        for (command, colour) in [
            ("\u{1b}[0m", true),
            ("\u{1b}[1;31mred", true),
            ("\u{1b}[38;5;3m", true),
            ("\u{1b}[2J", false),
            ("\u{1b}]0;owned\u{7}", false),
            ("\u{1b}[1A", false),
            ("\u{1b}", false),
            ("plain m", false),
        ] {
            assert_eq!(is_colour(command), colour, "{}", command.escape_debug());
        }
    }
}
