//! Quick fixes: what a message's "did you mean" would put in place.

use serde_json::{Value, json};

use crate::diag::Diag;

use super::{Page, position};

/// A fix: its title, the edit, and the message it mends.
pub(crate) struct Fix {
    /// As shown in the menu.
    pub(crate) title: String,
    /// Range and new text.
    pub(crate) edit: Value,
    /// The message, as the editor was told it.
    pub(crate) diagnostic: Value,
}

impl Page {
    /// Fixes of messages that touch these bytes.
    pub(crate) fn fixes(&self, start: usize, end: usize) -> Vec<Fix> {
        let touches = |d: &&Diag| {
            let span = d.span();
            span.file == self.file && span.start as usize <= end && start <= span.end as usize
        };
        self.messages().filter(touches).filter_map(|d| self.fix(d)).collect()
    }

    fn fix(&self, diag: &Diag) -> Option<Fix> {
        let meant = diag.help.as_ref()?.split_once("did you mean `")?.1.split('`').next()?;
        let span = diag.span();
        let (start, end) = (span.start as usize, span.end as usize);
        let covered = self.text.get(start..end)?;
        let (from, to) = replaced(covered, meant)?;
        let edit = json!({ "range": position::range(&self.text, start + from, start + to), "newText": meant });
        Some(Fix { title: format!("change to `{meant}`"), edit, diagnostic: self.diagnostic(diag)? })
    }
}

/// The part of a span that the right word takes the place of: a word as a whole, the text in quotes, or the value
/// behind a property's name.
fn replaced(covered: &str, meant: &str) -> Option<(usize, usize)> {
    if let (Some(open), Some(close)) = (covered.find('"'), covered.rfind('"'))
        && open < close
    {
        return Some((open + 1, close));
    }
    if !covered.contains(char::is_whitespace) && !covered.is_empty() {
        return Some((0, covered.len()));
    }
    let amount = meant.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    let gap = covered.find(char::is_whitespace)?;
    let word = covered.get(..gap)?;
    let is_word = word.starts_with(|c: char| c.is_ascii_lowercase());
    let value = gap + covered.get(gap..)?.find(|c: char| !c.is_whitespace())?;
    match (amount, is_word) {
        (true, true) => Some((value, covered.len())),
        (true, false) => Some((0, covered.len())),
        (false, _) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::replaced;

    #[test]
    fn the_right_piece_is_replaced() {
        for (covered, meant, expected) in [
            ("curent", "current", Some("curent")),
            ("use \"parts/drwer.lamp\"", "parts/drawer.lamp", Some("parts/drwer.lamp")),
            ("current         32 A", "32 mA", Some("32 A")),
            ("32 A", "32 mA", Some("32 A")),
            ("feeds two words", "red", None),
        ] {
            let found = replaced(covered, meant).map(|(a, b)| &covered[a..b]);
            assert_eq!(found, expected, "{covered}");
        }
    }
}
