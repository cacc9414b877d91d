//! Places as the language server protocol counts them: lines from 0, columns in UTF-16 units; and back to bytes.

use serde_json::{Value, json};

use crate::diag::Span;

/// The byte of a line and column; past a line's end is its end, past the text's end is its end.
pub(crate) fn offset(text: &str, line: usize, column: usize) -> usize {
    let mut start = 0;
    for _ in 0..line {
        match text.get(start..).and_then(|t| t.find('\n')) {
            Some(at) => start += at + 1,
            None => return text.len(),
        }
    }
    let rest = text.get(start..).unwrap_or("");
    let mut units = 0;
    for (at, sign) in rest.char_indices() {
        if units >= column || sign == '\n' || (sign == '\r' && rest.get(at + 1..).is_some_and(|t| t.starts_with('\n')))
        {
            return start + at;
        }
        units += sign.len_utf16();
    }
    text.len()
}

/// Line and column of a byte.
pub(crate) fn place(text: &str, byte: usize) -> (usize, usize) {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    let before = text.get(..byte).unwrap_or("");
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let column = before.get(start..).unwrap_or("").chars().map(char::len_utf16).sum();
    (before.matches('\n').count(), column)
}

/// A stretch of bytes as a `Range`.
pub(crate) fn range(text: &str, start: usize, end: usize) -> Value {
    let at = |byte| {
        let (line, character) = place(text, byte);
        json!({ "line": line, "character": character })
    };
    json!({ "start": at(start), "end": at(end) })
}

/// A span as a `Range`.
pub(crate) fn range_of(text: &str, span: Span) -> Value {
    range(text, span.start as usize, span.end as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_utf_16_and_stay_within_their_line() {
        let text = "a Ω b\n😀x\r\nend";
        for (line, column, byte) in
            [(0, 0, 0), (0, 3, 4), (0, 99, 6), (1, 0, 7), (1, 2, 11), (1, 3, 12), (1, 9, 12), (2, 3, 17), (9, 0, 17)]
        {
            assert_eq!(offset(text, line, column), byte, "{line}:{column}");
        }
        for byte in 0..=text.len() {
            if text.is_char_boundary(byte) && text.get(byte..).is_some_and(|t| !t.starts_with('\n')) {
                let (line, column) = place(text, byte);
                assert_eq!(offset(text, line, column), byte);
            }
        }
        // A place inside a sign is the sign's start.
        assert_eq!(place(text, 3), (0, 2));
    }
}
