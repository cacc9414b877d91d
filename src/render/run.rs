//! One line of a sheet: its pieces with their looks, and the boxes cut out of its words.

use pulldown_cmark::{Event, Tag};

use super::blocks::{Inline, Look};
use super::glue::glued;

/// Collects one line's pieces; neighbouring words of one look become one run before boxes are cut out of it.
#[derive(Default)]
pub(super) struct Run {
    pub(super) found: Vec<Inline>,
    words: String,
    look: Look,
    outer: Vec<Look>,
}

impl Run {
    pub(super) fn enter(&mut self, tag: &Tag<'_>) {
        self.outer.push(self.look);
        let mut look = self.look;
        look.strong |= matches!(tag, Tag::Strong);
        look.slant |= matches!(tag, Tag::Emphasis);
        self.set(look);
    }

    pub(super) fn leave(&mut self) {
        let look = self.outer.pop().unwrap_or_default();
        self.set(look);
    }

    fn set(&mut self, look: Look) {
        if look != self.look {
            self.flush();
            self.look = look;
        }
    }

    pub(super) fn event(&mut self, event: &Event<'_>) {
        match event {
            Event::Text(text) => self.words.push_str(text),
            Event::InlineHtml(text) if is_line_end(text) => {
                self.flush();
                self.found.push(Inline::Break);
            }
            Event::InlineHtml(text) | Event::Html(text) if !is_comment(text) => self.words.push_str(text),
            Event::Code(text) => {
                self.flush();
                self.found.push(Inline::Text(text.to_string(), Look { code: true, ..self.look }));
            }
            Event::SoftBreak => self.words.push(' '),
            Event::HardBreak => {
                self.flush();
                self.found.push(Inline::Break);
            }
            Event::TaskListMarker(done) => {
                self.flush();
                self.found.push(Inline::Tick(*done));
            }
            _ => {}
        }
    }

    pub(super) fn flush(&mut self) {
        let words = std::mem::take(&mut self.words);
        cut_boxes(&words, self.look, &mut self.found);
    }

    pub(super) fn finish(mut self) -> Vec<Inline> {
        self.flush();
        self.found
    }
}

/// Signs that stand for boxes.
const BOXES: [char; 3] = ['☐', '☑', '▭'];

/// Cuts `☐`, `☑`, `▭ unit` and `▭▭` out of a run of words.
fn cut_boxes(words: &str, look: Look, found: &mut Vec<Inline>) {
    let mut rest = words;
    while let Some(place) = rest.find(BOXES) {
        let (before, from) = rest.split_at(place);
        push_text(before, look, found);
        let sign = from.chars().next().unwrap_or('☐');
        rest = from.strip_prefix(sign).unwrap_or("");
        if let Some(tail) = rest.strip_prefix('▭').filter(|_| sign == '▭') {
            found.push(Inline::WriteLine);
            rest = tail;
        } else if sign == '▭' {
            let after = rest.trim_start();
            let end = after.find(|c: char| c.is_whitespace() || BOXES.contains(&c)).unwrap_or(after.len());
            let (unit, tail) = after.split_at(end);
            found.push(Inline::WriteIn(unit.to_string()));
            rest = tail;
        } else {
            found.push(Inline::Tick(sign == '☑'));
        }
    }
    push_text(rest, look, found);
}

fn push_text(text: &str, look: Look, found: &mut Vec<Inline>) {
    if !text.is_empty() {
        found.push(Inline::Text(glued(text), look));
    }
}

/// The one tag that is not printed: a table's cell has no other way to end a line.
fn is_line_end(tag: &str) -> bool {
    matches!(tag, "<br>" | "<br/>" | "<br />")
}

pub(super) fn is_comment(text: &str) -> bool {
    text.starts_with("<!--") && text.ends_with("-->")
}
