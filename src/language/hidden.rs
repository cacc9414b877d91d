//! Text to the error of each place where it holds a sign that does not show: what a spec says and what it seems to say
//! must be one thing, in an editor, in a review and on a terminal.

use crate::diag::{Diag, Span, hidden};

/// Most places told of one file; the rest goes with them.
const MOST: usize = 3;

/// What an editor may begin a file with, to say how it is encoded.
pub(crate) const BEGINS: char = '\u{FEFF}';

/// Errors: `syntax/hidden`. A carriage return stands before a line feed only, and the mark of the encoding first only.
pub(super) fn find(file: u32, text: &str, diags: &mut Vec<Diag>) {
    let ends_line = |at: usize| text.as_bytes().get(at + 1) == Some(&b'\n');
    let allowed = |at: usize, sign: char| match sign {
        '\r' => ends_line(at),
        BEGINS => at == 0,
        _ => false,
    };
    let found = text.char_indices().filter(|(at, sign)| hidden(*sign) && !allowed(*at, *sign));
    diags.extend(found.take(MOST).map(|(at, sign)| told(Span::new(file, at, at + sign.len_utf8()), sign)));
}

fn told(span: Span, sign: char) -> Diag {
    let what = match sign {
        '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => "turns the order of the signs after it",
        '\u{2028}' | '\u{2029}' => "ends a line on the screen and none of the file",
        '\r' => "moves to the start of the line without ending it",
        '\u{200B}' | '\u{2060}' | BEGINS => "has no width, so that two texts look like one",
        '\u{1B}' => "begins a command to a terminal",
        _ => "does not show",
    };
    let number = u32::from(sign);
    Diag::error("syntax/hidden", span, format!("a sign that {what}: U+{number:04X}"))
        .label("it stands here")
        .help("delete it; an editor may show it as a space, a box or nothing")
}
