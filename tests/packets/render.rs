//! Renders the sample packet and reads the PDF back: pages, rows, sizes, margins, metadata, refusals.

use std::thread;

use lampwright::packet::drawing::{Anchor, Shape, at};
use lampwright::packet::sheet::{Packet, Paper, Sheet, TextSize};
use lampwright::render::{self, RenderError};
use lopdf::{Document, Object};

use super::pdf_reading::{ReadPage, read};
use super::sample::{long_rows, packet};

const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];

/// Writes the sample below `target/sample` so that it can be looked at.
#[test]
#[expect(clippy::disallowed_methods, reason = "a test may write below target")]
fn sample_can_be_looked_at() {
    for (paper, draft, name) in [(Paper::A4, true, "draft-a4"), (Paper::Letter, false, "letter")] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/sample").join(name);
        for file in render::files(&packet(paper, draft)).unwrap() {
            let path = folder.join(&file.path);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, &file.bytes).unwrap();
        }
    }
}

#[test]
fn same_packet_same_bytes_also_in_threads() {
    let first = render::files(&packet(Paper::A4, true)).unwrap();
    let others: Vec<_> = (0..4).map(|_| thread::spawn(|| render::files(&packet(Paper::A4, true)).unwrap())).collect();
    for other in others {
        assert!(other.join().unwrap() == first);
    }
    let changed = render::pdf(&packet(Paper::A4, false)).unwrap();
    assert!(changed != first[0].bytes);
}

#[test]
fn every_row_is_there_once_and_whole() {
    for paper in PAPERS {
        let pages = read(&render::pdf(&packet(paper, false)).unwrap());
        let mut rows = 0;
        for page in pages.iter().filter(|page| page.has("step-")) {
            let here = long_rows().iter().filter(|row| page.count(row) == 1).count();
            rows += here;
            let ends = page.texts.iter().filter(|text| text.text.ends_with("temperature")).count();
            assert_eq!(ends, here, "second lines stand with their rows");
            assert_eq!(page.count("350 mA"), here);
            assert_eq!(page.count("Wanted"), 1, "the head is set on each page");
        }
        assert_eq!(rows, long_rows().len());
        let after: Vec<&ReadPage> = pages.iter().filter(|page| page.count("After the table") == 1).collect();
        assert_eq!(after.len(), 1);
        assert!(after[0].has("A heading never ends a page."));
    }
}

#[test]
fn a_heading_never_ends_a_page() {
    // More and more lines push the heading over the last places of the page.
    for lines in 26..40 {
        let words = "A line of plain words for the page.\n\n".repeat(lines);
        let markdown = format!("{words}## Late heading\n\n| a | b |\n|---|---|\n| first row | x |\n| second | y |\n");
        let pages = read(&render::pdf(&one_sheet(&markdown, TextSize::Body)).unwrap());
        let page = pages.iter().find(|page| page.count("Late heading") == 1).unwrap();
        assert_eq!(page.count("first row"), 1, "{lines} lines before the heading");
    }
}

#[test]
fn nothing_stands_in_the_binder_margin() {
    for (paper, draft) in [(Paper::A4, true), (Paper::Letter, true), (Paper::A4, false)] {
        for (number, page) in read(&render::pdf(&packet(paper, draft)).unwrap()).iter().enumerate() {
            assert!(page.least.0 >= 20.0, "page {}: {:?}", number + 1, page.least);
            assert!(page.least.1 >= 6.0, "page {}: {:?}", number + 1, page.least);
            assert!(page.thinnest >= 0.2499, "page {}: a line of {} mm", number + 1, page.thinnest);
            let highest = page.texts.iter().map(|text| text.y).fold(0.0, f64::max);
            let bound = if page.size.0 > page.size.1 { 20.0 } else { 8.0 };
            assert!(page.size.1 - highest > bound, "page {}", number + 1);
        }
    }
}

#[test]
fn header_and_footer_stand_on_every_page() {
    let pages = read(&render::pdf(&packet(Paper::A4, true)).unwrap());
    for (index, page) in pages.iter().enumerate() {
        let number = format!("page {} of {}", index + 1, pages.len());
        for words in ["Kitchen ring · tall", "unit no.", &number, "digest 4f1c09a7be23", "aid, not approval", "DRAFT"]
        {
            assert_eq!(page.count(words), 1, "{words} on {number}");
        }
        assert!(page.has("1 DANGER, 2 CAUTION, 3 not checked") && page.has("no revision"));
    }
    let released = read(&render::pdf(&packet(Paper::A4, false)).unwrap());
    assert!(released.iter().all(|page| !page.has("DRAFT") && page.has("revision C, 2026-03-14")));
}

#[test]
fn bars_measure_100_mm() {
    for paper in PAPERS {
        let pages = read(&render::pdf(&packet(paper, false)).unwrap());
        let tile = tile(&pages, "1/1");
        let is_bar = |dx: f64, dy: f64| {
            move |line: &&[f64; 4]| ((line[2] - line[0]) - dx).abs() < 0.002 && ((line[3] - line[1]) - dy).abs() < 0.002
        };
        // One bar each way is the drawing's own, one each way stands on every tile.
        assert_eq!(tile.lines.iter().filter(is_bar(100.0, 0.0)).count(), 2);
        assert_eq!(tile.lines.iter().filter(is_bar(0.0, 100.0)).count(), 2);
    }
}

fn tile<'a>(pages: &'a [ReadPage], id: &str) -> &'a ReadPage {
    pages.iter().find(|page| page.has(&format!("tile {id}"))).unwrap()
}

/// Where a tile's crosses are in the drawing's own coordinates, found from the axis that every tile holds.
fn crosses(page: &ReadPage) -> Vec<(f64, f64)> {
    let axis = page.lines.iter().find(|l| ((l[2] - l[0]) - 320.0).abs() < 0.002 && l[1] == l[3]).unwrap();
    let across = page.lines.iter().filter(|l| ((l[2] - l[0]) - 7.0).abs() < 0.002 && l[1] == l[3]);
    across.map(|l| ((l[0] + l[2]) / 2.0 - axis[0] + 20.0, l[1] - axis[1] + 180.0)).collect()
}

#[test]
fn crosses_of_neighbouring_tiles_lie_on_one_another() {
    for paper in PAPERS {
        let pages = read(&render::pdf(&packet(paper, false)).unwrap());
        assert_eq!(pages.iter().filter(|page| page.has("(row / column) of 2 × 3")).count(), 6);
        assert_eq!(
            pages.iter().filter(|page| page.count("100 mm") == 1).count(),
            1,
            "a label is on the tile that shows it"
        );
        for (one, other) in [("1/1", "1/2"), ("1/2", "1/3"), ("1/1", "2/1"), ("2/2", "2/3"), ("1/3", "2/3")] {
            let (here, there) = (crosses(tile(&pages, one)), crosses(tile(&pages, other)));
            let near = |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).abs() < 0.002 && (a.1 - b.1).abs() < 0.002;
            let shared = here.iter().filter(|a| there.iter().any(|b| near(a, b))).count();
            assert_eq!(shared, 2, "{one} and {other}: {here:?} {there:?}");
        }
    }
}

#[test]
fn file_says_what_it_is() {
    let bytes = render::pdf(&packet(Paper::A4, false)).unwrap();
    let file = Document::load_mem(&bytes).unwrap();
    let catalog = file.catalog().unwrap();
    let viewer = catalog.get(b"ViewerPreferences").unwrap().as_dict().unwrap();
    assert_eq!(viewer.get(b"PrintScaling").unwrap(), &Object::from("None"));
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    assert_eq!(catalog.get(b"PageMode").unwrap(), &Object::from("UseOutlines"));
    assert!(catalog.has(b"PageLabels"));
    let info = file.get_dictionary(file.trailer.get(b"Info").unwrap().as_reference().unwrap()).unwrap();
    assert_eq!(info.get(b"CreationDate").unwrap().as_str().unwrap(), b"D:20260314000000Z");
    let fonts = file.get_page_fonts(*file.get_pages().get(&1).unwrap()).unwrap();
    assert_eq!(fonts.len(), 3);
    for font in fonts.values() {
        let name = font.get(b"BaseFont").unwrap().as_name().unwrap();
        assert_eq!(name[6], b'+', "a subset is named as one");
        assert!(font.has(b"ToUnicode"));
    }
    let programs = file.objects.values().filter_map(|object| object.as_dict().ok());
    assert_eq!(programs.filter(|dictionary| dictionary.has(b"FontFile2")).count(), 3);
    assert!(bytes.len() < 250_000, "{} bytes", bytes.len());
}

#[test]
fn bookmarks_lead_to_sheets_and_their_headings() {
    let file = Document::load_mem(&render::pdf(&packet(Paper::A4, false)).unwrap()).unwrap();
    let root = file.get_dictionary(file.catalog().unwrap().get(b"Outlines").unwrap().as_reference().unwrap()).unwrap();
    let sheets = row(&file, root);
    assert_eq!(sheets.len(), 6);
    let title: Vec<u8> = [0xFE, 0xFF].into_iter().chain("Wiring".encode_utf16().flat_map(u16::to_be_bytes)).collect();
    assert_eq!(sheets[1].get(b"Title").unwrap().as_str().unwrap(), title);
    assert_eq!(row(&file, sheets[5]).len(), 6, "the working sheet has six headings");
}

fn row<'a>(file: &'a Document, parent: &'a lopdf::Dictionary) -> Vec<&'a lopdf::Dictionary> {
    let mut found = Vec::new();
    let mut next = parent.get(b"First").ok();
    while let Some(Object::Reference(id)) = next {
        let entry = file.get_dictionary(*id).unwrap();
        found.push(entry);
        next = entry.get(b"Next").ok();
    }
    found
}

#[test]
fn units_and_greek_are_words_that_a_search_finds() {
    let pages = read(&render::pdf(&packet(Paper::A4, false)).unwrap());
    let words = "Ω and µ are read rightly: 4.7 µF ± 10 %, 220 Ω, 1 kΩ ≤ R ≤ 2.2 kΩ, ΔT ≈ 41 K, Ø 120 mm, 10⁻³ m²";
    assert!(pages[0].has(words), "{:?}", pages[0].texts);
    assert!(pages[0].has("<script>alert(1)</script>"), "what looks like HTML is printed as it is");
    assert!(pages[0].texts.iter().any(|text| text.text == "why" && text.font == "Fmono"));
    let bare = pages[0].texts.iter().find(|text| text.text.starts_with("Read aloud")).unwrap();
    assert!((bare.x - 23.0).abs() < 0.01);
}

fn one_sheet(markdown: &str, size: TextSize) -> Packet {
    let sheet = Sheet { name: "only".into(), title: "Only".into(), size, landscape: false, markdown: markdown.into() };
    Packet { sheets: vec![sheet], ..packet(Paper::A4, false) }
}

fn refusal(packet: &Packet) -> Vec<RenderError> {
    let errors = render::files(packet).unwrap_err();
    assert!(errors.iter().all(|error| error.sheet == "only"), "{errors:?}");
    errors
}

#[test]
fn what_cannot_be_set_is_refused_by_name() {
    let many = "| word ".repeat(40);
    let rule = "|---".repeat(40);
    let cells = "| incomprehensibilities ".repeat(40);
    let wide = format!("{many}|\n{rule}|\n{cells}|\n");
    let tall = format!("| a |\n|---|\n| {} |\n", "many words in a single cell ".repeat(900));
    let cases = [
        ("Some 漢 word", "Some 漢 word", "U+6F22"),
        ("![a view](lost.svg)", "a view", "no drawing `lost`"),
        (&"x".repeat(200), "xxx", "is wider than the 174 mm"),
        (&wide, "table `word | word", "set the sheet across"),
        (&tall, "many words", "split it"),
        ("```\n漢\n```\n", "漢", "U+6F22"),
    ];
    for (markdown, subject, message) in cases {
        let errors = refusal(&one_sheet(markdown, TextSize::Body));
        let found = errors.iter().any(|e| e.subject.contains(subject) && e.message.contains(message));
        assert!(found, "{subject}: {errors:?}");
        assert!(errors.iter().all(|error| error.to_string().starts_with("sheet `only`, ")));
    }
}

#[test]
fn a_label_that_runs_off_the_page_is_refused() {
    let mut packet = one_sheet("![s](section.svg)", TextSize::Body);
    let drawing = packet.drawings.get_mut("section").unwrap();
    let text = "a label far to the left".to_string();
    drawing.shapes.push(Shape::Text {
        at: at(2.0, 2.0),
        height: 2.5,
        anchor: Anchor::End,
        angle: 0.0,
        text,
        strong: false,
    });
    let errors = render::pdf(&packet).unwrap_err();
    assert!(errors[0].message.contains("out of the text area"), "{errors:?}");
}

#[test]
fn a_wide_table_is_set_smaller_before_it_is_refused() {
    let table = |columns: usize| {
        format!("{}|\n{}|\n{}|\n", "| head ".repeat(columns), "|---".repeat(columns), "| measurement ".repeat(columns))
    };
    for columns in [3, 6, 8] {
        let pages = read(&render::pdf(&one_sheet(&table(columns), TextSize::Body)).unwrap());
        assert_eq!(pages[0].count("measurement"), columns);
    }
    assert!(render::pdf(&one_sheet(&table(12), TextSize::Body)).is_err());
}

#[test]
fn odd_markdown_is_set_or_refused_without_a_panic() {
    let odd = [
        "",
        "---",
        "<!-- page -->",
        "<!-- page -->\n\n<!-- page -->\n\nend",
        "- \n- \n",
        "- - - a\n",
        "1. > **NOTICE**\n",
        "> **DANGER**",
        ">",
        "> - [ ] ▭\n>   | a |\n>   |---|\n>   | ☐ |\n",
        "| |\n|---|\n",
        "| a | b |\n|:-:|--:|\n| only one |\n| 1 | 2 | 3 |\n",
        "# a\n# b\n# c",
        "```\n\n```",
        "![](rings.svg)![](rings.svg) and ▭▭ ☐☐",
        "* a\n\n      code\n\n  b\n",
        "a  \nb\\\nc<br><br>d",
        "\u{A0}\u{A0}\n\n\u{202F}",
        "<div>\n**x**\n\n</div>",
    ];
    for markdown in odd {
        for size in [TextSize::Body, TextSize::Dense, TextSize::Card] {
            let packet = one_sheet(markdown, size);
            let pages = read(&render::pdf(&packet).unwrap_or_else(|errors| panic!("{markdown:?}: {errors:?}")));
            assert!(pages.iter().all(|page| page.least.0 >= 20.0));
            render::html(&packet).unwrap();
        }
    }
    // So deep that a markdown reader gives up nesting: the words are still there.
    let deep = format!("{} incomprehensibilities", ">".repeat(3000));
    assert!(render::html(&one_sheet(&deep, TextSize::Card)).unwrap().contains("incomprehensibilities"));
    let pages = read(&render::pdf(&one_sheet(&deep, TextSize::Card)).unwrap());
    assert!(pages.iter().any(|page| page.has("incomprehensibilities")));
}

#[test]
fn what_stands_out_of_a_frame_gets_room() {
    let mut packet = one_sheet("before it\n\n![s](section.svg)\n\nafter it", TextSize::Body);
    let drawing = packet.drawings.get_mut("section").unwrap();
    for (y, words) in [(drawing.height + 8.0, "high label"), (-9.0, "low label")] {
        let (text, anchor) = (words.to_string(), Anchor::Start);
        drawing.shapes.push(Shape::Text { at: at(20.0, y), height: 2.5, anchor, angle: 0.0, text, strong: false });
    }
    let pages = read(&render::pdf(&packet).unwrap());
    let order = ["before it", "high label", "low label", "Section, 1 : 2", "after it"];
    let heights = order.map(|words| pages[0].texts.iter().find(|text| text.text == words).unwrap().y);
    assert!(heights.windows(2).all(|pair| pair[0] - pair[1] > 3.0), "{heights:?}");
}
