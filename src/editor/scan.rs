//! What stands around a place in a text that may not parse: the blocks that are open there and the words of the
//! statement so far. Looks at braces, quotes and comments only, so that a half-written file has a context too.

/// What is open at a place.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Context {
    /// The words of each open block's head, outermost first: `["channel", "red"]`.
    pub(crate) blocks: Vec<Vec<String>>,
    /// The words of the statement before the one being written.
    pub(crate) words: Vec<String>,
    /// The piece of a word that stands before the place.
    pub(crate) piece: String,
    /// Where that piece begins.
    pub(crate) start: usize,
    /// Whether the place is inside a comment or a text.
    pub(crate) quoted: bool,
}

/// The context of a byte.
pub(crate) fn context(text: &str, byte: usize) -> Context {
    let mut found = Context { start: byte, ..Context::default() };
    let mut words: Vec<(usize, String)> = Vec::new();
    let mut word: Option<(usize, String)> = None;
    let (mut comment, mut string) = (false, false);
    let before = text.get(..byte).unwrap_or(text);
    let mut escaped = false;
    for (at, sign) in before.char_indices() {
        if comment {
            comment = sign != '\n';
            if !comment {
                words.clear();
            }
            continue;
        }
        if string {
            // A text ends with its line at the latest, or one lost quote would swallow the file.
            if escaped {
                escaped = false;
            } else if sign == '\\' {
                escaped = true;
            } else if sign == '"' || sign == '\n' {
                string = false;
                if sign == '\n' {
                    words.clear();
                }
            }
            continue;
        }
        match sign {
            '#' | '"' | '{' | '}' | ';' | '\n' => {
                words.extend(word.take());
                match sign {
                    '#' => comment = true,
                    '"' => {
                        string = true;
                        words.push((at, "\"".to_owned()));
                    }
                    '{' => found.blocks.push(words.drain(..).map(|(_, w)| w).collect()),
                    '}' => {
                        found.blocks.pop();
                        words.clear();
                    }
                    _ => words.clear(),
                }
            }
            c if c.is_whitespace() || matches!(c, '[' | ']' | ',' | '(' | ')' | '=') => {
                words.extend(word.take());
                if matches!(c, '[' | ',' | '(' | '=') {
                    words.push((at, c.to_string()));
                }
            }
            c => match &mut word {
                Some((_, text)) => text.push(c),
                None => word = Some((at, c.to_string())),
            },
        }
    }
    found.quoted = comment || string;
    if let Some((start, piece)) = word {
        (found.start, found.piece) = (start, piece);
    }
    found.words = words.into_iter().map(|(_, w)| w).collect();
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_written_files_have_a_context() {
        for (text, blocks, words, piece) in [
            ("", vec![], vec![], ""),
            ("lamp \"A\" {\n  reg", vec!["lamp \""], vec![], "reg"),
            ("driver { channel red { cur", vec!["driver", "channel red"], vec![], "cur"),
            ("driver { channel red { current 3 m", vec!["driver", "channel red"], vec!["current", "3"], "m"),
            ("driver { bits 8; top", vec!["driver"], vec![], "top"),
            ("a { b { } } c ", vec![], vec!["c"], ""),
            ("supply is clo", vec![], vec!["supply", "is"], "clo"),
            ("lamp { maker \"x { y\" # z {\n ro", vec!["lamp"], vec![], "ro"),
            ("workshop { instruments [me", vec!["workshop"], vec!["instruments", "["], "me"),
            ("lamp { maker \"never closed\n room", vec!["lamp"], vec![], "room"),
        ] {
            let found = context(text, text.len());
            let open: Vec<String> = found.blocks.iter().map(|b| b.join(" ")).collect();
            assert_eq!(
                (open, found.words, found.piece.as_str()),
                (
                    blocks.iter().map(|b: &&str| (*b).to_owned()).collect(),
                    words.iter().map(|w: &&str| (*w).to_owned()).collect::<Vec<_>>(),
                    piece,
                ),
                "{text}"
            );
        }
        assert!(context("lamp { # note", 12).quoted);
    }
}
