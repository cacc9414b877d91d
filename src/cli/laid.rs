//! Text for people to lines that a terminal holds: what is too long goes on below, set in, and tables give their widest
//! words two lines. Where nobody watches, lines stay whole, so that `grep` and a mail find them as they are.

use std::io::IsTerminal as _;

use textwrap::{Options, WordSeparator, WordSplitter};

use crate::compare::matrix;
use crate::language::units;

use super::output::{columns, say};

/// Width to set text at; nothing where standard output is no terminal.
pub(super) fn width() -> Option<usize> {
    std::io::stdout().is_terminal().then(columns)
}

/// Writes to standard output for people.
pub(super) fn tell(text: &str) {
    match width() {
        Some(width) => say(&lines(text, width)),
        None => say(text),
    }
}

/// Rows of cells as a table; where it is too wide, the cells of column `wordy` go on below.
pub(super) fn table(rows: &[Vec<String>], wordy: usize) -> String {
    narrowed(rows, wordy, width())
}

/// A column is not made narrower than this.
const LEAST: usize = 10;

fn narrowed(rows: &[Vec<String>], wordy: usize, width: Option<usize>) -> String {
    let whole = matrix::columns(rows);
    let widest = whole.lines().map(|l| l.chars().count()).max().unwrap_or(0);
    let Some(over) = width.map(|w| widest.saturating_sub(w)).filter(|over| *over > 0) else { return whole };
    let own = rows.iter().filter_map(|r| r.get(wordy)).map(|c| c.chars().count()).max().unwrap_or(0);
    let room = own.saturating_sub(over).max(LEAST.min(own));
    let mut laid: Vec<Vec<String>> = Vec::new();
    for row in rows {
        let Some(cell) = row.get(wordy) else { continue };
        for (number, piece) in broken(cell, room, ("", "  ")).into_iter().enumerate() {
            let cells = row.iter().enumerate().map(|(at, cell)| match (at == wordy, number) {
                (true, _) => piece.clone(),
                (false, 0) => cell.clone(),
                (false, _) => String::new(),
            });
            laid.push(cells.collect());
        }
    }
    matrix::columns(&laid)
}

/// Every line broken between words at this width; what goes on stands two columns further in than its line began.
pub(super) fn lines(text: &str, width: usize) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let bare = line.trim_end_matches('\n');
        if bare.chars().count() <= width {
            out.push_str(line);
            continue;
        }
        let inset = bare.len() - bare.trim_start_matches(' ').len();
        let further = " ".repeat((inset + 2).min(width / 2));
        out.push_str(&broken(bare.trim_start_matches(' '), width, (&bare[..inset], &further)).join("\n"));
        out.push_str(&line[bare.len()..]);
    }
    out
}

/// A text broken between words, with what its first line and those below begin with; a number stays with its unit, and a
/// name with its hyphens.
pub(super) fn broken(text: &str, width: usize, (first, further): (&str, &str)) -> Vec<String> {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(further)
        .break_words(false)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation);
    textwrap::wrap(&tied(text), options).into_iter().map(|l| l.replace('\u{a0}', " ")).collect()
}

/// Numbers tied to their units by a space that does not break.
fn tied(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut number = false;
    for (at, word) in text.split(' ').enumerate() {
        if at > 0 {
            let bare = word.trim_end_matches([',', ';', ':', '.', ')']);
            out.push(if number && units::unit(bare).is_some() { '\u{a0}' } else { ' ' });
        }
        out.push_str(word);
        number = word.ends_with(|c: char| c.is_ascii_digit());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_between_words_and_set_in() {
        for (text, width, expected) in [
            ("a short line\n", 40, "a short line\n"),
            ("  one two three four\n", 12, "  one two\n    three\n    four\n"),
            ("the sink reaches 85.6 °C, its limit\n", 24, "the sink reaches\n  85.6 °C, its limit\n"),
            (
                "      because a-long-name-of-a-figure-here\n",
                20,
                "      because\n        a-long-name-of-a-figure-here\n",
            ),
            ("no end", 80, "no end"),
            ("", 80, ""),
        ] {
            assert_eq!(lines(text, width), expected, "{text:?}");
        }
    }

    #[test]
    fn a_table_too_wide_gives_its_words_two_lines() {
        let row = |cells: [&str; 3]| cells.map(str::to_owned).to_vec();
        let rows =
            [row(["figure", "now", "then"]), row(["the sink that it holds in the middle", "79.9 °C", "85.6 °C"])];
        assert_eq!(narrowed(&rows, 0, None), matrix::columns(&rows));
        let narrow = narrowed(&rows, 0, Some(40));
        assert!(narrow.lines().all(|l| l.chars().count() <= 40), "{narrow}");
        assert_eq!(
            narrow,
            "  figure            now      then\n  the sink that it  79.9 °C  85.6 °C\n    holds in the\n    middle\n"
        );
    }
}
