//! The tables of one packet to pages: by our setter, by a Rust library that lays out documents, and by reportlab.
//!
//! Each gets the same cells in the same order, a heading row each table, the same face, sizes and paper. Ours also sets
//! header, footer and the marks of each page, which the others are not asked for.

use genpdf::elements::{FrameCellDecorator, PageBreak, Paragraph, TableLayout};
use genpdf::fonts::{FontData, FontFamily};
use genpdf::style::Style;
use genpdf::{Element, Margins, SimplePageDecorator};
use lampwright::language::loading::{LoadError, Loaded, Loader};
use lampwright::packet::sheet::{Packet, TextSize};
use lampwright::packet::templates::Overrides;
use lampwright::{compile, render};
use serde_json::json;

use crate::{Line, clock, python};

/// One table: its rows, the first of which is its heading.
pub(crate) type Cells = Vec<Vec<String>>;

/// The packet with nothing but its tables, and the same tables as cells, sheet by sheet with the size of their type.
pub(crate) struct Tables {
    packet: Packet,
    sheets: Vec<(f64, Vec<Cells>)>,
}

struct Examples(String);

impl Loader for Examples {
    fn load(&mut self, _: &str, path: &str) -> Result<Loaded, LoadError> {
        let text = std::fs::read_to_string(format!("{}/examples/{path}", self.0));
        text.map(|text| Loaded { name: path.to_owned(), text }).map_err(|e| LoadError::Other(e.to_string()))
    }
}

/// Tables of the largest example.
pub(crate) fn tables(root: &str) -> Tables {
    let spec = std::fs::read_to_string(format!("{root}/examples/alder-table.lamp")).unwrap();
    let compiled = compile("alder-table.lamp", &spec, &mut Examples(root.to_owned()), None).compiled.unwrap();
    let mut packet = compiled.packet(&Overrides::new(), None).unwrap();
    let mut sheets = Vec::new();
    packet.drawings.clear();
    // A document of `genpdf` has one paper throughout.
    packet.sheets.retain(|sheet| !sheet.landscape);
    for sheet in &mut packet.sheets {
        let found = read(&sheet.markdown);
        sheet.markdown = found.iter().map(written).collect::<Vec<_>>().join("\n");
        let points = match sheet.size {
            TextSize::Body => 10.5,
            TextSize::Dense => 8.5,
            TextSize::Fine => 7.0,
            TextSize::Card => 18.0,
        };
        sheets.push((points, found));
    }
    packet.sheets.retain(|sheet| !sheet.markdown.is_empty());
    sheets.retain(|(_, tables)| !tables.is_empty());
    Tables { packet, sheets }
}

/// The tables of a sheet's Markdown, inline marks and pictures taken off.
fn read(markdown: &str) -> Vec<Cells> {
    let mut found: Vec<Cells> = Vec::new();
    let mut inside = false;
    for line in markdown.lines() {
        let is_row = line.starts_with('|');
        if is_row && !inside {
            found.push(Vec::new());
        }
        inside = is_row;
        let rule = line.chars().all(|c| "|-: ".contains(c));
        if is_row && !(rule && found.last().is_some_and(|t| t.len() == 1)) {
            let row = line.trim().trim_matches('|').split('|');
            let clean = |cell: &str| cell.replace("**", "").replace(['`', '\\', '!', '[', ']'], "").trim().to_owned();
            found.last_mut().unwrap().push(row.map(clean).collect());
        }
    }
    for table in &mut found {
        let width = table[0].len();
        table.iter_mut().for_each(|row| row.resize(width, String::new()));
    }
    found
}

/// The same cells as Markdown again.
fn written(table: &Cells) -> String {
    let row = |cells: &Vec<String>| format!("| {} |\n", cells.join(" | "));
    let rule = format!("|{}\n", "---|".repeat(table[0].len()));
    row(&table[0]) + &rule + &table[1..].iter().map(row).collect::<String>()
}

/// The lines of the table: one library each.
pub(crate) fn lines(root: &str, tables: &Tables, interpreter: &str) -> Vec<Line> {
    let cells: usize = tables.sheets.iter().flat_map(|(_, t)| t).map(|t| t.iter().map(Vec::len).sum::<usize>()).sum();
    let count: usize = tables.sheets.iter().map(|(_, t)| t.len()).sum();
    let face = format!("{root}/templates/fonts/sans-regular.ttf");
    let ours = render::pdf(&tables.packet).unwrap();
    let theirs = by_genpdf(tables, &face);
    let by_us = clock::seconds(|| render::pdf(&tables.packet).unwrap());
    let by_them = clock::seconds(|| by_genpdf(tables, &face));
    let asked = json!({ "face": face, "sheets": tables.sheets });
    let answer = python::ask(interpreter, "pages.py", &asked);
    assert_eq!(answer["cells"], json!(cells));
    let folder = std::env::temp_dir();
    for (name, bytes) in [("ours", &ours), ("genpdf", &theirs)] {
        std::fs::write(folder.join(format!("beside-{name}.pdf")), bytes).unwrap();
    }
    println!(
        "{count} tables of {cells} cells: {} bytes of PDF by us, {} by genpdf, {} by reportlab; in {} for a look\n",
        ours.len(),
        theirs.len(),
        answer["bytes"],
        folder.display()
    );
    let what = format!("{count} tables, {cells} cells to PDF");
    let reportlab = format!("reportlab {}", answer["version"].as_str().unwrap());
    vec![
        Line { what: what.clone(), by: "`genpdf` 0.2".into(), ours: by_us, theirs: by_them },
        Line { what, by: reportlab, ours: by_us, theirs: answer["seconds"].as_f64().unwrap() },
    ]
}

fn by_genpdf(tables: &Tables, face: &str) -> Vec<u8> {
    let data = FontData::new(std::fs::read(face).unwrap(), None).unwrap();
    let family = FontFamily { regular: data.clone(), bold: data.clone(), italic: data.clone(), bold_italic: data };
    let mut document = genpdf::Document::new(family);
    let mut frame = SimplePageDecorator::new();
    frame.set_margins(Margins::trbl(20, 12, 20, 20));
    document.set_page_decorator(frame);
    for (n, (points, sheet)) in tables.sheets.iter().enumerate() {
        if n > 0 {
            document.push(PageBreak::new());
        }
        for cells in sheet {
            let mut table = TableLayout::new(vec![1; cells[0].len()]);
            table.set_cell_decorator(FrameCellDecorator::new(true, true, false));
            for row in cells {
                let mut line = table.row();
                for cell in row {
                    line.push_element(Paragraph::new(cell.as_str()).padded(1));
                }
                line.push().unwrap();
            }
            document.push(table.styled(Style::new().with_font_size(points.round() as u8)));
        }
    }
    let mut bytes = Vec::new();
    document.render(&mut bytes).unwrap();
    bytes
}
