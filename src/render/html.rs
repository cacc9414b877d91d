//! The packet as one HTML page that needs nothing beside itself: styles within, drawings inline, prints well.
//! Every word from a spec is escaped; HTML in a sheet's Markdown is shown as the words it is.

use std::collections::BTreeMap;

use minijinja::value::Value;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, context};
use pulldown_cmark::Alignment;

use super::blocks::{Block, Inline, List, Look, Row, Signal, Table, leading_tick};
use super::{RenderError, reader, svg};
use crate::packet::drawing::Scale;
use crate::packet::sheet::{Packet, Paper, Sheet, TextSize};

const PAGE: &str = include_str!("../../templates/page.html");

/// The packet as one page.
///
/// # Errors
/// A drawing that a sheet names and the packet lacks; a fault in the page's template.
pub fn html(packet: &Packet) -> Result<String, Vec<RenderError>> {
    let blocks: Vec<Vec<Block>> = packet.sheets.iter().map(|sheet| reader::read(&sheet.markdown)).collect();
    with(packet, &blocks, &svg::all(packet))
}

/// The page, of sheets that have been read and drawings that have been set already.
pub(super) fn with(
    packet: &Packet,
    blocks: &[Vec<Block>],
    drawings: &BTreeMap<&str, String>,
) -> Result<String, Vec<RenderError>> {
    let mut errors = Vec::new();
    let mut sheets: Vec<Value> = Vec::new();
    for (sheet, blocks) in packet.sheets.iter().zip(blocks) {
        let mut writer = Writer { packet, drawings, sheet, out: String::new(), errors: &mut errors };
        writer.blocks(blocks);
        let body = Value::from_safe_string(writer.out);
        let size = match sheet.size {
            TextSize::Body => "body",
            TextSize::Dense => "dense",
            TextSize::Fine => "fine",
            TextSize::Card => "card",
        };
        let Sheet { name, title, landscape, .. } = sheet;
        sheets.push(context! { name, title, size, landscape, body });
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    page(packet, sheets).map_err(|error| vec![RenderError::whole("the HTML page", error.to_string())])
}

/// One of our templates for HTML with its data: strict, and every word escaped.
pub(super) fn filled(name: &str, template: &str, data: Value) -> Result<String, minijinja::Error> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.add_template(name, template)?;
    environment.get_template(name)?.render(data)
}

fn page(packet: &Packet, sheets: Vec<Value>) -> Result<String, minijinja::Error> {
    let paper = match packet.paper {
        Paper::A4 => "A4",
        Paper::Letter => "letter",
    };
    let identity = &packet.identity;
    let data = context! {
        lamp => identity.lamp.clone(),
        variant => identity.variant.clone(),
        revision => identity.revision.clone(),
        date => identity.date.clone(),
        digest => identity.digest.clone(),
        findings => identity.findings.clone(),
        draft => identity.draft,
        paper,
        sheets,
    };
    filled("page.html", PAGE, data)
}

struct Writer<'a> {
    packet: &'a Packet,
    drawings: &'a BTreeMap<&'a str, String>,
    sheet: &'a Sheet,
    out: String,
    errors: &'a mut Vec<RenderError>,
}

impl Writer<'_> {
    fn put(&mut self, html: &str) {
        self.out.push_str(html);
    }

    fn words(&mut self, words: &str) {
        self.out.push_str(&escaped(words));
    }

    fn blocks(&mut self, blocks: &[Block]) {
        for block in blocks {
            self.block(block);
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Heading(level, run) => {
                // The sheet's title is the page's second level.
                let level = (*level + u8::from(*level < 2)).clamp(2, 5) + 1;
                self.wrapped(&format!("h{level}"), run);
            }
            Block::Paragraph(run) => self.wrapped("p", run),
            Block::List(list) => self.list(list),
            Block::Table(table) => self.table(table),
            Block::Panel(signal, inner) => self.panel(signal.as_ref(), inner),
            Block::Drawing(name, alt) => self.drawing(name, alt),
            Block::Code(code) => {
                self.put("<pre><code>");
                self.words(code);
                self.put("</code></pre>\n");
            }
            Block::Pause => self.put("<p class=\"pause\" role=\"separator\"><span>pause</span></p>\n"),
            Block::NewPage => self.put("<div class=\"new-page\"></div>\n"),
        }
    }

    fn wrapped(&mut self, tag: &str, run: &[Inline]) {
        self.put(&format!("<{tag}>"));
        self.run(run);
        self.put(&format!("</{tag}>\n"));
    }

    fn run(&mut self, run: &[Inline]) {
        for piece in run {
            match piece {
                Inline::Text(words, look) => self.text(words, *look),
                Inline::Tick(false) => self.put("<span class=\"tick\" role=\"img\" aria-label=\"to tick\"></span> "),
                Inline::Tick(true) => {
                    self.put("<span class=\"tick done\" role=\"img\" aria-label=\"ticked\">✓</span> ")
                }
                Inline::WriteIn(unit) => {
                    self.put("<span class=\"fill\"><span class=\"box\" role=\"img\" aria-label=\"to fill in\"></span>");
                    self.words(unit);
                    self.put("</span>");
                }
                Inline::WriteLine => {
                    self.put("<span class=\"fill line\"><span class=\"box\" role=\"img\" aria-label=\"to fill in\"></span></span>");
                }
                Inline::Break => self.put("<br>"),
                Inline::Image(_, alt) => self.words(alt),
            }
        }
    }

    fn text(&mut self, words: &str, look: Look) {
        let tags = [(look.strong, "strong"), (look.slant, "em"), (look.code, "code")];
        for (_, tag) in tags.iter().filter(|(on, _)| *on) {
            self.put(&format!("<{tag}>"));
        }
        self.words(words);
        for (_, tag) in tags.iter().rev().filter(|(on, _)| *on) {
            self.put(&format!("</{tag}>"));
        }
    }

    fn list(&mut self, list: &List) {
        let ticks = list.items.iter().any(|item| leading_tick(item).is_some());
        let (open, close) = match (list.start, ticks) {
            (Some(first), _) => (format!("<ol start=\"{first}\">\n"), "</ol>\n"),
            (None, true) => ("<ul class=\"ticks\">\n".to_string(), "</ul>\n"),
            (None, false) => ("<ul>\n".to_string(), "</ul>\n"),
        };
        self.put(&open);
        for item in &list.items {
            self.put("<li>");
            match item.split_first() {
                // A lone or leading paragraph of an item needs no element of its own.
                Some((Block::Paragraph(run), rest)) => {
                    self.run(run);
                    self.blocks(rest);
                }
                _ => self.blocks(item),
            }
            self.put("</li>\n");
        }
        self.put(close);
    }

    fn table(&mut self, table: &Table) {
        self.put("<div class=\"table\"><table>\n<thead>");
        self.row(&table.head, "th scope=\"col\"", "th", &table.columns);
        self.put("</thead>\n<tbody>\n");
        for row in &table.rows {
            self.row(row, "td", "td", &table.columns);
        }
        self.put("</tbody>\n</table></div>\n");
    }

    fn row(&mut self, row: &Row, open: &str, close: &str, columns: &[Alignment]) {
        self.put("<tr>");
        for (index, cell) in row.iter().enumerate() {
            let class = match columns.get(index) {
                Some(Alignment::Right) => " class=\"right\"",
                Some(Alignment::Center) => " class=\"middle\"",
                _ => "",
            };
            self.put(&format!("<{open}{class}>"));
            self.run(cell);
            self.put(&format!("</{close}>"));
        }
        self.put("</tr>\n");
    }

    fn panel(&mut self, signal: Option<&Signal>, inner: &[Block]) {
        let Some(signal) = signal else {
            self.put("<blockquote>\n");
            self.blocks(inner);
            self.put("</blockquote>\n");
            return;
        };
        let grade = match signal.word.as_str() {
            "DANGER" => "danger",
            "WARNING" => "warning",
            _ => "notice",
        };
        self.put(&format!("<div class=\"panel {grade}\" role=\"note\"><p class=\"signal\">"));
        if signal.is_alert() {
            self.put(TRIANGLE);
        }
        self.words(&signal.word);
        self.put("</p>\n");
        self.blocks(inner);
        self.put("</div>\n");
    }

    fn drawing(&mut self, name: &str, alt: &str) {
        let Some(drawing) = self.packet.drawings.get(name) else {
            let message = format!("there is no drawing `{name}` in the packet");
            let (sheet, subject) = (self.sheet.name.clone(), alt.to_string());
            self.errors.push(RenderError { sheet, subject, message });
            return;
        };
        // Wider than any paper's text area: shown whole here, to be printed at its size from the PDF.
        let large = drawing.scale == Scale::Full && drawing.width > 170.0;
        let class = match drawing.scale {
            Scale::Full if !large => "full",
            _ => "reduced",
        };
        self.put(&format!("<figure class=\"{class}\">"));
        self.put(self.drawings.get(name).map_or("", String::as_str));
        self.put("<figcaption>");
        self.words(&drawing.title);
        if large {
            self.put(" <span class=\"note\">Shown reduced; in true size in packet.pdf.</span>");
        }
        self.put("</figcaption></figure>\n");
    }
}

/// The alert triangle, drawn by us; white on the black of the tab.
const TRIANGLE: &str = "<svg class=\"alert\" viewBox=\"0 0 23 20\" aria-hidden=\"true\">\
    <path d=\"M0 20L11.5 0L23 20Z\" fill=\"#fff\"/>\
    <path d=\"M9.9 6.8h3.2l-.6 7.4h-2z\"/><path d=\"M10.4 15.6h2.2v2.2h-2.2z\"/></svg>";

fn escaped(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for character in words.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => safe.push(other),
        }
    }
    safe
}
