//! Words for what the grammar cannot read: from the text of one statement and how far the grammar came in it
//! to a message that names the mistake. Also the escapes of quoted text.

use crate::diag::{Diag, Span, hidden};

/// A statement that is none; the grammar came `far` bytes into it.
pub(super) fn statement(file: u32, start: usize, text: &str, far: usize) -> Diag {
    let far = floor(text, far);
    let before = text.get(..far).unwrap_or("").trim_end();
    let rest = text.get(far..).unwrap_or("").trim_start();
    let from = text.len() - rest.len();
    let at = |length: usize| Span::new(file, start + from, start + from + length);
    if let Some(diag) = foreign(file, start, text, far) {
        return diag;
    }
    if let Some((at, word)) = second_property(text) {
        let span = Span::new(file, start + at, start + at + word.len());
        return Diag::error("syntax/unexpected", span, format!("`{word}` cannot stand behind the text before it"))
            .label("another property begins here")
            .help(format!("part them by a line's end or by `;`: `{}`", parted(text)));
    }
    let end = Span::new(file, start + before.len(), start + before.len());
    if let Some(diag) = unclosed(text, Span::new(file, start + text.len(), start + text.len())) {
        return diag;
    }
    if rest.is_empty() {
        return unfinished(text, before, end);
    }
    if ["+", "-", "*", "/", "±", "+/-", "..", "x", "×", "at", "="].contains(&rest) {
        return unfinished(text, text, Span::new(file, start + text.len(), start + text.len()));
    }
    let found = first_piece(rest);
    match rest.chars().next() {
        Some('"') => Diag::error("syntax/unclosed-text", at(rest.len()), "this text is not closed")
            .label("opens here")
            .help("add `\"` at its end; inside text write `\\\"`"),
        _ if before == "let" || (before.starts_with("let ") && !before.contains('=')) => {
            no_let(at(found.len()), before, rest)
        }
        Some('=' | ':') if !before.is_empty() && before == first_word(text).unwrap_or_default() => {
            let value = rest.trim_start_matches(['=', ':', ' ']);
            Diag::error("syntax/sign", at(1), format!("no `{}` stands between a property and its value", &rest[..1]))
                .label("not needed")
                .help(format!("write `{before} {value}`"))
        }
        Some('+' | '-' | '*' | '/') if before.ends_with(['+', '-', '*', '/', '.', '±']) => {
            unfinished(text, before, end)
        }
        Some('+' | '-' | '*' | '/') => {
            Diag::error("syntax/operator", at(1), format!("`{}` wants a space on both sides", &rest[..1]))
                .label("a sign between two figures")
                .help(format!("write `{before} {} {}`", &rest[..1], rest[1..].trim_start()))
        }
        Some(',')
            if before.ends_with(|c: char| c.is_ascii_digit())
                && rest[1..].starts_with(|c: char| c.is_ascii_digit()) =>
        {
            Diag::error("syntax/decimal-comma", at(1), "the decimal sign is a point, not a comma")
                .label("a comma parts the items of a list")
                .help(format!("write `{before}.{}`", &rest[1..]))
        }
        Some(',') if !before.contains(['(', '[']) => {
            Diag::error("syntax/comma", at(1), format!("a comma cannot stand behind `{}`", last_piece(before)))
                .label("here")
                .help("write a list in brackets: `[a, b]`")
        }
        _ if open_list(before) => Diag::error("syntax/comma", at(found.len()), "no comma parts these items of a list")
            .label("the next item begins here")
            .help(format!("write `{before}, {rest}`")),
        _ if before.is_empty() => Diag::error(
            "syntax/statement",
            at(found.len()),
            format!("a statement begins with a name, not with `{found}`"),
        )
        .label("here")
        .help("begin with a property or a block, a lower-case word such as `current`"),
        _ => Diag::error(
            "syntax/unexpected",
            at(found.len()),
            format!("`{found}` cannot stand behind `{}`", last_piece(before)),
        )
        .label("not understood here")
        .help("one line holds one property and its value; end it before this, or use `;`"),
    }
}

/// Signs of other languages, near the place where the grammar gave up: `//` and the quotes of a text processor.
fn foreign(file: u32, start: usize, text: &str, far: usize) -> Option<Diag> {
    let outside = |at: usize| text[..at].matches('"').count().is_multiple_of(2);
    if let Some(at) = text.find("//").filter(|at| outside(*at) && (*at..=*at + 1).contains(&far)) {
        let span = Span::new(file, start + at, start + at + 2);
        let comment = text[at + 2..].trim();
        return Some(
            Diag::error("syntax/comment", span, "a comment begins with `#`")
                .label("not a comment here")
                .help(format!("write `# {comment}`")),
        );
    }
    let at = text.find(CURLED).filter(|at| outside(*at) && *at <= far)?;
    Some(curled(file, start, text, at))
}

/// Quotes that a text processor puts in.
const CURLED: [char; 6] = ['\u{201C}', '\u{201D}', '\u{201E}', '\u{2018}', '\u{2019}', '\u{AB}'];

fn curled(file: u32, start: usize, text: &str, at: usize) -> Diag {
    let sign = text[at..].chars().next().unwrap_or('\u{201C}');
    Diag::error(
        "syntax/quotes",
        Span::new(file, start + at, start + at + sign.len_utf8()),
        format!("`{sign}` does not open a text; a straight `\"` does"),
    )
    .label("a quote of print")
    .help("type `\"` at both ends, and turn off the editor's smart quotes for specs")
}

/// `reason "a" by "b"`: where a second property begins behind a text, and its name.
fn second_property(text: &str) -> Option<(usize, &str)> {
    let value = text.get(first_word(text)?.len()..)?.trim_start().strip_prefix('"')?;
    let mut escaped = false;
    let close = value.find(|c: char| {
        let closes = c == '"' && !escaped;
        escaped = c == '\\' && !escaped;
        closes
    })?;
    let rest = value[close + 1..].trim_start();
    let word = &rest[..first_word(rest)?.len()];
    (word != "at" && word != "x").then_some((text.len() - rest.len(), word))
}

/// The line with a `;` before each property but the first.
fn parted(text: &str) -> String {
    let (mut out, mut rest) = (String::new(), text);
    while let Some((at, _)) = second_property(rest) {
        out.push_str(rest[..at].trim_end());
        out.push_str("; ");
        rest = &rest[at..];
    }
    out + rest
}

/// The names of the properties that stand in one line behind a first.
pub(super) fn run_on(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some((at, word)) = second_property(rest) {
        found.push(word.to_owned());
        rest = &rest[at..];
    }
    found
}

/// A `let` without its name or its sign.
fn no_let(span: Span, before: &str, rest: &str) -> Diag {
    let value = rest.trim_start_matches(['=', ' ']);
    let (name, value) = (before.strip_prefix("let ").unwrap_or("rim"), if value.is_empty() { "4 mm" } else { value });
    Diag::error("syntax/let", span, "`let` wants a name, `=` and a value")
        .label(if before == "let" { "a name belongs before this" } else { "`=` belongs before this" })
        .help(format!("write `let {name} = {value}`"))
}

/// Whether a list is open and ends with an item.
fn open_list(before: &str) -> bool {
    !before.contains('"') && before.matches('[').count() > before.matches(']').count() && !before.ends_with(['[', ','])
}

/// A parenthesis or bracket that the statement leaves open; text in quotes is not looked at.
fn unclosed(text: &str, end: Span) -> Option<Diag> {
    if text.contains('"') {
        return None;
    }
    let (open, close) =
        [('(', ')'), ('[', ']')].into_iter().find(|(o, c)| text.matches(*o).count() > text.matches(*c).count())?;
    Some(
        Diag::error("syntax/unclosed", end, format!("`{open}` is not closed"))
            .label(format!("`{close}` is missing"))
            .help(format!("add `{close}`")),
    )
}

/// The line ends too early.
fn unfinished(text: &str, before: &str, end: Span) -> Diag {
    let last = last_piece(before);
    Diag::error("syntax/value-missing", end, format!("expected a value after `{last}`"))
        .label("a value belongs here")
        .help(match first_word(text).as_deref() == Some(before) {
            true => format!("write the value on the same line, or `{last} unknown` if nobody knows it"),
            false => "finish the line".to_owned(),
        })
}

/// A block whose opening is not `KIND`, `KIND NAME`, or one of these with `is PART`.
pub(super) fn head(file: u32, start: usize, text: &str, body: Span) -> Diag {
    let span = Span::new(file, start, start + text.len()).to(Span { end: body.start + 1, ..body });
    if let Some(at) = text.find(CURLED) {
        return curled(file, start, text, at);
    }
    let message = match text.is_empty() {
        true => "a block wants its kind before `{`".to_owned(),
        false => format!("`{text}` cannot open a block"),
    };
    Diag::error("syntax/block-head", span, message)
        .label("opens here")
        .help("open it with its kind and, where it has one, its name: `channel red {`")
}

/// A brace that closes nothing.
pub(super) fn stray(span: Span) -> Diag {
    Diag::error("syntax/stray-brace", span, "this `}` closes nothing")
        .label("no block is open here")
        .help("remove it, or look above for a block that a brace closes too early")
}

/// More figures than an interval or a size has.
pub(super) fn too_many(span: Span, size: bool) -> Diag {
    let what = if size { "a size has at most three sides" } else { "an interval has at most three figures" };
    Diag::error("syntax/too-many-figures", span, what).label("more than three").help(if size {
        "write `length x width x height`"
    } else {
        "write `least .. typical .. most`"
    })
}

/// The text as a whole was not read.
pub(super) fn unreadable(file: u32, text: &str, at: usize) -> Diag {
    let at = floor(text, at);
    Diag::error("syntax/unreadable", Span::new(file, at, at), "this file cannot be read from here on")
        .label("here")
        .help("split the file, or shorten the statement at this place")
}

/// An escape that text does not have; `from .. to` is its place in the text between the quotes.
pub(super) fn escape(span: Span, raw: &str, from: usize, to: usize) -> Diag {
    let found = raw.get(from + 1..to + 1).unwrap_or("\\");
    Diag::error("syntax/escape", span, format!("text has no escape `{found}`"))
        .label("not an escape")
        .help("escapes are \\\" \\\\ \\n and \\u{00B5}; write `\\\\` for the sign itself")
}

/// Works out `\" \\ \n \u{...}`; an error gives the place of the escape that is none.
pub(super) fn unescape(raw: &str) -> Result<String, (usize, usize)> {
    let mut text = String::with_capacity(raw.len());
    let mut rest = raw;
    while let Some(at) = rest.find('\\') {
        text.push_str(&rest[..at]);
        let from = raw.len() - rest.len() + at;
        let tail = &rest[at + 1..];
        let (sign, length) = match tail.chars().next() {
            Some('"') => ('"', 1),
            Some('\\') => ('\\', 1),
            Some('n') => ('\n', 1),
            Some('u') => match code_point(tail) {
                Some((sign, length)) if !hidden(sign) => (sign, length),
                // A sign that does not show is none the better for being spelled out: it would reach the papers.
                Some((_, length)) => return Err((from, from + 1 + length)),
                None => return Err((from, from + 2)),
            },
            other => return Err((from, from + 1 + other.map_or(0, char::len_utf8))),
        };
        text.push(sign);
        rest = &tail[length..];
    }
    text.push_str(rest);
    Ok(text)
}

/// `u{B5}` at the start of `tail`, and its length.
fn code_point(tail: &str) -> Option<(char, usize)> {
    let digits = tail.strip_prefix("u{")?;
    let digits = &digits[..digits.find('}')?];
    let sign = u32::from_str_radix(digits, 16).ok().and_then(char::from_u32)?;
    Some((sign, digits.len() + 3))
}

/// The word a statement begins with.
pub(super) fn first_word(text: &str) -> Option<String> {
    let end = text.find(|c: char| !(c.is_ascii_alphanumeric() || c == '-' || c == '_')).unwrap_or(text.len());
    text.get(..end).filter(|w| w.starts_with(|c: char| c.is_ascii_alphabetic())).map(str::to_owned)
}

/// What stands at the start of `text`, up to a space, at most 24 characters.
fn first_piece(text: &str) -> &str {
    let end = text.char_indices().skip(1).find(|(_, c)| c.is_whitespace()).map_or(text.len(), |(i, _)| i);
    let end = text.char_indices().nth(24).map_or(end, |(i, _)| end.min(i));
    &text[..end]
}

fn last_piece(text: &str) -> &str {
    let piece = text.rsplit(char::is_whitespace).next().unwrap_or(text);
    let skip = piece.chars().count().saturating_sub(24);
    piece.char_indices().nth(skip).map_or(piece, |(i, _)| &piece[i..])
}

fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
