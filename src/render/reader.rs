//! A sheet's Markdown to blocks. What looks like HTML stays words; only `<!-- page -->` says something.
//! The conventions of a packet are read here: `☐`, `▭ unit`, panels by signal word, drawings, pause lines.

use pulldown_cmark::{Alignment, CowStr, Event, Options, Parser, Tag};

use super::blocks::{Block, Inline, List, Look, Row, Signal, Table, plain};
use super::run::{Run, is_comment};

/// Reads a sheet's Markdown. Raw HTML is kept as words, never as HTML; comments are dropped.
pub(crate) fn read(markdown: &str) -> Vec<Block> {
    let options = Options::ENABLE_TABLES | Options::ENABLE_TASKLISTS;
    let events: Vec<Event<'_>> = Parser::new_ext(markdown, options).collect();
    let mut reader = Reader { events: &events, next: 0, depth: 0 };
    reader.blocks()
}

/// Lists and quotes inside one another beyond this depth are set as if they stood at this depth.
const DEEPEST: usize = 12;

struct Reader<'a> {
    events: &'a [Event<'a>],
    next: usize,
    depth: usize,
}

impl<'a> Reader<'a> {
    fn peek(&self) -> Option<&'a Event<'a>> {
        self.events.get(self.next)
    }

    fn take(&mut self) -> Option<&'a Event<'a>> {
        let event = self.peek();
        self.next += 1;
        event
    }

    /// Blocks up to the end of the enclosing container, whose end event is taken too.
    fn blocks(&mut self) -> Vec<Block> {
        let mut found = Vec::new();
        let mut opened = 0_usize;
        self.depth += 1;
        while let Some(event) = self.peek() {
            match event {
                Event::End(_) if opened > 0 => {
                    self.next += 1;
                    opened -= 1;
                }
                Event::End(_) => {
                    self.next += 1;
                    break;
                }
                Event::Start(tag) if self.depth > DEEPEST && is_container(tag) => {
                    self.next += 1;
                    opened += 1;
                }
                Event::Start(tag) if is_block(tag) => {
                    self.next += 1;
                    self.block(tag, &mut found);
                }
                Event::Rule => {
                    self.next += 1;
                    found.push(Block::Pause);
                }
                _ => {
                    let line = self.loose_inlines();
                    push_paragraph(line, &mut found);
                }
            }
        }
        self.depth -= 1;
        found
    }

    fn block(&mut self, tag: &Tag<'a>, found: &mut Vec<Block>) {
        match tag {
            Tag::Heading { level, .. } => found.push(Block::Heading(*level as u8, self.inlines())),
            Tag::Paragraph => {
                let line = self.inlines();
                push_paragraph(line, found);
            }
            Tag::List(start) => {
                let list = self.list(*start);
                found.push(Block::List(list));
            }
            Tag::Table(columns) => {
                let table = self.table(columns);
                found.push(Block::Table(table));
            }
            Tag::BlockQuote(_) => {
                let inner = self.blocks();
                found.push(panel(inner));
            }
            Tag::CodeBlock(_) => {
                let code = self.verbatim();
                found.push(Block::Code(code.trim_end_matches('\n').to_string()));
            }
            Tag::HtmlBlock => {
                let text = self.verbatim();
                html_block(&text, found);
            }
            // Whatever an extension may add: its contents are blocks.
            _ => found.extend(self.blocks()),
        }
    }

    fn list(&mut self, start: Option<u64>) -> List {
        let mut items = Vec::new();
        while let Some(event) = self.take() {
            match event {
                Event::Start(Tag::Item) => items.push(self.blocks()),
                Event::End(_) => break,
                _ => {}
            }
        }
        List { start, items }
    }

    fn table(&mut self, columns: &[Alignment]) -> Table {
        let mut table = Table { columns: columns.to_vec(), head: Vec::new(), rows: Vec::new() };
        while let Some(event) = self.take() {
            match event {
                Event::Start(Tag::TableHead) => table.head = self.row(),
                Event::Start(Tag::TableRow) => {
                    let row = self.row();
                    table.rows.push(row);
                }
                Event::End(_) => break,
                _ => {}
            }
        }
        table
    }

    fn row(&mut self) -> Row {
        let mut cells = Vec::new();
        while let Some(event) = self.take() {
            match event {
                Event::Start(Tag::TableCell) => cells.push(self.inlines()),
                Event::End(_) => break,
                _ => {}
            }
        }
        cells
    }

    /// The words of a block that holds nothing but words.
    fn verbatim(&mut self) -> String {
        let mut words = String::new();
        while let Some(event) = self.take() {
            match event {
                Event::Text(text) | Event::Html(text) => words.push_str(text),
                Event::End(_) => break,
                _ => {}
            }
        }
        words
    }

    /// Inlines up to the end event of their container, which is taken too.
    fn inlines(&mut self) -> Vec<Inline> {
        let line = self.loose_inlines();
        self.next += 1;
        line
    }

    /// Inlines up to an end event or a block; a tight list item has these without a paragraph around them.
    fn loose_inlines(&mut self) -> Vec<Inline> {
        let mut run = Run::default();
        let mut depth = 0_usize;
        while let Some(event) = self.peek() {
            match event {
                Event::End(_) if depth == 0 => break,
                Event::Start(tag) if is_block(tag) => break,
                Event::Rule => break,
                Event::Start(Tag::Image { dest_url, .. }) => {
                    self.next += 1;
                    self.image(dest_url, &mut run);
                    continue;
                }
                Event::Start(tag) => {
                    depth += 1;
                    run.enter(tag);
                }
                Event::End(_) => {
                    depth -= 1;
                    run.leave();
                }
                other => run.event(other),
            }
            self.next += 1;
        }
        run.finish()
    }

    fn image(&mut self, target: &CowStr<'a>, run: &mut Run) {
        let alt = plain(&self.inlines());
        let file = target.rsplit('/').next().unwrap_or(target);
        let name = file.strip_suffix(".svg").unwrap_or(file);
        run.flush();
        run.found.push(Inline::Image(name.to_string(), alt));
    }
}

fn is_container(tag: &Tag<'_>) -> bool {
    matches!(tag, Tag::BlockQuote(_) | Tag::List(_) | Tag::Item)
}

fn is_block(tag: &Tag<'_>) -> bool {
    !matches!(
        tag,
        Tag::Emphasis
            | Tag::Strong
            | Tag::Strikethrough
            | Tag::Superscript
            | Tag::Subscript
            | Tag::Link { .. }
            | Tag::Image { .. }
    )
}

/// A comment says something to the renderer or nothing at all; every other tag is printed as the words it is.
fn html_block(text: &str, found: &mut Vec<Block>) {
    let text = text.trim();
    if text == "<!-- page -->" {
        found.push(Block::NewPage);
    } else if !text.is_empty() && !is_comment(text) {
        found.push(Block::Paragraph(vec![Inline::Text(text.replace('\n', " "), Look::default())]));
    }
}

/// Splits drawings out of a paragraph: a drawing is always a block of its own.
fn push_paragraph(line: Vec<Inline>, found: &mut Vec<Block>) {
    let mut words = Vec::new();
    for piece in line {
        if let Inline::Image(name, alt) = piece {
            push_words(&mut words, found);
            found.push(Block::Drawing(name, alt));
        } else {
            words.push(piece);
        }
    }
    push_words(&mut words, found);
}

fn push_words(words: &mut Vec<Inline>, found: &mut Vec<Block>) {
    let words = std::mem::take(words);
    if !plain(&words).is_empty() {
        found.push(Block::Paragraph(words));
    }
}

/// A block quote whose first words are strong capitals is a panel with that signal word.
fn panel(mut inner: Vec<Block>) -> Block {
    let word = match inner.first() {
        Some(Block::Paragraph(line)) => match line.first() {
            Some(Inline::Text(text, look)) if look.strong && is_signal(text) => Some(text.trim().to_string()),
            _ => None,
        },
        _ => None,
    };
    let Some(word) = word else { return Block::Panel(None, inner) };
    if let Some(Block::Paragraph(line)) = inner.first_mut() {
        line.remove(0);
        if let Some(Inline::Text(text, _)) = line.first_mut() {
            *text = text.trim_start_matches([' ', ':', '–', '—', '.']).to_string();
        }
        if matches!(line.first(), Some(Inline::Break)) {
            line.remove(0);
        }
        if plain(line).is_empty() {
            inner.remove(0);
        }
    }
    Block::Panel(Some(Signal { word: word.trim_end_matches([':', '.']).to_string() }), inner)
}

fn is_signal(text: &str) -> bool {
    let text = text.trim().trim_end_matches([':', '.']);
    (3..=24).contains(&text.len()) && text.chars().all(|c| c.is_ascii_uppercase() || c == ' ' || c == '-')
}

#[cfg(test)]
mod tests {
    use super::read;
    use crate::render::blocks::{Block, Inline, List, Look, Signal};

    fn text(words: &str) -> Inline {
        Inline::Text(words.into(), Look::default())
    }

    #[test]
    fn conventions_are_read() {
        let strong = Look { strong: true, ..Look::default() };
        let signal = |word: &str| Some(Signal { word: word.into() });
        let cases = [
            ("a ☐ b", vec![Block::Paragraph(vec![text("a "), Inline::Tick(false), text(" b")])]),
            ("▭ mA, so", vec![Block::Paragraph(vec![Inline::WriteIn("mA,".into()), text(" so")])]),
            ("▭", vec![Block::Paragraph(vec![Inline::WriteIn(String::new())])]),
            ("▭ ☐ no", vec![Block::Paragraph(vec![Inline::WriteIn(String::new()), Inline::Tick(false), text(" no")])]),
            ("a: ▭▭", vec![Block::Paragraph(vec![text("a: "), Inline::WriteLine])]),
            ("> **DANGER** hot", vec![Block::Panel(signal("DANGER"), vec![Block::Paragraph(vec![text("hot")])])]),
            ("> **STOP IF:**\n> hot", vec![Block::Panel(signal("STOP IF"), vec![Block::Paragraph(vec![text("hot")])])]),
            (
                "> **Danger** hot",
                vec![Block::Panel(
                    None,
                    vec![Block::Paragraph(vec![Inline::Text("Danger".into(), strong), text(" hot")])],
                )],
            ),
            ("![a view](NAME.svg)", vec![Block::Drawing("NAME".into(), "a view".into())]),
            (
                "a\n\n---\n\n<!-- page -->\nb",
                vec![
                    Block::Paragraph(vec![text("a")]),
                    Block::Pause,
                    Block::NewPage,
                    Block::Paragraph(vec![text("b")]),
                ],
            ),
            ("<!-- a\nnote -->\n", vec![]),
            ("a<br>b", vec![Block::Paragraph(vec![text("a"), Inline::Break, text("b")])]),
            ("a <b>b</b>", vec![Block::Paragraph(vec![text("a <b>b</b>")])]),
            (
                "- [ ] one",
                vec![Block::List(List {
                    start: None,
                    items: vec![vec![Block::Paragraph(vec![Inline::Tick(false), text("one")])]],
                })],
            ),
        ];
        for (markdown, expected) in cases {
            assert_eq!(read(markdown), expected, "{markdown}");
        }
    }

    #[test]
    fn nesting_is_bounded_and_loses_no_words() {
        let deep = format!("{} words", ">".repeat(3000));
        let mut blocks = read(&deep);
        let mut depth = 0;
        while let [Block::Panel(None, inner)] = blocks.as_slice() {
            (blocks, depth) = (inner.clone(), depth + 1);
        }
        assert_eq!(blocks, [Block::Paragraph(vec![text("words")])]);
        assert_eq!(depth, super::DEEPEST);
    }
}
